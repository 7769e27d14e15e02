//! Rays of one speaker to all receivers.

use super::energy_balance::EnergyBalance;
use super::histogram::Histogram;
use super::ray_plan::{RayCount, RayPlan, Receiver, Source};
use super::trace_context::TraceContext;
use super::trace_totals::TraceTotals;
use crate::geometry::enclosure::Enclosure;
use crate::scene::Scene;

/// Result of the rays of one speaker.
#[derive(Debug, Clone, PartialEq)]
pub struct RayTrace {
    /// Number of rays traced.
    pub rays: u64,
    /// One histogram for each receiver.
    pub histograms: Vec<Histogram>,
    /// Energy balance of all rays.
    pub balance: EnergyBalance,
}

/// Rays of the first pass of a trace that goes on until its error is small.
const FIRST_PASS_RAYS: u64 = 8192;

/// Traces rays from a speaker. `progress` receives, on any thread, how many more are done.
pub fn trace_rays(
    scene: &Scene,
    enclosure: &Enclosure,
    source: Source,
    receivers: &[Receiver],
    plan: &RayPlan,
    progress: &(dyn Fn(u64) + Sync),
) -> RayTrace {
    let context = TraceContext::new(scene, enclosure, source, receivers, plan);
    let mut totals = TraceTotals::new(&context);
    match plan.count {
        RayCount::Fixed(rays) => totals.refine(&context, plan.seed, rays, progress),
        RayCount::Until { relative_error, cap } => {
            let mut next_rays = FIRST_PASS_RAYS.min(cap);
            while next_rays > 0 {
                totals.refine(&context, plan.seed, next_rays, progress);
                let errors = totals.histograms(plan.bin_s);
                let errors = errors.iter().filter_map(Histogram::relative_error);
                if errors.reduce(f64::max).is_none_or(|error| error <= relative_error) {
                    break;
                }
                // As many again, so that each pass halves the variance.
                next_rays = totals.rays().min(cap.saturating_sub(totals.rays()));
            }
        }
    }
    let (rays, histograms) = (totals.rays(), totals.histograms(plan.bin_s));
    RayTrace { rays, histograms, balance: totals.mean_balance() }
}
