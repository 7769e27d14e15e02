//! The wave field for the bottom of every response of a trace.

use anyhow::{Context, Result};
use earline_engine::bass::Deep;
use earline_engine::scene::{Scene, State};
use earline_engine::trace::Trace;

/// The wave field for the bottom of every response of a trace.
///
/// # Errors
/// When the bass of these speakers and listeners cannot be solved.
pub(crate) fn deep(scene: &Scene, state: &State<'_>, found: &Trace) -> Result<Option<Deep>> {
    let pairs: Vec<[usize; 2]> = found.pairs.iter().map(|p| [p.speaker, p.listener]).collect();
    let longest_s = found.pairs.iter().map(|p| p.energy_time.complete_s).fold(0.0, f64::max);
    Deep::new(scene, state, &pairs, longest_s).context("cannot solve the bass of this plan")
}
