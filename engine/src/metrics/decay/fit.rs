//! Decay times: a straight line through a stretch of the decay curve.

use super::schroeder::SchroederCurve;
use super::unavailable::Unavailable;

/// The stretch of a decay curve that a decay time is read from, decibels below its start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EvaluationRange {
    /// Upper end, decibels.
    pub upper_db: f64,
    /// Lower end, decibels.
    pub lower_db: f64,
}

/// A line laid through a range of a decay curve by least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DecayTime {
    /// Time for 60 dB at the slope of the line, seconds.
    pub time_s: f64,
    /// Non-linearity parameter ξ = 1000·(1 − r²), per mille (ISO 3382-2, annex B, from memory).
    pub nonlinearity_per_mille: f64,
    /// Points of the curve that the line was laid through.
    pub points: usize,
}

impl EvaluationRange {
    /// Early decay time: 0 to −10 dB (ISO 3382-1, from memory; so are the others).
    pub const EDT: Self = Self { upper_db: 0.0, lower_db: -10.0 };
    /// T20: −5 to −25 dB.
    pub const T20: Self = Self { upper_db: -5.0, lower_db: -25.0 };
    /// T30: −5 to −35 dB.
    pub const T30: Self = Self { upper_db: -5.0, lower_db: -35.0 };

    /// The decay time over this range of a curve.
    ///
    /// # Errors
    ///
    /// [`Unavailable::TooShort`] where the curve is not known down to [`MARGIN_DB`] below the range;
    /// [`Unavailable::NothingLate`] where nothing arrives but the first bin; [`Unavailable::TooFewPoints`]
    /// where fewer than three points lie in the range or they stop well short of its lower end.
    pub fn decay_time(self, curve: &SchroederCurve) -> Result<DecayTime, Unavailable> {
        let reached_db = curve.reached_db();
        if reached_db > self.lower_db - MARGIN_DB + LEVEL_ROUNDING_DB {
            return Err(Unavailable::TooShort { reached_db });
        }
        if curve.level_db().nth(1).is_none_or(|level| level < EMPTY_DB) {
            return Err(Unavailable::NothingLate);
        }
        let inside = |level: f64| {
            level <= self.upper_db + LEVEL_ROUNDING_DB && level >= self.lower_db - LEVEL_ROUNDING_DB
        };
        let bin_s = curve.bin_s();
        let points: Vec<(f64, f64)> = curve
            .level_db()
            .enumerate()
            .filter(|&(_, level)| inside(level))
            .map(|(edge, level)| (edge as f64 * bin_s, level))
            .collect();
        let span_db = self.upper_db - self.lower_db;
        let ends_well =
            points.last().is_some_and(|p| p.1 - self.lower_db <= GREATEST_GAP * span_db);
        if points.len() < FEWEST_POINTS || !ends_well {
            return Err(Unavailable::TooFewPoints { points: points.len() });
        }
        least_squares(&points).ok_or(Unavailable::NothingDecays)
    }
}

impl DecayTime {
    /// Non-linearity above which a decay is called curved: 10 ‰ (ISO 3382-2, from memory).
    pub const STRAIGHT_PER_MILLE: f64 = 10.0;

    /// Whether the curve is straight enough over the range for one decay time to describe it.
    pub fn is_straight(&self) -> bool {
        self.nonlinearity_per_mille <= Self::STRAIGHT_PER_MILLE
    }
}

/// Margin by which a decay must be known below the range of a metric, decibels (ISO 3382-1 and
/// 3382-2, from memory: the lower end lies at least 10 dB above the floor).
pub const MARGIN_DB: f64 = 10.0;

/// Curvature C = 100·(T30/T20 − 1) in per cent (ISO 3382-2, annex B, from memory: 0 to 5 is
/// usual, above 10 the decay is far from straight).
pub fn curvature_percent(t20_s: f64, t30_s: f64) -> f64 {
    100.0 * (t30_s / t20_s - 1.0)
}

/// Room for the rounding of a level that is meant to sit exactly on an end, decibels.
const LEVEL_ROUNDING_DB: f64 = 1e-9;
/// A line through fewer points says nothing of how straight they lie.
const FEWEST_POINTS: usize = 3;
/// Part of a range that may be without points at its lower end.
const GREATEST_GAP: f64 = 0.1;
/// Below this the rest is rounding of what came first, decibels.
const EMPTY_DB: f64 = -140.0;

fn least_squares(points: &[(f64, f64)]) -> Option<DecayTime> {
    let count = points.len() as f64;
    let mean_time = points.iter().map(|p| p.0).sum::<f64>() / count;
    let mean_level = points.iter().map(|p| p.1).sum::<f64>() / count;
    let (mut times, mut levels, mut both) = (0.0, 0.0, 0.0);
    for (time, level) in points {
        let (t, l) = (time - mean_time, level - mean_level);
        times += t * t;
        levels += l * l;
        both += t * l;
    }
    let time_s = -60.0 * times / both;
    let unexplained = (1.0 - both * both / (times * levels)).max(0.0);
    (time_s.is_finite() && time_s > 0.0 && unexplained.is_finite()).then_some(DecayTime {
        time_s,
        nonlinearity_per_mille: 1000.0 * unexplained,
        points: points.len(),
    })
}
