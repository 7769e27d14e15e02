//! Subwoofers and the speakers they play along with: how they add up where both play.
//!
//! Two sounds in phase add up to the sum of their pressures; at 120° to no more than one of them, at 180° they cancel.
//! In a room the phase between them is the room's as much as that of the filters, so that delay and polarity are
//! best set for the seat.

use super::sum_groups::sources_of;
use crate::medium::bands::energy_db;
use crate::scene::{Ensemble, ListenerId, Scene, SpeakerId};
use crate::wave_field::solver::FieldAtReceivers;
use num_complex::Complex64;
use std::f64::consts::TAU;

/// Sum of a pair or a speaker and of the subwoofers at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct SubwooferSum {
    /// Name of the pair or the speaker.
    pub name: String,
    /// The listener.
    pub listener: ListenerId,
    /// The subwoofers.
    pub subwoofers: Vec<SpeakerId>,
    /// Range in which both play, hertz; `None` where no frequency of the request is played by both.
    pub overlap_hz: Option<[f64; 2]>,
    /// Level of the sum against that of both in phase, decibels, at every frequency of the request: 0 where they add
    /// up, −6 where two of one level are 120° apart.
    pub loss_db: Vec<f64>,
    /// Where they cancel within the overlap, by rising frequency.
    pub cancellations: Vec<Cancellation>,
}

/// A frequency at which two sounds cancel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cancellation {
    /// Frequency, hertz.
    pub hz: f64,
    /// Level of the sum against that of both in phase, decibels.
    pub loss_db: f64,
}

/// Setting of the subwoofers that adds up best with a pair or a speaker, at all listeners together: of settings that are
/// nearly as good the one of the least delay.
#[derive(Debug, Clone, PartialEq)]
pub struct SubwooferAlignment {
    /// Name of the pair or the speaker.
    pub name: String,
    /// Range in which both play, hertz.
    pub overlap_hz: [f64; 2],
    /// Mean loss of the sum as it is over the overlap, decibels: of its level against that of both in phase.
    pub now_db: f64,
    /// The same with the setting below.
    pub best_db: f64,
    /// Delay of all subwoofers beyond what they have, milliseconds; negative where the others have to be delayed.
    pub delay_ms: f64,
    /// Whether the polarity of all subwoofers is to be the other one.
    pub inverts: bool,
}

/// A sum that is less than the louder of two, as it is at 120°, loses so much, decibels.
const CANCELS_DB: f64 = -6.0;
/// Both play where the filters of neither take away more than this, decibels: our choice.
const OVERLAP_DB: f64 = -12.0;
/// A narrow loss counts for no more than this in a mean, decibels: our choice.
const DEEPEST_DB: f64 = 30.0;
/// Longest delay that is searched, milliseconds: some 3.4 m of way.
const LONGEST_MS: f64 = 10.0;
/// Steps of the delay to a millisecond.
const STEPS_PER_MS: f64 = 10.0;
/// What less delay may add up less than the best, decibels: our choice. Long delays are heard as such.
const AS_GOOD_DB: f64 = 0.5;

/// Pressure of the mains and of the subwoofers at the middle of one head, frequency by frequency.
pub(super) struct Overlap {
    name: String,
    listener: ListenerId,
    subwoofers: Vec<SpeakerId>,
    /// Whether both play, frequency by frequency.
    both_play: Vec<bool>,
    of_mains: Vec<Complex64>,
    of_subwoofers: Vec<Complex64>,
}

impl Overlap {
    /// At one listener, everything that subwoofers among some speakers play along with, at these frequencies in hertz:
    /// from the fields of the speakers, of which `middle` is the receiver in the middle of the head.
    pub(super) fn at_listener(
        scene: &Scene,
        (among, listener): (&[SpeakerId], ListenerId),
        hz: &[f64],
        fields: &[FieldAtReceivers],
        middle: usize,
    ) -> Vec<Self> {
        let at_middle = |speakers: &[SpeakerId]| -> Vec<Complex64> {
            let sources = sources_of(among, speakers);
            let sum = |field: &FieldAtReceivers| {
                sources.iter().map(|&source| field.pressure[source][middle]).sum()
            };
            fields.iter().map(sum).collect()
        };
        let overlap = |ensemble: Ensemble<'_>| Self {
            name: ensemble.name.unwrap_or_default().to_owned(),
            listener,
            both_play: hz.iter().map(|&hz| both_play(scene, &ensemble, hz)).collect(),
            of_mains: at_middle(&ensemble.mains),
            of_subwoofers: at_middle(&ensemble.subwoofers),
            subwoofers: ensemble.subwoofers,
        };
        scene.ensembles(among).into_iter().filter(Ensemble::is_joined).map(overlap).collect()
    }

    /// How they add up at these frequencies in hertz.
    pub(super) fn sum(&self, hz: &[f64]) -> SubwooferSum {
        let loss = |i: usize| energy_db(self.share(i, Complex64::ONE));
        let loss_db: Vec<f64> = (0..hz.len()).map(loss).collect();
        let is_least = |i: &usize| {
            let beside = |other: Option<usize>| other.and_then(|other| loss_db.get(other));
            let before = beside(i.checked_sub(1)).is_none_or(|db| loss_db[*i] < *db);
            before && beside(i.checked_add(1)).is_none_or(|db| loss_db[*i] <= *db)
        };
        let deep = (0..hz.len()).filter(|&i| self.both_play[i] && loss_db[i] < CANCELS_DB);
        let cancellation = |i: usize| Cancellation { hz: hz[i], loss_db: loss_db[i] };
        SubwooferSum {
            name: self.name.clone(),
            listener: self.listener,
            subwoofers: self.subwoofers.clone(),
            overlap_hz: self.overlap_hz(hz),
            cancellations: deep.filter(is_least).map(cancellation).collect(),
            loss_db,
        }
    }

    fn overlap_hz(&self, hz: &[f64]) -> Option<[f64; 2]> {
        let mut both = hz.iter().zip(&self.both_play).filter(|(_, both)| **both).map(|(hz, _)| *hz);
        let first = both.next()?;
        Some([first, both.next_back().unwrap_or(first)])
    }

    /// Energy of the sum over that of both in phase at a frequency, the subwoofers times a factor of modulus one.
    fn share(&self, index: usize, factor: Complex64) -> f64 {
        let (mains, subwoofers) = (self.of_mains[index], self.of_subwoofers[index]);
        let in_phase = (mains.norm() + subwoofers.norm()).powi(2);
        if in_phase <= 0.0 { 1.0 } else { (mains + factor * subwoofers).norm_sqr() / in_phase }
    }
}

impl SubwooferAlignment {
    /// The best for the first pair or speaker of some overlaps, at these frequencies in hertz.
    pub(super) fn best(hz: &[f64], overlaps: &[Overlap]) -> Option<Self> {
        let first = overlaps.first()?;
        let overlap_hz = first.overlap_hz(hz)?;
        let alike: Vec<&Overlap> = overlaps.iter().filter(|o| o.name == first.name).collect();
        let tones: Vec<usize> = (0..hz.len()).filter(|&i| first.both_play[i]).collect();
        let mean_db = |delay_ms: f64, sign: f64| {
            let factor = |hz: f64| sign * Complex64::cis(-TAU * hz * 1e-3 * delay_ms);
            let loss_db = |&i: &usize| -> f64 {
                let shares = alike.iter().map(|overlap| overlap.share(i, factor(hz[i])));
                shares.map(|share| energy_db(share).max(-DEEPEST_DB)).sum()
            };
            let count = tones.len() * alike.len();
            tones.iter().map(loss_db).sum::<f64>() / count as f64
        };
        let now_db = mean_db(0.0, 1.0);
        let setting = |(best_db, delay_ms, inverts)| Self {
            name: first.name.clone(),
            overlap_hz,
            now_db,
            best_db,
            delay_ms,
            inverts,
        };
        let lobes = [false, true].map(|inverts| lobes(inverts, mean_db));
        let settings: Vec<Self> = lobes.into_iter().flatten().map(setting).collect();
        let most_db = settings.iter().map(|s| s.best_db).fold(f64::NEG_INFINITY, f64::max);
        let as_good = settings.into_iter().filter(|s| most_db - AS_GOOD_DB <= s.best_db);
        as_good.min_by(|a, b| a.delay_ms.abs().total_cmp(&b.delay_ms.abs()))
    }
}

/// Of one polarity the settings that add up better than a little less and a little more delay, with their loss in
/// decibels, delay in milliseconds and polarity.
fn lobes(inverts: bool, mean_db: impl Fn(f64, f64) -> f64) -> Vec<(f64, f64, bool)> {
    #[expect(clippy::cast_possible_truncation, reason = "a small count")]
    let steps = (LONGEST_MS * STEPS_PER_MS) as i32;
    let sign = if inverts { -1.0 } else { 1.0 };
    let at = |step: i32| {
        let delay_ms = f64::from(step) / STEPS_PER_MS;
        (mean_db(delay_ms, sign), delay_ms, inverts)
    };
    let all: Vec<(f64, f64, bool)> = (-steps - 1..=steps + 1).map(at).collect();
    let is_best = |three: &&[(f64, f64, bool)]| three[0].0 < three[1].0 && three[2].0 <= three[1].0;
    all.windows(3).filter(is_best).map(|three| three[1]).collect()
}

/// Whether mains and subwoofers of an ensemble both play a frequency in hertz, by their filters and lower limits.
fn both_play(scene: &Scene, ensemble: &Ensemble<'_>, hz: f64) -> bool {
    let plays = |speakers: &[SpeakerId]| {
        let level = |&id: &SpeakerId| energy_db(scene[id].chain.filters(hz).norm_sqr());
        speakers.iter().map(level).any(|db| OVERLAP_DB <= db)
    };
    plays(&ensemble.mains) && plays(&ensemble.subwoofers)
}
