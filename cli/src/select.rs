//! Names given on the command line, found in the scene.

use crate::args::Choice;
use crate::exit::Failure;
use earline_engine::scene::{Scene, State};

/// The part of a scene that was asked about.
#[derive(Debug, Clone)]
pub(crate) struct Selection<'a> {
    /// The state of the room.
    pub(crate) state: State<'a>,
    /// Listeners by index, in the scene's order.
    pub(crate) listeners: Vec<usize>,
    /// Speakers by index, in the scene's order.
    pub(crate) speakers: Vec<usize>,
}

/// Find what was asked for; without names, everything.
///
/// # Errors
/// A name that is not in the scene, with what is.
pub(crate) fn select<'a>(scene: &'a Scene, choice: &Choice) -> Result<Selection<'a>, Failure> {
    let names = |named: &[String], what: &str, all: Vec<&str>| -> Result<Vec<usize>, Failure> {
        if let Some(unknown) = named.iter().find(|name| !all.contains(&name.as_str())) {
            return Err(unknown_name(what, unknown, &all));
        }
        let wanted = |name: &str| named.is_empty() || named.iter().any(|n| n == name);
        Ok((0..all.len()).filter(|&i| wanted(all[i])).collect())
    };
    let listeners: Vec<&str> = scene.listeners().iter().map(|l| l.name.as_str()).collect();
    let speakers: Vec<&str> = scene.speakers().iter().map(|s| s.name.as_str()).collect();
    let state = scene.state(choice.variant.as_deref()).ok_or_else(|| {
        let variants: Vec<&str> = scene.variants().iter().map(|v| v.name.as_str()).collect();
        unknown_name("variant", choice.variant.as_deref().unwrap_or_default(), &variants)
    })?;
    Ok(Selection {
        state,
        listeners: names(&choice.listeners, "listener", listeners)?,
        speakers: names(&choice.speakers, "speaker", speakers)?,
    })
}

fn unknown_name(what: &str, asked: &str, all: &[&str]) -> Failure {
    let message = format!("the scene has no {what} named `{asked}`");
    let there = match all {
        [] => format!("it has no {what} at all; leave --{what} out"),
        names => format!("it has {}", earline_engine::scene::list_names(names.iter().copied())),
    };
    match earline_engine::scene::nearest_name(asked, all.iter().copied()) {
        Some(name) => Failure::usage(&message, &format!("did you mean `{name}`? {there}")),
        None => Failure::usage(&message, &there),
    }
}
