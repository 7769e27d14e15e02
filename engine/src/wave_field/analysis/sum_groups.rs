//! Speakers that play one signal: what plays together of those asked for, and the parts of it.

use crate::scene::{Scene, SpeakerId};

/// Speakers of a request that play one signal.
pub(super) struct SumGroup {
    pub(super) name: Option<String>,
    pub(super) speakers: Vec<SpeakerId>,
    /// Their indices among the sources.
    pub(super) sources: Vec<usize>,
}

/// The sums of a request.
pub(super) struct SumGroups {
    pub(super) together: Vec<SumGroup>,
    pub(super) parts: Vec<SumGroup>,
}

impl SumGroups {
    pub(super) fn of(scene: &Scene, among: &[SpeakerId]) -> Self {
        let group = |name: Option<&str>, speakers: Vec<SpeakerId>| SumGroup {
            name: name.map(str::to_owned),
            sources: sources_of(among, &speakers),
            speakers,
        };
        let several = |group: &SumGroup| 1 < group.speakers.len();
        let ensembles = scene.ensembles(among);
        let whole = ensembles.iter().map(|all| group(all.name, all.speakers()));
        let joined = ensembles.iter().filter(|all| all.is_joined());
        let mut parts: Vec<SumGroup> =
            joined.clone().map(|all| group(all.name, all.mains.clone())).collect();
        parts.extend(joined.take(1).map(|all| group(None, all.subwoofers.clone())));
        Self {
            together: whole.filter(several).collect(),
            parts: parts.into_iter().filter(several).collect(),
        }
    }
}

/// Indices of speakers among all that were asked for, which are the sources.
pub(super) fn sources_of(among: &[SpeakerId], speakers: &[SpeakerId]) -> Vec<usize> {
    let source = |id: &SpeakerId| among.iter().position(|other| other == id);
    speakers.iter().filter_map(source).collect()
}
