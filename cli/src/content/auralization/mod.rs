//! What was made audible, with the files it goes to: the same for terminal, JSON and WAV files.

pub(crate) mod document;

use crate::io::recording::Recording;
use crate::io::wav::wav;
use crate::io::write::{FileNames, OutputFile, plain};
use crate::plot::figures::endings;
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
    /// File names that are taken before it has any.
    pub(crate) names: FileNames,
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

/// File of the document.
pub(crate) const DOCUMENT: &str = "listen.json";

/// The names of all WAV files of a run.
#[derive(Debug, Default)]
struct AudioFiles {
    /// Of every pair of every state.
    pairs: Vec<PairFiles>,
    /// Of every programme.
    programmes: Vec<String>,
    /// Of every change between two states.
    in_turns: Vec<String>,
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

    /// Every pair of every state with its files, in the order of states and pairs.
    pub(crate) fn pairs(&self) -> Vec<(&VariantAudio<'a>, &PairResponses, PairFiles)> {
        self.all_pairs()
            .zip(self.files().pairs)
            .map(|((of, pair), files)| (of, pair, files))
            .collect()
    }

    fn all_pairs(&self) -> impl Iterator<Item = (&VariantAudio<'a>, &PairResponses)> {
        let states = self.states.iter();
        states.flat_map(|audible| audible.sounds.pairs.iter().map(move |pair| (audible, pair)))
    }

    /// Every programme with its file.
    pub(crate) fn programmes(&self) -> Vec<(&Rendering, String)> {
        let programmes = self.played.iter().flat_map(|played| &played.programmes);
        programmes.zip(self.files().programmes).collect()
    }

    /// Every change between two states with its file.
    pub(crate) fn in_turns(&self) -> Vec<(&AbSwitchFile, String)> {
        let in_turns = self.played.iter().flat_map(|played| &played.in_turns);
        in_turns.zip(self.files().in_turns).collect()
    }

    /// The names of all files. Where there are two states their names are part of those of the pairs.
    fn files(&self) -> AudioFiles {
        let mut names = self.names.clone();
        names.take(DOCUMENT);
        let pairs = self.all_pairs().map(|(audible, pair)| {
            let state = (self.states.len() > 1).then(|| audible.name());
            let ends = [self.speaker(pair.speaker), self.listener(pair.listener)];
            PairFiles::take(&mut names, &joined(["ir"].into_iter().chain(state).chain(ends)))
        });
        let pairs = pairs.collect();
        let endings = endings(self.scene, &self.listeners);
        let ending = |listener: ListenerId| {
            let place = self.listeners.iter().position(|id| *id == listener);
            place.and_then(|place| endings.get(place)).map_or("", String::as_str)
        };
        let mut take =
            |stem: &str, listener| names.take(&format!("{stem}{}.wav", ending(listener)));
        let mut files = AudioFiles { pairs, ..AudioFiles::default() };
        if let Some(played) = &self.played {
            files.programmes.extend(played.programmes.iter().map(|programme| {
                take(&joined(["heard", self.state(programme.state)]), programme.listener)
            }));
            let in_turns = played.in_turns.iter();
            files.in_turns.extend(in_turns.map(|in_turns| take("a-then-b", in_turns.listener)));
        }
        files
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
        for (programme, file) in self.programmes() {
            add(file, &programme.sound.each_ref().map(Vec::as_slice))?;
        }
        for (in_turns, file) in self.in_turns() {
            add(file, &in_turns.sound.each_ref().map(Vec::as_slice))?;
        }
        Ok(outputs)
    }
}

impl PairFiles {
    /// Names that no other file has.
    fn take(names: &mut FileNames, stem: &str) -> Self {
        const ENDINGS: [&str; 3] = [".wav", "-ears.wav", "-ambix.wav"];
        let stem = names.take_stem(stem, &ENDINGS, |_| true);
        let [omni, ears, ambisonic] = ENDINGS.map(|ending| format!("{stem}{ending}"));
        Self { omni, ears, ambisonic }
    }
}

/// Names as one part of a file name; one without a letter or digit is left out.
fn joined<'n>(names: impl IntoIterator<Item = &'n str>) -> String {
    let parts = names.into_iter().map(plain).filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("-")
}

/// Greatest sample of all channels, either way.
pub(crate) fn peak(channels: &[&[f64]]) -> f64 {
    channels.iter().flat_map(|channel| channel.iter()).fold(0.0, |peak, s| f64::max(peak, s.abs()))
}
