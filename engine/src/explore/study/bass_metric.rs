//! Metrics of the wave field.

use crate::medium::bands::energy_db;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant, named_pairs};
use crate::simulate::defaults::WAVE_FIELD_HZ;
use crate::wave_field::{
    HIGHEST_HZ, SpeakerSources, UNEVENNESS_BAND_HZ, WaveFieldError, WaveFieldSolver, deepest_dip,
    log_spaced_hz, unevenness_db, unevenness_range_hz,
};
use glam::DVec3;
use num_complex::Complex64;

/// A figure of the bass that one speaker brings to one listener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BassMetric {
    /// Level at a frequency in hertz, relative to the speaker's own at 1 m in the open, decibels.
    Level(f64),
    /// Standard deviation of its level over [`UNEVENNESS_BAND_HZ`], decibels.
    Unevenness,
    /// Standard deviation over the same range with both speakers of the pair and all subwoofers playing the
    /// same signal.
    PairUnevenness,
    /// Frequency of the deepest dip within [`UNEVENNESS_BAND_HZ`], hertz.
    DipHz,
    /// Its level against the mean of an octave about it, decibels.
    DipLevel,
}

/// Dips are held against half an octave to either side, and a little for the last step.
const ABOUT: f64 = 1.5;

/// The wave field at every speaker and listener that is needed.
pub(super) struct SolvedBass {
    hz: Vec<f64>,
    /// For each listener, for each speaker of the scene, the pressure at each frequency.
    pressure: Vec<Vec<Vec<Complex64>>>,
}

impl SolvedBass {
    /// Solves what these figures need, at some listeners of the scene.
    ///
    /// # Errors
    /// As [`WaveFieldSolver::new`].
    pub(super) fn new(
        scene: &Scene,
        variant: &Variant<'_>,
        figures: &[BassMetric],
        listeners: &[ListenerId],
    ) -> Result<Self, WaveFieldError> {
        let hz = frequencies(figures);
        let speakers: Vec<SpeakerId> = scene.speaker_ids().collect();
        let sources = SpeakerSources::new(scene, &speakers);
        let heads: Vec<DVec3> = listeners.iter().map(|&l| scene[l].at).collect();
        let tones = WaveFieldSolver::new(scene, variant, &hz)?.pressure(sources.points(), &heads);
        let tones: Vec<Vec<Vec<Complex64>>> =
            hz.iter().zip(&tones).map(|(&hz, tone)| sources.combined(hz, tone)).collect();
        let of = |listener: usize, speaker: usize| -> Vec<Complex64> {
            tones.iter().map(|tone| tone[speaker][listener]).collect()
        };
        let at = |listener| (0..speakers.len()).map(|speaker| of(listener, speaker)).collect();
        Ok(Self { pressure: (0..heads.len()).map(at).collect(), hz })
    }

    /// The value for a speaker at the listener of this place; `None` for a speaker that is in no pair,
    /// and where the level has no dip.
    pub(super) fn value(
        &self,
        scene: &Scene,
        figure: BassMetric,
        (speaker, place): (SpeakerId, usize),
    ) -> Option<f64> {
        let at_ear = |speaker: SpeakerId| &self.pressure[place][speaker.index()];
        let level = |pressure: &Complex64| energy_db(pressure.norm_sqr());
        let alone = || self.in_steps(|tone| level(&at_ear(speaker)[tone]));
        match figure {
            BassMetric::Level(hz) => {
                let tone = self.hz.iter().position(|known| *known >= hz)?;
                Some(level(&at_ear(speaker)[tone])).filter(|db| db.is_finite())
            }
            BassMetric::Unevenness => {
                let (hz, levels) = alone();
                unevenness_db(&hz, &levels, unevenness_range_hz(scene, &[speaker]))
            }
            BassMetric::PairUnevenness => {
                let mut pairs = named_pairs(scene).into_iter().map(|(_, pair)| pair);
                let pair = pairs.find(|pair| pair.contains(&speaker))?;
                let all = scene.with_subwoofers(&pair);
                let sum = |tone: usize| level(&all.iter().map(|&id| at_ear(id)[tone]).sum());
                let (hz, levels) = self.in_steps(sum);
                unevenness_db(&hz, &levels, unevenness_range_hz(scene, &all))
            }
            BassMetric::DipHz | BassMetric::DipLevel => {
                let (hz, levels) = alone();
                let (at_hz, db) =
                    deepest_dip(&hz, &levels, unevenness_range_hz(scene, &[speaker]))?;
                Some(if figure == BassMetric::DipHz { at_hz } else { db })
            }
        }
    }

    /// Level at each of the even frequency steps; single frequencies besides them are left out.
    fn in_steps(&self, level: impl Fn(usize) -> f64) -> (Vec<f64>, Vec<f64>) {
        let steps = steps();
        let kept = (0..self.hz.len()).filter(|&tone| steps.contains(&self.hz[tone]));
        kept.map(|tone| (self.hz[tone], level(tone))).unzip()
    }
}

fn steps() -> Vec<f64> {
    log_spaced_hz(f64::from(WAVE_FIELD_HZ[0]), HIGHEST_HZ)
}

/// Every frequency that figures need, rising.
fn frequencies(figures: &[BassMetric]) -> Vec<f64> {
    let mut hz = Vec::new();
    let within = |low: f64, high: f64| steps().into_iter().filter(move |f| low <= *f && *f <= high);
    for figure in figures {
        match figure {
            BassMetric::Level(at) => hz.push(*at),
            BassMetric::Unevenness | BassMetric::PairUnevenness => {
                hz.extend(within(UNEVENNESS_BAND_HZ[0], UNEVENNESS_BAND_HZ[1]));
            }
            BassMetric::DipHz | BassMetric::DipLevel => {
                hz.extend(within(UNEVENNESS_BAND_HZ[0] / ABOUT, UNEVENNESS_BAND_HZ[1] * ABOUT));
            }
        }
    }
    hz.sort_by(f64::total_cmp);
    hz.dedup();
    hz
}
