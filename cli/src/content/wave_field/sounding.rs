//! What sounds together at a seat: a pair of speakers, or a speaker that belongs to none.

use super::WaveFieldView;
use crate::content::wave_maps::Maps;
use earline_engine::scene::{ListenerId, SpeakerId, named_pairs};
use earline_engine::wave_field::{CoherentSum, Extremum, TransferFunction, UNEVENNESS_BAND_HZ};

/// The response of what sounds together at one seat.
#[derive(Debug, Clone)]
pub(super) struct Sounding<'a> {
    /// In words: `both speakers`, `both of nears`, a speaker's name.
    pub(super) name: String,
    /// One speaker or two.
    pub(super) speakers: Vec<SpeakerId>,
    /// The listener.
    pub(super) listener: ListenerId,
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
        let active = &maps.active.speakers;
        let pairs = named_pairs(self.scene);
        let pair = pairs.iter().find(|(_, pair)| pair.as_slice() == active.as_slice());
        match (pair, active.as_slice()) {
            (Some((name, _)), _) => self.both(name),
            (None, [one]) => format!("speaker {}", self.speaker(*one)),
            (None, several) => format!("all {} speakers", several.len()),
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
            name: self.both(&sum.name),
            speakers: sum.speakers.to_vec(),
            listener: sum.listener,
            unevenness_db: sum.unevenness_db,
            extrema: &sum.extrema,
        }
    }

    fn of_speaker(&self, pair: &'a TransferFunction) -> Sounding<'a> {
        Sounding {
            name: self.speaker(pair.speaker).to_owned(),
            speakers: vec![pair.speaker],
            listener: pair.listener,
            unevenness_db: pair.unevenness_db,
            extrema: &pair.extrema,
        }
    }
}

impl<'a> Sounding<'a> {
    /// The deepest dip over the frequencies of the unevenness.
    pub(super) fn deepest_dip(&self) -> Option<&'a Extremum> {
        let dips = in_band(self.extrema).filter(|extreme| extreme.prominence_db < 0.0);
        dips.min_by(|a, b| a.prominence_db.total_cmp(&b.prominence_db))
    }

    /// The highest peak over the frequencies of the unevenness.
    pub(super) fn highest_peak(&self) -> Option<&'a Extremum> {
        let peaks = in_band(self.extrema).filter(|extreme| 0.0 < extreme.prominence_db);
        peaks.max_by(|a, b| a.prominence_db.total_cmp(&b.prominence_db))
    }
}

/// Peaks and dips over the frequencies of the unevenness.
pub(super) fn in_band(extrema: &[Extremum]) -> impl Iterator<Item = &Extremum> {
    let [low, high] = UNEVENNESS_BAND_HZ;
    extrema.iter().filter(move |extreme| (low..=high).contains(&extreme.hz))
}
