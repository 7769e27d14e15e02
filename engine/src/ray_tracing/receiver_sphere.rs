//! Receiver as rays see it: a sphere about the head, and the bins of what crosses it.

use super::band_vector::BandVector;
use super::energy_bins::EnergyBins;
use super::path_packet::history;
use super::ray_plan::Receiver;
use crate::numerics::single_precision::to_f32;
use std::f64::consts::PI;

/// Sphere of a receiver, and what it scores.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReceiverSphere {
    /// Centre, metres.
    pub(super) centre: [f32; 3],
    /// Square of the radius, square metres.
    pub(super) radius2: f32,
    /// Reciprocal of the volume: chord length to mean energy density.
    per_volume: f32,
    /// Path length of the direct sound, where the first bin begins, metres.
    direct_m: f32,
    bins_per_m: f32,
    max_order: u32,
    max_length_m: f32,
    every_order_m: f32,
}

/// Largest radius, metres. The score is unbiased for any radius: a larger sphere is crossed by more
/// rays, and the mean of 1/r² over it is corrected.
const MAX_RADIUS_M: f64 = 0.4;

/// Smallest radius, metres. A smaller sphere would hardly ever be crossed; this one may then reach into
/// what is near.
const MIN_RADIUS_M: f64 = 0.05;

impl ReceiverSphere {
    /// About a receiver with `clear_m` to the nearest face, in bins of `bin_m` of path length.
    pub(super) fn new(receiver: &Receiver, clear_m: f64, bin_m: f64) -> Self {
        let radius = clear_m.clamp(MIN_RADIUS_M, MAX_RADIUS_M);
        Self {
            centre: receiver.at.to_array().map(to_f32),
            radius2: to_f32(radius * radius),
            per_volume: to_f32(3.0 / (4.0 * PI * radius.powi(3))),
            direct_m: to_f32(receiver.direct_m),
            bins_per_m: to_f32(bin_m.recip()),
            max_order: receiver.coverage.max_order,
            max_length_m: to_f32(receiver.coverage.max_length_m),
            every_order_m: to_f32(receiver.coverage.every_order_m),
        }
    }

    /// Whether the image-source list holds a path already.
    #[inline(always)]
    pub(super) fn is_in_image_list(&self, order: u32, history: u32, path_m: f32) -> bool {
        let is_listed = order <= self.max_order && path_m <= self.max_length_m;
        let on_surfaces = history & history::HIT_OBSTACLE == 0;
        let is_specular = history & history::SCATTERED == 0;
        is_specular && (is_listed || on_surfaces && path_m <= self.every_order_m)
    }

    /// Distance of the image source of a specular path, by its length up to the point closest to the
    /// receiver: there the ray is at right angles to the line to the receiver.
    #[inline(always)]
    pub(super) fn distance_m(&self, closest_m: f32, half_chord2: f32) -> f32 {
        (closest_m * closest_m + self.radius2 - half_chord2).sqrt()
    }

    /// Track-length estimate of a ray of unit energy that crosses with a chord after a path.
    ///
    /// The mean of 1/r² over a sphere of radius R about a point at distance r is
    /// (1 + R²/5r² + …)/r², for its Laplacian is 2/r⁴; that excess is divided out.
    #[inline(always)]
    pub(super) fn track_length_weight(&self, half_chord2: f32, path_m: f32) -> f32 {
        let chord_m = 2.0 * half_chord2.sqrt();
        chord_m * self.per_volume / (1.0 + 0.2 * self.radius2 / (path_m * path_m))
    }

    /// Adds energy that arrives after a path of some length.
    #[inline(always)]
    #[expect(clippy::cast_sign_loss, reason = "what lies before the first bin counts in it")]
    pub(super) fn add(&self, bins: &mut EnergyBins, path_m: f32, energy: BandVector) {
        bins.add(((path_m - self.direct_m) * self.bins_per_m) as usize, energy);
    }
}
