//! Seated and standing position of the ears.

use crate::analysis::setting_out::{HEAD_ABOVE_EARS_M, standing_ears_m};
use crate::scene::{ListenerId, Scene};
use glam::DVec3;

/// One height of ears at the seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarPosition {
    /// The listener it is of; `None` where the scene has none there and the height comes from
    /// published body measurements ([`standing_ears_m`]).
    pub listener: Option<ListenerId>,
    /// Middle of the head, metres.
    pub at: DVec3,
}

/// Heads whose places on the floor are closer than this are at one seat, metres.
const SAME_SEAT_M: f64 = 0.1;
/// Ears less than this apart are at one height, metres.
const SAME_HEIGHT_M: f64 = 0.05;

/// The lowest and the highest ears at the seat of the first of these listeners. Where all are at one
/// height the standing ones are those of published body measurements; `None` where these are no
/// higher, or the ceiling leaves no room for them.
pub fn ear_positions(scene: &Scene, listeners: &[ListenerId]) -> Option<[EarPosition; 2]> {
    let ears = |&id: &ListenerId| {
        let at = scene.listener(id)?.at;
        Some(EarPosition { listener: Some(id), at })
    };
    let seat = listeners.iter().find_map(ears)?.at;
    let here = || {
        listeners.iter().filter_map(ears).filter(|ears| {
            let apart = ears.at - seat;
            apart.x.hypot(apart.y) < SAME_SEAT_M
        })
    };
    let lowest = here().min_by(|a, b| a.at.z.total_cmp(&b.at.z))?;
    let highest = here().max_by(|a, b| a.at.z.total_cmp(&b.at.z))?;
    if SAME_HEIGHT_M <= highest.at.z - lowest.at.z {
        return Some([lowest, highest]);
    }
    let up_m = standing_ears_m();
    let fits = up_m + HEAD_ABOVE_EARS_M <= scene.room().height_m;
    (fits && lowest.at.z + SAME_HEIGHT_M <= up_m)
        .then(|| [lowest, EarPosition { listener: None, at: lowest.at.with_z(up_m) }])
}
