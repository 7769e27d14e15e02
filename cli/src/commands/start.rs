//! `earline start`.

use crate::args::{self, Measured};
use crate::content;
use crate::content::first_scene::{self, Desk, Finishes, FirstScene};
use crate::export::start::StartDocument;
use crate::export::to_json;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::prompt::Asked;
use crate::io::terminal;
use crate::io::write::{OutputSet, SceneFile, Stop, is_scene};
use anyhow::{Context, anyhow};
use earline_engine::analysis::setting_out::{LayoutRequest, first_layout};
use earline_engine::scene::{NoAttachments, ROOM_SIDE_M, Room, Units};
use std::io;
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

/// What is written where no file is named.
const USUAL_FILE: &str = "room.toml";

/// What to do where no scene can be written.
const NAME_ANOTHER: &str = "name the scene file to write, such as room.toml";

pub(super) fn run(args: &args::Start, quiet: bool) -> Result<Done, Failure> {
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
    let units = units(args);
    let request = request(args, units)?;
    let layout = first_layout(&request).map_err(|impossible| {
        let (message, remedy) = content::first_scene::document::impossible(&impossible, units);
        Failure::usage(&message, &remedy)
    })?;
    let desk = args.desk.map(|width| Desk::before(&layout, width.metres));
    let desk = desk.transpose().map_err(|widths_m| {
        let (message, remedy) = content::first_scene::document::no_desk(widths_m.as_ref(), units);
        Failure::usage(&message, &remedy)
    })?;
    let finishes = Finishes::new([&args.walls, &args.floor, &args.ceiling].map(Option::as_deref));
    let first = FirstScene { layout: &layout, request: &request, units, finishes, desk };
    let text = first_scene::text(&first);
    if args.json {
        is_scene(&text, &NoAttachments)?;
        terminal::answer_bytes(&to_json(&StartDocument::new(&first, &text))?)?;
        return Ok(Done::Well);
    }
    write(&mut outputs, &file, &text, args.replace, &stop)?;
    super::show(&content::first_scene::document::document(&first, &shown(&file)))?;
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
        let missing: Vec<&str> =
            [("--length", args.length), ("--width", args.width), ("--height", args.height)]
                .iter()
                .filter(|(_, given)| given.is_none())
                .map(|(name, _)| *name)
                .collect();
        return Err(Failure::usage(
            &format!("the room's size is missing: {}", missing.join(", ")),
            "measure wall to wall inside, as in --length '5.8 m' --width '4.1 m' --height '2.45 m'",
        ));
    }
    let mut person = Asked { answers: io::stdin().lock(), questions: io::stderr().lock() };
    ask(&mut args, &mut person).context("no answer came")?;
    Ok(args)
}

/// Lengths and widths that people mix in, metres.
const USUAL_SIDE_M: RangeInclusive<f64> = 1.5..=12.0;
/// Heights, metres.
const USUAL_HEIGHT_M: RangeInclusive<f64> = 1.8..=6.0;

fn ask<R: io::BufRead, W: io::Write>(
    args: &mut args::Start,
    person: &mut Asked<R, W>,
) -> io::Result<()> {
    for (known, question, usual) in [
        (&mut args.length, "How long is the room, front wall to back wall, inside?", USUAL_SIDE_M),
        (&mut args.width, "How wide, left wall to right wall?", USUAL_SIDE_M),
        (&mut args.height, "How high, floor to ceiling?", USUAL_HEIGHT_M),
    ] {
        if known.is_none() {
            *known = Some(person.length(question, &ROOM_SIDE_M, &usual)?);
        }
    }
    for (known, question) in [
        (
            &mut args.walls,
            "What are the walls: drywall, brick, concrete, plaster? (Enter: drywall)",
        ),
        (&mut args.floor, "The floor: floorboards, parquet, carpet, tiles? (Enter: floorboards)"),
        (&mut args.ceiling, "The ceiling: drywall, plaster, concrete? (Enter: drywall)"),
    ] {
        if known.is_none() {
            *known = person.read_or_none(question, args::finish)?;
        }
    }
    if args.desk.is_none() {
        args.desk = person.length_or_none("A desk before the seat: its width? (Enter: none)")?;
    }
    for (known, question) in [
        (&mut args.ear, "How high are your ears when you sit? (Enter: published averages)"),
        (&mut args.standing_ear, "And when you stand? (Enter: published averages)"),
        (&mut args.base, "How far apart shall the speakers be? (Enter: what fits)"),
    ] {
        if known.is_none() {
            *known = person.length_or_none(question)?;
        }
    }
    Ok(())
}

/// How lengths are written: as asked, or as the first one that has a unit.
fn units(args: &args::Start) -> Units {
    let given = [args.length, args.width, args.height, args.base, args.seat, args.ear];
    let written = || given.into_iter().flatten().find_map(|length| length.units);
    args.units.map(Units::from).or_else(written).unwrap_or_default()
}

fn request(args: &args::Start, units: Units) -> Result<LayoutRequest, Failure> {
    let (Some(length), Some(width), Some(height)) = (args.length, args.width, args.height) else {
        return Err(anyhow!("the room's size is missing").into());
    };
    let metres = |given: Option<Measured>| given.map(|length| length.metres);
    Ok(LayoutRequest {
        room: Room { length_m: length.metres, width_m: width.metres, height_m: height.metres },
        across: args.across,
        seated_m: metres(args.ear),
        standing_m: metres(args.standing_ear),
        base_m: metres(args.base),
        seat_m: metres(args.seat),
        converge_m: metres(args.converge).unwrap_or(0.0),
        level: args.level(),
        cabinet: first_scene::CABINET,
        spacing_m: first_scene::SPACING_M,
        reference: args.reference.into(),
        units,
    })
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

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::*;
    use crate::args::Cli;
    use clap::Parser;

    /// Only what was not given is asked for, in this order.
    #[test]
    fn questions_fill_the_gaps() {
        let line = ["earline", "start", "--width", "4.1 m", "--ear", "1.2 m"];
        let args::Command::Start(mut args) = Cli::try_parse_from(line).unwrap().command else {
            panic!("start")
        };
        let answers = b"19 ft\n8 ft\nbrick\n\nplaster\n\n\n6 ft\n".as_slice();
        let mut person = Asked { answers, questions: Vec::new() };
        ask(&mut args, &mut person).unwrap();
        let said = String::from_utf8(person.questions).unwrap();
        assert!(!said.contains("How wide") && !said.contains("when you sit"), "{said}");
        assert!((args.length.unwrap().metres - 19.0 * 0.3048).abs() < 1e-12);
        assert!((args.width.unwrap().metres - 4.1).abs() < 1e-12);
        assert_eq!(args.standing_ear, None);
        assert_eq!(args.walls.as_deref(), Some("bare brick"));
        assert_eq!((&args.floor, args.desk), (&None, None));
        assert!((args.base.unwrap().metres - 6.0 * 0.3048).abs() < 1e-12);
        assert_eq!(units(&args), Units::Imperial);
    }
}
