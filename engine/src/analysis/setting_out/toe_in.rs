//! Toe-in of a cabinet, as an angle and as offsets that a tape can read.

use crate::scene::{Scene, Speaker, SpeakerId};
use glam::DVec2;

/// Orientation of a speaker.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToeIn {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Turn of its axis from straight at the back wall, seen from above, degrees: positive toward the
    /// room's centre line, and toward the right for a speaker that stands on it.
    pub toe_in_deg: f64,
    /// Tilt of its axis, degrees, positive upward.
    pub tilt_deg: f64,
    /// Distance from the front wall of the cabinet's outer front edge less that of its inner one,
    /// metres: width times the sine of the turn. `None` without a cabinet.
    pub front_edges_m: Option<f64>,
    /// Distance from the side wall of a side's front edge less that of its back edge, metres: depth
    /// times the sine of the turn. `None` without a cabinet.
    pub side_edges_m: Option<f64>,
}

impl ToeIn {
    pub(super) fn of(scene: &Scene, id: SpeakerId, speaker: &Speaker) -> Self {
        let axis = DVec2::new(speaker.axis.x, speaker.axis.y);
        // A speaker right of the centre line turns in toward the left.
        let middle_m = 0.5 * scene.room().width_m;
        let inward = if middle_m < speaker.at.y { -axis.y } else { axis.y };
        // Straight up or down it is turned nowhere.
        let toe_in = if axis.length() < 1e-9 { 0.0 } else { inward.atan2(axis.x) };
        let offset = |side_m: f64| side_m * toe_in.sin();
        let cabinet = speaker.cabinet();
        Self {
            speaker: id,
            toe_in_deg: toe_in.to_degrees(),
            tilt_deg: speaker.axis.z.clamp(-1.0, 1.0).asin().to_degrees(),
            front_edges_m: cabinet.map(|cabinet| offset(cabinet.width_m)),
            side_edges_m: cabinet.map(|cabinet| offset(cabinet.depth_m)),
        }
    }
}
