//! Published recommendations on the reverberation time of listening rooms.

use super::mask::{MaskPoint, ToleranceMask};
use crate::medium::bands::{NOMINAL_HZ, PerBand};
use crate::metrics::decay::Estimate;

/// A document's recommendation: a nominal time for the room's volume, and a tolerance about it.
///
/// The documents' own pages were not opened. How each figure was come by stands beside it, and
/// [`FigureProvenance::Memory`] goes out with every verdict that rests on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReverberationCriterion {
    /// Short name for command lines and machine output.
    pub key: &'static str,
    /// The document that states it.
    pub document: &'static str,
    /// Provenance of our copy of the nominal time.
    pub nominal_known: FigureProvenance,
    /// That provenance in words.
    pub nominal_provenance: &'static str,
    /// Provenance of our copy of the tolerance.
    pub mask_known: FigureProvenance,
    /// That provenance in words.
    pub mask_provenance: &'static str,
    /// The tolerance about the nominal time.
    pub mask: ToleranceMask,
    /// Shortest and longest nominal time, seconds, where the document bounds it.
    pub nominal_range_s: Option<(f64, f64)>,
}

/// Provenance of a published figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FigureProvenance {
    /// Read in someone else's quotation of the document.
    SecondHand,
    /// From memory of the document, not seen.
    Memory,
}

/// Judgement of a recommendation on one band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judgement {
    /// Within the tolerance; exactly on a limit is within it.
    Pass,
    /// Outside by less than the value's own uncertainty, or by less than [`NEAR_S`].
    Near,
    /// Further outside.
    Miss,
}

/// A band's reverberation time held against a recommendation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandJudgement {
    /// The octave band.
    pub band: usize,
    /// Judgement on it.
    pub judgement: Judgement,
    /// Shortest recommended time, seconds.
    pub lower_s: f64,
    /// Longest recommended time, seconds.
    pub upper_s: f64,
    /// Distance of the time from the limits, seconds: above zero too long, below zero too short, zero
    /// within.
    pub outside_s: f64,
    /// The value that was judged.
    pub time_s: Estimate,
    /// Whether the limits rest on figures held from memory only.
    pub from_memory: bool,
}

/// A time this little outside its limits is near, seconds: our own bound, under half the
/// tolerance.
pub const NEAR_S: f64 = 0.02;

/// Mean reverberation time over the octave bands 250 Hz to 4 kHz, seconds, which stand for the
/// documents' 200 Hz to 4 kHz in third octaves; `None` where one is missing.
pub fn mean_reverberation_s(times_s: &PerBand<Option<f64>>) -> Option<f64> {
    let speaking = times_s.get(MEAN_BANDS)?;
    let sum: Option<f64> = speaking.iter().copied().sum();
    Some(sum? / speaking.len() as f64)
}

/// All recommendations known here; the first is the default.
pub static REVERBERATION_CRITERIA: [ReverberationCriterion; 3] = [
    ReverberationCriterion {
        key: "ebu-3276",
        document: "EBU Tech 3276",
        nominal_known: FigureProvenance::SecondHand,
        nominal_provenance: "formula and its range of 0.2 to 0.4 s read second-hand, from a third \
            party quoting the 1998 edition",
        mask_known: FigureProvenance::Memory,
        mask_provenance: "from memory, and taken to be that of ITU-R BS.1116-3, figure 1",
        mask: ToleranceMask::BS_1116,
        nominal_range_s: Some((0.2, 0.4)),
    },
    ReverberationCriterion {
        key: "itu-bs1116",
        document: "ITU-R BS.1116-3",
        nominal_known: FigureProvenance::Memory,
        nominal_provenance: "from memory; section 8.2.3.1",
        mask_known: FigureProvenance::Memory,
        mask_provenance: "from memory; figure 1",
        mask: ToleranceMask::BS_1116,
        nominal_range_s: None,
    },
    ReverberationCriterion {
        key: "aes-td1001",
        document: "AES TD1001.1.01-10",
        nominal_known: FigureProvenance::Memory,
        nominal_provenance: "from memory; only the cover pages were seen",
        mask_known: FigureProvenance::Memory,
        mask_provenance: "from memory, and taken to be that of ITU-R BS.1116-3, figure 1",
        mask: ToleranceMask::BS_1116,
        nominal_range_s: None,
    },
];

impl ReverberationCriterion {
    /// Nominal reverberation time for a volume, seconds: 0.25·(V/100 m³)^⅓, the mean over 200 Hz
    /// to 4 kHz, within the document's range where it has one.
    pub fn nominal_s(&self, volume_m3: f64) -> f64 {
        let plain = 0.25 * (volume_m3 / 100.0).cbrt();
        self.nominal_range_s.map_or(plain, |(least, most)| plain.max(least).min(most))
    }

    /// The limits in seconds at the mask's corners, to draw them over log frequency, for a volume
    /// in cubic metres.
    pub fn limits(&self, volume_m3: f64) -> Vec<MaskPoint> {
        let nominal = self.nominal_s(volume_m3);
        self.mask.corners().iter().map(|corner| about(nominal, *corner)).collect()
    }

    /// The limits in seconds at the nominal mid-frequency of an octave band; `None` past the
    /// mask's ends.
    pub fn band_limits(&self, volume_m3: f64, band: usize) -> Option<MaskPoint> {
        let point = self.mask.at(*NOMINAL_HZ.get(band)?)?;
        Some(about(self.nominal_s(volume_m3), point))
    }

    /// Whether any of its figures are held from memory only.
    pub fn is_from_memory(&self) -> bool {
        self.nominal_known == FigureProvenance::Memory
            || self.mask_known == FigureProvenance::Memory
    }

    /// Judgement on a band's reverberation time in a room of this volume; `None` for a band
    /// outside the mask.
    pub fn judge(&self, volume_m3: f64, band: usize, time_s: Estimate) -> Option<BandJudgement> {
        let limits = self.band_limits(volume_m3, band)?;
        let (value, rounding) = (time_s.value, LIMIT_ROUNDING_S);
        let outside_s = if value > limits.upper_s + rounding {
            value - limits.upper_s
        } else if value < limits.lower_s - rounding {
            value - limits.lower_s
        } else {
            0.0
        };
        let nearby = time_s.standard_error.unwrap_or(0.0).max(NEAR_S);
        let judgement = if outside_s == 0.0 {
            Judgement::Pass
        } else if outside_s.abs() < nearby {
            Judgement::Near
        } else {
            Judgement::Miss
        };
        Some(BandJudgement {
            band,
            judgement,
            lower_s: limits.lower_s,
            upper_s: limits.upper_s,
            outside_s,
            time_s,
            from_memory: self.is_from_memory(),
        })
    }
}

/// The octave bands that the nominal time is a mean over: 250 Hz to 4 kHz.
pub(crate) const MEAN_BANDS: std::ops::Range<usize> = 2..7;

/// Room for the rounding of a time that is meant to sit exactly on a limit, seconds.
const LIMIT_ROUNDING_S: f64 = 1e-9;

fn about(nominal_s: f64, point: MaskPoint) -> MaskPoint {
    MaskPoint {
        hz: point.hz,
        lower_s: nominal_s + point.lower_s,
        upper_s: nominal_s + point.upper_s,
    }
}
