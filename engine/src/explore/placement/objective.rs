//! Objective of a layout: a few terms, each in decibels.

use super::bass::{self, Dip};
use super::bounds::usual_seat_m;
use super::layout::Layout;
use super::plan::{PlacementPlan, Weights};
use crate::analysis::compare::StrongestReflection;
use crate::medium::bands::energy_db;
use crate::metrics::criteria::{EarlyLimit, is_within};
use crate::scene::{ListenerId, Scene};
use crate::simulate::PairSimulation;
use crate::wave_field::{FactorizedSolver, SpeakerSources, unevenness_range_hz};
use std::f64::consts::PI;

/// The terms at one seat, unweighted; 0 is perfect, more is worse.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatTerms {
    /// The listener.
    pub listener: ListenerId,
    /// Early reflections over the limit: the root of the sum of squares of the decibels that
    /// reflections within the limit's time are over it; mean of both speakers. Reflections that come
    /// up to [`FADE`] later still count in part, so that a layout gains nothing by one that comes just
    /// after the limit's time.
    pub early_db: f64,
    /// Left against right: the difference of direct sound and of the reflections within the limit's
    /// time, over 1–8 kHz, and one decibel for every [`DELAY_S`] that one comes earlier.
    pub asymmetry_db: f64,
    /// Unevenness of the bass: standard deviation over [`super::BASS_HZ`] of the level of both speakers
    /// and all subwoofers sounding alike together, as far down as they play, from the wave field of the room with its surfaces and panels
    /// ([`crate::wave_field`]), about its straight line over log frequency. Screens, furniture and cabinets
    /// have no part in it.
    pub bass_db: f64,
    /// The deepest dip from the nearest boundaries; reported, not weighted.
    pub dip: Option<Dip>,
    /// The strongest early reflection.
    pub strongest: Option<StrongestReflection>,
}

/// Objective of a layout: its terms and their weighted sum.
#[derive(Debug, Clone, PartialEq)]
pub struct Objective {
    /// The terms at each seat, in the order of the plan.
    pub seats: Vec<SeatTerms>,
    /// Distance from the rule-of-thumb starting point: one decibel for every [`SEAT_STEP_M`] from 38 % of the
    /// length, and for every [`TRIANGLE_STEP_M`] that the triangle does not close.
    pub prior_db: f64,
    /// The weighted sum of the means over the seats and of the distance, decibels.
    pub cost_db: f64,
}

/// A delay between left and right that weighs one decibel, seconds.
pub const DELAY_S: f64 = 50e-6;
/// Fade-out of the limit's time window, as a fraction of it: reflections within it count less and less,
/// and at its end not at all.
pub const FADE: f64 = 0.2;
/// A way from 38 % of the length that weighs one decibel, metres.
pub const SEAT_STEP_M: f64 = 0.25;
/// An error of the triangle that weighs one decibel, metres.
pub const TRIANGLE_STEP_M: f64 = 0.1;

impl Objective {
    /// Of a layout in its scene, from the lists of its pair, seat after seat and left before right.
    pub(super) fn of(
        scene: &Scene,
        layout: &Layout,
        plan: &PlacementPlan<'_>,
        lists: &[PairSimulation],
        room: &FactorizedSolver<'_>,
    ) -> Self {
        let sounding = SpeakerSources::new(scene, &scene.with_subwoofers(&plan.pair));
        let range_hz = unevenness_range_hz(scene, &scene.with_subwoofers(&plan.pair));
        let speed_m_s = scene.air().speed_of_sound_m_s();
        let seat = |pair: &[PairSimulation], listener: ListenerId| SeatTerms {
            listener,
            early_db: pair.iter().map(|one| excess_db(one, plan.limit)).sum::<f64>() / 2.0,
            asymmetry_db: asymmetry_db(pair, plan.limit),
            bass_db: bass::unevenness_db(room, &sounding, scene[listener].at, range_hz),
            dip: bass::deepest_dip(pair, speed_m_s),
            strongest: StrongestReflection::within(pair, plan.limit.window_s()),
        };
        let mut objective = Self {
            seats: lists
                .chunks(2)
                .filter_map(|pair| Some(seat(pair, pair.first()?.listener)))
                .collect(),
            prior_db: prior_db(scene, layout),
            cost_db: 0.0,
        };
        let Weights { early, sides, bass, start } = plan.weights;
        objective.cost_db = early * objective.early_db()
            + sides * objective.asymmetry_db()
            + bass * objective.bass_db()
            + start * objective.prior_db;
        objective
    }

    /// Mean over the seats of [`SeatTerms::early_db`].
    pub fn early_db(&self) -> f64 {
        self.mean(|seat| seat.early_db)
    }

    /// Mean over the seats of [`SeatTerms::asymmetry_db`].
    pub fn asymmetry_db(&self) -> f64 {
        self.mean(|seat| seat.asymmetry_db)
    }

    /// Mean over the seats of [`SeatTerms::bass_db`].
    pub fn bass_db(&self) -> f64 {
        self.mean(|seat| seat.bass_db)
    }

    fn mean(&self, of: impl Fn(&SeatTerms) -> f64) -> f64 {
        self.seats.iter().map(of).sum::<f64>() / self.seats.len().max(1) as f64
    }
}

fn excess_db(one: &PairSimulation, limit: &EarlyLimit) -> f64 {
    let over = |level_db: f64| (level_db - limit.level_db()).max(0.0);
    early(one, limit)
        .map(|(level_db, counts)| (counts * over(level_db)).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// Levels of the early reflections and how much each counts, 0 to 1.
fn early(one: &PairSimulation, limit: &EarlyLimit) -> impl Iterator<Item = (f64, f64)> {
    let counted = |found: &crate::image_source::Reflection| {
        (found.level_db, counts(found.delay_s, limit.window_s()))
    };
    one.reflections.iter().map(counted).filter(|(_, counts)| 0.0 < *counts)
}

/// Weight of a reflection by its delay: 1 within the window, 0 from [`FADE`] beyond it on, a half cosine
/// between.
fn counts(delay_s: f64, window_s: f64) -> f64 {
    let late = if is_within(delay_s, window_s) { 0.0 } else { delay_s - window_s };
    0.5 + 0.5 * (PI * (late / (FADE * window_s)).min(1.0)).cos()
}

fn asymmetry_db(seat: &[PairSimulation], limit: &EarlyLimit) -> f64 {
    let [left, right] = seat else { return 0.0 };
    let direct =
        |one: &PairSimulation| one.direct.band_level_db[crate::medium::bands::EARLY_BANDS].to_vec();
    let difference = |a: f64, b: f64| (a - b).abs();
    let direct_db = difference(mean_db(&direct(left)), mean_db(&direct(right)));
    let energy = |one: &PairSimulation| {
        // Against silence every reflection is infinitely louder; 30 dB down is taken for silence.
        early(one, limit).map(|(db, counts)| counts * 10f64.powf(0.1 * db)).sum::<f64>() + 1e-3
    };
    let early_db = difference(energy_db(energy(left)), energy_db(energy(right)));
    let delay_s = difference(left.direct.time_s, right.direct.time_s);
    direct_db + early_db + delay_s / DELAY_S
}

fn mean_db(levels: &[f64]) -> f64 {
    let energy = levels.iter().map(|db| 10f64.powf(0.1 * db)).sum::<f64>();
    energy_db(energy / levels.len().max(1) as f64)
}

fn prior_db(scene: &Scene, layout: &Layout) -> f64 {
    let seat = (layout.seat_m - usual_seat_m(scene)).abs() / SEAT_STEP_M;
    seat + layout.triangle_error_m().abs() / TRIANGLE_STEP_M
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nothing jumps at the end of a limit's time.
    #[test]
    fn what_comes_later_counts_less_and_less() {
        let steps: Vec<f64> = (0..=200).map(|step| counts(f64::from(step) * 1e-4, 0.015)).collect();
        assert!(steps[..=150].iter().all(|counts| (counts - 1.0).abs() < 1e-12));
        assert!(steps[180..].iter().all(|counts| counts.abs() < 1e-12));
        assert!((counts(0.0165, 0.015) - 0.5).abs() < 1e-9);
        assert!(steps.windows(2).all(|two| two[1] <= two[0] && two[0] - two[1] < 0.06));
    }
}
