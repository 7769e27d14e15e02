//! Speakers that play together in words.

use super::WaveFieldView;
use earline_engine::scene::{Scene, SpeakerId, SpeakerKind, named_pairs};

impl WaveFieldView<'_> {
    /// `both of mains and the subwoofer`, `main left`, `all 3 speakers`; a pair as `pair_words` has it.
    pub(crate) fn group(
        &self,
        speakers: &[SpeakerId],
        pair_words: impl FnOnce(&str) -> String,
    ) -> String {
        let scene = self.scene;
        let (subwoofers, mains): (Vec<SpeakerId>, Vec<SpeakerId>) =
            speakers.iter().partition(|&&id| scene[id].kind == SpeakerKind::Subwoofer);
        let pairs = named_pairs(scene);
        let pair = pairs.iter().find(|(_, pair)| pair.as_slice() == mains.as_slice());
        let of_mains = match (pair, mains.as_slice()) {
            (Some((name, _)), _) => Some(pair_words(name)),
            (None, []) => None,
            (None, [one]) => Some(self.speaker(*one).to_owned()),
            (None, several) => Some(format!("all {} speakers", several.len())),
        };
        let words = [of_mains, self.subwoofers(&subwoofers)];
        words.into_iter().flatten().collect::<Vec<_>>().join(" and ")
    }

    /// As [`subwoofers`], of the view's scene.
    pub(crate) fn subwoofers(&self, ids: &[SpeakerId]) -> Option<String> {
        subwoofers(self.scene, ids)
    }
}

/// `the subwoofer`, `both subwoofers`; by name where it is one of several.
pub(crate) fn subwoofers(scene: &Scene, subwoofers: &[SpeakerId]) -> Option<String> {
    let is_only = scene.subwoofer_ids().count() == 1;
    match subwoofers {
        [] => None,
        [_] if is_only => Some("the subwoofer".to_owned()),
        [one] => Some(scene[*one].name.clone()),
        [_, _] => Some("both subwoofers".to_owned()),
        several => Some(format!("all {} subwoofers", several.len())),
    }
}
