//! Cautions for what hangs on walls and overhead.

use crate::content::treatment::{TreatmentView, weight};
use earline_engine::explore::treatment::Weight;
use earline_engine::medium::materials::SurfaceModel;
use earline_engine::scene::Surface;

/// From this weight on a piece counts as heavy, kilograms: our choice.
const HEAVY_KG: f64 = 10.0;

/// The same for a sheet to hang from, beginning with what each piece weighs.
pub(crate) fn on_sheet(view: &TreatmentView<'_>) -> Vec<String> {
    let offers = view.bought().into_iter().filter_map(|i| view.treatment.products.all.get(i));
    let weights = offers.map(|o| format!("{}: {}.", o.name, weight(o.weight, view.units())));
    weights.chain(cautions(view)).collect()
}

/// What to take care of with these pieces. Common practice and published facts, never a
/// replacement for local codes.
pub(crate) fn cautions(view: &TreatmentView<'_>) -> Vec<String> {
    let mut all = Vec::new();
    if hangs_overhead(view) {
        all.push(OVERHEAD.to_owned());
    }
    all.extend(heavy(view));
    all.push(WALLS.to_owned());
    all.push(FIRE.to_owned());
    if is_porous(view) {
        all.push(FIBRES.to_owned());
    }
    all.push(CODES.to_owned());
    all
}

/// The same for an answer on one screen.
pub(crate) fn cautions_in_brief(view: &TreatmentView<'_>) -> Vec<String> {
    let mut all = Vec::new();
    if hangs_overhead(view) {
        all.push(OVERHEAD_IN_BRIEF.to_owned());
    }
    all.extend(heavy(view));
    let fibres = if is_porous(view) { FIBRES_IN_BRIEF } else { "" };
    all.push(format!("{WALLS_IN_BRIEF}{fibres}"));
    all.push(CODES_IN_BRIEF.to_owned());
    all
}

fn hangs_overhead(view: &TreatmentView<'_>) -> bool {
    view.pieces().any(|(_, piece)| piece.on == Surface::Ceiling)
}

fn is_porous(view: &TreatmentView<'_>) -> bool {
    view.pieces().any(|(_, piece)| {
        view.offer(piece)
            .is_some_and(|o| matches!(o.material.surface_model, SurfaceModel::Porous(_)))
    })
}

/// The heavy pieces by name, and how to lift and fix them.
fn heavy(view: &TreatmentView<'_>) -> Option<String> {
    let heavy: Vec<String> = view
        .bought()
        .into_iter()
        .filter_map(|index| view.treatment.products.all.get(index))
        .filter(|offer| offer.weight.kg().is_none_or(|kg| kg >= HEAVY_KG))
        .map(|offer| match offer.weight {
            Weight::Unknown => format!("{}, of unknown weight", offer.name),
            known => format!("{}, {}", offer.name, weight(known, view.units())),
        })
        .collect();
    (!heavy.is_empty()).then(|| format!("Heavy: {}. {HEAVY}", heavy.join("; ")))
}

/// The same for what a scene has, where nothing is known of weights.
pub(crate) fn for_room(overhead: bool, hangs: bool, porous: bool) -> Vec<String> {
    let chosen =
        [(overhead, OVERHEAD), (hangs, WALLS), (hangs, FIRE), (porous, FIBRES), (true, CODES)];
    chosen.into_iter().filter(|(is_so, _)| *is_so).map(|(_, text)| text.to_owned()).collect()
}

/// The same in a sentence or two, for an answer on one screen.
pub(crate) const IN_BRIEF: &str = "What hangs needs fixings rated for its load, overhead a second tie, and a fire class; local codes and a \
     licensed tradesperson have the last word.";

/// What to take care of when speakers are moved, in a sentence.
pub(crate) const MOVING: &str =
    "Lift cabinets with two people; stands tip: weigh the foot down or strap it.";

const OVERHEAD: &str = "Overhead: load-rated hardware only, anchored in the structure (never in plasterboard \
    alone), for at least five times the weight (trade article; 7 to 10 is common practice), locked \
    fasteners and an independent safety tie; extra care over seats. Have a qualified installer do it \
    or check it.";
const OVERHEAD_IN_BRIEF: &str = "Overhead: load-rated hardware in the structure for five times the weight, and a \
    second, separate tie; have a qualified installer do it or check it.";
const HEAVY: &str = "Two people, and fixings into studs or masonry (common practice).";
const WALLS: &str = "Do not cover heaters, vents, sprinklers, exits, detectors or light fittings; look for \
    pipes and cables before drilling. Mark such places with [[keep_clear]].";
const WALLS_IN_BRIEF: &str = "Keep heaters, vents, sprinklers, exits, detectors, lights clear; look for pipes and \
    cables before drilling.";
const FIRE: &str = "Ask for the reaction-to-fire class of board and cloth (EN 13501-1, or ASTM E84); untreated \
    polyurethane foam burns fast with toxic smoke: only with a class.";
const FIBRES: &str = "Mineral and glass wool itch: gloves, long sleeves, eye protection overhead, a dust mask for \
    cutting, and keep the wool wrapped in cloth. Insulation wools are not classifiable as \
    carcinogenic (IARC group 3, 2002).";
const FIBRES_IN_BRIEF: &str = " Wool: gloves, mask.";
const CODES_IN_BRIEF: &str = "Ask for the fire class of board and cloth (EN 13501-1, ASTM E84). Local building and fire \
    codes and a licensed tradesperson have the last word.";
const CODES: &str =
    "Local building and fire codes, your landlord and a licensed tradesperson have the last word.";
