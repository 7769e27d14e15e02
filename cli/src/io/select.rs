//! Names given on the command line, found in the scene.

use crate::args::Choice;
use crate::format::foreign;
use crate::io::exit::Failure;
use earline_engine::scene::{ListenerId, Scene, SpeakerId, SpeakerKind, Variant};

/// The part of a scene that was asked about.
#[derive(Debug, Clone)]
pub(crate) struct Selection<'a> {
    /// The state of the room.
    pub(crate) state: Variant<'a>,
    /// Listeners, in the scene's order.
    pub(crate) listeners: Vec<ListenerId>,
    /// Speakers, in the scene's order.
    pub(crate) speakers: Vec<SpeakerId>,
}

/// Find what was asked for, of what sends reflections that a list tells of; without names, all but subwoofers.
///
/// # Errors
/// A name that is not in the scene, with what is; a subwoofer.
pub(crate) fn select<'a>(scene: &'a Scene, choice: &Choice) -> Result<Selection<'a>, Failure> {
    let speakers = full_range_speakers(scene, &choice.speakers)?;
    Ok(Selection { speakers, ..select_with_subwoofers(scene, choice)? })
}

/// Find what was asked for; without names, everything.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn select_with_subwoofers<'a>(
    scene: &'a Scene,
    choice: &Choice,
) -> Result<Selection<'a>, Failure> {
    Ok(Selection {
        state: state(scene, choice.variant.as_deref())?,
        listeners: or_all(listeners(scene, &choice.listeners)?, scene.listener_ids()),
        speakers: or_all(speakers(scene, &choice.speakers)?, scene.speaker_ids()),
    })
}

/// Speakers by their names, none of them a subwoofer; without names all of these.
///
/// # Errors
/// A name that is not in the scene, with what is; a subwoofer, and a scene that has nothing else.
pub(crate) fn full_range_speakers(
    scene: &Scene,
    named: &[String],
) -> Result<Vec<SpeakerId>, Failure> {
    let chosen = or_all(speakers(scene, named)?, scene.full_range_ids());
    let is_subwoofer = |id: &&SpeakerId| scene[**id].kind == SpeakerKind::Subwoofer;
    if let Some(&subwoofer) = chosen.iter().find(is_subwoofer) {
        return Err(Failure::usage(
            &format!(
                "`{}` is a subwoofer, and so low there are no single reflections to tell of",
                foreign::quoted(&scene[subwoofer].name)
            ),
            "leave it out; `earline bass` tells what it does",
        ));
    }
    if chosen.is_empty() {
        return Err(Failure::usage(
            "every speaker of the scene is a subwoofer",
            "add a [[speaker]] that plays more than the bass, or ask `earline bass`",
        ));
    }
    Ok(chosen)
}

/// What was named, in the scene's order and each once; without names all.
pub(crate) fn or_all<T: Ord>(mut named: Vec<T>, all: impl Iterator<Item = T>) -> Vec<T> {
    named.sort_unstable();
    named.dedup();
    if named.is_empty() { all.collect() } else { named }
}

/// The state of a variant; without a name everything is in.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn state<'a>(scene: &'a Scene, variant: Option<&str>) -> Result<Variant<'a>, Failure> {
    scene
        .variant(variant)
        .ok_or_else(|| unknown_name("variant", variant.unwrap_or_default(), &variant_names(scene)))
}

/// Furniture by its names, as given.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn furniture(scene: &Scene, named: &[String]) -> Result<Vec<usize>, Failure> {
    let all: Vec<&str> = scene.furniture().iter().map(|piece| piece.name.as_str()).collect();
    if all.is_empty() && !named.is_empty() {
        return Err(Failure::usage("the scene has no furniture", "leave --with out"));
    }
    indices("piece of furniture", named, &all)
}

/// Variants by their names, as given.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn variants(scene: &Scene, named: &[String]) -> Result<Vec<usize>, Failure> {
    indices("variant", named, &variant_names(scene))
}

/// Listeners by their names, as given.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn listeners(scene: &Scene, named: &[String]) -> Result<Vec<ListenerId>, Failure> {
    let all: Vec<&str> = scene.listeners().iter().map(|l| l.name.as_str()).collect();
    let id =
        |name: &String| scene.listener_id(name).ok_or_else(|| unknown_name("listener", name, &all));
    named.iter().map(id).collect()
}

/// Speakers by their names, as given.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn speakers(scene: &Scene, named: &[String]) -> Result<Vec<SpeakerId>, Failure> {
    let all: Vec<&str> = scene.speakers().iter().map(|s| s.name.as_str()).collect();
    let id =
        |name: &String| scene.speaker_id(name).ok_or_else(|| unknown_name("speaker", name, &all));
    named.iter().map(id).collect()
}

fn indices(what: &str, named: &[String], all: &[&str]) -> Result<Vec<usize>, Failure> {
    let index = |name: &String| {
        all.iter().position(|other| other == name).ok_or_else(|| unknown_name(what, name, all))
    };
    named.iter().map(index).collect()
}

fn variant_names(scene: &Scene) -> Vec<&str> {
    scene.variants().iter().map(|v| v.name.as_str()).collect()
}

fn unknown_name(what: &str, asked: &str, all: &[&str]) -> Failure {
    let message = format!("the scene has no {what} named `{}`", foreign::quoted(asked));
    let there = match all {
        [] => format!("it has no {what} at all; leave --{what} out"),
        names => format!("it has {}", earline_engine::scene::list_names(names.iter().copied())),
    };
    match earline_engine::scene::nearest_name(asked, all.iter().copied()) {
        Some(name) => Failure::usage(&message, &format!("did you mean `{name}`? {there}")),
        None => Failure::usage(&message, &there),
    }
}
