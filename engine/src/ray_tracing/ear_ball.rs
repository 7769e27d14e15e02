//! A listener as rays see it: a ball about the head, and a histogram of what passes through.

use super::Receiver;
use super::bins::Bins;
use super::packet::past;
use super::skin::{Row, single};
use std::f64::consts::PI;

/// Where a listener's energy is counted.
#[derive(Debug, Clone, Copy)]
pub(super) struct EarBall {
    pub(super) centre: [f32; 3],
    pub(super) radius2: f32,
    /// Chord length to mean energy over the ball: one over its volume.
    per_volume: f32,
    /// Path length of the direct sound, where the first bin begins.
    direct_m: f32,
    bins_per_m: f32,
    order: u32,
    list_m: f32,
    every_order_m: f32,
}

/// Largest radius, metres. The count is unbiased for any radius: a larger ball is met by more rays
/// and the mean of 1/r² over it is corrected.
const LARGEST_RADIUS_M: f64 = 0.4;

/// Below this the ball would hardly ever be met; it may then reach into what is near.
const SMALLEST_RADIUS_M: f64 = 0.05;

impl EarBall {
    /// About a listener with `clear_m` to the nearest thing.
    pub(super) fn new(receiver: &Receiver, clear_m: f64, bin_m: f64) -> Self {
        let radius = clear_m.clamp(SMALLEST_RADIUS_M, LARGEST_RADIUS_M);
        Self {
            centre: receiver.at.to_array().map(single),
            radius2: single(radius * radius),
            per_volume: single(3.0 / (4.0 * PI * radius.powi(3))),
            direct_m: single(receiver.direct_m),
            bins_per_m: single(bin_m.recip()),
            order: receiver.coverage.order,
            list_m: single(receiver.coverage.list_m),
            every_order_m: single(receiver.coverage.every_order_m),
        }
    }

    /// Whether the list of images holds this path already.
    #[inline(always)]
    pub(super) fn holds(&self, order: u32, past: u32, run_m: f32) -> bool {
        let listed = order <= self.order && run_m <= self.list_m;
        let on_surfaces = past & past::OFF_SURFACES == 0;
        past & past::SCATTERED == 0 && (listed || on_surfaces && run_m <= self.every_order_m)
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
    pub(super) fn share(&self, half_chord2: f32, run_m: f32) -> f32 {
        let chord = 2.0 * half_chord2.sqrt();
        chord * self.per_volume / (1.0 + 0.2 * self.radius2 / (run_m * run_m))
    }

    /// Adds energy that arrives after a path of some length.
    #[inline(always)]
    #[expect(clippy::cast_sign_loss, reason = "what lies before the first bin counts in it")]
    pub(super) fn add(&self, bins: &mut Bins, run_m: f32, energy: Row) {
        bins.add(((run_m - self.direct_m) * self.bins_per_m) as usize, energy);
    }
}
