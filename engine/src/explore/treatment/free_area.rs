//! Where there is room left: what stands, hangs or must stay free.

use super::Product;
use super::placed_absorber::{AxisBox, PlacedAbsorber, tidy};
use super::product::depth_m;
use crate::scene::{KeepClear, Room, Scene, Variant};
use glam::DVec3;

/// What is in the way.
#[derive(Debug, Clone)]
pub(super) struct FreeArea {
    room: Room,
    keep_clears: Vec<KeepClear>,
    blocks: Vec<AxisBox>,
}

/// Nothing comes nearer to a head or a speaker's reference point, metres: our choice.
const ELBOW_M: f64 = 0.15;
/// Keep-clear rectangles are so deep for what is on a neighbouring wall, metres: our choice.
const SILL_M: f64 = 0.05;

impl FreeArea {
    /// What is in the way in one state of a room.
    pub(super) fn new(scene: &Scene, variant: &Variant<'_>) -> Self {
        let room = scene.room();
        let depth = |material: usize| scene.materials().get(material).map_or(0.0, depth_m);
        let furniture = variant
            .furniture
            .iter()
            .map(|piece| AxisBox::around(&piece.upright_box().corners(), 0.0));
        let cabinets = scene
            .speakers()
            .iter()
            .filter_map(|speaker| Some(AxisBox::around(&speaker.solid_box()?.corners(), 0.0)));
        let heads = scene.listeners().iter().map(|listener| listener.at);
        let points = scene.speakers().iter().map(|speaker| speaker.at).chain(heads);
        let panels = variant.panels.iter().map(|panel| {
            AxisBox::on(room, panel.on, panel.centre_m, panel.size_m, depth(panel.material))
        });
        let screens = variant.screens.iter().map(|screen| {
            let along = screen.along * screen.size_m[0] / 2.0;
            let across = screen.facing.cross(screen.along) * screen.size_m[1] / 2.0;
            let out = screen.facing * depth(screen.material) / 2.0;
            let corners: Vec<DVec3> = [-1.0, 1.0]
                .into_iter()
                .flat_map(|a| [-1.0, 1.0].map(|b| [a, b]))
                .flat_map(|[a, b]| [-1.0, 1.0].map(|c| along * a + across * b + out * c))
                .map(|offset| screen.centre + offset)
                .collect();
            AxisBox::around(&corners, 0.0)
        });
        let sills = scene
            .keep_clears()
            .iter()
            .map(|clear| AxisBox::on(room, clear.on, clear.centre_m, clear.size_m, SILL_M));
        Self {
            room: *room,
            keep_clears: scene.keep_clears().to_vec(),
            blocks: furniture
                .chain(cabinets)
                .chain(points.map(|at| AxisBox::around(&[at], ELBOW_M)))
                .chain(panels)
                .chain(screens)
                .chain(sills)
                .collect(),
        }
    }

    /// Whether a piece has its place to itself, no part of it over what must stay clear.
    pub(super) fn is_free(&self, piece: &PlacedAbsorber, product: &Product) -> bool {
        let block = piece.block(&self.room, product);
        let clear = |keep: &KeepClear| !piece.covers(keep.on, keep.centre_m, keep.size_m);
        self.keep_clears.iter().all(clear) && !self.blocks.iter().any(|b| b.overlaps(&block))
    }

    /// Places beside what is in the way of a piece: moved along its surface just far enough, once in
    /// each of the four directions, and no farther than its own size.
    pub(super) fn beside(&self, piece: &PlacedAbsorber, product: &Product) -> Vec<PlacedAbsorber> {
        let block = piece.block(&self.room, product);
        let axes = piece.on.tape_axes();
        let blocks = self.blocks.iter().filter(|other| other.overlaps(&block));
        let in_way = blocks.map(|other| axes.map(|axis| [other.low[axis], other.high[axis]]));
        let keeps = self.keep_clears.iter().filter(|k| piece.covers(k.on, k.centre_m, k.size_m));
        let kept = keeps.map(|keep| {
            let [low, high] = super::reach_m(keep.centre_m, keep.size_m);
            [[low[0], high[0]], [low[1], high[1]]]
        });
        let mut found = Vec::new();
        for reach in in_way.chain(kept) {
            for axis in 0..2 {
                let half = piece.size_m[axis] / 2.0;
                for centre in [reach[axis][0] - half, reach[axis][1] + half] {
                    let length = self.room.size()[axes[axis]];
                    let moved_m = (centre - piece.centre_m[axis]).abs();
                    if moved_m <= piece.size_m[axis] && half <= centre && centre <= length - half {
                        let mut shifted = piece.clone();
                        shifted.centre_m[axis] = tidy(centre);
                        found.push(shifted);
                    }
                }
            }
        }
        found
    }
}
