//! Responses on a grid that is fine enough to be drawn.

use super::grid::refined_hz;
use super::level::level_db;
use super::transfer_functions::{
    Solution, WaveField, WaveFieldRequest, pairs_within, pressure, spread_db,
};
use crate::progress::Progress;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::FieldAtReceivers;
use num_complex::Complex64;
use std::ops::Range;

/// Responses on a grid that is fine enough to be drawn; their figures are those of the
/// [`WaveField`] on the frequencies that were asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseCurves {
    /// Frequencies, hertz: those asked for and some between them.
    pub hz: Vec<f64>,
    /// For each listener, each speaker of the request, then each stereo pair of which both are in it.
    pub curves: Vec<ResponseCurve>,
}

/// Response of one speaker, or of a pair with one signal, at one seat.
#[derive(Debug, Clone, PartialEq)]
pub struct ResponseCurve {
    /// One speaker, or the left and the right one.
    pub speakers: Vec<SpeakerId>,
    /// The listener.
    pub listener: ListenerId,
    /// Level at the middle of the head re one speaker's own at 1 m in a free field, decibels.
    pub level_db: Vec<f64>,
    /// Least and greatest level over the cube about the head, decibels.
    pub spread_db: Vec<[f64; 2]>,
}

/// As [`solve_wave_field`](super::transfer_functions::solve_wave_field), with the responses on a finer grid between the same frequencies, to be drawn.
///
/// # Errors
/// As [`solve_wave_field`](super::transfer_functions::solve_wave_field), of which this is several times the work.
pub fn solve_wave_field_finely(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &WaveFieldRequest,
    progress: &dyn Progress,
) -> Result<(WaveField, ResponseCurves), WaveFieldError> {
    let refined = refined_hz(&request.hz);
    let mut solution = Solution::of(scene, variant, request, &refined, progress)?;
    let curves = ResponseCurves::of(scene, request, &refined, &solution.fields, &solution.points);
    let is_asked = |hz: &f64| request.hz.iter().any(|asked| asked.total_cmp(hz).is_eq());
    let mut hz = refined.iter();
    solution.fields.retain(|_| hz.next().is_some_and(is_asked));
    Ok((solution.wave_field(scene, variant, request), curves))
}

impl ResponseCurves {
    /// Of fields at these frequencies, hertz, and the receivers of each listener.
    fn of(
        scene: &Scene,
        request: &WaveFieldRequest,
        hz: &[f64],
        fields: &[FieldAtReceivers],
        points: &[Range<usize>],
    ) -> Self {
        let mut curves = Vec::new();
        for (&listener, points) in request.listeners.iter().zip(points) {
            let curve = |speakers: &[SpeakerId], sources: &[usize]| {
                ResponseCurve::new(speakers, listener, &pressure(fields, sources, points))
            };
            let alone = request.speakers.iter().enumerate();
            curves.extend(alone.map(|(source, &speaker)| curve(&[speaker], &[source])));
            let pairs = pairs_within(scene, request);
            curves.extend(pairs.map(|(_, speakers, sources)| curve(&speakers, &sources)));
        }
        Self { hz: hz.to_vec(), curves }
    }

    /// The response of one speaker, or of the left and right one of a pair, at a listener of the request.
    pub fn of_speakers(
        &self,
        speakers: &[SpeakerId],
        listener: ListenerId,
    ) -> Option<&ResponseCurve> {
        self.curves.iter().find(|curve| curve.listener == listener && curve.speakers == speakers)
    }
}

impl ResponseCurve {
    fn new(speakers: &[SpeakerId], listener: ListenerId, points: &[Vec<Complex64>]) -> Self {
        let middle = points.first().into_iter().flatten();
        Self {
            speakers: speakers.to_vec(),
            listener,
            level_db: middle.copied().map(level_db).collect(),
            spread_db: spread_db(points),
        }
    }
}
