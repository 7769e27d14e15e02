//! A layout as six numbers, taken from a scene and put into one.

use super::PlacePlan;
use crate::scene::{Aim, Attachments, Scene, Severity};
use crate::setting_out::triangle_depth_m;
use glam::{DVec2, DVec3};

/// A pair of speakers and a seat, symmetric about a line down the room. All in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// The seat from the front wall.
    pub seat_m: f64,
    /// Between the two reference points.
    pub base_m: f64,
    /// The reference points from the front wall.
    pub front_m: f64,
    /// The reference points above the floor.
    pub up_m: f64,
    /// How far behind the seat the axes cross.
    pub converge_m: f64,
    /// The line of symmetry from the left wall.
    pub axis_m: f64,
}

/// One of the six.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Parameter {
    /// [`Layout::seat_m`].
    Seat,
    /// [`Layout::base_m`].
    Base,
    /// [`Layout::front_m`].
    Front,
    /// [`Layout::up_m`].
    Up,
    /// [`Layout::converge_m`].
    Converge,
    /// [`Layout::axis_m`].
    Axis,
}

/// All six, in the order of [`Layout`].
pub const PARAMETERS: [Parameter; 6] = [
    Parameter::Seat,
    Parameter::Base,
    Parameter::Front,
    Parameter::Up,
    Parameter::Converge,
    Parameter::Axis,
];

impl Layout {
    /// The layout that a scene has, as near as a symmetric one comes to it: means of left and right.
    pub fn of(scene: &Scene, [left, right]: [usize; 2], seat: usize) -> Option<Self> {
        let [left, right] = [scene.speakers().get(left)?, scene.speakers().get(right)?];
        let seat = scene.listeners().get(seat)?.at;
        let middle = left.at.midpoint(right.at);
        let mut layout = Self {
            seat_m: seat.x,
            base_m: left.at.distance(right.at),
            front_m: middle.x,
            up_m: middle.z,
            converge_m: 0.0,
            axis_m: middle.y,
        };
        // Where each axis crosses the line of symmetry.
        let crossing = |at: DVec3, axis: DVec3| {
            let steps = (layout.axis_m - at.y) / axis.y;
            (steps.is_finite() && 0.0 < steps).then_some(at.x + steps * axis.x - seat.x)
        };
        let crossings = [crossing(left.at, left.axis), crossing(right.at, right.axis)];
        if let [Some(a), Some(b)] = crossings {
            layout.converge_m = f64::midpoint(a, b);
        }
        Some(layout)
    }

    /// A parameter's value, metres.
    pub fn get(&self, parameter: Parameter) -> f64 {
        match parameter {
            Parameter::Seat => self.seat_m,
            Parameter::Base => self.base_m,
            Parameter::Front => self.front_m,
            Parameter::Up => self.up_m,
            Parameter::Converge => self.converge_m,
            Parameter::Axis => self.axis_m,
        }
    }

    /// Sets a parameter, metres.
    pub fn set(&mut self, parameter: Parameter, metres: f64) {
        *match parameter {
            Parameter::Seat => &mut self.seat_m,
            Parameter::Base => &mut self.base_m,
            Parameter::Front => &mut self.front_m,
            Parameter::Up => &mut self.up_m,
            Parameter::Converge => &mut self.converge_m,
            Parameter::Axis => &mut self.axis_m,
        } = metres;
    }

    /// Moves the speakers so that they and the point where their axes cross make an equilateral
    /// triangle.
    pub fn close_triangle(&mut self) {
        self.front_m = self.seat_m + self.converge_m - triangle_depth_m(self.base_m);
    }

    /// How far the triangle with its apex where the axes cross is from equilateral: the longer side
    /// over the base, metres; negative when it is shorter.
    pub fn triangle_error_m(&self) -> f64 {
        let deep_m = self.seat_m + self.converge_m - self.front_m;
        deep_m.hypot(0.5 * self.base_m) - self.base_m
    }

    /// The scene with this layout in it, read again with every rule.
    ///
    /// # Errors
    /// Why it cannot be: a rule of scene files, a keep-out, or something in the way.
    pub fn in_scene(
        &self,
        scene: &Scene,
        attachments: &dyn Attachments,
        plan: &PlacePlan<'_>,
    ) -> Result<Scene, String> {
        let mut draft = scene.draft();
        let seat = scene.listeners().get(plan.listeners.first().copied().unwrap_or(0));
        let seat = seat.map_or(DVec3::ZERO, |seat| seat.at);
        let shift = DVec3::new(self.seat_m, self.axis_m, 0.0) - seat.with_z(0.0);
        let listeners = draft.listeners_mut();
        for &index in &plan.listeners {
            if let Some(listener) = listeners.get_mut(index) {
                listener.at += shift;
                listener.faces = listener.faces.map(|point| point + shift);
            }
        }
        for &index in &plan.along {
            if let Some(piece) = draft.furniture_mut().get_mut(index) {
                piece.corner += shift;
            }
        }
        let cross = DVec3::new(self.seat_m + self.converge_m, self.axis_m, self.up_m);
        for (index, side) in plan.pair.into_iter().zip([-0.5, 0.5]) {
            let Some(speaker) = draft.speakers_mut().get_mut(index) else { continue };
            speaker.at = DVec3::new(self.front_m, self.axis_m + side * self.base_m, self.up_m);
            speaker.aim = Aim::Point(cross);
        }
        let parsed = draft.read(attachments).map_err(|problems| {
            let error = problems.into_iter().find(|problem| problem.severity == Severity::Error);
            error.map_or_else(String::new, |problem| problem.message)
        })?;
        // Worth a look in a scene someone wrote; a search has no business there.
        let barred = ["scene::inside-furniture", "scene::cabinet-in-wall"];
        if let Some(found) = parsed.warnings.into_iter().find(|found| barred.contains(&found.code))
        {
            return Err(found.message);
        }
        keep_out(&parsed.scene, plan).map_or(Ok(parsed.scene), Err)
    }
}

/// Furniture lower than this may be sat on, metres: a sofa, a chair.
const SEAT_TOP_M: f64 = 0.55;

/// What stands in the way of people and cabinets: keep-outs and furniture.
fn keep_out(scene: &Scene, plan: &PlacePlan<'_>) -> Option<String> {
    in_furniture(scene, plan).or_else(|| in_keep_out(scene, plan))
}

fn in_furniture(scene: &Scene, plan: &PlacePlan<'_>) -> Option<String> {
    for piece in scene.state(plan.variant)?.furniture {
        let block = piece.upright_box();
        let is_high = SEAT_TOP_M < block.middle.z + block.half.z;
        for &index in plan.listeners.iter().filter(|_| is_high) {
            let listener = scene.listeners().get(index)?;
            // Someone takes the room from the floor up to the head, wherever the piece has its top.
            if 0.0 < block.depth_m(listener.at.with_z(block.middle.z)) {
                return Some(format!("`{}` would sit in `{}`", listener.name, piece.name));
            }
        }
        for index in plan.pair {
            let speaker = scene.speakers().get(index)?;
            let overlap = speaker.cabinet_box().map(|cabinet| cabinet.overlap_m(&block));
            if overlap.is_some_and(|overlap_m| 0.001 < overlap_m) {
                return Some(format!("`{}` would stand in `{}`", speaker.name, piece.name));
            }
        }
    }
    None
}

fn in_keep_out(scene: &Scene, plan: &PlacePlan<'_>) -> Option<String> {
    for &index in &plan.listeners {
        let listener = scene.listeners().get(index)?;
        let place = [listener.at.x, listener.at.y];
        if let Some(found) = scene.keep_outs().iter().find(|keep| keep.holds(place)) {
            return Some(format!("`{}` would sit in `{}`", listener.name, found.name));
        }
    }
    for index in plan.pair {
        let speaker = scene.speakers().get(index)?;
        for corner in footprint(speaker) {
            let held = scene.keep_outs().iter().find(|keep| keep.holds(corner.to_array()));
            if let Some(found) = held {
                return Some(format!("`{}` would stand in `{}`", speaker.name, found.name));
            }
        }
    }
    None
}

/// Corners, edges and middle of a cabinet on the floor, close enough together that no keep-out of a
/// hand's breadth slips between; where nothing is known of the cabinet, its reference point.
fn footprint(speaker: &crate::scene::Speaker) -> Vec<DVec2> {
    let at = DVec2::new(speaker.at.x, speaker.at.y);
    let Some(cabinet) = speaker.cabinet() else { return vec![at] };
    let facing = DVec2::new(speaker.axis.x, speaker.axis.y).normalize_or(DVec2::X);
    let aside = facing.perp();
    let steps = |i: u32| f64::from(i) / 4.0;
    let point = |i: u32| {
        let (back, across) = (steps(i / 5), steps(i % 5) - 0.5);
        at - facing * cabinet.depth_m * back + aside * cabinet.width_m * across
    };
    (0..25).map(point).collect()
}
