//! Figures of the direct sound and the list of reflections.

use crate::geometry::FaceId;
use crate::image_source::Arrival;
use crate::medium::bands::{EARLY_BANDS, energy_db};
use crate::metrics::criteria::{EarlyLimit, Verdict, is_within};
use crate::scene::Surface;
use crate::trace::{Direct, Reflection};

/// A figure of what arrives from one speaker at one listener.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReflectionMetric {
    /// Distance of speaker and head, metres.
    DirectDistance,
    /// Time of travel of the direct sound, seconds.
    DirectTime,
    /// Where the direct sound comes from, degrees, positive to the left.
    DirectAzimuth,
    /// Where it comes from, degrees, positive upward.
    DirectElevation,
    /// Its level relative to the speaker's own at 1 m on axis in the open, decibels.
    DirectLevel,
    /// How many reflections are listed.
    Listed,
    /// How many are louder than the limit allows, within its time.
    OverLimit,
    /// Delay of the first reflection after the direct sound, seconds.
    FirstDelay,
    /// Level of the strongest reflection within the limit's time, decibels re the direct sound.
    Strongest,
    /// Delay of that one, seconds.
    StrongestDelay,
    /// Energy of all listed reflections within the limit's time, decibels re the direct sound.
    EarlySum,
    /// Level of the strongest of the reflections that touch nothing but this surface of the room, or a
    /// panel on it, once; decibels re the direct sound.
    FirstFrom(Surface),
}

/// Over what a level is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelBands {
    /// The energy mean of 1 to 8 kHz, which the limits on early reflections speak of.
    Early,
    /// One octave band, by its index.
    Band(usize),
}

/// What a list figure is read from.
pub(super) struct ReflectionContext<'a> {
    pub(super) direct: &'a Direct,
    pub(super) reflections: &'a [Reflection],
    pub(super) limit: &'a EarlyLimit,
}

impl ReflectionMetric {
    /// Whether it has a value in each octave band.
    pub fn has_bands(self) -> bool {
        use ReflectionMetric::{DirectLevel, EarlySum, FirstFrom, Strongest};
        matches!(self, DirectLevel | EarlySum | FirstFrom(_) | Strongest)
    }

    /// The value; `None` where there is nothing to read it from.
    pub(super) fn value(self, context: &ReflectionContext<'_>, over: LevelBands) -> Option<f64> {
        let ReflectionContext { direct, reflections, limit } = *context;
        let early = || reflections.iter().filter(|r| is_within(r.delay_s, limit.window_s()));
        let loudest = |of: &mut dyn Iterator<Item = &Reflection>| {
            of.map(|r| over.of(r)).max_by(f64::total_cmp).filter(|db| db.is_finite())
        };
        match self {
            Self::DirectDistance => Some(direct.distance_m),
            Self::DirectTime => Some(direct.time_s),
            Self::DirectAzimuth => Some(direct.azimuth_deg),
            Self::DirectElevation => Some(direct.elevation_deg),
            Self::DirectLevel => Some(over.mean(&direct.band_level_db)).filter(|db| db.is_finite()),
            Self::Listed => Some(reflections.len() as f64),
            Self::OverLimit => Some(count_over(early(), limit)),
            Self::FirstDelay => reflections.first().map(|r| r.delay_s),
            Self::Strongest => loudest(&mut early()),
            Self::StrongestDelay => {
                early().max_by(|a, b| over.of(a).total_cmp(&over.of(b))).map(|r| r.delay_s)
            }
            Self::EarlySum => {
                let sum: f64 = early().map(|r| 10f64.powf(0.1 * over.of(r))).sum();
                Some(energy_db(sum)).filter(|db| db.is_finite())
            }
            Self::FirstFrom(surface) => {
                loudest(&mut reflections.iter().filter(|r| is_first_from(&r.arrival, surface)))
            }
        }
    }
}

fn count_over<'a>(early: impl Iterator<Item = &'a Reflection>, limit: &EarlyLimit) -> f64 {
    early.filter(|r| limit.judge(r.delay_s, r.level_db) == Verdict::Over).count() as f64
}

fn is_first_from(arrival: &Arrival, surface: Surface) -> bool {
    matches!(arrival.bounces.as_slice(), [only] if only.face == FaceId::Surface(surface))
}

impl LevelBands {
    fn of(self, reflection: &Reflection) -> f64 {
        match self {
            Self::Early => reflection.level_db,
            Self::Band(band) => reflection.band_level_db[band],
        }
    }

    fn mean(self, band_level_db: &crate::medium::bands::PerBand<f64>) -> f64 {
        match self {
            Self::Band(band) => band_level_db[band],
            Self::Early => {
                let bands = &band_level_db[EARLY_BANDS];
                let sum: f64 = bands.iter().map(|db| 10f64.powf(0.1 * db)).sum();
                energy_db(sum / bands.len() as f64)
            }
        }
    }
}
