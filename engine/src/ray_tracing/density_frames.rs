//! Energy density over the floor at given times.

use super::frame_recorder::{FramePlan, FrameRecorder};
use super::ray_plan::{RayCount, RayPlan, Source};
use super::trace_context::TraceContext;
use super::trace_totals::TraceTotals;
use crate::geometry::enclosure::Enclosure;
use crate::medium::bands::PerBand;
use crate::medium::directivity::Radiator;
use crate::scene::{Scene, SpeakerId, Variant};

/// Energy-density frames, seen from above.
#[derive(Debug, Clone, PartialEq)]
pub struct DensityFrames {
    /// Times and resolution.
    pub plan: FramePlan,
    /// For each frame, for each cell (row after row along the length, each across the width from
    /// the left): energy per volume between floor and ceiling, relative to what the speaker emitted
    /// if it were spread evenly over the room without loss.
    pub density: Vec<Vec<PerBand<f64>>>,
}

/// Traces so many rays from a speaker and records where their energy is.
pub fn density_frames(
    scene: &Scene,
    variant: &Variant<'_>,
    speaker: SpeakerId,
    frames: &FramePlan,
    rays: u64,
    seed: u64,
) -> DensityFrames {
    let enclosure = &Enclosure::new(scene, variant);
    let speaker = &scene[speaker];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let last_s = frames.times_s.iter().copied().fold(0.0, f64::max) + frames.exposure_s;
    let count = RayCount::Fixed(rays);
    let plan = RayPlan { count, seed, length_s: last_s, bin_s: last_s, floor_db: -65.0 };
    let mut context = TraceContext::new(scene, enclosure, source, &[], &plan);
    let speed = enclosure.speed_of_sound_m_s();
    let floor_m = scene.room().size().truncate().to_array();
    context.frames = Some(FrameRecorder::new(frames, floor_m, speed));
    let mut totals = TraceTotals::new(&context);
    totals.refine(&context, seed, rays, &|_| {});
    let cells = (frames.cells[0] * frames.cells[1]) as f64;
    let exposure_m = frames.exposure_s * speed;
    let emitted = totals.emitted();
    let relative = |energy_m: &PerBand<f64>| {
        std::array::from_fn(|band| {
            let emitted_m = emitted[band] * exposure_m;
            if emitted_m > 0.0 { energy_m[band] * cells / emitted_m } else { 0.0 }
        })
    };
    let cells_per_frame = (frames.cells[0] * frames.cells[1]).max(1);
    let recorded = totals.frames().chunks(cells_per_frame);
    let density = recorded.map(|cells| cells.iter().map(relative).collect()).collect();
    DensityFrames { plan: frames.clone(), density }
}
