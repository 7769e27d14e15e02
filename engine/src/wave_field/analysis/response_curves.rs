//! Responses on a grid that is fine enough to be drawn.

use super::level::{level_db, spread_db};
use crate::scene::{ListenerId, SpeakerId};
use num_complex::Complex64;

/// Responses on a grid that is fine enough to be drawn.
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

impl ResponseCurves {
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
    /// From the pressure at every point of a head, its middle first.
    pub(super) fn new(
        speakers: &[SpeakerId],
        listener: ListenerId,
        points: &[Vec<Complex64>],
    ) -> Self {
        let middle = points.first().into_iter().flatten();
        Self {
            speakers: speakers.to_vec(),
            listener,
            level_db: middle.copied().map(level_db).collect(),
            spread_db: spread_db(points),
        }
    }
}
