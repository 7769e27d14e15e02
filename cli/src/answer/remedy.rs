//! What might be tried where a reflection bounces.

use super::Told;
use crate::{naming, tape};
use earline_engine::geometry::FaceId;
use earline_engine::image_sources::Bounce;
use earline_engine::scene::{Surface, Units};

/// A thing to try at a bounce, as one sentence or two.
pub(super) fn remedy(told: &Told<'_>, bounce: &Bounce) -> String {
    let name = naming::spoken(told.scene, bounce);
    match bounce.face {
        FaceId::Surface(surface) => {
            let spot = tape::spot(surface, bounce.point, told.units());
            if bounce.panel.is_some() {
                return format!(
                    "it already lands on {name}; a deeper one, or a gap behind it, would take more \
                     of it, around {spot}."
                );
            }
            on_surface(surface, &spot, absorber(told.units()))
        }
        FaceId::Screen { .. } => format!("turn {name} a little, or shift it off this path."),
        FaceId::Furniture { .. } => format!(
            "{name} sends it up to you; try to lower or tilt that piece, to raise the speaker or \
             bring it nearer the edge, or to sit elsewhere behind it."
        ),
    }
}

fn on_surface(surface: Surface, spot: &str, absorber: &str) -> String {
    match surface {
        Surface::Left | Surface::Right => {
            format!("{absorber} on the {} wall, centred {spot}.", surface.name())
        }
        Surface::Front => format!(
            "{absorber} on the front wall, centred {spot}; or the speaker nearer that wall, which \
             moves the comb up."
        ),
        Surface::Back => format!(
            "{absorber} on the back wall, centred {spot}; or the seat farther from that wall."
        ),
        Surface::Ceiling => format!(
            "{absorber} overhead, centred {spot}. What hangs over heads needs rated hardware fixed \
             to the structure and a second, separate tie; local codes and a licensed tradesperson \
             have the last word."
        ),
        Surface::Floor => format!(
            "a thick rug over felt, centred {spot}; it helps mostly above 1 kHz. Many good rooms \
             live with this one."
        ),
    }
}

fn absorber(units: Units) -> &'static str {
    match units {
        Units::Metric => "an absorber about 1.2 m by 0.6 m and 100 mm or more deep",
        Units::Imperial => "an absorber about 4 ft by 2 ft and 4 in or more deep",
    }
}
