//! What plays together: a pair, or a speaker that belongs to none, with the subwoofers.

use super::ids::SpeakerId;
use super::model::{Scene, SpeakerKind};
use super::pairs::named_pairs;

/// Speakers that play one signal in the bass.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ensemble<'a> {
    /// Name of the pair or the speaker; `None` for subwoofers alone.
    pub name: Option<&'a str>,
    /// Left and right one, or the single one; empty for subwoofers alone.
    pub mains: Vec<SpeakerId>,
    /// The subwoofers that play along.
    pub subwoofers: Vec<SpeakerId>,
}

impl Ensemble<'_> {
    /// Whether subwoofers play along with a pair or a speaker.
    pub fn is_joined(&self) -> bool {
        !self.mains.is_empty() && !self.subwoofers.is_empty()
    }

    /// All of them, the mains first.
    pub fn speakers(&self) -> Vec<SpeakerId> {
        [&self.mains[..], &self.subwoofers].concat()
    }
}

impl Scene {
    /// Speakers that are no subwoofers, in the scene's order.
    pub fn full_range_ids(&self) -> impl Iterator<Item = SpeakerId> + '_ {
        self.speaker_ids().filter(|&id| self[id].kind == SpeakerKind::FullRange)
    }

    /// Subwoofers in the scene's order.
    pub fn subwoofer_ids(&self) -> impl Iterator<Item = SpeakerId> + '_ {
        self.speaker_ids().filter(|&id| self[id].kind == SpeakerKind::Subwoofer)
    }

    /// These speakers and every subwoofer that is not among them.
    pub fn with_subwoofers(&self, speakers: &[SpeakerId]) -> Vec<SpeakerId> {
        let more = self.subwoofer_ids().filter(|id| !speakers.contains(id));
        speakers.iter().copied().chain(more).collect()
    }

    /// What plays together among some speakers: each whole pair, each other full-range speaker, with all subwoofers
    /// among them; subwoofers alone where there is nothing else.
    pub fn ensembles(&self, among: &[SpeakerId]) -> Vec<Ensemble<'_>> {
        let (subwoofers, mains): (Vec<SpeakerId>, Vec<SpeakerId>) =
            among.iter().partition(|&&id| self[id].kind == SpeakerKind::Subwoofer);
        let pairs = named_pairs(self);
        let whole = pairs.iter().filter(|(_, pair)| pair.iter().all(|id| mains.contains(id)));
        let whole = whole.map(|(name, pair)| (Some(*name), pair.to_vec()));
        let mut groups: Vec<(Option<&str>, Vec<SpeakerId>)> = whole.collect();
        let paired: Vec<SpeakerId> = groups.iter().flat_map(|(_, pair)| pair.clone()).collect();
        let alone = mains.iter().filter(|id| !paired.contains(id));
        groups.extend(alone.map(|&id| (Some(self[id].name.as_str()), vec![id])));
        if groups.is_empty() {
            groups.push((None, Vec::new()));
        }
        let ensemble = |(name, mains)| Ensemble { name, mains, subwoofers: subwoofers.clone() };
        groups.into_iter().map(ensemble).collect()
    }
}
