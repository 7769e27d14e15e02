//! What sounds together at a seat: a pair of speakers, or a speaker that belongs to none, with the subwoofers.

use super::WaveFieldView;
use crate::content::wave_maps::Maps;
use earline_engine::scene::{ListenerId, SpeakerId, SpeakerKind, named_pairs};
use earline_engine::wave_field::{CoherentSum, Extremum, TransferFunction};

/// The response of what sounds together at one seat.
#[derive(Debug, Clone)]
pub(super) struct Sounding<'a> {
    /// In words: `both speakers`, `both of nears`, a speaker's name.
    pub(super) name: String,
    /// One speaker or two; of those that subwoofers play along with without these.
    pub(super) speakers: Vec<SpeakerId>,
    /// The listener.
    pub(super) listener: ListenerId,
    /// Range of the unevenness, hertz.
    pub(super) range_hz: [f64; 2],
    /// Standard deviation of the level, decibels.
    pub(super) unevenness_db: Option<f64>,
    /// Peaks and dips.
    pub(super) extrema: &'a [Extremum],
}

impl<'a> WaveFieldView<'a> {
    /// Every pair and every other speaker, seat after seat.
    pub(super) fn soundings(&self) -> Vec<Sounding<'a>> {
        let found = self.found;
        let mut soundings = Vec::new();
        for &listener in &self.plan.listeners {
            let sums = found.coherent_sums.iter().filter(|sum| sum.listener == listener);
            soundings.extend(sums.clone().map(|sum| self.of_pair(sum)));
            let is_alone = |pair: &&TransferFunction| {
                sums.clone().all(|sum| !sum.speakers.contains(&pair.speaker))
            };
            soundings.extend(self.at(listener).filter(is_alone).map(|pair| self.of_speaker(pair)));
        }
        soundings
    }

    /// What plays on the maps, in words as here.
    pub(super) fn active(&self, maps: &Maps) -> String {
        match maps.active.speakers.as_slice() {
            [one] => format!("speaker {}", self.speaker(*one)),
            several => self.group(several, |pair| self.both(pair)),
        }
    }

    /// What sounds, in words: `both speakers`, or `both of nears` where there is more than one pair.
    pub(super) fn both(&self, pair: &str) -> String {
        if named_pairs(self.scene).len() == 1 {
            "both speakers".to_owned()
        } else {
            format!("both of {pair}")
        }
    }

    fn of_pair(&self, sum: &'a CoherentSum) -> Sounding<'a> {
        Sounding {
            name: self.group(&sum.speakers, |pair| self.both(pair)),
            speakers: self.mains(&sum.speakers),
            listener: sum.listener,
            range_hz: sum.range_hz,
            unevenness_db: sum.unevenness_db,
            extrema: &sum.extrema,
        }
    }

    /// Those of several speakers that are no subwoofers; all where there are only such.
    fn mains(&self, speakers: &[SpeakerId]) -> Vec<SpeakerId> {
        let is_main = |id: &SpeakerId| self.scene[*id].kind == SpeakerKind::FullRange;
        let mains: Vec<SpeakerId> = speakers.iter().copied().filter(is_main).collect();
        if mains.is_empty() { speakers.to_vec() } else { mains }
    }

    fn of_speaker(&self, pair: &'a TransferFunction) -> Sounding<'a> {
        Sounding {
            name: self.speaker(pair.speaker).to_owned(),
            speakers: vec![pair.speaker],
            listener: pair.listener,
            range_hz: pair.range_hz,
            unevenness_db: pair.unevenness_db,
            extrema: &pair.extrema,
        }
    }
}

impl<'a> Sounding<'a> {
    /// The deepest dip over the frequencies of the unevenness.
    pub(super) fn deepest_dip(&self) -> Option<&'a Extremum> {
        let dips = self.in_band().filter(|extreme| extreme.prominence_db < 0.0);
        dips.min_by(|a, b| a.prominence_db.total_cmp(&b.prominence_db))
    }

    /// The highest peak over the frequencies of the unevenness.
    pub(super) fn highest_peak(&self) -> Option<&'a Extremum> {
        let peaks = self.in_band().filter(|extreme| 0.0 < extreme.prominence_db);
        peaks.max_by(|a, b| a.prominence_db.total_cmp(&b.prominence_db))
    }

    /// Peaks and dips over the frequencies of the unevenness.
    pub(super) fn in_band(&self) -> impl Iterator<Item = &'a Extremum> + use<'a> {
        let [low, high] = self.range_hz;
        self.extrema.iter().filter(move |extreme| (low..=high).contains(&extreme.hz))
    }
}
