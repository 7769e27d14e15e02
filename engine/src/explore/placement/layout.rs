//! A layout as six numbers, taken from a scene and put into one.

use crate::analysis::setting_out::triangle_depth_m;
use crate::scene::{ListenerId, Scene, SpeakerId};
use glam::DVec3;

/// A pair of speakers and a seat, symmetric about a line down the room. All in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// The seat from the front wall.
    pub seat_m: f64,
    /// Between the two reference points.
    pub base_m: f64,
    /// The reference points from the front wall.
    pub speaker_distance_m: f64,
    /// The reference points above the floor.
    pub speaker_height_m: f64,
    /// Distance of the crossing of the axes behind the seat.
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
    /// [`Layout::speaker_distance_m`].
    Front,
    /// [`Layout::speaker_height_m`].
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
    pub fn of(scene: &Scene, [left, right]: [SpeakerId; 2], seat: ListenerId) -> Option<Self> {
        let [left, right] = [scene.speaker(left)?, scene.speaker(right)?];
        let seat = scene.listener(seat)?.at;
        let middle = left.at.midpoint(right.at);
        let mut layout = Self {
            seat_m: seat.x,
            base_m: left.at.distance(right.at),
            speaker_distance_m: middle.x,
            speaker_height_m: middle.z,
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
            Parameter::Front => self.speaker_distance_m,
            Parameter::Up => self.speaker_height_m,
            Parameter::Converge => self.converge_m,
            Parameter::Axis => self.axis_m,
        }
    }

    /// Sets a parameter, metres.
    pub fn set(&mut self, parameter: Parameter, metres: f64) {
        *match parameter {
            Parameter::Seat => &mut self.seat_m,
            Parameter::Base => &mut self.base_m,
            Parameter::Front => &mut self.speaker_distance_m,
            Parameter::Up => &mut self.speaker_height_m,
            Parameter::Converge => &mut self.converge_m,
            Parameter::Axis => &mut self.axis_m,
        } = metres;
    }

    /// Moves the speakers so that they and the point where their axes cross make an equilateral
    /// triangle.
    pub fn close_triangle(&mut self) {
        self.speaker_distance_m = self.seat_m + self.converge_m - triangle_depth_m(self.base_m);
    }

    /// Error of the triangle whose apex is the crossing of the axes: its side less its base, metres; zero
    /// when equilateral.
    pub fn triangle_error_m(&self) -> f64 {
        let deep_m = self.seat_m + self.converge_m - self.speaker_distance_m;
        deep_m.hypot(0.5 * self.base_m) - self.base_m
    }

    /// Largest distance of pair and seat from the symmetric layout, metres: zero for a scene that is
    /// symmetric about the pair's own line.
    pub fn off_m(
        &self,
        scene: &Scene,
        [left, right]: [SpeakerId; 2],
        seat: ListenerId,
    ) -> Option<f64> {
        let place = |x: f64, side: f64, z: f64| DVec3::new(x, self.axis_m + side * self.base_m, z);
        let [left, right] = [scene.speaker(left)?.at, scene.speaker(right)?.at];
        let seat = scene.listener(seat)?.at;
        let off = [
            left.distance(place(self.speaker_distance_m, -0.5, self.speaker_height_m)),
            right.distance(place(self.speaker_distance_m, 0.5, self.speaker_height_m)),
            seat.distance(place(self.seat_m, 0.0, seat.z)),
        ];
        Some(off.into_iter().fold(0.0, f64::max))
    }
}
