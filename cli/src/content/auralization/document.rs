//! What was made audible, in words.

use super::{AuralizationView, CAUTION, RenderedRecording, VariantAudio, peak};
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::wave_field::group_name::subwoofers;
use crate::format::number::{fixed, signed};
use crate::io::recording::MOST_S;
use crate::io::wav::RATE_HZ;
use earline_engine::auralization::{CEILING_DB, TARGET_LUFS};
use earline_engine::scene::{SpeakerId, SpeakerKind};

/// Less than this from the target is at it, LU.
const AT_TARGET_LU: f64 = 0.05;

/// The whole answer, every line within `width`.
pub(crate) fn document(view: &AuralizationView<'_>) -> Document {
    let mut document = match view.states.as_slice() {
        [one] => Document::of_scene(view.scene, &one.state),
        _ => Document::default(),
    };
    if view.states.len() != 1 {
        document.title(view.scene.title());
    }
    document.paragraph(about(view));
    document.pause();
    document.warning(CAUTION);
    document.append(responses(view));
    if let Some(played) = &view.played {
        document.append(recording(view, played));
    }
    document.heading("What it is worth");
    document.list(limits(view));
    document
}

fn about(view: &AuralizationView<'_>) -> String {
    let states = match view.states.as_slice() {
        [first, second] => format!(" in two states, {} and {}", first.name(), second.name()),
        _ => String::new(),
    };
    let late = view.states.iter().all(|audible| audible.sounds.simulation.decay.is_some());
    let late = if late { "" } else { " Without rays only single mirror paths are in them." };
    format!(
        "How it sounds{states}: impulse responses as WAV files, 48 kHz, 32-bit float. 1.0 in them is the \
         speaker's own pressure at 1 m on axis in the open; they are never normalised.{late}"
    )
}

fn responses(view: &AuralizationView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("Impulse responses");
    let mut table = Table::new(
        "Impulse responses",
        vec![
            Column::right("Direct, ms"),
            Column::right("Peak"),
            Column::left("File, with -ears and -ambix beside it"),
        ],
    );
    for (_, pair, files) in view.pairs() {
        let direct_ms = 1e3 * pair.direct_s();
        table.row(vec![
            Cell::plain(format!("{direct_ms:.2}")),
            Cell::plain(peak_figure(peak(&[&pair.omni.samples]))),
            Cell::plain(files.omni),
        ]);
    }
    document.table(table);
    document.note(lengths(view));
    let text = "As it stands: one microphone where the middle of the head is. -ears: left and right ear, for \
                headphones. -ambix: four channels W, Y, Z, X (ACN, SN3D) as the listener faces, for \
                researchers.";
    document.note(text);
    document
}

/// A peak; of a subwoofer, whose sound is spread over time, with more figures.
fn peak_figure(peak: f64) -> String {
    let decimals = if peak < 0.01 { 4 } else { 2 };
    format!("{peak:.decimals$}")
}

/// How long the responses of each state are.
fn lengths(view: &AuralizationView<'_>) -> String {
    let of_state = |audible: &VariantAudio<'_>| {
        let samples = audible.sounds.pairs.first().map_or(0, |pair| pair.omni.samples.len());
        format!("{:.2} s ({})", samples as f64 / f64::from(RATE_HZ), audible.name())
    };
    let lengths: Vec<String> = view.states.iter().map(of_state).collect();
    format!("Each runs from the click on, for {}.", lengths.join(" and "))
}

fn recording(view: &AuralizationView<'_>, played: &RenderedRecording) -> Document {
    let mut document = Document::default();
    document.heading("Your recording");
    document.note(which(view, played));
    let mut table = Table::new(
        "Your recording",
        vec![
            Column::right("LUFS"),
            Column::right("Peak, dBTP"),
            Column::right("Gain, dB"),
            Column::left("File"),
        ],
    );
    for (programme, file) in view.programmes() {
        let levelled = &programme.levelled;
        table.row(vec![
            Cell::plain(fixed(levelled.after.integrated_lufs, 1)),
            Cell::plain(fixed(levelled.after.true_peak_db, 1)),
            Cell::plain(signed(levelled.gain_db, 1)),
            Cell::plain(file),
        ]);
    }
    document.pause();
    document.table(table);
    document.note(policy(played));
    let in_turns = view.in_turns().into_iter().map(|(in_turns, file)| {
        format!(
            "{file}: A is {}, B is {}; they take turns every {:.1} s, A first, while the recording goes on.",
            view.state(0),
            view.state(1),
            in_turns.turns.turn_s,
        )
    });
    document.list(in_turns);
    document
}

/// The recording and who plays it.
fn which(view: &AuralizationView<'_>, played: &RenderedRecording) -> String {
    let recording = &played.recording;
    let kind = if recording.channels.len() == 2 { "stereo" } else { "mono" };
    let rate = if recording.rate_hz == RATE_HZ {
        String::new()
    } else {
        format!(", brought from {} Hz to 48 kHz", recording.rate_hz)
    };
    let is_subwoofer = |id: &SpeakerId| view.scene[*id].kind == SpeakerKind::Subwoofer;
    let (low, mains): (Vec<SpeakerId>, Vec<SpeakerId>) =
        played.by.iter().partition(|id| is_subwoofer(id));
    let names: Vec<&str> = mains.iter().map(|&speaker| view.speaker(speaker)).collect();
    let mut by = match (names.as_slice(), kind) {
        ([left, right], "stereo") => format!("left by {left}, right by {right}"),
        (all, _) => format!("by {}", all.join(" and ")),
    };
    if let Some(subwoofers) = subwoofers(view.scene, &low) {
        by = if names.is_empty() {
            format!("by {subwoofers}")
        } else {
            format!("{by}, its low end by {subwoofers} as well")
        };
    }
    let cut = if recording.whole_s > MOST_S {
        format!(" Only its first {MOST_S:.0} s of {:.0} s are played.", recording.whole_s)
    } else {
        String::new()
    };
    format!(
        "{}, {kind}, {:.1} s{rate}; played {by}, heard with both ears on headphones.{cut}",
        recording.name,
        recording.played_s(),
    )
}

fn policy(played: &RenderedRecording) -> String {
    let reached = played
        .programmes
        .first()
        .map_or(TARGET_LUFS, |programme| programme.levelled.after.integrated_lufs);
    if (reached - TARGET_LUFS).abs() < AT_TARGET_LU {
        format!(
            "All at {TARGET_LUFS:.0} LUFS (ITU-R BS.1770), so that the louder one does not win by being louder; \
             none peaks above {CEILING_DB:.0} dBTP."
        )
    } else {
        format!(
            "All at one loudness (ITU-R BS.1770), so that the louder one does not win by being louder; \
             {TARGET_LUFS:.0} LUFS would peak above {CEILING_DB:.0} dBTP, so all are lowered alike."
        )
    }
}

fn limits(view: &AuralizationView<'_>) -> Vec<String> {
    let mut texts = vec![bass(view)];
    if view.states.iter().any(|audible| audible.sounds.simulation.decay.is_some()) {
        texts.push(
            "Late sound is noise with the right energy in each octave and no pattern of its own; the first \
             tenth of a second is path by path."
                .to_owned(),
        );
    }
    let more = [
        "The head is a sphere without outer ears: it tells left from right, but hardly front from back or above \
         from below. Compare states with it; do not mix on it.",
        speakers(view),
        "A starting point to experiment from; your own ears in the finished room decide.",
    ];
    texts.extend(more.map(str::to_owned));
    texts
}

/// What of the speakers' own sound is in it.
fn speakers(view: &AuralizationView<'_>) -> &'static str {
    if view.scene.speakers().iter().any(|speaker| !speaker.chain.is_plain()) {
        "Of your speakers' own sound there are the filters, levels, delays, polarities and lower limits that the \
         scene gives; otherwise they are taken as flat on axis."
    } else {
        "Your speakers' own sound is not in it: on axis they are taken as flat, and below 40 Hz most play less."
    }
}

/// Where the bass comes from.
fn bass(view: &AuralizationView<'_>) -> String {
    let below: Vec<String> = view
        .states
        .iter()
        .filter_map(|audible| {
            let hz = audible.sounds.simulation.crossover_hz?;
            Some(format!("{hz:.0} Hz ({})", audible.name()))
        })
        .collect();
    if below.is_empty() {
        "The bass is what mirror paths make of it; `earline bass` tells more.".to_owned()
    } else {
        format!(
            "Below about {} it is the wave field of the room that sounds, as `earline bass` has it; mirror \
             paths and rays above. Y, Z and X of -ambix keep mirror paths all the way down.",
            below.join(" and ")
        )
    }
}
