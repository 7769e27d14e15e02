//! A piece at its place.

use super::Product;
use crate::scene::{Room, Surface};
use glam::DVec3;

/// A piece at its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedAbsorber {
    /// What it is, by index in [`super::Products::all`].
    pub product: usize,
    /// The surface it is on, or hangs below.
    pub on: Surface,
    /// Its middle, in the surface's two tape coordinates, metres.
    pub centre_m: [f64; 2],
    /// Its size along these, metres.
    pub size_m: [f64; 2],
    /// How far below the ceiling its middle hangs, metres; `None`: flat on its surface.
    pub hang_m: Option<f64>,
}

/// The least and greatest tape coordinates of a rectangle, metres.
pub fn reach_m(centre_m: [f64; 2], size_m: [f64; 2]) -> [[f64; 2]; 2] {
    [-0.5, 0.5].map(|side| std::array::from_fn(|axis| centre_m[axis] + side * size_m[axis]))
}

/// A box along the room's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AxisBox {
    pub(super) low: DVec3,
    pub(super) high: DVec3,
}

/// What touches does not overlap, metres.
const TOUCH_M: f64 = 1e-6;

impl PlacedAbsorber {
    /// The space it takes.
    pub(super) fn block(&self, room: &Room, product: &Product) -> AxisBox {
        match self.hang_m {
            Some(hang_m) => {
                let middle = room.height_m - hang_m;
                let mut block = AxisBox::on(room, self.on, self.centre_m, self.size_m, 0.0);
                block.low.z = middle - product.depth_m / 2.0;
                block.high.z = (middle + product.depth_m / 2.0).min(room.height_m);
                block
            }
            None => AxisBox::on(room, self.on, self.centre_m, self.size_m, product.depth_m),
        }
    }

    /// Its mirror image in the plane half-way between left and right wall.
    pub(super) fn mirrored(&self, room: &Room) -> Self {
        let mut twin = self.clone();
        match self.on {
            Surface::Left => twin.on = Surface::Right,
            Surface::Right => twin.on = Surface::Left,
            _ => {}
        }
        if let Some(axis) = across(self.on) {
            twin.centre_m[axis] = tidy(room.width_m - self.centre_m[axis]);
        }
        twin
    }

    /// Whether it shares part of its surface with a rectangle on it.
    pub(super) fn covers(&self, on: Surface, centre_m: [f64; 2], size_m: [f64; 2]) -> bool {
        let apart = |axis: usize| (self.centre_m[axis] - centre_m[axis]).abs();
        let sum = |axis: usize| f64::midpoint(self.size_m[axis], size_m[axis]);
        self.on == on && (0..2).all(|axis| apart(axis) + TOUCH_M < sum(axis))
    }
}

/// A length without the dust of its arithmetic: to a micrometre.
pub(super) fn tidy(metres: f64) -> f64 {
    (metres * 1e6).round() / 1e6
}

/// Which of a surface's tape coordinates runs from left to right, if one does.
pub(super) fn across(on: Surface) -> Option<usize> {
    on.tape_axes().into_iter().position(|axis| axis == 1)
}

impl AxisBox {
    /// A rectangle of a surface, so deep into the room.
    pub(super) fn on(
        room: &Room,
        on: Surface,
        centre_m: [f64; 2],
        size_m: [f64; 2],
        depth_m: f64,
    ) -> Self {
        let [low_m, high_m] = reach_m(centre_m, size_m);
        let (mut low, mut high) = (DVec3::ZERO, DVec3::ZERO);
        for (index, axis) in on.tape_axes().into_iter().enumerate() {
            (low[axis], high[axis]) = (low_m[index], high_m[index]);
        }
        let length = room.size()[on.axis()];
        (low[on.axis()], high[on.axis()]) =
            if on.is_far() { (length - depth_m, length) } else { (0.0, depth_m) };
        Self { low, high }
    }

    /// The box around points, larger by a margin on all sides.
    pub(super) fn around(points: &[DVec3], margin_m: f64) -> Self {
        let low = points.iter().copied().fold(DVec3::INFINITY, DVec3::min);
        let high = points.iter().copied().fold(DVec3::NEG_INFINITY, DVec3::max);
        Self { low: low - margin_m, high: high + margin_m }
    }

    /// Whether the two share space.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        (self.low + TOUCH_M).cmplt(other.high).all() && (other.low + TOUCH_M).cmplt(self.high).all()
    }
}
