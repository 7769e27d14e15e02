//! A pair has one left and one right speaker.

use crate::scene::messages::{nearest, quoted};
use crate::scene::model::{Side, SpeakerKind};
use crate::scene::problem::{Problem, Problems};
use crate::scene::raw::{RawScene, RawSpeaker, Spanned};

pub(super) fn check(raw: &RawScene, problems: &Problems) {
    for speaker in &raw.speakers {
        both_or_none(speaker, problems);
        no_subwoofer(speaker, problems);
    }
    let mut names: Vec<&Spanned<String>> = Vec::new();
    for name in raw.speakers.iter().filter_map(|speaker| speaker.pair.as_ref()) {
        if !names.iter().any(|known| known.value == name.value) {
            names.push(name);
        }
    }
    for name in &names {
        let members: Vec<&RawSpeaker> = raw
            .speakers
            .iter()
            .filter(|speaker| speaker.pair.as_ref().is_some_and(|pair| pair.value == name.value))
            .collect();
        // A missing or misspelt side has been reported already, and so has a subwoofer.
        let is_pair = |speaker: &&RawSpeaker| speaker.side.is_some() && !is_subwoofer(speaker);
        if members.iter().all(is_pair) {
            one_of_each(name, &members, &names, problems);
        }
    }
}

fn is_subwoofer(speaker: &RawSpeaker) -> bool {
    speaker.kind.as_ref().is_some_and(|kind| kind.value == SpeakerKind::Subwoofer)
}

/// A subwoofer plays what is low in both channels, and so belongs to no side.
fn no_subwoofer(speaker: &RawSpeaker, problems: &Problems) {
    let Some(pair) = &speaker.pair else { return };
    if is_subwoofer(speaker) {
        problems.add(
            Problem::error("scene::pair", pair.span.clone(), "a subwoofer belongs to no pair")
                .label("it plays with every pair")
                .help("leave `pair` and `side` out of it; each subwoofer has the low end of left and right together"),
        );
    }
}

fn both_or_none(speaker: &RawSpeaker, problems: &Problems) {
    let problem = match (&speaker.pair, &speaker.side) {
        (Some(pair), None) if !speaker.written.has("side") => Problem::error(
            "scene::pair",
            pair.span.clone(),
            "this speaker belongs to a pair but has no side",
        )
        .help("add side = \"left\" or side = \"right\""),
        (None, Some(side)) if !speaker.written.has("pair") => {
            Problem::error("scene::pair", side.span.clone(), "this speaker has a side but no pair")
                .help("add pair = \"mains\", the same for both speakers, or leave `side` out")
        }
        _ => return,
    };
    problems.add(problem);
}

fn one_of_each(
    name: &Spanned<String>,
    members: &[&RawSpeaker],
    names: &[&Spanned<String>],
    problems: &Problems,
) {
    for side in [Side::Left, Side::Right] {
        let sides: Vec<&Spanned<Side>> = members
            .iter()
            .filter_map(|speaker| speaker.side.as_ref())
            .filter(|found| found.value == side)
            .collect();
        let word = match side {
            Side::Left => "left",
            Side::Right => "right",
        };
        match sides.as_slice() {
            [_] => {}
            [] => {
                let others = names
                    .iter()
                    .map(|other| other.value.as_str())
                    .filter(|other| *other != name.value);
                let help = match nearest(&name.value, others) {
                    Some(near) => format!("is it the same pair as \"{near}\"? write both alike"),
                    None => format!("give its other speaker the same `pair` and side = \"{word}\""),
                };
                let message = format!("the pair `{}` has no {word} speaker", quoted(&name.value));
                problems.add(
                    Problem::error("scene::pair", name.span.clone(), message)
                        .label(format!("no {word} speaker in it"))
                        .help(help),
                );
            }
            [first, more @ ..] => {
                for extra in more {
                    let message = format!(
                        "the pair `{}` has more than one {word} speaker",
                        quoted(&name.value)
                    );
                    problems.add(
                        Problem::error("scene::pair", extra.span.clone(), message)
                            .label(format!("another {word} one"))
                            .related(first.span.clone(), format!("first {word} one"))
                            .help("a pair has one left and one right speaker; use a second pair name for the others"),
                    );
                }
            }
        }
    }
}
