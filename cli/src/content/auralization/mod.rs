//! What was made audible, with the files it goes to: the same for terminal, JSON and WAV files.

pub(crate) mod document;

use crate::io::recording::Recording;
use crate::io::wav::wav;
use crate::io::write::OutputFile;
use crate::plot::figures::{endings, plain};
use anyhow::Result;
use earline_engine::auralization::{
    AbSwitch, ImpulseResponseSet, Normalized, PairResponses, Stereo,
};
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Variant};

/// Caution before every sound.
pub(crate) const CAUTION: &str = "Start quietly: turn the volume down before you play a file, and up from there. \
     85 dBA is already a working day's limit.";

/// Everything of one run.
#[derive(Debug)]
pub(crate) struct AuralizationView<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// One state of the room, or two to hear against each other.
    pub(crate) states: Vec<VariantAudio<'a>>,
    /// Listeners.
    pub(crate) listeners: Vec<ListenerId>,
    /// What random numbers began from.
    pub(crate) seed: u64,
    /// How far down responses are followed, decibels.
    pub(crate) floor_db: f64,
    /// The recording and what became of it, where one was given.
    pub(crate) played: Option<RenderedRecording>,
}

/// One state of the room.
#[derive(Debug)]
pub(crate) struct VariantAudio<'a> {
    /// The state.
    pub(crate) state: Variant<'a>,
    /// Its responses.
    pub(crate) sounds: ImpulseResponseSet,
}

/// A recording played in every state at every listener.
#[derive(Debug)]
pub(crate) struct RenderedRecording {
    /// The recording.
    pub(crate) recording: Recording,
    /// By which speaker each of its channels is played; a mono one by all of them.
    pub(crate) by: Vec<SpeakerId>,
    /// For each listener, each state.
    pub(crate) programmes: Vec<Rendering>,
    /// For each listener, both states in turns, where there are two.
    pub(crate) in_turns: Vec<AbSwitchFile>,
}

/// What is heard at one listener in one state.
#[derive(Debug)]
pub(crate) struct Rendering {
    /// The listener.
    pub(crate) listener: ListenerId,
    /// Index of the state in [`AuralizationView::states`].
    pub(crate) state: usize,
    /// Both ears.
    pub(crate) sound: Stereo,
    /// What was done to its level.
    pub(crate) levelled: Normalized,
}

/// Two states in turns at one listener.
#[derive(Debug)]
pub(crate) struct AbSwitchFile {
    /// The listener.
    pub(crate) listener: ListenerId,
    /// Both ears.
    pub(crate) sound: Stereo,
    /// How they take turns.
    pub(crate) turns: AbSwitch,
}

/// The files of one pair.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PairFiles {
    /// At one microphone.
    pub(crate) omni: String,
    /// At both ears.
    pub(crate) ears: String,
    /// At a first-order microphone.
    pub(crate) ambisonic: String,
}

impl VariantAudio<'_> {
    /// The state in words.
    pub(crate) fn name(&self) -> &str {
        self.state.name.unwrap_or("everything in")
    }
}

impl<'a> AuralizationView<'a> {
    /// A listener's name.
    pub(crate) fn listener(&self, id: ListenerId) -> &'a str {
        &self.scene[id].name
    }

    /// A speaker's name.
    pub(crate) fn speaker(&self, id: SpeakerId) -> &'a str {
        &self.scene[id].name
    }

    /// The name of a state by its index.
    pub(crate) fn state(&self, index: usize) -> &str {
        self.states.get(index).map_or("", VariantAudio::name)
    }

    /// Every pair of every state with its files, in the order of states and pairs. Where there are two
    /// states their names are part of the files'.
    pub(crate) fn pairs(&self) -> Vec<(&VariantAudio<'a>, &PairResponses, PairFiles)> {
        let mut taken: Vec<String> = Vec::new();
        let mut pairs = Vec::new();
        for audible in &self.states {
            for pair in &audible.sounds.pairs {
                let mut parts = vec!["ir".to_owned()];
                parts.extend((self.states.len() > 1).then(|| plain(audible.name())));
                parts.extend([self.speaker(pair.speaker), self.listener(pair.listener)].map(plain));
                let files = PairFiles::unique(&parts.join("-"), &mut taken);
                pairs.push((audible, pair, files));
            }
        }
        pairs
    }

    /// The file of a programme.
    pub(crate) fn heard_file(&self, programme: &Rendering) -> String {
        let state = plain(self.state(programme.state));
        let same = (0..programme.state).any(|other| plain(self.state(other)) == state);
        let state = if same { format!("{state}-{}", programme.state + 1) } else { state };
        format!("heard-{state}{}.wav", self.ending(programme.listener))
    }

    /// The file of both states in turns.
    pub(crate) fn turns_file(&self, in_turns: &AbSwitchFile) -> String {
        format!("a-then-b{}.wav", self.ending(in_turns.listener))
    }

    fn ending(&self, listener: ListenerId) -> String {
        let endings = endings(self.scene, &self.listeners);
        let mut all = self.listeners.iter().zip(endings);
        all.find(|(id, _)| **id == listener).map_or(String::new(), |(_, ending)| ending)
    }

    /// All WAV files, in memory.
    ///
    /// # Errors
    /// When one would be larger than the format allows.
    pub(crate) fn outputs(&self) -> Result<Vec<OutputFile>> {
        let mut outputs = Vec::new();
        let mut add = |name: String, channels: &[&[f64]]| -> Result<()> {
            outputs.push(OutputFile { name, bytes: wav(channels)? });
            Ok(())
        };
        for (_, pair, files) in self.pairs() {
            add(files.omni, &[&pair.omni.samples])?;
            add(files.ears, &pair.ears.each_ref().map(|ear| ear.samples.as_slice()))?;
            add(files.ambisonic, &pair.ambisonic.each_ref().map(|w| w.samples.as_slice()))?;
        }
        if let Some(played) = &self.played {
            for programme in &played.programmes {
                add(self.heard_file(programme), &programme.sound.each_ref().map(Vec::as_slice))?;
            }
            for in_turns in &played.in_turns {
                add(self.turns_file(in_turns), &in_turns.sound.each_ref().map(Vec::as_slice))?;
            }
        }
        Ok(outputs)
    }
}

impl PairFiles {
    /// Names that no pair before has.
    fn unique(stem: &str, taken: &mut Vec<String>) -> Self {
        let named = |stem: &str| Self {
            omni: format!("{stem}.wav"),
            ears: format!("{stem}-ears.wav"),
            ambisonic: format!("{stem}-ambix.wav"),
        };
        let all = |files: &Self| [&files.omni, &files.ears, &files.ambisonic].map(String::clone);
        let mut files = named(stem);
        let mut number = 2;
        while all(&files).iter().any(|name| taken.contains(name)) {
            files = named(&format!("{stem}-{number}"));
            number += 1;
        }
        taken.extend(all(&files));
        files
    }
}

/// Greatest sample of all channels, either way.
pub(crate) fn peak(channels: &[&[f64]]) -> f64 {
    channels.iter().flat_map(|channel| channel.iter()).fold(0.0, |peak, s| f64::max(peak, s.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names that look alike once they are letters and hyphens do not share a file.
    #[test]
    fn files_never_share_a_name() {
        let mut taken = Vec::new();
        let mut all: Vec<String> = Vec::new();
        for stem in ["ir-a-b", "ir-a-b", "ir-a-b-ears", "ir-a-b-2", "ir-a-b"] {
            let PairFiles { omni, ears, ambisonic } = PairFiles::unique(stem, &mut taken);
            all.extend([omni, ears, ambisonic]);
        }
        let count = all.len();
        all.sort();
        all.dedup();
        assert_eq!(all.len(), count, "{all:?}");
    }
}
