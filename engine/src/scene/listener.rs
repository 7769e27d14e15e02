//! The listener's head: its position, orientation and directions as seen from it.

use glam::DVec3;

/// A listener's head.
#[derive(Debug, Clone, PartialEq)]
pub struct Listener {
    /// Its name.
    pub name: String,
    /// Middle of the head at ear height.
    pub at: DVec3,
    /// The point faced; `None` is straight at the front wall.
    pub faces: Option<DVec3>,
}

impl Listener {
    /// Unit vectors straight ahead, to the listener's left, and upward through the head.
    pub fn frame(&self) -> [DVec3; 3] {
        let ahead =
            self.faces.map_or(DVec3::NEG_X, |point| (point - self.at).normalize_or(DVec3::NEG_X));
        let left = DVec3::Z.cross(ahead).normalize_or(DVec3::NEG_Y);
        [ahead, left, ahead.cross(left)]
    }

    /// Direction of a unit vector from the head, degrees: azimuth, 0 straight ahead and positive to the
    /// left, and elevation, positive upward (the convention of ITU-R BS.2076).
    pub fn direction_deg(&self, toward: DVec3) -> [f64; 2] {
        let [ahead, left, up] = self.frame();
        let azimuth = toward.dot(left).atan2(toward.dot(ahead));
        let elevation = toward.dot(up).clamp(-1.0, 1.0).asin();
        [azimuth.to_degrees(), elevation.to_degrees()]
    }
}
