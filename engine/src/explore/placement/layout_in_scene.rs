//! Scenes edited to have a layout.

use super::collision::first_collision;
use super::layout::Layout;
use super::plan::PlacementPlan;
use crate::scene::{Aim, Attachments, Scene};
use glam::DVec3;

impl Layout {
    /// The scene with this layout in it, read again with every rule.
    ///
    /// # Errors
    /// Why it cannot be: a rule of scene files, a keep-out, or something in the way.
    pub fn in_scene(
        &self,
        scene: &Scene,
        attachments: &dyn Attachments,
        plan: &PlacementPlan<'_>,
    ) -> Result<Scene, String> {
        let mut edit = scene.edit();
        let seat = scene.listener(plan.seat()).map_or(DVec3::ZERO, |seat| seat.at);
        let shift = DVec3::new(self.seat_m, self.axis_m, 0.0) - seat.with_z(0.0);
        let listeners = edit.listeners_mut();
        for &id in &plan.listeners {
            if let Some(listener) = listeners.get_mut(id.index()) {
                listener.at = written(listener.at + shift);
                listener.faces = listener.faces.map(|point| written(point + shift));
            }
        }
        for &index in &plan.moving_furniture {
            if let Some(piece) = edit.furniture_mut().get_mut(index) {
                piece.corner = written(piece.corner + shift);
            }
        }
        let cross = DVec3::new(self.seat_m + self.converge_m, self.axis_m, self.speaker_height_m);
        for (id, side) in plan.pair.into_iter().zip([-0.5, 0.5]) {
            let Some(speaker) = edit.speakers_mut().get_mut(id.index()) else { continue };
            let at = DVec3::new(
                self.speaker_distance_m,
                self.axis_m + side * self.base_m,
                self.speaker_height_m,
            );
            speaker.at = written(at);
            speaker.aim = Aim::Point(written(cross));
        }
        let parsed = edit.validate_or_message(attachments)?;
        // Worth a look in a scene someone wrote; a search has no business there.
        let barred = ["scene::inside-furniture", "scene::cabinet-in-wall"];
        if let Some(found) = parsed.warnings.into_iter().find(|found| barred.contains(&found.code))
        {
            return Err(found.message);
        }
        first_collision(&parsed.scene, plan).map_or(Ok(parsed.scene), Err)
    }
}

/// A place as a file has it: to a thousandth of a millimetre, so that its text is short.
fn written(place: DVec3) -> DVec3 {
    (place * 1e6).round() / 1e6
}
