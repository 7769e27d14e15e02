//! The response of a scene's speakers at its seats, and what is made of it.

pub(super) mod dip;
pub(super) mod effective_range;
pub(super) mod extrema;
pub(super) mod modal_spacing;
pub(super) mod narrow_band_decay;
pub(super) mod pressure_map;
pub(super) mod seat_map;
mod sources;
pub(super) mod summary;

use crate::analysis::room_summary::named_pairs;
use crate::metrics::absorbing_areas::absorbing_areas;
use crate::metrics::diffuse_field::diffuse_field;
use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::extrema::{Extremum, extrema};
use crate::wave_field::modes::{Mode, modes_up_to};
use crate::wave_field::solver::{BoundarySolver, FieldAtReceivers};
use crate::wave_field::wave_field_solver::WaveFieldSolver;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;
use thiserror::Error;

/// What to solve.
#[derive(Debug, Clone, PartialEq)]
pub struct WaveFieldRequest {
    /// Indices of the speakers, in [`Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Indices of the listeners, in [`Scene::listeners`].
    pub listeners: Vec<usize>,
    /// Frequencies in hertz, rising, within [`LOWEST_HZ`] to [`HIGHEST_HZ`].
    pub hz: Vec<f64>,
    /// The head moves so far either way along x, y and z, metres: the spread is over the middle and
    /// the faces, edges and corners of that box, 27 points. Nought for no spread.
    pub head_half_m: f64,
}

/// The lowest frequency solved for, hertz.
pub const LOWEST_HZ: f64 = 10.0;
/// The highest, hertz.
pub const HIGHEST_HZ: f64 = 500.0;
/// Unevenness is taken over these frequencies, hertz.
pub const UNEVENNESS_BAND_HZ: [f64; 2] = [30.0, 200.0];

/// What bass does at every seat.
#[derive(Debug, Clone, PartialEq)]
pub struct WaveField {
    /// Frequencies in hertz.
    pub hz: Vec<f64>,
    /// For each listener of the plan, each speaker of the plan.
    pub pairs: Vec<TransferFunction>,
    /// For each listener, each pair of speakers of which both are in the plan, sounding together.
    pub coherent_sums: Vec<CoherentSum>,
    /// The room's modes up to the highest frequency, in rising order.
    pub modes: Vec<DampedMode>,
    /// Schroeder frequency in hertz; `None` where nothing absorbs.
    pub schroeder_hz: Option<f64>,
    /// Names of what stands in the room and is not in the solution.
    pub neglected: Vec<String>,
}

/// One speaker at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct TransferFunction {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Pressure at the middle of the head relative to the speaker's own at 1 m in a free field; phase
    /// for e^(jωt), zero at the speaker.
    pub pressure: Vec<Complex64>,
    /// Its level, decibels.
    pub level_db: Vec<f64>,
    /// Least and greatest level over the box about the head, decibels.
    pub spread_db: Vec<[f64; 2]>,
    /// Group delay −dφ/dω at the middle of the head, milliseconds.
    pub group_delay_ms: Vec<f64>,
    /// Standard deviation of the level over [`UNEVENNESS_BAND_HZ`], decibels.
    pub unevenness_db: Option<f64>,
    /// Peaks and dips with what makes them.
    pub extrema: Vec<Extremum>,
}

/// Both speakers of a pair sounding alike, at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct CoherentSum {
    /// The pair's name.
    pub name: String,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// Level of the sum at the middle of the head relative to one speaker's own at 1 m in a free field,
    /// decibels.
    pub level_db: Vec<f64>,
    /// Least and greatest level over the box about the head, decibels.
    pub spread_db: Vec<[f64; 2]>,
    /// Standard deviation of the level over [`UNEVENNESS_BAND_HZ`], decibels.
    pub unevenness_db: Option<f64>,
}

/// A mode with how long it rings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DampedMode {
    /// The mode.
    pub mode: Mode,
    /// Its frequency in a rigid room, hertz.
    pub hz: f64,
    /// Decay time to −60 dB, seconds, to first order; `None` without damping.
    pub decay_s: Option<f64>,
}

/// Why a plan cannot be solved.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum WaveFieldError {
    /// The plan names a speaker or listener the scene does not have.
    #[error("the plan asks for a speaker or listener that the scene does not have")]
    UnknownPosition,
    /// Frequencies do not rise, or lie outside.
    #[error("frequencies must rise from {LOWEST_HZ} Hz or more to at most {HIGHEST_HZ} Hz")]
    InvalidFrequencies,
    /// So many modes that the solution would take too long.
    #[error(
        "a room of this size has {modes} modes up to there; at most {MAX_MODES} are solved for: ask for a lower highest frequency"
    )]
    TooManyModes {
        /// Modes up to the highest frequency.
        modes: usize,
    },
    /// Too narrow a range of frequencies for what is asked.
    #[error(
        "too few frequencies for this; ask for a wider range with a lower lowest or a higher highest one"
    )]
    TooFewFrequencies,
}

/// Modes up to the highest frequency asked for, at most.
pub const MAX_MODES: usize = 1500;

/// Frequencies from one to another in steps of 1/24 octave, hertz; none where the second is below the
/// first.
pub fn log_spaced_hz(from_hz: f64, to_hz: f64) -> Vec<f64> {
    if !(0.0 < from_hz && from_hz <= to_hz && to_hz.is_finite()) {
        return Vec::new();
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
    let steps = (24.0 * (to_hz / from_hz).log2() + 1e-9) as u32;
    (0..=steps).map(|step| from_hz * 2f64.powf(f64::from(step) / 24.0)).collect()
}

/// Solves a scene in one of its states.
///
/// # Errors
/// What the plan asks for cannot be solved.
pub fn solve_wave_field(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &WaveFieldRequest,
) -> Result<WaveField, WaveFieldError> {
    check(scene, plan)?;
    let solver = WaveFieldSolver::new(scene, variant, &plan.hz)?.solver;
    let sources: Vec<DVec3> = plan.speakers.iter().map(|&i| scene.speakers()[i].at).collect();
    let heads: Vec<Vec<DVec3>> = plan
        .listeners
        .iter()
        .map(|&i| head_box(scene, scene.listeners()[i].at, plan.head_half_m))
        .collect();
    let receivers: Vec<DVec3> = heads.iter().flatten().copied().collect();
    let heard = solver.field(&sources, &receivers);
    let mut found = WaveField {
        hz: plan.hz.clone(),
        pairs: Vec::new(),
        coherent_sums: Vec::new(),
        modes: mode_rows(scene, &solver, &plan.hz),
        schroeder_hz: schroeder_hz(scene, variant),
        neglected: neglected(scene, variant),
    };
    let mut first = 0;
    for (&listener, points) in plan.listeners.iter().zip(&heads) {
        let points = first..first + points.len();
        first = points.end;
        for (source, &speaker) in plan.speakers.iter().enumerate() {
            let at = |point: usize| -> Vec<Complex64> {
                heard.iter().map(|tone| tone.pressure[source][point]).collect()
            };
            let all: Vec<Vec<Complex64>> = points.clone().map(at).collect();
            let curve = (plan.hz.as_slice(), all[0].as_slice());
            let extrema = extrema(scene, (&solver, &heard), curve, (source, speaker), listener);
            found.pairs.push(TransferFunction::new(&plan.hz, [speaker, listener], &all, extrema));
        }
        found.coherent_sums.extend(together(scene, plan, &heard, listener, points));
    }
    Ok(found)
}

fn check(scene: &Scene, plan: &WaveFieldRequest) -> Result<(), WaveFieldError> {
    let beyond = |wanted: &[usize], have: usize| wanted.iter().any(|&i| have <= i);
    if beyond(&plan.speakers, scene.speakers().len())
        || beyond(&plan.listeners, scene.listeners().len())
    {
        return Err(WaveFieldError::UnknownPosition);
    }
    Ok(())
}

/// The middle of the head first, then the rest of 3 × 3 × 3 points, those outside the room left out.
fn head_box(scene: &Scene, middle: DVec3, half_m: f64) -> Vec<DVec3> {
    let mut points = vec![middle];
    if half_m <= 0.0 {
        return points;
    }
    let room = scene.room().size();
    for x in [-1.0, 0.0, 1.0] {
        for y in [-1.0, 0.0, 1.0] {
            for z in [-1.0, 0.0, 1.0] {
                let point = middle + half_m * DVec3::new(x, y, z);
                let inside = point.cmpge(DVec3::ZERO).all() && point.cmple(room).all();
                if inside && point != middle {
                    points.push(point);
                }
            }
        }
    }
    points
}

fn level_db(pressure: Complex64) -> f64 {
    10.0 * pressure.norm_sqr().log10()
}

impl TransferFunction {
    fn new(
        hz: &[f64],
        [speaker, listener]: [usize; 2],
        points: &[Vec<Complex64>],
        extrema: Vec<Extremum>,
    ) -> Self {
        let pressure = points.first().cloned().unwrap_or_default();
        let level_db: Vec<f64> = pressure.iter().copied().map(level_db).collect();
        Self {
            speaker,
            listener,
            group_delay_ms: group_delay_ms(hz, &pressure),
            unevenness_db: unevenness_db(hz, &level_db),
            spread_db: spread_db(points),
            pressure,
            level_db,
            extrema,
        }
    }
}

/// Least and greatest level at each frequency over several points.
fn spread_db(points: &[Vec<Complex64>]) -> Vec<[f64; 2]> {
    let count = points.first().map_or(0, Vec::len);
    let at = |frequency: usize| {
        let levels = || points.iter().map(|point| level_db(point[frequency]));
        [levels().fold(f64::INFINITY, f64::min), levels().fold(f64::NEG_INFINITY, f64::max)]
    };
    (0..count).map(at).collect()
}

/// −dφ/dω from phase steps between neighbours, each turn taken the short way.
fn group_delay_ms(hz: &[f64], pressure: &[Complex64]) -> Vec<f64> {
    let slope = |a: usize, b: usize| {
        let turn = (pressure[b] / pressure[a]).arg();
        -1e3 * turn / (TAU * (hz[b] - hz[a]))
    };
    let last = hz.len().saturating_sub(1);
    (0..hz.len())
        .map(|i| if last == 0 { 0.0 } else { slope(i.saturating_sub(1), (i + 1).min(last)) })
        .collect()
}

/// Standard deviation of levels over [`UNEVENNESS_BAND_HZ`], decibels, every step counting alike; `None` where
/// fewer than three lie there. With steps of 1/24 octave every part of an octave counts alike.
pub fn unevenness_db(hz: &[f64], level_db: &[f64]) -> Option<f64> {
    let within = |hz: f64| (UNEVENNESS_BAND_HZ[0]..=UNEVENNESS_BAND_HZ[1]).contains(&hz);
    let levels: Vec<f64> =
        hz.iter().zip(level_db).filter(|(hz, _)| within(**hz)).map(|(_, db)| *db).collect();
    if levels.len() < 3 {
        return None;
    }
    let count = levels.len() as f64;
    let mean = levels.iter().sum::<f64>() / count;
    Some((levels.iter().map(|db| (db - mean).powi(2)).sum::<f64>() / count).sqrt())
}

/// Every pair of which both speakers are in the plan, at one listener's points.
fn together(
    scene: &Scene,
    plan: &WaveFieldRequest,
    heard: &[FieldAtReceivers],
    listener: usize,
    points: std::ops::Range<usize>,
) -> Vec<CoherentSum> {
    let place = |speaker: usize| plan.speakers.iter().position(|&other| other == speaker);
    let of_pair = |(name, [left, right]): (&str, [usize; 2])| {
        let (left, right) = (place(left)?, place(right)?);
        let at = |point: usize| -> Vec<Complex64> {
            heard
                .iter()
                .map(|tone| tone.pressure[left][point] + tone.pressure[right][point])
                .collect()
        };
        let all: Vec<Vec<Complex64>> = points.clone().map(at).collect();
        let level: Vec<f64> = all.first().into_iter().flatten().copied().map(level_db).collect();
        Some(CoherentSum {
            name: name.to_owned(),
            listener,
            unevenness_db: unevenness_db(&plan.hz, &level),
            spread_db: spread_db(&all),
            level_db: level,
        })
    };
    named_pairs(scene).into_iter().filter_map(of_pair).collect()
}

fn mode_rows(scene: &Scene, solver: &BoundarySolver, hz: &[f64]) -> Vec<DampedMode> {
    let speed = scene.air().speed_of_sound_m_s();
    let highest = TAU * hz.last().copied().unwrap_or(0.0) / speed;
    let modes =
        modes_up_to(scene.room(), highest).into_iter().filter(|mode| 0 < mode.varying_axes());
    modes
        .map(|mode| DampedMode { hz: mode.hz(speed), decay_s: solver.decay_s(&mode), mode })
        .collect()
}

pub(crate) fn schroeder_hz(scene: &Scene, variant: &Variant<'_>) -> Option<f64> {
    let air = scene.air();
    let absorbers = absorbing_areas(scene, variant);
    diffuse_field(scene.room(), air.speed_of_sound_m_s(), &air.attenuation_db_per_m(), &absorbers)
        .schroeder_hz
}

fn neglected(scene: &Scene, variant: &Variant<'_>) -> Vec<String> {
    let screens = variant.screens.iter().map(|screen| screen.name.clone());
    let furniture = variant.furniture.iter().map(|piece| piece.name.clone());
    let solid = scene.speakers().iter().filter(|speaker| speaker.solid.is_some());
    screens.chain(furniture).chain(solid.map(|s| format!("cabinet of {}", s.name))).collect()
}
