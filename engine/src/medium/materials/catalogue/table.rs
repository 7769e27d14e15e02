//! The rows themselves, as printed: 125 250 500 1k 2k 4k Hz.

use super::Provenance::{Estimate, Memory, Read};
use super::{Citation, Entry};

/// Scattering of a flat hard surface.
pub(super) const FLAT: f64 = 0.02;
/// Scattering of a surface with joints or a grain.
const JOINTED: f64 = 0.1;
/// Scattering of cloth in folds.
const FOLDED: f64 = 0.3;
/// Scattering of a soft flat surface.
pub(super) const SOFT: f64 = 0.05;
/// Scattering of upholstery and of people.
const UPHOLSTERED: f64 = 0.3;
/// Scattering of shelves with gaps between the books (from memory of the literature: 0.3).
const GAPPED: f64 = 0.3;
/// Scattering of full shelves, and of a panel of knobs.
const UNEVEN: f64 = 0.2;

/// Faces of a sofa of 0.9 by 1.9 m, 0.45 m high, without its underside, in its floor areas.
const SOFA_FACES: f64 = (0.9 * 1.9 + 2.0 * (0.9 + 1.9) * 0.45) / (0.9 * 1.9);
/// Likewise of an armchair of 0.85 by 0.85 m, 0.45 m high.
const ARMCHAIR_FACES: f64 = (0.85 * 0.85 + 4.0 * 0.85 * 0.45) / (0.85 * 0.85);
/// Faces of a box for someone seated, 0.5 by 0.5 m and 1.2 m high, in square metres.
const PERSON_FACES: f64 = 0.5 * 0.5 + 4.0 * 0.5 * 1.2;

const BARRON: Citation =
    Citation("Barron, Industrial Noise Control and Acoustics (2003), appendix D", Read);
const BARRON_AND_LISTS: Citation = Citation(
    "Barron, Industrial Noise Control and Acoustics (2003), appendix D; the general \
     building-materials list and Audio Engineering (2009), table 3.4, agree",
    Read,
);
const BARRON_AND_GENERAL: Citation = Citation(
    "Barron, Industrial Noise Control and Acoustics (2003), appendix D; the general \
     building-materials list agrees",
    Read,
);
const BARRON_AND_EVEREST: Citation = Citation(
    "Barron, Industrial Noise Control and Acoustics (2003), appendix D; Everest, Master Handbook \
     of Acoustics, 4th ed., p. 163, agrees",
    Read,
);
const EVEREST: Citation = Citation("Everest, Master Handbook of Acoustics, 4th ed., p. 163", Read);
const GENERAL: Citation =
    Citation("general building-materials list (trade bulletin, table 27.1)", Read);
const CONSULTANTS: Citation =
    Citation("compiled consultants' list in the style of Building Bulletin 93", Read);
const AUDIO_29: Citation = Citation("Audio Engineering (2009), table 29.3, p. 850", Read);
const AUDIO_3_AND_GENERAL: Citation = Citation(
    "Audio Engineering (2009), table 3.4, p. 103; the general building-materials list agrees",
    Read,
);
const AUDIO_3_AND_COX: Citation = Citation(
    "Audio Engineering (2009), table 3.4, p. 103; Cox and D'Antonio, Acoustic Absorbers and \
     Diffusers, appendix A, and the general building-materials list agree",
    Read,
);
const COX: Citation =
    Citation("Cox and D'Antonio, Acoustic Absorbers and Diffusers, appendix A", Read);
const PUBLIC_PAGE: Citation = Citation("list on a public page that does not name its source", Read);
const LIST_PAGE: Citation = Citation("laboratory data on a public list page", Read);
const VORLAENDER: Citation = Citation("Vorländer, Auralization, annex", Memory);
const REPRINT: Citation = Citation("Building Bulletin 93 or maker's data as reprinted", Memory);
const SEATS: Citation = Citation(
    "upholstered seats, empty, of a list on a public page that does not name its source: per floor \
     area, here divided by the faces of a box",
    Read,
);
const LEATHER_SEATS: Citation = Citation(
    "upholstered seats with leather covers, empty, of the general building-materials list: per \
     floor area, here divided by the faces of a box",
    Memory,
);
const AUDIENCE: Citation = Citation(
    "people on wooden chairs, one on a square metre, of lists of audience absorption: per person, \
     here divided by the faces of a box",
    Memory,
);
const BOOKS: Citation = Citation("Bobran, Handbuch der Bauphysik, book shelves", Memory);
const NO_TABLE: Citation = Citation("an estimate: no table of such things was found", Estimate);

const SOFA: &str = "for a box of about 0.9 by 1.9 m, 0.45 m high";
const CLOTH: &str = "hung flat; the flow resistance (light 150, heavy 600 Pa·s/m) is from memory of what cloth \
     has; taken not to move, and thinner than the model was made for";
const UNSURE: &str = "33 kg/m³; the exact figures are not certain";

#[rustfmt::skip]
pub(super) static ENTRIES: [Entry; 73] = [
    // Masonry and plaster
    Entry::published("concrete, painted", [0.01, 0.01, 0.01, 0.02, 0.02, 0.02], BARRON, FLAT),
    Entry::published("concrete, unpainted", [0.01, 0.01, 0.02, 0.02, 0.02, 0.03], BARRON, FLAT),
    Entry::published("concrete, rough", [0.02, 0.03, 0.03, 0.03, 0.04, 0.07], CONSULTANTS, JOINTED),
    Entry::published("concrete or terrazzo floor", [0.01, 0.01, 0.015, 0.02, 0.02, 0.02], BARRON_AND_EVEREST, FLAT),
    Entry::published("concrete block, coarse", [0.36, 0.44, 0.31, 0.29, 0.39, 0.25], BARRON_AND_LISTS, JOINTED),
    Entry::published("concrete block, painted", [0.10, 0.05, 0.06, 0.07, 0.09, 0.08], BARRON_AND_LISTS, JOINTED),
    Entry::published("bare brick", [0.03, 0.03, 0.03, 0.04, 0.05, 0.07], BARRON_AND_LISTS, JOINTED),
    Entry::published("painted brick", [0.01, 0.01, 0.02, 0.02, 0.02, 0.03], BARRON_AND_LISTS, JOINTED),
    Entry::published("plaster on brick", [0.013, 0.015, 0.02, 0.03, 0.04, 0.05], BARRON_AND_GENERAL, FLAT),
    Entry::published("plaster on lath", [0.14, 0.10, 0.06, 0.04, 0.04, 0.03], BARRON_AND_GENERAL, FLAT),
    Entry::published("marble or glazed tile", [0.01, 0.01, 0.01, 0.01, 0.02, 0.02], GENERAL, FLAT),
    // Boards, doors, glass
    Entry::published("gypsum board on studs", [0.29, 0.10, 0.05, 0.04, 0.07, 0.09], EVEREST, FLAT)
        .noted("13 mm board; another list has 0.10 at 125 Hz, see \"gypsum board on studs, second list\""),
    Entry::published("gypsum board on studs, second list", [0.10, 0.08, 0.05, 0.03, 0.03, 0.03], GENERAL, FLAT)
        .noted("13 mm board; the usual list has 0.29 at 125 Hz, see \"gypsum board on studs\""),
    Entry::published("plasterboard on 25 mm battens", [0.31, 0.33, 0.14, 0.10, 0.10, 0.12], CONSULTANTS, FLAT),
    Entry::published("plasterboard, 100 mm air behind", [0.30, 0.12, 0.08, 0.06, 0.06, 0.05], CONSULTANTS, FLAT),
    Entry::published("plasterboard, 100 mm glass wool behind", [0.08, 0.11, 0.05, 0.03, 0.02, 0.03], CONSULTANTS, FLAT),
    Entry::published("plasterboard, deep air behind", [0.20, 0.15, 0.10, 0.05, 0.05, 0.05], AUDIO_29, FLAT),
    Entry::published("plywood 3 mm, 32 mm air behind", [0.15, 0.25, 0.12, 0.08, 0.08, 0.08], BARRON, FLAT),
    Entry::published("plywood 5 mm, 50 mm air behind", [0.38, 0.24, 0.17, 0.10, 0.08, 0.05], BARRON, FLAT),
    Entry::published("wood door, solid", [0.10, 0.07, 0.05, 0.04, 0.04, 0.04], BARRON, FLAT),
    Entry::published("wood door, hollow core", [0.15, 0.25, 0.12, 0.08, 0.08, 0.08], BARRON, FLAT)
        .noted("the table's figures for plywood 3 mm with 32 mm air behind, a skin of such a door; nothing nearer is printed"),
    Entry::published("wood, solid", [0.10, 0.07, 0.05, 0.04, 0.04, 0.04], BARRON, FLAT)
        .noted("the table's figures for a solid wood door; nothing nearer to a desk top is printed"),
    Entry::published("glass, large heavy pane", [0.18, 0.06, 0.04, 0.03, 0.02, 0.02], GENERAL, FLAT),
    Entry::published("glass, ordinary window", [0.35, 0.25, 0.18, 0.12, 0.07, 0.04], GENERAL, FLAT),
    Entry::published("glass, 4 mm window", [0.30, 0.20, 0.10, 0.07, 0.05, 0.02], AUDIO_29, FLAT),
    Entry::published("glass, 6 mm window", [0.10, 0.08, 0.04, 0.03, 0.02, 0.02], AUDIO_29, FLAT),
    // Floors
    Entry::published("wood floor on joists", [0.15, 0.11, 0.10, 0.07, 0.06, 0.07], GENERAL, FLAT),
    Entry::published("parquet on concrete", [0.04, 0.04, 0.07, 0.06, 0.06, 0.07], GENERAL, FLAT),
    Entry::published("linoleum or vinyl on concrete", [0.02, 0.03, 0.03, 0.03, 0.03, 0.02], PUBLIC_PAGE, FLAT)
        .noted("the general building-materials list prints 0.03 at 4 kHz"),
    Entry::published("carpet, heavy, on concrete", [0.02, 0.06, 0.14, 0.37, 0.60, 0.65], AUDIO_3_AND_COX, SOFT),
    Entry::published("carpet, heavy, on felt or foam", [0.08, 0.24, 0.57, 0.69, 0.71, 0.73], AUDIO_3_AND_COX, SOFT),
    Entry::published("carpet, heavy, latex backed, on felt or foam", [0.08, 0.27, 0.39, 0.34, 0.48, 0.63], AUDIO_3_AND_COX, SOFT),
    Entry::published("carpet, thin", [0.01, 0.05, 0.10, 0.20, 0.45, 0.65], AUDIO_29, SOFT),
    Entry::published("carpet, loop pile, no underlay", [0.04, 0.08, 0.17, 0.33, 0.59, 0.75], COX, SOFT)
        .noted("1.4 kg/m²"),
    // Cloth
    Entry::published("velour, light, flat on wall", [0.03, 0.04, 0.11, 0.17, 0.24, 0.35], AUDIO_3_AND_GENERAL, SOFT)
        .noted("0.34 kg/m²"),
    Entry::published("velour, medium, draped to half area", [0.07, 0.31, 0.49, 0.75, 0.70, 0.60], AUDIO_3_AND_COX, FOLDED)
        .noted("0.48 kg/m²"),
    Entry::published("velour, heavy, draped to half area", [0.14, 0.35, 0.55, 0.72, 0.70, 0.65], AUDIO_3_AND_GENERAL, FOLDED)
        .noted("0.61 kg/m²"),
    Entry::published("curtains in folds against wall", [0.05, 0.15, 0.35, 0.40, 0.50, 0.50], COX, FOLDED),
    // Furniture and people
    Entry::published("sofa, upholstered", [0.49, 0.66, 0.80, 0.88, 0.82, 0.70], SEATS, UPHOLSTERED).spread(SOFA_FACES).noted(SOFA),
    Entry::published("sofa, leather", [0.44, 0.54, 0.60, 0.62, 0.58, 0.50], LEATHER_SEATS, UPHOLSTERED).spread(SOFA_FACES).noted(SOFA),
    Entry::published("armchair, upholstered", [0.49, 0.66, 0.80, 0.88, 0.82, 0.70], SEATS, UPHOLSTERED).spread(ARMCHAIR_FACES)
        .noted("for a box of about 0.85 by 0.85 m, 0.45 m high"),
    Entry::published("person, seated", [0.16, 0.24, 0.56, 0.69, 0.81, 0.78], AUDIENCE, UPHOLSTERED).spread(PERSON_FACES)
        .noted("for a box of 0.5 by 0.5 m, 1.2 m high, chair and all"),
    Entry::published("bed, made", [0.30, 0.50, 0.65, 0.70, 0.75, 0.75], NO_TABLE, UPHOLSTERED),
    Entry::published("bookshelf, filled", [0.30, 0.40, 0.40, 0.30, 0.30, 0.20], BOOKS, UNEVEN).noted("the exact figures are not certain"),
    Entry::published("bookshelf, half filled", [0.25, 0.30, 0.30, 0.25, 0.25, 0.20], NO_TABLE, GAPPED),
    Entry::published("mixing desk", [0.08, 0.08, 0.06, 0.05, 0.06, 0.08], NO_TABLE, UNEVEN)
        .noted("a panel of knobs and faders, of metal"),
    // Tiles and boards that absorb
    Entry::published("acoustical tile 19 mm, cemented", [0.09, 0.28, 0.78, 0.84, 0.73, 0.64], EVEREST, SOFT),
    Entry::published("wood-fibre ceiling tile", [0.15, 0.40, 0.70, 0.80, 0.80, 0.80], AUDIO_29, SOFT),
    Entry::published("glass-fibre ceiling board 25 mm, cloth faced", [0.07, 0.24, 0.66, 0.95, 0.99, 0.95], BARRON, SOFT),
    Entry::published("glass-fibre mat 25 mm", [0.10, 0.30, 0.55, 0.65, 0.75, 0.80], AUDIO_29, SOFT).noted("80 kg/m³"),
    Entry::published("glass-fibre mat 50 mm", [0.20, 0.45, 0.70, 0.80, 0.80, 0.80], AUDIO_29, SOFT).noted("80 kg/m³"),
    Entry::published("glass-fibre board 50 mm", [0.22, 0.82, 0.99, 0.99, 0.99, 0.99], LIST_PAGE, SOFT)
        .noted("48 kg/m³; the raw laboratory data exceed 1; the list holds them at 0.99"),
    Entry::published("rock wool 50 mm", [0.22, 0.60, 0.92, 0.90, 0.88, 0.88], VORLAENDER, SOFT).and_8k(0.88)
        .noted("80 kg/m³"),
    Entry::published("light mineral wool 50 mm", [0.15, 0.60, 0.90, 0.90, 0.90, 0.85], REPRINT, SOFT).noted(UNSURE),
    Entry::published("light mineral wool 50 mm, 300 mm air behind", [0.40, 0.85, 1.0, 0.85, 1.0, 0.95], REPRINT, SOFT).noted(UNSURE),
    Entry::published("light mineral wool 100 mm", [0.35, 0.90, 1.0, 1.0, 1.0, 1.0], REPRINT, SOFT).noted(UNSURE),
    Entry::published("sprayed cellulose 25 mm, solid back", [0.08, 0.29, 0.75, 0.98, 0.93, 0.76], BARRON, SOFT),
    // Computed from their physics, with their full dependence on the angle
    Entry::porous("mineral wool 50 mm", 50.0, 12_000.0, 0.0),
    Entry::porous("mineral wool 50 mm, 50 mm gap", 50.0, 12_000.0, 50.0),
    Entry::porous("mineral wool 100 mm", 100.0, 12_000.0, 0.0),
    Entry::porous("mineral wool 100 mm, 100 mm gap", 100.0, 12_000.0, 100.0),
    Entry::porous("mineral wool 200 mm", 200.0, 8_000.0, 0.0),
    Entry::porous("dense mineral wool 50 mm", 50.0, 30_000.0, 0.0),
    Entry::porous("dense mineral wool 50 mm, 100 mm gap", 50.0, 30_000.0, 100.0),
    Entry::porous("open-cell foam 50 mm", 50.0, 10_000.0, 0.0),
    Entry::porous("open-cell foam 100 mm", 100.0, 10_000.0, 0.0),
    Entry::porous("curtain, light, 100 mm before wall", 1.0, 150_000.0, 100.0).noted(CLOTH),
    Entry::porous("curtain, light, 200 mm before wall", 1.0, 150_000.0, 200.0).noted(CLOTH),
    Entry::porous("curtain, heavy, 50 mm before wall", 2.0, 300_000.0, 50.0).noted(CLOTH),
    Entry::porous("curtain, heavy, 100 mm before wall", 2.0, 300_000.0, 100.0).noted(CLOTH),
    Entry::porous("curtain, heavy, 200 mm before wall", 2.0, 300_000.0, 200.0).noted(CLOTH),
    // By definition
    Entry::defined("rigid", 0.0, "reflects everything; for teaching and checks"),
    Entry::defined("open window", 1.0, "absorbs everything, Sabine's unit; for teaching and checks"),
];
