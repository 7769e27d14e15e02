//! What might be tried where a reflection bounces.

use super::TraceReport;
use super::reflections::spot;
use crate::format::labels;
use earline_engine::geometry::{BoxSide, FaceId};
use earline_engine::image_source::Bounce;
use earline_engine::scene::{Scene, Surface, Units};

/// Bounces about which the same might be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum BounceKind {
    /// Left and right wall, bare.
    SideWalls,
    /// Another bare surface of the room.
    Bare(Surface),
    /// A panel that is already there.
    Panel(String),
    /// A screen.
    Screen(String),
    /// The top of a piece of furniture.
    Top(String),
    /// Another side of a piece of furniture.
    Side(String),
    /// A speaker cabinet.
    Cabinet(String),
}

impl BounceKind {
    pub(super) fn of(scene: &Scene, bounce: &Bounce) -> Self {
        let name = labels::spoken(scene, bounce);
        match bounce.face {
            FaceId::Surface(_) if bounce.panel.is_some() => Self::Panel(name),
            FaceId::Surface(Surface::Left | Surface::Right) => Self::SideWalls,
            FaceId::Surface(surface) => Self::Bare(surface),
            FaceId::Screen { .. } => Self::Screen(name),
            FaceId::Furniture { side: BoxSide::Top, .. } => Self::Top(name),
            FaceId::Furniture { .. } => Self::Side(name),
            FaceId::Cabinet { .. } => Self::Cabinet(name),
        }
    }

    /// What a person calls it.
    pub(super) fn title(&self) -> String {
        match self {
            Self::SideWalls => "Side walls".to_owned(),
            Self::Bare(surface) if surface.axis() == 2 => capital(surface.name()),
            Self::Bare(surface) => format!("{} wall", capital(surface.name())),
            Self::Panel(name)
            | Self::Screen(name)
            | Self::Top(name)
            | Self::Side(name)
            | Self::Cabinet(name) => capital(name),
        }
    }
}

/// So many spots are listed one by one; the list of reflections has them all.
const SPOTS_LISTED: usize = 4;

/// A thing to try, in a sentence or two; `bounces` come with their numbers, the strongest first.
pub(super) fn remedy(
    report: &TraceReport<'_>,
    kind: &BounceKind,
    bounces: &[(usize, &Bounce)],
) -> String {
    let absorber = absorber(report.units());
    let where_to = spots(report, bounces);
    match kind {
        BounceKind::SideWalls => format!("{absorber}, centred {where_to}."),
        BounceKind::Bare(Surface::Front) => format!(
            "{absorber}, centred {where_to}; or the speakers nearer that wall, which moves the \
             comb up."
        ),
        BounceKind::Bare(Surface::Back) => {
            format!("{absorber}, centred {where_to}; or the seat farther from that wall.")
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
        BounceKind::Panel(_) => format!(
            "it already lands on treatment; a deeper one, or a gap behind it, would take more, \
             around {where_to}."
        ),
        BounceKind::Screen(_) => "turn it a little, or shift it off this path.".to_owned(),
        BounceKind::Top(_) => {
            "try to lower or tilt it, to raise the speakers or bring them nearer its \
                         edge, or to sit closer or farther off."
                .to_owned()
        }
        BounceKind::Cabinet(_) => "try to turn or shift that speaker a little.".to_owned(),
        BounceKind::Side(_) => {
            "try to turn or shift it, or hang something soft over that side.".to_owned()
        }
    }
}

fn spots(report: &TraceReport<'_>, bounces: &[(usize, &Bounce)]) -> String {
    let numbered_spot = |&(number, bounce): &(usize, &Bounce)| {
        let wall = match bounce.face {
            FaceId::Surface(surface) if surface.axis() == 1 && bounce.panel.is_none() => {
                format!("on the {} wall ", surface.name())
            }
            _ => String::new(),
        };
        format!("{wall}{} (no. {number})", spot(bounce, report.units()))
    };
    let mut in_order = bounces.to_vec();
    in_order.truncate(SPOTS_LISTED);
    in_order.sort_by_key(|(number, _)| *number);
    let mut text = in_order.iter().map(numbered_spot).collect::<Vec<_>>().join("; ");
    if SPOTS_LISTED < bounces.len() {
        text += "; and the other spots in the list";
    }
    text
}

fn absorber(units: Units) -> &'static str {
    match units {
        Units::Metric => "an absorber about 1.2 m by 0.6 m and 100 mm or more deep",
        Units::Imperial => "an absorber about 4 ft by 2 ft and 4 in or more deep",
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
