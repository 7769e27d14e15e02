//! Two traces of the same speaker side by side: what vanished, what is new, what became louder or
//! quieter. The room, the seat or both may differ between them.
//!
//! Reflections are matched by their path, not by their time or level, so that a panel that takes a
//! reflection down is seen as a change of that reflection and not as one gone and another come.

mod asymmetry;
mod cost;
mod path_key;
mod strongest;
mod uncertainty;

pub use asymmetry::{
    EARLY_S, MirrorReflections, PairAsymmetry, mirrored_reflections, pair_asymmetries,
};
pub use cost::{CostUnavailable, Item, ItemKind, TreatmentDiff, db_per_cost};
pub use path_key::{PathKey, path_keys};
pub use strongest::{StrongestReflection, StrongestTraced, strongest_within};
pub use uncertainty::{EQUAL_DB, KNOWN_ERRORS, KnownError, MEASURED_BANDS};

use crate::image_source::Reflection;
use crate::medium::bands::PerBand;
use crate::metrics::criteria::is_within;
use crate::simulate::PairSimulation;
use std::collections::BTreeMap;

/// Reflections quieter than this over 1–8 kHz, relative to the direct sound, decide nothing: 10 dB
/// under the strictest published early-reflection limit known here
/// ([`crate::metrics::criteria::EARLY_LIMITS`]).
pub const QUIET_DB: f64 = -30.0;

/// Changes of one speaker's reflections from a first trace to a second.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Comparison {
    /// Reflections in both, in the order of the first.
    pub matched: Vec<MatchedReflection>,
    /// Only in the first, by index.
    pub vanished: Vec<usize>,
    /// Only in the second, by index.
    pub new: Vec<usize>,
}

/// A reflection that takes the same path in both traces.
#[derive(Debug, Clone, PartialEq)]
pub struct MatchedReflection {
    /// Its index in the first.
    pub first: usize,
    /// Its index in the second.
    pub second: usize,
    /// Change of its delay after the direct sound from the first to the second, seconds.
    pub later_s: f64,
    /// Change of its level over 1–8 kHz from the first to the second, decibels; infinite where one is silent.
    pub change_db: f64,
    /// Change of its level per band, decibels.
    pub band_change_db: PerBand<f64>,
}

/// Matches the reflections of two traces of the same speaker by their paths.
///
/// Reflections later than `window_s` after the direct sound in both are left out. Where the seats
/// differ, trace both for longer than that, so that a reflection which only crossed the end of the
/// window is not taken for a vanished one; [`margin_s`] says by how much.
pub fn compare(first: &PairSimulation, second: &PairSimulation, window_s: f64) -> Comparison {
    let is_listed = |r: &Reflection| is_within(r.delay_s, window_s);
    let second_keys = path_keys(&second.reflections);
    let mut waiting: BTreeMap<&PathKey, (usize, &Reflection)> =
        second_keys.iter().zip(second.reflections.iter().enumerate()).collect();
    let mut found = Comparison::default();
    for (index, (key, a)) in
        path_keys(&first.reflections).iter().zip(&first.reflections).enumerate()
    {
        match waiting.remove(key) {
            Some((partner, b)) if is_listed(a) || is_listed(b) => {
                found.matched.push(MatchedReflection::new(index, a, partner, b));
            }
            None if is_listed(a) => found.vanished.push(index),
            _ => {}
        }
    }
    let rest = waiting.into_values().filter(|(_, b)| is_listed(b));
    found.new = rest.map(|(index, _)| index).collect();
    found.new.sort_unstable();
    found
}

/// Largest change of a reflection's delay when the seat moves by `moved_m`, seconds: both the
/// reflected path and the direct one change by no more than that distance.
pub fn margin_s(moved_m: f64, speed_of_sound_m_s: f64) -> f64 {
    2.0 * moved_m / speed_of_sound_m_s
}

/// Difference of two levels, decibels; zero when both are the same, silence included.
pub fn change_db(first_db: f64, second_db: f64) -> f64 {
    if first_db.total_cmp(&second_db).is_eq() { 0.0 } else { second_db - first_db }
}

/// Level of the energy that a change adds or takes away, decibels against the direct sound as both levels are; a
/// reflection that is not there has no energy.
pub fn changed_energy_db(first_db: Option<f64>, second_db: Option<f64>) -> f64 {
    let energy = |level_db: Option<f64>| level_db.map_or(0.0, |db| 10f64.powf(0.1 * db));
    10.0 * (energy(second_db) - energy(first_db)).abs().log10()
}

/// Whether a change is too small for the model to vouch for.
pub fn is_equal(change_db: f64) -> bool {
    change_db.abs() < EQUAL_DB
}

impl MatchedReflection {
    fn new(first: usize, a: &Reflection, second: usize, b: &Reflection) -> Self {
        Self {
            first,
            second,
            later_s: b.delay_s - a.delay_s,
            change_db: change_db(a.level_db, b.level_db),
            band_change_db: std::array::from_fn(|band| {
                change_db(a.band_level_db[band], b.band_level_db[band])
            }),
        }
    }

    /// The band that changes most and by how much, decibels; `None` when none changes by as much
    /// as [`EQUAL_DB`].
    pub fn largest_band_change(&self) -> Option<(usize, f64)> {
        let changes = self.band_change_db.into_iter().enumerate();
        changes
            .reduce(|most, next| if next.1.abs() > most.1.abs() { next } else { most })
            .filter(|(_, change)| !is_equal(*change))
    }

    /// Whether it is equal over 1–8 kHz and in every band.
    pub fn is_equal(&self) -> bool {
        is_equal(self.change_db) && self.largest_band_change().is_none()
    }
}
