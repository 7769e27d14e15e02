//! What was made audible, in words.

use super::{heading, title};
use crate::content::auralization::{Audible, CAUTION, Listened, Played, peak};
use crate::io::recording::MOST_S;
use crate::io::terminal::{ALERT, HEADING, QUIET};
use crate::io::wav::RATE_HZ;
use crate::render::columns::{Cell, Lean, Table, indented, item, paragraph};
use earline_engine::auralization::{CEILING_DB, TARGET_LUFS};

/// Less than this from the target is at it, LU.
const AT_TARGET_LU: f64 = 0.05;

/// The whole answer, every line within `width`.
pub(crate) fn text(listened: &Listened<'_>, width: usize) -> String {
    let mut lines = match listened.states.as_slice() {
        [one] => title(listened.scene, &one.state, width),
        _ => paragraph(listened.scene.title(), width)
            .iter()
            .map(|line| format!("{HEADING}{line}{HEADING:#}"))
            .collect(),
    };
    lines.extend(paragraph(&about(listened), width));
    lines.push(String::new());
    lines.extend(paragraph(CAUTION, width).iter().map(|line| format!("{ALERT}{line}{ALERT:#}")));
    lines.extend(responses(listened, width));
    if let Some(played) = &listened.played {
        lines.extend(recording(listened, played, width));
    }
    lines.extend(heading("What it is worth"));
    for text in limits(listened) {
        lines.extend(item("  - ", &text, width));
    }
    lines.push(String::new());
    lines.join("\n")
}

fn about(listened: &Listened<'_>) -> String {
    let states = match listened.states.as_slice() {
        [first, second] => format!(" in two states, {} and {}", first.name(), second.name()),
        _ => String::new(),
    };
    let late = listened.states.iter().all(|audible| audible.sounds.simulation.decay.is_some());
    let late = if late { "" } else { " Without rays only single mirror paths are in them." };
    format!(
        "How it sounds{states}: impulse responses as WAV files, 48 kHz, 32-bit float. 1.0 in them is the \
         speaker's own pressure at 1 m on axis in the open; they are never normalised.{late}"
    )
}

fn responses(listened: &Listened<'_>, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Impulse responses").into();
    let mut table = Table::new(vec![
        ("Direct, ms", Lean::Right),
        ("Peak", Lean::Right),
        ("File, with -ears and -ambix beside it", Lean::Left),
    ]);
    for (_, pair, files) in listened.pairs() {
        let direct_ms = 1e3 * pair.direct_s();
        table.row(
            vec![
                Cell::plain(format!("{direct_ms:.2}")),
                Cell::plain(format!("{:.2}", peak(&[&pair.omni.samples]))),
                Cell::plain(files.omni),
            ],
            Vec::new(),
        );
    }
    lines.extend(table.lines(width, QUIET));
    lines.extend(indented(&lengths(listened), 2, width));
    let text = "As it stands: one microphone where the middle of the head is. -ears: left and right ear, for \
                headphones. -ambix: four channels W, Y, Z, X (ACN, SN3D) as the listener faces, for \
                researchers.";
    lines.extend(indented(text, 2, width));
    lines
}

/// How long the responses of each state are.
fn lengths(listened: &Listened<'_>) -> String {
    let of_state = |audible: &Audible<'_>| {
        let samples = audible.sounds.pairs.first().map_or(0, |pair| pair.omni.samples.len());
        format!("{:.2} s ({})", samples as f64 / f64::from(RATE_HZ), audible.name())
    };
    let lengths: Vec<String> = listened.states.iter().map(of_state).collect();
    format!("Each runs from the click on, for {}.", lengths.join(" and "))
}

fn recording(listened: &Listened<'_>, played: &Played, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = heading("Your recording").into();
    lines.extend(indented(&which(listened, played), 2, width));
    let mut table = Table::new(vec![
        ("LUFS", Lean::Right),
        ("Peak, dBTP", Lean::Right),
        ("Gain, dB", Lean::Right),
        ("File", Lean::Left),
    ]);
    for programme in &played.programmes {
        let levelled = &programme.levelled;
        table.row(
            vec![
                Cell::plain(format!("{:.1}", levelled.after.integrated_lufs)),
                Cell::plain(format!("{:.1}", levelled.after.true_peak_db)),
                Cell::plain(format!("{:+.1}", levelled.gain_db)),
                Cell::plain(listened.heard_file(programme)),
            ],
            Vec::new(),
        );
    }
    lines.push(String::new());
    lines.extend(table.lines(width, QUIET));
    lines.extend(indented(&policy(played), 2, width));
    for in_turns in &played.in_turns {
        let text = format!(
            "{}: A is {}, B is {}; they take turns every {:.1} s, A first, while the recording goes on.",
            listened.turns_file(in_turns),
            listened.state(0),
            listened.state(1),
            in_turns.turns.turn_s,
        );
        lines.extend(item("  - ", &text, width));
    }
    lines
}

/// The recording and who plays it.
fn which(listened: &Listened<'_>, played: &Played) -> String {
    let recording = &played.recording;
    let kind = if recording.channels.len() == 2 { "stereo" } else { "mono" };
    let rate = if recording.rate_hz == RATE_HZ {
        String::new()
    } else {
        format!(", brought from {} Hz to 48 kHz", recording.rate_hz)
    };
    let by: Vec<&str> = played.by.iter().map(|&speaker| listened.speaker(speaker)).collect();
    let by = match (by.as_slice(), kind) {
        ([left, right], "stereo") => format!("left by {left}, right by {right}"),
        (all, _) => format!("by {}", all.join(" and ")),
    };
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

fn policy(played: &Played) -> String {
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

fn limits(listened: &Listened<'_>) -> Vec<String> {
    let mut texts = vec![bass(listened)];
    if listened.states.iter().any(|audible| audible.sounds.simulation.decay.is_some()) {
        texts.push(
            "Late sound is noise with the right energy in each octave and no pattern of its own; the first \
             tenth of a second is path by path."
                .to_owned(),
        );
    }
    let more = [
        "The head is a sphere without outer ears: it tells left from right, but hardly front from back or above \
         from below. Compare states with it; do not mix on it.",
        "Your speakers' own sound is not in it: on axis they are taken as flat, and below 40 Hz most play less.",
        "A starting point to experiment from; your own ears in the finished room decide.",
    ];
    texts.extend(more.map(str::to_owned));
    texts
}

/// Where the bass comes from.
fn bass(listened: &Listened<'_>) -> String {
    let below: Vec<String> = listened
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
