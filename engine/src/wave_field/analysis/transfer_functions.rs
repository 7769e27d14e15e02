//! Transfer functions from the speakers of a scene to its seats.

use super::damped_modes::{DampedMode, damped_modes};
use super::extrema::{Extremum, SeatSolution, extrema};
use super::grid::refined_hz;
use super::level::{level_db, spread_db, unevenness_db, unevenness_range_hz};
use super::response_curves::{ResponseCurve, ResponseCurves};
use super::subwoofers::{Overlap, SubwooferAlignment, SubwooferSum};
use super::sum_groups::{SumGroup, SumGroups};
use crate::progress::Progress;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::wave_field::limits::{WaveFieldError, schroeder_hz};
use crate::wave_field::solver::{FieldAtReceivers, WaveFieldSolver};
use crate::wave_field::speaker_sources::SpeakerSources;
use glam::DVec3;
use num_complex::Complex64;
use std::f64::consts::TAU;
use std::ops::Range;

/// Request for the wave field at the seats.
#[derive(Debug, Clone, PartialEq)]
pub struct WaveFieldRequest {
    /// The speakers.
    pub speakers: Vec<SpeakerId>,
    /// The listeners.
    pub listeners: Vec<ListenerId>,
    /// Frequencies in hertz, rising, within [`LOWEST_HZ`](crate::wave_field::LOWEST_HZ) to
    /// [`HIGHEST_HZ`](crate::wave_field::HIGHEST_HZ).
    pub hz: Vec<f64>,
    /// Half the side of the cube in which the head moves, metres: the spread is over 3 × 3 × 3 points of
    /// it. Nought for no spread.
    pub head_half_m: f64,
    /// Up to this frequency in hertz there are finer curves to be drawn, at two to six times the frequencies;
    /// `None` for no curves.
    pub curves_to_hz: Option<f64>,
}

/// Wave field at the seats.
#[derive(Debug, Clone, PartialEq)]
pub struct WaveField {
    /// Frequencies, hertz.
    pub hz: Vec<f64>,
    /// For each listener of the request, each speaker of the request.
    pub pairs: Vec<TransferFunction>,
    /// For each listener, what plays together of the speakers of the request, where that is more than one
    /// ([`Scene::ensembles`]).
    pub coherent_sums: Vec<CoherentSum>,
    /// For each listener, where subwoofers play along: each pair without them, and they alone where there are several.
    pub partial_sums: Vec<CoherentSum>,
    /// For each listener, each pair or speaker that subwoofers play along with: how they add up.
    pub subwoofer_sums: Vec<SubwooferSum>,
    /// Setting of the subwoofers that adds up best at all listeners together, for the first pair or speaker that they
    /// play along with; `None` where there is none, or where no frequency is played by both.
    pub subwoofer_alignment: Option<SubwooferAlignment>,
    /// Modes up to the highest frequency, by rising frequency.
    pub modes: Vec<DampedMode>,
    /// Schroeder frequency in hertz; `None` in a room that does not absorb.
    pub schroeder_hz: Option<f64>,
    /// Names of the objects in the room that the solution neglects.
    pub neglected: Vec<String>,
    /// The levels on a finer grid, where that was asked for; every figure is from the frequencies above.
    pub curves: Option<ResponseCurves>,
}

/// Transfer function from one speaker to one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct TransferFunction {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// Pressure at the middle of the head re the speaker's own at 1 m in a free field; phase for
    /// e^(jωt), zero at the speaker.
    pub pressure: Vec<Complex64>,
    /// Level of that pressure, decibels.
    pub level_db: Vec<f64>,
    /// Least and greatest level over the cube about the head, decibels.
    pub spread_db: Vec<[f64; 2]>,
    /// Group delay −dφ/dω at the middle of the head, milliseconds.
    pub group_delay_ms: Vec<f64>,
    /// Range of the unevenness, hertz: what plays of it.
    pub range_hz: [f64; 2],
    /// Standard deviation of the level, decibels; see [`unevenness_db`].
    pub unevenness_db: Option<f64>,
    /// Peaks and dips with their causes.
    pub extrema: Vec<Extremum>,
}

/// Coherent sum of speakers with one signal at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct CoherentSum {
    /// Name of the pair, or of the speaker that subwoofers play along with; `None` for subwoofers alone.
    pub name: Option<String>,
    /// The speakers: left and right one of a pair, then subwoofers.
    pub speakers: Vec<SpeakerId>,
    /// The listener.
    pub listener: ListenerId,
    /// Level at the middle of the head re one speaker's own at 1 m in a free field, decibels.
    pub level_db: Vec<f64>,
    /// Least and greatest level over the cube about the head, decibels.
    pub spread_db: Vec<[f64; 2]>,
    /// Range of the unevenness, hertz: what plays of it.
    pub range_hz: [f64; 2],
    /// Standard deviation of the level, decibels; see [`unevenness_db`].
    pub unevenness_db: Option<f64>,
    /// Peaks and dips with their causes.
    pub extrema: Vec<Extremum>,
}

/// Solves for the wave field of a scene in one of its states.
///
/// # Errors
/// A speaker or listener that the scene does not have, work that `progress` does not accept, and as
/// [`WaveFieldSolver::new`].
pub fn solve_wave_field(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &WaveFieldRequest,
    progress: &dyn Progress,
) -> Result<WaveField, WaveFieldError> {
    let refined = request.curves_to_hz.map(|to_hz| refined_hz(&request.hz, to_hz));
    let Some(refined) = refined else {
        let solution = Solution::of(scene, variant, request, &request.hz, progress)?;
        return Ok(solution.wave_field(scene, variant, request));
    };
    let mut solution = Solution::of(scene, variant, request, &refined, progress)?;
    let curves = solution.curves(scene, request, &refined);
    let is_asked = |hz: &f64| request.hz.iter().any(|asked| asked.total_cmp(hz).is_eq());
    let mut hz = refined.iter();
    solution.fields.retain(|_| hz.next().is_some_and(is_asked));
    Ok(WaveField { curves: Some(curves), ..solution.wave_field(scene, variant, request) })
}

/// Fields at every point of every head.
struct Solution {
    solver: WaveFieldSolver,
    /// Frequency by frequency.
    fields: Vec<FieldAtReceivers>,
    /// Receivers of each listener of the request, the middle of the head first.
    points: Vec<Range<usize>>,
}

impl Solution {
    /// At these frequencies, hertz, in place of the request's.
    fn of(
        scene: &Scene,
        variant: &Variant<'_>,
        request: &WaveFieldRequest,
        hz: &[f64],
        progress: &dyn Progress,
    ) -> Result<Self, WaveFieldError> {
        check_ids(scene, request)?;
        let solver = WaveFieldSolver::new(scene, variant, hz)?;
        let sources = SpeakerSources::new(scene, &request.speakers);
        let mut receivers: Vec<DVec3> = Vec::new();
        let mut points = Vec::new();
        for &listener in &request.listeners {
            let first = receivers.len();
            receivers.extend(head_points(scene, &solver, scene[listener].at, request.head_half_m));
            points.push(first..receivers.len());
        }
        let solved = || progress.advance(1);
        let fields = solver.announced(progress)?.field(sources.points(), &receivers, &solved);
        let fields = hz.iter().zip(&fields).map(|(&hz, field)| sources.field(hz, field)).collect();
        Ok(Self { solver, fields, points })
    }

    /// The levels at every frequency of the fields, hertz.
    fn curves(&self, scene: &Scene, request: &WaveFieldRequest, hz: &[f64]) -> ResponseCurves {
        let mut curves = Vec::new();
        for (&listener, points) in request.listeners.iter().zip(&self.points) {
            let curve = |speakers: &[SpeakerId], sources: &[usize]| {
                ResponseCurve::new(speakers, listener, &pressure(&self.fields, sources, points))
            };
            let alone = request.speakers.iter().enumerate();
            curves.extend(alone.map(|(source, &speaker)| curve(&[speaker], &[source])));
            let groups = SumGroups::of(scene, &request.speakers);
            let sums = groups.together.iter().chain(&groups.parts);
            curves.extend(sums.map(|sum| curve(&sum.speakers, &sum.sources)));
        }
        ResponseCurves { hz: hz.to_vec(), curves }
    }

    /// What is read off the fields, which are those at the frequencies of the request.
    fn wave_field(
        &self,
        scene: &Scene,
        variant: &Variant<'_>,
        request: &WaveFieldRequest,
    ) -> WaveField {
        let Self { solver, fields, .. } = self;
        let mut pairs = Vec::new();
        let groups = SumGroups::of(scene, &request.speakers);
        let (mut coherent_sums, mut partial_sums) = (Vec::new(), Vec::new());
        let mut overlaps = Vec::new();
        for (&listener, points) in request.listeners.iter().zip(&self.points) {
            let seat = SeatSolution { scene, solver, fields, sources: &[], listener };
            for (source, &speaker) in request.speakers.iter().enumerate() {
                let pressure = pressure(fields, &[source], points);
                let seat = SeatSolution { sources: &[(source, speaker)], ..seat };
                let extrema = extrema(&seat, &request.hz, &pressure[0]);
                let ends = (speaker, listener);
                let range_hz = unevenness_range_hz(scene, &[speaker]);
                pairs.push(TransferFunction::new(&request.hz, ends, &pressure, extrema, range_hz));
            }
            let sum = |group: &SumGroup| coherent_sum(&seat, &request.hz, group, points);
            coherent_sums.extend(groups.together.iter().map(sum));
            partial_sums.extend(groups.parts.iter().map(sum));
            let here = (&request.speakers[..], listener);
            overlaps.extend(Overlap::at_listener(scene, here, &request.hz, fields, points.start));
        }
        WaveField {
            hz: request.hz.clone(),
            pairs,
            coherent_sums,
            partial_sums,
            subwoofer_sums: overlaps.iter().map(|overlap| overlap.sum(&request.hz)).collect(),
            subwoofer_alignment: SubwooferAlignment::best(&request.hz, &overlaps),
            modes: damped_modes(scene, solver, request.hz.last().copied().unwrap_or(0.0)),
            schroeder_hz: schroeder_hz(scene, variant),
            neglected: solver.neglected().to_vec(),
            curves: None,
        }
    }
}

/// Pressure of several sources with one signal at some of the receivers, frequency by frequency.
fn pressure(
    fields: &[FieldAtReceivers],
    sources: &[usize],
    points: &Range<usize>,
) -> Vec<Vec<Complex64>> {
    let at = |point: usize| -> Vec<Complex64> {
        let sum = |field: &FieldAtReceivers| {
            sources.iter().map(|&source| field.pressure[source][point]).sum()
        };
        fields.iter().map(sum).collect()
    };
    points.clone().map(at).collect()
}

fn check_ids(scene: &Scene, request: &WaveFieldRequest) -> Result<(), WaveFieldError> {
    if request.speakers.iter().all(|&id| scene.speaker(id).is_some())
        && request.listeners.iter().all(|&id| scene.listener(id).is_some())
    {
        Ok(())
    } else {
        Err(WaveFieldError::UnknownPosition)
    }
}

/// Points of the cube about a head, its middle first; those outside the room or inside a solid body are left out.
fn head_points(scene: &Scene, solver: &WaveFieldSolver, middle: DVec3, half_m: f64) -> Vec<DVec3> {
    let mut points = vec![middle];
    if half_m <= 0.0 {
        return points;
    }
    let room = scene.room().size();
    for x in [-1.0, 0.0, 1.0] {
        for y in [-1.0, 0.0, 1.0] {
            for z in [-1.0, 0.0, 1.0] {
                let point = middle + half_m * DVec3::new(x, y, z);
                let is_inside = point.cmpge(DVec3::ZERO).all() && point.cmple(room).all();
                if is_inside && point != middle && !solver.is_in_a_body(point) {
                    points.push(point);
                }
            }
        }
    }
    points
}

impl WaveField {
    /// Level at one listener of the coherent sum of speakers of the request, decibels re one speaker's
    /// own at 1 m in a free field; speakers that are not in the request are ignored.
    pub fn coherent_sum_db(&self, speakers: &[SpeakerId], listener: ListenerId) -> Vec<f64> {
        let is_in_sum = |pair: &&TransferFunction| {
            pair.listener == listener && speakers.contains(&pair.speaker)
        };
        let pairs: Vec<&TransferFunction> = self.pairs.iter().filter(is_in_sum).collect();
        let sum = |i: usize| pairs.iter().map(|pair| pair.pressure[i]).sum::<Complex64>();
        (0..self.hz.len()).map(|i| level_db(sum(i))).collect()
    }
}

impl TransferFunction {
    /// From the pressure at every point of the head, its middle first.
    fn new(
        hz: &[f64],
        (speaker, listener): (SpeakerId, ListenerId),
        points: &[Vec<Complex64>],
        extrema: Vec<Extremum>,
        range_hz: [f64; 2],
    ) -> Self {
        let pressure = points.first().cloned().unwrap_or_default();
        let level_db: Vec<f64> = pressure.iter().copied().map(level_db).collect();
        Self {
            speaker,
            listener,
            group_delay_ms: group_delay_ms(hz, &pressure),
            range_hz,
            unevenness_db: unevenness_db(hz, &level_db, range_hz),
            spread_db: spread_db(points),
            pressure,
            level_db,
            extrema,
        }
    }
}

/// Group delay −dφ/dω by central differences of the phase, each difference within ±π.
fn group_delay_ms(hz: &[f64], pressure: &[Complex64]) -> Vec<f64> {
    let delay_ms = |a: usize, b: usize| {
        let phase = (pressure[b] / pressure[a]).arg();
        -1e3 * phase / (TAU * (hz[b] - hz[a]))
    };
    let last = hz.len().saturating_sub(1);
    let at = |i: usize| {
        if last == 0 { 0.0 } else { delay_ms(i.saturating_sub(1), (i + 1).min(last)) }
    };
    (0..hz.len()).map(at).collect()
}

fn coherent_sum(
    seat: &SeatSolution<'_>,
    hz: &[f64],
    group: &SumGroup,
    points: &Range<usize>,
) -> CoherentSum {
    let pressure = pressure(seat.fields, &group.sources, points);
    let middle = pressure.first().map_or(&[][..], Vec::as_slice);
    let level_db: Vec<f64> = middle.iter().copied().map(level_db).collect();
    let sources = group.sources.iter().copied().zip(group.speakers.iter().copied());
    let sources: Vec<(usize, SpeakerId)> = sources.collect();
    let seat = SeatSolution { sources: &sources, ..*seat };
    let range_hz = unevenness_range_hz(seat.scene, &group.speakers);
    CoherentSum {
        name: group.name.clone(),
        speakers: group.speakers.clone(),
        listener: seat.listener,
        range_hz,
        unevenness_db: unevenness_db(hz, &level_db, range_hz),
        spread_db: spread_db(&pressure),
        extrema: extrema(&seat, hz, middle),
        level_db,
    }
}
