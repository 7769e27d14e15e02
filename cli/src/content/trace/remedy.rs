//! What might be tried where a reflection bounces.

use super::TraceReport;
use super::reflections::spot;
use crate::content::mirrored::MirroredRow;
use crate::content::numbering::Numbered;
use crate::format::{labels, length};
use earline_engine::analysis::zones::absorbs;
use earline_engine::geometry::{BoxSide, FaceId};
use earline_engine::image_source::Bounce;
use earline_engine::medium::materials::SurfaceModel;
use earline_engine::scene::{ListenerId, Scene, Surface, Units};

/// Bounces about which the same might be done.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum BounceKind {
    /// Left and right wall, bare.
    SideWalls,
    /// Another bare surface of the room, by its name.
    Bare(Surface),
    /// A panel of porous layers.
    PorousPanel(String),
    /// Another panel that absorbs.
    AbsorbingPanel(String),
    /// A panel that reflects: a window, a door.
    HardPanel(String),
    /// A screen.
    Screen(String),
    /// The top of a piece of furniture.
    Top(String),
    /// Another side of a piece of furniture.
    Side(String),
    /// A speaker cabinet.
    Cabinet(String),
}

/// A panel is treatment where it absorbs here, hertz: the middle of what is judged early.
const TREATS_AT_HZ: f64 = 2000.0;

impl BounceKind {
    pub(crate) fn of(scene: &Scene, bounce: &Bounce) -> Self {
        let name = labels::spoken(scene, bounce);
        match (bounce.face, bounce.panel) {
            (FaceId::Surface(_), Some(panel)) => Self::panel(scene, panel, name),
            (FaceId::Surface(Surface::Left | Surface::Right), None) => Self::SideWalls,
            (FaceId::Surface(surface), None) => Self::Bare(surface),
            (FaceId::Screen { .. }, _) => Self::Screen(name),
            (FaceId::Furniture { side: BoxSide::Top, .. }, _) => Self::Top(name),
            (FaceId::Furniture { .. }, _) => Self::Side(name),
            (FaceId::Cabinet { .. }, _) => Self::Cabinet(name),
        }
    }

    fn panel(scene: &Scene, panel: usize, name: String) -> Self {
        let material = scene.panels().get(panel).map(|panel| panel.material);
        let is_soft = material.is_some_and(|material| absorbs(scene, material, TREATS_AT_HZ));
        let build = material.and_then(|material| scene.materials().get(material));
        match build.map(|build| &build.surface_model) {
            _ if !is_soft => Self::HardPanel(name),
            Some(SurfaceModel::Porous(_)) => Self::PorousPanel(name),
            _ => Self::AbsorbingPanel(name),
        }
    }

    /// What a person calls it.
    pub(crate) fn title(&self) -> String {
        match self {
            Self::SideWalls => "side walls".to_owned(),
            Self::Bare(surface) => labels::surface(*surface),
            Self::PorousPanel(name)
            | Self::AbsorbingPanel(name)
            | Self::HardPanel(name)
            | Self::Screen(name)
            | Self::Top(name)
            | Self::Side(name)
            | Self::Cabinet(name) => name.clone(),
        }
    }
}

/// A thing to try, in a sentence or two; `rows` are of one seat and come the strongest first. A bare surface
/// is to be covered where its zone is; of other things the spots of so many are named.
pub(super) fn remedy(
    report: &TraceReport<'_>,
    kind: &BounceKind,
    (listener, rows): (ListenerId, &[&MirroredRow<'_>]),
    listed: usize,
) -> String {
    let where_to = match kind {
        BounceKind::SideWalls | BounceKind::Bare(_) => {
            let around =
                || format!("{} around {}", least(report.units()), spots(report, rows, listed));
            zone(report, listener, rows).unwrap_or_else(around)
        }
        _ => spots(report, rows, listed),
    };
    words(report.units(), kind, &where_to)
}

/// How far the zones of the surfaces that these rows bounce off first reach: `0.70 to 2.40 m from front wall,
/// 0.44 to 1.96 m up`, what mirrors as one. `None` where one of them has no zone, or a row is of
/// several bounces, which zones are not of.
fn zone(
    report: &TraceReport<'_>,
    listener: ListenerId,
    rows: &[&MirroredRow<'_>],
) -> Option<String> {
    let seat = report.zones.iter().find(|seat| seat.listener == listener)?;
    let mut surfaces: Vec<Surface> = Vec::new();
    for numbered in rows.iter().flat_map(|row| row.each()) {
        let [Bounce { face: FaceId::Surface(surface), .. }] =
            numbered.reflection.arrival.bounces.as_slice()
        else {
            return None;
        };
        if !surfaces.contains(surface) {
            surfaces.push(*surface);
        }
    }
    surfaces.sort_unstable();
    let reach = |surface: &Surface| {
        let zone = seat.surfaces.iter().find(|zone| zone.surface == *surface)?;
        let [low, high] = [zone.together.low_m, zone.together.high_m];
        Some(length::reach(*surface, low, high, report.units()))
    };
    let reached: Vec<String> = surfaces.iter().map(reach).collect::<Option<_>>()?;
    let (first, rest) = reached.split_first()?;
    if rest.iter().all(|other| other == first) {
        return Some(first.clone());
    }
    let named = surfaces
        .iter()
        .zip(&reached)
        .map(|(surface, reach)| format!("{reach} on the {}", labels::surface(*surface)));
    Some(named.collect::<Vec<_>>().join(", and "))
}

/// The same, to be done there.
pub(crate) fn words(units: Units, kind: &BounceKind, where_to: &str) -> String {
    let absorber = absorber(units);
    match kind {
        BounceKind::SideWalls => format!("{absorber} over {where_to}."),
        BounceKind::Bare(Surface::Front) => format!(
            "{absorber} over {where_to}; or the speakers nearer that wall, which moves the \
             comb up."
        ),
        BounceKind::Bare(Surface::Back) => {
            format!("{absorber} over {where_to}; or the seat farther from that wall.")
        }
        BounceKind::Bare(Surface::Ceiling) => format!(
            "{absorber}, hung to cover {where_to}. What hangs over heads needs rated hardware \
             fixed to the structure and a second, separate tie; local codes and a licensed \
             tradesperson have the last word."
        ),
        BounceKind::Bare(_) => format!(
            "a thick rug over felt, covering {where_to}. It helps mostly above 1 kHz, and many \
             good rooms live with this one."
        ),
        BounceKind::PorousPanel(_) => format!(
            "it already lands on treatment; a deeper panel, or a gap behind it, would absorb more, \
             around {where_to}."
        ),
        BounceKind::AbsorbingPanel(_) => {
            format!(
                "it already lands on treatment; {absorber} would absorb more, around {where_to}."
            )
        }
        BounceKind::HardPanel(_) => format!(
            "it reflects; try a heavy curtain in folds or a movable panel in front of it, around {where_to}."
        ),
        BounceKind::Screen(_) => "turn it a little, or shift it off this path.".to_owned(),
        BounceKind::Top(_) => {
            "lower or tilt it, raise the speakers or bring them nearer its edge, or sit closer or \
             farther off."
                .to_owned()
        }
        BounceKind::Cabinet(_) => "turn or shift that speaker a little.".to_owned(),
        BounceKind::Side(_) => {
            "turn or shift it, or hang something soft over that side.".to_owned()
        }
    }
}

/// Where the middle goes, of the strongest few.
fn spots(report: &TraceReport<'_>, rows: &[&MirroredRow<'_>], listed: usize) -> String {
    let mut in_order: Vec<&MirroredRow<'_>> = rows.iter().take(listed).copied().collect();
    in_order.sort_by_key(|row| row.first.number);
    let numbered = in_order.len() > 1;
    let one = |row: &&MirroredRow<'_>| {
        let place = row.both(|n| first_place(report, n));
        if numbered { format!("{place} (no. {})", row.numbers()) } else { place }
    };
    let mut text = in_order.iter().map(one).collect::<Vec<_>>().join("; ");
    if listed < rows.len() {
        text += "; more spots in the list";
    }
    text
}

/// The place of the first bounce.
fn first_place(report: &TraceReport<'_>, numbered: &Numbered<'_>) -> String {
    let first = numbered.reflection.arrival.bounces.first();
    first.map_or_else(String::new, |bounce| place(bounce, report.units()))
}

/// The place of a bounce; a side wall by its name.
pub(crate) fn place(bounce: &Bounce, units: Units) -> String {
    let wall = match bounce.face {
        FaceId::Surface(surface) if surface.axis() == 1 => {
            format!("on the {} wall ", surface.name())
        }
        _ => String::new(),
    };
    format!("{wall}{}", spot(bounce, units))
}

/// The size of a panel where no zone says more: common practice.
fn least(units: Units) -> &'static str {
    match units {
        Units::Metric => "1.2 m by 0.6 m or more",
        Units::Imperial => "4 ft by 2 ft or more",
    }
}

fn absorber(units: Units) -> &'static str {
    match units {
        Units::Metric => "an absorber 100 mm or more deep",
        Units::Imperial => "an absorber 4 in or more deep",
    }
}
