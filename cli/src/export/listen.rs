//! What was made audible as a document, `earline.listen/1`.

use super::round;
use crate::content::auralization::{
    AbSwitchFile, AuralizationView, PairFiles, RenderedRecording, Rendering,
};
use crate::export::wav::RATE_HZ;
use earline_engine::auralization::{AMBISONIC, CEILING_DB, LEAD_S, PairSound, Stereo, TARGET_LUFS};
use earline_engine::metrics::hearing::HEAD_RADIUS_M;
use serde::Serialize;

const SCHEMA: &str = "earline.listen/1";

#[derive(Debug, Serialize)]
pub(crate) struct ListenDocument {
    schema: &'static str,
    scene: String,
    caution: &'static str,
    sample_rate_hz: u32,
    /// Responses begin so many samples before the click.
    lead_samples: f64,
    length_samples: Vec<usize>,
    one_means: &'static str,
    seed: u64,
    floor_db: f64,
    head: HeadRow,
    states: Vec<StateRow>,
    recording: Option<RecordingRow>,
    heard: Vec<HeardRow>,
    in_turns: Vec<TurnsRow>,
}

/// What stands before every sound.
pub(crate) const CAUTION: &str = "Start quietly: turn the volume down before you play a file, and up from there. \
     85 dBA is already a working day's limit.";

/// The scale of impulse responses.
pub(crate) const ONE_MEANS: &str =
    "the speaker's own pressure at 1 m on axis in a free field; never normalised";

#[derive(Debug, Serialize)]
struct HeadRow {
    model: &'static str,
    radius_m: f64,
    delay: &'static str,
    shadow: &'static str,
    late: &'static str,
}

const HEAD: HeadRow = HeadRow {
    model: "sphere, ears at its sides, sources far away",
    radius_m: HEAD_RADIUS_M,
    delay: "Woodworth",
    shadow: "one pole and one zero by direction (Brown and Duda 1998)",
    late: "noise with the coherence of this head in sound from everywhere",
};

#[derive(Debug, Serialize)]
struct StateRow {
    variant: Option<String>,
    speed_of_sound_m_s: f64,
    late_sound: bool,
    wave_field_below_hz: Option<f64>,
    pairs: Vec<PairRow>,
}

#[derive(Debug, Serialize)]
struct PairRow {
    speaker: String,
    listener: String,
    direct_ms: f64,
    direct_sample: f64,
    omni: FileRow,
    ears: FileRow,
    ambisonic: FileRow,
}

#[derive(Debug, Serialize)]
struct FileRow {
    file: String,
    channels: Vec<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    normalisation: Option<&'static str>,
    peak: f64,
}

#[derive(Debug, Serialize)]
struct RecordingRow {
    file: String,
    sample_rate_hz: u32,
    channels: usize,
    whole_s: f64,
    played_s: f64,
    played_by: Vec<String>,
    target_lufs: f64,
    ceiling_dbtp: f64,
}

#[derive(Debug, Serialize)]
struct HeardRow {
    file: String,
    listener: String,
    variant: Option<String>,
    gain_db: f64,
    loudness_before_lufs: f64,
    loudness_lufs: f64,
    true_peak_dbtp: f64,
    length_samples: usize,
}

#[derive(Debug, Serialize)]
struct TurnsRow {
    file: String,
    listener: String,
    variants: Vec<Option<String>>,
    turns: usize,
    turn_s: f64,
    length_samples: usize,
}

impl ListenDocument {
    /// The document of a run.
    pub(crate) fn new(listened: &AuralizationView<'_>) -> Self {
        let played = listened.played.as_ref();
        let programmes = played.iter().flat_map(|played| &played.programmes);
        let in_turns = played.iter().flat_map(|played| &played.in_turns);
        Self {
            schema: SCHEMA,
            scene: listened.scene.title().to_owned(),
            caution: CAUTION,
            sample_rate_hz: RATE_HZ,
            lead_samples: round::to(LEAD_S * f64::from(RATE_HZ), 4),
            length_samples: lengths(listened),
            one_means: ONE_MEANS,
            seed: listened.seed,
            floor_db: listened.floor_db,
            head: HEAD,
            states: states(listened),
            recording: played.map(|played| RecordingRow::new(listened, played)),
            heard: programmes.map(|programme| HeardRow::new(listened, programme)).collect(),
            in_turns: in_turns.map(|turns| TurnsRow::new(listened, turns)).collect(),
        }
    }
}

/// Samples of the responses of each state.
fn lengths(listened: &AuralizationView<'_>) -> Vec<usize> {
    let first = listened.states.iter().map(|audible| audible.sounds.pairs.first());
    first.map(|pair| pair.map_or(0, |pair| pair.omni.samples.len())).collect()
}

fn states(listened: &AuralizationView<'_>) -> Vec<StateRow> {
    let mut pairs = listened.pairs().into_iter();
    let row = |audible: &crate::content::auralization::VariantAudio<'_>| StateRow {
        variant: audible.state.name.map(str::to_owned),
        speed_of_sound_m_s: round::to(audible.sounds.trace.speed_of_sound_m_s, 3),
        late_sound: audible.sounds.decay.is_some(),
        wave_field_below_hz: audible.sounds.crossover_hz.map(round::hertz),
        pairs: pairs
            .by_ref()
            .take(audible.sounds.pairs.len())
            .map(|(_, pair, files)| PairRow::new(listened, pair, files))
            .collect(),
    };
    listened.states.iter().map(row).collect()
}

impl PairRow {
    fn new(listened: &AuralizationView<'_>, pair: &PairSound, files: PairFiles) -> Self {
        let row = |file: String, channels: &[&'static str], samples: &[&[f64]]| FileRow {
            file,
            channels: channels.to_vec(),
            normalisation: None,
            peak: round::to(peak(samples), 5),
        };
        let omni = row(files.omni, &["omni"], &[&pair.omni.samples]);
        let ears = pair.ears.each_ref().map(|ear| ear.samples.as_slice());
        let ears = row(files.ears, &["left", "right"], &ears);
        let first_order = pair.ambisonic.each_ref().map(|channel| channel.samples.as_slice());
        let ambisonic = row(files.ambisonic, &AMBISONIC, &first_order);
        Self {
            speaker: listened.speaker(pair.speaker).to_owned(),
            listener: listened.listener(pair.listener).to_owned(),
            direct_ms: round::milliseconds(pair.direct_s()),
            direct_sample: round::to(pair.direct_sample, 4),
            omni,
            ears,
            ambisonic: FileRow { normalisation: Some("SN3D"), ..ambisonic },
        }
    }
}

/// The highest sample, either way.
pub(crate) fn peak(channels: &[&[f64]]) -> f64 {
    channels.iter().flat_map(|channel| channel.iter()).fold(0.0, |peak, s| f64::max(peak, s.abs()))
}

impl RecordingRow {
    fn new(listened: &AuralizationView<'_>, played: &RenderedRecording) -> Self {
        let recording = &played.recording;
        Self {
            file: recording.name.clone(),
            sample_rate_hz: recording.rate_hz,
            channels: recording.channels.len(),
            whole_s: round::to(recording.whole_s, 3),
            played_s: round::to(recording.played_s(), 3),
            played_by: played.by.iter().map(|&s| listened.speaker(s).to_owned()).collect(),
            target_lufs: TARGET_LUFS,
            ceiling_dbtp: CEILING_DB,
        }
    }
}

impl HeardRow {
    fn new(listened: &AuralizationView<'_>, programme: &Rendering) -> Self {
        let levelled = &programme.levelled;
        Self {
            file: listened.heard_file(programme),
            listener: listened.listener(programme.listener).to_owned(),
            variant: variant(listened, programme.state),
            gain_db: round::to(levelled.gain_db, 2),
            loudness_before_lufs: round::to(levelled.before.integrated_lufs, 2),
            loudness_lufs: round::to(levelled.after.integrated_lufs, 2),
            true_peak_dbtp: round::to(levelled.after.true_peak_db, 2),
            length_samples: length(&programme.sound),
        }
    }
}

impl TurnsRow {
    fn new(listened: &AuralizationView<'_>, in_turns: &AbSwitchFile) -> Self {
        Self {
            file: listened.turns_file(in_turns),
            listener: listened.listener(in_turns.listener).to_owned(),
            variants: (0..listened.states.len()).map(|state| variant(listened, state)).collect(),
            turns: in_turns.turns.turns,
            turn_s: round::to(in_turns.turns.turn_s, 3),
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
