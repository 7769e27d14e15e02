//! Sums over the images of a point at the nodes of a face, several nodes side by side.

use super::layer_basis::LayeredFace;
use super::yukawa::{ORDERS, from_cell};
use crate::numerics::exponential::exp_of_negatives;
use crate::numerics::simd_dispatch::Kernel;
use glam::DVec3;
use std::f64::consts::PI;

/// Nodes side by side.
const LANES: usize = 8;

/// Images of a point as the nodes of a face see them.
pub(super) struct FaceSums<'a> {
    pub(super) face: &'a LayeredFace,
    pub(super) kappa: f64,
    pub(super) images: &'a [DVec3],
}

/// Values and derivatives along the normal at a node, of every order.
pub(super) type AtNode = [[f64; ORDERS]; 2];

impl FaceSums<'_> {
    /// Sums of one image at some nodes; whether each is too near.
    #[inline(always)]
    fn add(
        &self,
        nodes: &[DVec3],
        image: DVec3,
        sums: &mut [AtNode],
        near_m: &[f64],
    ) -> [bool; LANES] {
        let kappa = self.kappa;
        let normal = self.face.normal;
        let (mut r, mut along, mut exponent) = ([1.0; LANES], [0.0; LANES], [0.0; LANES]);
        let mut is_near = [false; LANES];
        for (lane, (node, near_m)) in nodes.iter().zip(near_m).enumerate() {
            let (x, y, z) = (image.x - node.x, image.y - node.y, image.z - node.z);
            let distance = (x * x + y * y + z * z).sqrt();
            is_near[lane] = distance <= *near_m;
            r[lane] = if is_near[lane] { 1.0 } else { distance };
            along[lane] = x * normal.x + y * normal.y + z * normal.z;
            exponent[lane] = -kappa * r[lane];
        }
        let decay = exp_of_negatives(exponent);
        let third = 1.0 / (32.0 * PI * kappa * kappa * kappa);
        let fourth = third / (6.0 * kappa * kappa);
        for (lane, sums) in sums.iter_mut().enumerate() {
            let decay = if is_near[lane] { 0.0 } else { decay[lane] };
            let (r, along) = (r[lane], along[lane]);
            let kr = kappa * r;
            let first = decay / (4.0 * PI * r);
            let second = decay / (8.0 * PI * kappa);
            let third = decay * (1.0 + kr) * third;
            sums[0][0] += first;
            sums[0][1] += second;
            sums[0][2] += third;
            sums[0][3] += decay * (3.0 + 3.0 * kr + kr * kr) * fourth;
            sums[1][0] += along * first * (1.0 + kr) / (r * r);
            sums[1][1] += along * first / 2.0;
            sums[1][2] += along * second / 4.0;
            sums[1][3] += along * third / 6.0;
        }
        is_near
    }
}

impl Kernel for FaceSums<'_> {
    type Output = Vec<AtNode>;

    #[inline(always)]
    fn run(self) -> Vec<AtNode> {
        let LayeredFace { nodes, cells, near_m, normal, .. } = self.face;
        let mut sums = vec![[[0.0; ORDERS]; 2]; nodes.len()];
        for first in (0..nodes.len()).step_by(LANES) {
            let some = first..(first + LANES).min(nodes.len());
            for &image in self.images {
                let sums = &mut sums[some.clone()];
                let is_near = self.add(&nodes[some.clone()], image, sums, &near_m[some.clone()]);
                for (lane, sums) in sums.iter_mut().enumerate() {
                    if !is_near[lane] {
                        continue;
                    }
                    let node = first + lane;
                    let ends = [nodes[node], image];
                    let kernels = from_cell(self.kappa, &cells[node], ends, *normal, near_m[node]);
                    for (sum, kernel) in sums.iter_mut().zip(kernels) {
                        for (sum, value) in sum.iter_mut().zip(kernel) {
                            *sum += value;
                        }
                    }
                }
            }
        }
        sums
    }
}
