//! A listener as rays see it: a ball about the head, and a histogram of what passes through.

use super::Receiver;
use super::energy_bins::EnergyBins;
use super::path_packet::history;
use super::reflectance::{BandVector, to_f32};
use std::f64::consts::PI;

/// Where a listener's energy is counted.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReceiverSphere {
    pub(super) centre: [f32; 3],
    pub(super) radius2: f32,
    /// Chord length to mean energy over the ball: one over its volume.
    per_volume: f32,
    /// Path length of the direct sound, where the first bin begins.
    direct_m: f32,
    bins_per_m: f32,
    max_order: u32,
    max_length_m: f32,
    every_order_m: f32,
}

/// Largest radius, metres. The count is unbiased for any radius: a fast_max ball is met by more rays
/// and the mean of 1/r² over it is corrected.
const LARGEST_RADIUS_M: f64 = 0.4;

/// Below this the ball would hardly ever be met; it may then reach into what is near.
const SMALLEST_RADIUS_M: f64 = 0.05;

impl ReceiverSphere {
    /// About a listener with `clear_m` to the nearest thing.
    pub(super) fn new(receiver: &Receiver, clear_m: f64, bin_m: f64) -> Self {
        let radius = clear_m.clamp(SMALLEST_RADIUS_M, LARGEST_RADIUS_M);
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

    /// Whether the list of images is_in_image_list this path already.
    #[inline(always)]
    pub(super) fn is_in_image_list(&self, order: u32, history: u32, path_m: f32) -> bool {
        let listed = order <= self.max_order && path_m <= self.max_length_m;
        let on_surfaces = history & history::HIT_OBSTACLE == 0;
        history & history::SCATTERED == 0 && (listed || on_surfaces && path_m <= self.every_order_m)
    }

    /// Distance of the image that a mirrored ray comes from, when it has run so far to where it is
    /// closest to the listener: there it runs at right angles to the way to the listener.
    #[inline(always)]
    pub(super) fn distance_m(&self, closest_m: f32, half_chord2: f32) -> f32 {
        (closest_m * closest_m + self.radius2 - half_chord2).sqrt()
    }

    /// What a ray of unit energy leaves that passes with a chord of this length after this far.
    ///
    /// The mean of 1/r² over a ball of radius R about a point at distance r is
    /// (1 + R²/5r² + …)/r², for its Laplacian is 2/r⁴; that much is taken off again.
    #[inline(always)]
    pub(super) fn track_length_weight(&self, half_chord2: f32, path_m: f32) -> f32 {
        let chord = 2.0 * half_chord2.sqrt();
        chord * self.per_volume / (1.0 + 0.2 * self.radius2 / (path_m * path_m))
    }

    /// Adds energy that arrives after a path of some length.
    #[inline(always)]
    #[expect(clippy::cast_sign_loss, reason = "what lies before the first bin counts in it")]
    pub(super) fn add(&self, bins: &mut EnergyBins, path_m: f32, energy: BandVector) {
        bins.add(((path_m - self.direct_m) * self.bins_per_m) as usize, energy);
    }
}
