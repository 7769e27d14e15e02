//! Auralization as a document, `earline.listen/1`.

use super::round::{Hertz, Milliseconds, Rounded, hertz, milliseconds};
use crate::content::auralization::{
    AbSwitchFile, AuralizationView, CAUTION, PairFiles, RenderedRecording, Rendering, VariantAudio,
    peak,
};
use crate::io::wav::RATE_HZ;
use earline_engine::auralization::{
    AMBISONIC, CEILING_DB, PRE_ROLL_S, PairResponses, Stereo, TARGET_LUFS,
};
use earline_engine::metrics::hearing::HEAD_RADIUS_M;
use schemars::JsonSchema;
use serde::Serialize;

/// Impulse responses and rendered recordings of a run.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ListenDocument {
    /// Name and version of the document.
    schema: &'static str,
    /// Title of the scene.
    scene: String,
    caution: &'static str,
    sample_rate_hz: u32,
    /// Samples of every response before the click.
    lead_samples: Rounded<4>,
    /// Samples of the responses of each state.
    length_samples: Vec<usize>,
    /// Scale of the responses.
    one_means: &'static str,
    seed: u64,
    /// Level down to which late sound is followed.
    floor_db: f64,
    head: HeadModel,
    states: Vec<ResponsesOfState>,
    /// Null where no recording was rendered.
    recording: Option<RecordingInfo>,
    /// Rendered recordings.
    heard: Vec<RenderedFile>,
    /// Files that go from state to state in turns.
    in_turns: Vec<SwitchedFile>,
}

/// Scale of impulse responses.
const ONE_MEANS: &str =
    "the speaker's own pressure at 1 m on axis in a free field; never normalised";

#[derive(Debug, Serialize, JsonSchema)]
struct HeadModel {
    model: &'static str,
    radius_m: f64,
    delay: &'static str,
    shadow: &'static str,
    late: &'static str,
}

const HEAD: HeadModel = HeadModel {
    model: "sphere, ears at its sides, sources far away",
    radius_m: HEAD_RADIUS_M,
    delay: "Woodworth",
    shadow: "one pole and one zero by direction (Brown and Duda 1998)",
    late: "noise with the coherence of this head in sound from everywhere",
};

#[derive(Debug, Serialize, JsonSchema)]
struct ResponsesOfState {
    /// Variant of the scene; null where everything is in the room.
    variant: Option<String>,
    speed_of_sound_m_s: Rounded<3>,
    /// Whether late sound by rays is part of the responses.
    late_sound: bool,
    /// Frequency below which they are those of the wave field; null where they are not.
    wave_field_below_hz: Option<Hertz>,
    pairs: Vec<ResponsesOfPair>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ResponsesOfPair {
    speaker: String,
    listener: String,
    direct_ms: Milliseconds,
    /// Sample of the direct sound, counted from 0.
    direct_sample: Rounded<4>,
    omni: ResponseFile,
    ears: ResponseFile,
    ambisonic: ResponseFile,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ResponseFile {
    file: String,
    channels: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    normalisation: Option<&'static str>,
    /// Greatest sample, either way.
    peak: Rounded<5>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct RecordingInfo {
    file: String,
    sample_rate_hz: u32,
    channels: usize,
    /// Length of the whole recording.
    whole_s: Rounded<3>,
    /// Length of the part that is rendered.
    played_s: Rounded<3>,
    /// Speaker of each channel.
    played_by: Vec<String>,
    target_lufs: f64,
    ceiling_dbtp: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
struct RenderedFile {
    file: String,
    listener: String,
    /// Variant of the scene; null where everything is in the room.
    variant: Option<String>,
    gain_db: Rounded<2>,
    loudness_before_lufs: Rounded<2>,
    loudness_lufs: Rounded<2>,
    true_peak_dbtp: Rounded<2>,
    length_samples: usize,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SwitchedFile {
    file: String,
    listener: String,
    variants: Vec<Option<String>>,
    turns: usize,
    turn_s: Rounded<3>,
    length_samples: usize,
}

impl ListenDocument {
    /// The document of a run.
    pub(crate) fn new(listened: &AuralizationView<'_>) -> Self {
        let played = listened.played.as_ref();
        let programmes = listened.programmes().into_iter();
        let in_turns = listened.in_turns().into_iter();
        Self {
            schema: "earline.listen/1",
            scene: listened.scene.title().to_owned(),
            caution: CAUTION,
            sample_rate_hz: RATE_HZ,
            lead_samples: (PRE_ROLL_S * f64::from(RATE_HZ)).into(),
            length_samples: lengths(listened),
            one_means: ONE_MEANS,
            seed: listened.seed,
            floor_db: listened.floor_db,
            head: HEAD,
            states: states(listened),
            recording: played.map(|played| RecordingInfo::new(listened, played)),
            heard: programmes.map(|(one, file)| RenderedFile::new(listened, one, file)).collect(),
            in_turns: in_turns.map(|(one, file)| SwitchedFile::new(listened, one, file)).collect(),
        }
    }
}

/// Samples of the responses of each state.
fn lengths(listened: &AuralizationView<'_>) -> Vec<usize> {
    let first = listened.states.iter().map(|audible| audible.sounds.pairs.first());
    first.map(|pair| pair.map_or(0, |pair| pair.omni.samples.len())).collect()
}

fn states(listened: &AuralizationView<'_>) -> Vec<ResponsesOfState> {
    let mut pairs = listened.pairs().into_iter();
    let row = |audible: &VariantAudio<'_>| ResponsesOfState {
        variant: audible.state.name.map(str::to_owned),
        speed_of_sound_m_s: audible.sounds.simulation.speed_of_sound_m_s.into(),
        late_sound: audible.sounds.simulation.decay.is_some(),
        wave_field_below_hz: audible.sounds.simulation.crossover_hz.map(hertz),
        pairs: pairs
            .by_ref()
            .take(audible.sounds.pairs.len())
            .map(|(_, pair, files)| ResponsesOfPair::new(listened, pair, files))
            .collect(),
    };
    listened.states.iter().map(row).collect()
}

impl ResponsesOfPair {
    fn new(listened: &AuralizationView<'_>, pair: &PairResponses, files: PairFiles) -> Self {
        let row = |file: String, channels: &[&'static str], samples: &[&[f64]]| ResponseFile {
            file,
            channels: channels.to_vec(),
            normalisation: None,
            peak: peak(samples).into(),
        };
        let omni = row(files.omni, &["omni"], &[&pair.omni.samples]);
        let ears = pair.ears.each_ref().map(|ear| ear.samples.as_slice());
        let ears = row(files.ears, &["left", "right"], &ears);
        let first_order = pair.ambisonic.each_ref().map(|channel| channel.samples.as_slice());
        let ambisonic = row(files.ambisonic, &AMBISONIC, &first_order);
        Self {
            speaker: listened.speaker(pair.speaker).to_owned(),
            listener: listened.listener(pair.listener).to_owned(),
            direct_ms: milliseconds(pair.direct_s()),
            direct_sample: pair.direct_sample.into(),
            omni,
            ears,
            ambisonic: ResponseFile { normalisation: Some("SN3D"), ..ambisonic },
        }
    }
}

impl RecordingInfo {
    fn new(listened: &AuralizationView<'_>, played: &RenderedRecording) -> Self {
        let recording = &played.recording;
        Self {
            file: recording.name.clone(),
            sample_rate_hz: recording.rate_hz,
            channels: recording.channels.len(),
            whole_s: recording.whole_s.into(),
            played_s: recording.played_s().into(),
            played_by: played.by.iter().map(|&s| listened.speaker(s).to_owned()).collect(),
            target_lufs: TARGET_LUFS,
            ceiling_dbtp: CEILING_DB,
        }
    }
}

impl RenderedFile {
    fn new(listened: &AuralizationView<'_>, programme: &Rendering, file: String) -> Self {
        let levelled = &programme.levelled;
        Self {
            file,
            listener: listened.listener(programme.listener).to_owned(),
            variant: variant(listened, programme.state),
            gain_db: levelled.gain_db.into(),
            loudness_before_lufs: levelled.before.integrated_lufs.into(),
            loudness_lufs: levelled.after.integrated_lufs.into(),
            true_peak_dbtp: levelled.after.true_peak_db.into(),
            length_samples: length(&programme.sound),
        }
    }
}

impl SwitchedFile {
    fn new(listened: &AuralizationView<'_>, in_turns: &AbSwitchFile, file: String) -> Self {
        Self {
            file,
            listener: listened.listener(in_turns.listener).to_owned(),
            variants: (0..listened.states.len()).map(|state| variant(listened, state)).collect(),
            turns: in_turns.turns.turns,
            turn_s: in_turns.turns.turn_s.into(),
            length_samples: length(&in_turns.sound),
        }
    }
}

fn variant(listened: &AuralizationView<'_>, state: usize) -> Option<String> {
    listened.states.get(state)?.state.name.map(str::to_owned)
}

fn length(sound: &Stereo) -> usize {
    sound[0].len()
}
