//! Movement of the head into the apex of a pair's triangle.

use crate::scene::Listener;
use glam::{DVec2, DVec3};

/// A move of the head at its own height, from a seat into the apex of a pair's equilateral triangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// The apex at the height of the ears, metres.
    pub apex: DVec3,
    /// Component straight ahead of the listener, metres; negative is back.
    pub forward_m: f64,
    /// Component to the listener's left, metres; negative is right.
    pub left_m: f64,
}

/// Reach of a lean without moving the chair, metres (common practice).
pub const LEAN_REACH_M: f64 = 0.3;

impl Lean {
    /// Into the point at ear height that is as far from either speaker as the two are from each
    /// other, on the listener's side; `None` where the ears are too far above or below for there to
    /// be one.
    pub(super) fn into(listener: &Listener, [left, right]: [DVec3; 2]) -> Option<Self> {
        let apex = apex(listener.at, left, right)?;
        let shift = apex - listener.at;
        let [ahead, aside, _] = listener.frame();
        // Along the floor, whichever way up or down the listener looks.
        let level = |way: DVec3| DVec3::new(way.x, way.y, 0.0).normalize_or_zero();
        Some(Self { apex, forward_m: shift.dot(level(ahead)), left_m: shift.dot(level(aside)) })
    }

    /// Its length, metres.
    pub fn distance_m(&self) -> f64 {
        self.forward_m.hypot(self.left_m)
    }

    /// Whether it is possible without moving the chair.
    pub fn is_within_reach(&self) -> bool {
        self.distance_m() <= LEAN_REACH_M
    }
}

/// Intersection of two circles around the speakers at the height of the ears, on the ears' side.
fn apex(ears: DVec3, left: DVec3, right: DVec3) -> Option<DVec3> {
    let base_m = left.distance(right);
    let radius2 = |speaker: DVec3| base_m.powi(2) - (ears.z - speaker.z).powi(2);
    let (from, to) = (DVec2::new(left.x, left.y), DVec2::new(right.x, right.y));
    let apart = from.distance(to);
    let along = (to - from).normalize_or_zero();
    if apart < 1e-6 {
        return None;
    }
    let (left2, right2) = (radius2(left), radius2(right));
    let foot = (left2 - right2 + apart.powi(2)) / (2.0 * apart);
    let aside2 = left2 - foot.powi(2);
    if aside2 < 0.0 {
        return None;
    }
    let middle = from + along * foot;
    let toward = along.perp() * (DVec2::new(ears.x, ears.y) - middle).dot(along.perp()).signum();
    let point = middle + toward * aside2.sqrt();
    Some(DVec3::new(point.x, point.y, ears.z))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a missing apex fails the test")]

    use super::*;

    fn head(x: f64, y: f64, z: f64) -> Listener {
        Listener { name: "chair".into(), at: DVec3::new(x, y, z), faces: None }
    }

    /// Speakers 2 m apart, 1 m from the front wall: the apex is √3 m behind them.
    #[test]
    fn a_lean_ends_where_all_sides_are_alike() {
        let pair = [DVec3::new(1.0, 1.0, 1.2), DVec3::new(1.0, 3.0, 1.2)];
        let lean = Lean::into(&head(2.9, 2.05, 1.2), pair).unwrap();
        assert!((lean.apex.x - (1.0 + 3.0_f64.sqrt())).abs() < 1e-12);
        assert!((lean.forward_m - (2.9 - lean.apex.x)).abs() < 1e-12);
        assert!((lean.left_m - 0.05).abs() < 1e-12);
        assert!(lean.is_within_reach());
        assert!(!Lean::into(&head(3.2, 2.0, 1.2), pair).unwrap().is_within_reach());
    }

    /// Ears above uneven speakers: the apex is as far from each as they are from each other.
    #[test]
    fn heights_are_part_of_the_sides() {
        let pair = [DVec3::new(0.8, 1.0, 1.0), DVec3::new(0.9, 2.8, 1.3)];
        let base = pair[0].distance(pair[1]);
        let lean = Lean::into(&head(2.5, 2.0, 1.6), pair).unwrap();
        for speaker in pair {
            assert!((lean.apex.distance(speaker) - base).abs() < 1e-12);
        }
        assert!((lean.apex.z - 1.6).abs() < 1e-12);
        assert!(Lean::into(&head(2.5, 2.0, 4.0), pair).is_none(), "too far above");
    }
}
