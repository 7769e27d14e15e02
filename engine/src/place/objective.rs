//! What a layout is worth: a few terms, each in decibels.

use super::PlacePlan;
use super::bounds::usual_seat_m;
use super::layout::Layout;
use crate::bands::{FrequencyGrid, energy_db};
use crate::criteria::{EarlyLimit, is_within};
use crate::image_sources::Bounce;
use crate::scene::Scene;
use crate::trace::PairList;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// How much each term counts; all at least 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Of [`SeatTerms::early_db`].
    pub early: f64,
    /// Of [`SeatTerms::sides_db`].
    pub sides: f64,
    /// Of [`SeatTerms::bass_db`].
    pub bass: f64,
    /// Of [`Objective::start_db`].
    pub start: f64,
}

impl Default for Weights {
    /// All alike, but for the distance from the starting point, which only breaks ties: a tenth.
    fn default() -> Self {
        Self { early: 1.0, sides: 1.0, bass: 1.0, start: 0.1 }
    }
}

/// The terms at one seat, unweighted; 0 is perfect, more is worse.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatTerms {
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Early reflections over the limit: the root of the sum of squares of the decibels that
    /// reflections within the limit's time are over it; mean of both speakers.
    pub early_db: f64,
    /// Left against right: the difference of direct sound and of the reflections within the limit's
    /// time, over 1–8 kHz, and one decibel for every [`DELAY_S`] that one comes earlier.
    pub sides_db: f64,
    /// Unevenness of the bass: standard deviation over [`BASS_HZ`] of the level of both speakers
    /// together, from direct sound and reflections with their phases, about its straight line over
    /// log frequency. It holds what the nearest boundaries do, dips and all; it does not hold the
    /// room's resonances, for which a wave solution is needed.
    pub bass_db: f64,
    /// The strongest early reflection.
    pub strongest: Option<Strongest>,
}

/// A reflection that stands out.
#[derive(Debug, Clone, PartialEq)]
pub struct Strongest {
    /// Index of its speaker in the scene.
    pub speaker: usize,
    /// Where it bounces, from the speaker on.
    pub bounces: Vec<Bounce>,
    /// Level over 1–8 kHz against the direct sound, decibels.
    pub level_db: f64,
    /// Delay after the direct sound, seconds.
    pub after_direct_s: f64,
}

/// What a layout is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Objective {
    /// The terms at each seat, in the order of the plan.
    pub seats: Vec<SeatTerms>,
    /// Distance from where the trade begins: one decibel for every [`SEAT_STEP_M`] from 38 % of the
    /// length, and for every [`TRIANGLE_STEP_M`] that the triangle does not close.
    pub start_db: f64,
    /// The weighted sum of the means over the seats and of the distance, decibels.
    pub sum_db: f64,
}

/// The range of [`SeatTerms::bass_db`], hertz: from where small rooms have sound at all to where single
/// boundaries stop to matter.
pub const BASS_HZ: [f64; 2] = [45.0, 350.0];
/// A delay between left and right that weighs one decibel, seconds.
pub const DELAY_S: f64 = 50e-6;
/// A way from 38 % of the length that weighs one decibel, metres.
pub const SEAT_STEP_M: f64 = 0.25;
/// An error of the triangle that weighs one decibel, metres.
pub const TRIANGLE_STEP_M: f64 = 0.1;

impl Objective {
    /// Of a layout in its scene, from the lists of its pair, seat after seat and left before right.
    pub(super) fn of(
        scene: &Scene,
        layout: &Layout,
        plan: &PlacePlan<'_>,
        lists: &[PairList],
    ) -> Self {
        let seat = |pair: &[PairList]| SeatTerms {
            listener: pair.first().map_or(0, |one| one.listener),
            early_db: pair.iter().map(|one| over_db(one, plan.limit)).sum::<f64>() / 2.0,
            sides_db: sides_db(pair, plan.limit),
            bass_db: bass_db(scene, pair),
            strongest: strongest(pair, plan.limit),
        };
        let mut objective = Self {
            seats: lists.chunks(2).map(seat).collect(),
            start_db: start_db(scene, layout),
            sum_db: 0.0,
        };
        let Weights { early, sides, bass, start } = plan.weights;
        objective.sum_db = early * objective.early_db()
            + sides * objective.sides_db()
            + bass * objective.bass_db()
            + start * objective.start_db;
        objective
    }

    /// Mean over the seats of [`SeatTerms::early_db`].
    pub fn early_db(&self) -> f64 {
        self.mean(|seat| seat.early_db)
    }

    /// Mean over the seats of [`SeatTerms::sides_db`].
    pub fn sides_db(&self) -> f64 {
        self.mean(|seat| seat.sides_db)
    }

    /// Mean over the seats of [`SeatTerms::bass_db`].
    pub fn bass_db(&self) -> f64 {
        self.mean(|seat| seat.bass_db)
    }

    fn mean(&self, of: impl Fn(&SeatTerms) -> f64) -> f64 {
        self.seats.iter().map(of).sum::<f64>() / self.seats.len().max(1) as f64
    }
}

fn strongest(pair: &[PairList], limit: &EarlyLimit) -> Option<Strongest> {
    let all = pair.iter().flat_map(|one| one.reflections.iter().map(move |found| (one, found)));
    let early = all.filter(|(_, found)| is_within(found.after_direct_s, limit.window_s()));
    let (one, found) = early.max_by(|a, b| a.1.level_db.total_cmp(&b.1.level_db))?;
    Some(Strongest {
        speaker: one.speaker,
        bounces: found.arrival.bounces.clone(),
        level_db: found.level_db,
        after_direct_s: found.after_direct_s,
    })
}

fn over_db(one: &PairList, limit: &EarlyLimit) -> f64 {
    let squares = within(one, limit).map(|level_db| (level_db - limit.level_db()).max(0.0).powi(2));
    squares.sum::<f64>().sqrt()
}

/// Levels of the reflections within a limit's time.
fn within(one: &PairList, limit: &EarlyLimit) -> impl Iterator<Item = f64> {
    let early = |after_s: f64| is_within(after_s, limit.window_s());
    one.reflections
        .iter()
        .filter(move |found| early(found.after_direct_s))
        .map(|found| found.level_db)
}

fn sides_db(seat: &[PairList], limit: &EarlyLimit) -> f64 {
    let [left, right] = seat else { return 0.0 };
    let direct = |one: &PairList| one.direct.band_level_db[crate::bands::LIMIT_BANDS].to_vec();
    let difference = |a: f64, b: f64| (a - b).abs();
    let direct_db = difference(mean_db(&direct(left)), mean_db(&direct(right)));
    let early = |one: &PairList| {
        // Against silence every reflection is infinitely louder; 30 dB down is taken for silence.
        within(one, limit).map(|db| 10f64.powf(0.1 * db)).sum::<f64>() + 1e-3
    };
    let early_db = difference(energy_db(early(left)), energy_db(early(right)));
    let delay_s = difference(left.direct.time_s, right.direct.time_s);
    direct_db + early_db + delay_s / DELAY_S
}

fn mean_db(levels: &[f64]) -> f64 {
    let energy = levels.iter().map(|db| 10f64.powf(0.1 * db)).sum::<f64>();
    energy_db(energy / levels.len().max(1) as f64)
}

fn bass_db(scene: &Scene, seat: &[PairList]) -> f64 {
    let grid = FrequencyGrid::new();
    let wanted = |hz: f64| (BASS_HZ[0]..=BASS_HZ[1]).contains(&hz);
    let speed = scene.air().speed_of_sound_m_s();
    let at = |index: usize, hz: f64| -> f64 {
        let arrivals = seat.iter().flat_map(|one| {
            std::iter::once(&one.unobstructed).chain(one.reflections.iter().map(|r| &r.arrival))
        });
        let turned = arrivals.map(|arrival| {
            arrival.pressure[index]
                * Complex64::from_polar(1.0, -TAU * hz * arrival.distance_m / speed)
        });
        energy_db(turned.sum::<Complex64>().norm_sqr())
    };
    let points = grid.hz().iter().enumerate().filter(|(_, hz)| wanted(**hz));
    // Even steps in hertz within an octave: each point counts by its share of the octave.
    let curve: Vec<[f64; 3]> = points
        .map(|(index, &hz)| {
            let weight = FrequencyGrid::weights()[index % FrequencyGrid::POINTS_PER_BAND];
            [hz.ln(), at(index, hz), weight]
        })
        .collect();
    deviation(&curve)
}

/// Standard deviation of weighted points about their straight line.
fn deviation(points: &[[f64; 3]]) -> f64 {
    let sum = |of: &dyn Fn(&[f64; 3]) -> f64| points.iter().map(|p| p[2] * of(p)).sum::<f64>();
    let all = sum(&|_| 1.0);
    let (x, y) = (sum(&|p| p[0]) / all, sum(&|p| p[1]) / all);
    let slope = sum(&|p| (p[0] - x) * (p[1] - y)) / sum(&|p| (p[0] - x).powi(2));
    (sum(&|p| (p[1] - y - slope * (p[0] - x)).powi(2)) / all).sqrt()
}

fn start_db(scene: &Scene, layout: &Layout) -> f64 {
    let seat = (layout.seat_m - usual_seat_m(scene)).abs() / SEAT_STEP_M;
    seat + layout.triangle_error_m().abs() / TRIANGLE_STEP_M
}
