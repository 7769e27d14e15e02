//! `earline start`.

mod plan;
mod questions;

use self::plan::{planned, size_is_missing};
use self::questions::ask;
use crate::args;
use crate::content;
use crate::content::first_scene;
use crate::export::start::StartDocument;
use crate::export::to_json;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::prompt::Asked;
use crate::io::terminal;
use crate::io::write::{OutputSet, SceneFile, Stop, is_scene};
use anyhow::Context;
use earline_engine::scene::NoAttachments;
use std::io;
use std::path::{Path, PathBuf};

/// What is written where no file is named.
const USUAL_FILE: &str = "room.toml";

/// What to do where no scene can be written.
const NAME_ANOTHER: &str = "name the scene file to write, such as room.toml";

pub(in crate::commands) fn run(args: &args::Start, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let file = args.scene.clone().unwrap_or_else(|| PathBuf::from(USUAL_FILE));
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    let mut outputs = OutputSet::new(folder.unwrap_or(Path::new(".")));
    if !args.json {
        is_free(&file, args.replace)?;
        outputs.try_out(NAME_ANOTHER, &stop)?;
    }
    if args.seated.is_some() && args.level != args::Level::HalfWay {
        return Err(Failure::usage(
            "--seated counts only for speakers between seated and standing ears",
            "give --level half-way with it, or leave it out",
        ));
    }
    let args = &answered(args.clone())?;
    let first = planned(args).map_err(|(message, remedy)| Failure::usage(&message, &remedy))?;
    let text = first_scene::text(&first);
    if args.json {
        is_scene(&text, &NoAttachments)?;
        terminal::answer_bytes(&to_json(&StartDocument::new(&first, &text))?)?;
        return Ok(Done::Well);
    }
    write(&mut outputs, &file, &text, args.replace, &stop)?;
    crate::commands::show(&content::first_scene::document::document(&first, &shown(&file)))?;
    if !quiet {
        terminal::closing_notes(&[format!("Wrote {}", foreign::path(&file))]);
    }
    Ok(Done::Well)
}

/// A file that is there already stays as it is, unless it was asked for otherwise.
fn is_free(file: &Path, replace: bool) -> Result<(), Failure> {
    if name_of(file).is_none() || file.is_dir() {
        return Err(Failure::usage(
            &format!("`{}` is no name for a file", foreign::path(file)),
            NAME_ANOTHER,
        ));
    }
    match file.symlink_metadata() {
        Ok(_) if !replace => return Err(taken(file)),
        Ok(about) if !about.is_file() => {
            return Err(Failure::usage(
                &format!("`{}` is no ordinary file, and is not replaced", foreign::path(file)),
                NAME_ANOTHER,
            ));
        }
        Err(error) if error.kind() == io::ErrorKind::InvalidFilename => {
            return Err(Failure::usage(
                &format!("`{}` is too long for the name of a file", foreign::path(file)),
                "name the scene file to write, such as room.toml",
            ));
        }
        _ => {}
    }
    Ok(())
}

fn taken(file: &Path) -> Failure {
    Failure::usage(
        &format!("`{}` is there already; nothing was changed", foreign::path(file)),
        "name another file, or put the new scene in its place with --replace",
    )
}

/// Asks at a terminal for what was not given; elsewhere the room's size has to be there.
fn answered(mut args: args::Start) -> Result<args::Start, Failure> {
    let known = args.length.is_some() && args.width.is_some() && args.height.is_some();
    if known {
        return Ok(args);
    }
    if args.json || !terminal::is_conversation() {
        let (message, remedy) = size_is_missing(&args);
        return Err(Failure::usage(&message, &remedy));
    }
    let mut person = Asked { answers: io::stdin().lock(), questions: io::stderr().lock() };
    ask(&mut args, &mut person)?;
    Ok(args)
}

fn write(
    outputs: &mut OutputSet,
    file: &Path,
    text: &str,
    replace: bool,
    stop: &Stop,
) -> Result<(), Failure> {
    let name = name_of(file).context("the file has no name")?;
    outputs.add_scene(&SceneFile { name, comment: &[], text, attachments: &NoAttachments })?;
    let written = if replace { outputs.write(stop) } else { outputs.write_new(stop) };
    match written {
        // Someone was quicker than the look at the beginning.
        Err(error) if !replace && is_there(&error) => Err(taken(file)),
        written => Ok(written?),
    }
}

/// The name of a file, where it has one that can be written as text.
fn name_of(file: &Path) -> Option<&str> {
    file.file_name()?.to_str()
}

fn is_there(error: &anyhow::Error) -> bool {
    let kind = error.root_cause().downcast_ref::<io::Error>().map(io::Error::kind);
    kind == Some(io::ErrorKind::AlreadyExists)
}

/// The file as a person would type it in a command.
fn shown(file: &Path) -> String {
    let name = foreign::path(file);
    if name.contains(' ') { format!("'{name}'") } else { name }
}
