//! Questions for what was not given. An answer that does not go with the others is asked for again.

use super::plan::{planned, units};
use crate::args::{self, Measured, WallPiece, measured, wall};
use crate::content::first_scene::{Measure, PieceKind, PlacedPiece, measured_from};
use crate::format::{foreign, length};
use crate::io::exit::Failure;
use crate::io::prompt::Asked;
use anyhow::Context;
use earline_engine::scene::{ROOM_SIDE_M, Surface};
use std::io::{self, BufRead, Write};
use std::ops::RangeInclusive;

/// Lengths and widths that people mix in, metres.
const USUAL_SIDE_M: RangeInclusive<f64> = 1.5..=12.0;
/// Heights, metres.
const USUAL_HEIGHT_M: RangeInclusive<f64> = 1.8..=6.0;
/// A side that goes with any other one that does, metres.
const AMPLE_M: f64 = 6.0;

/// Asks for everything that was not given.
///
/// # Errors
/// An option that was given cannot be, the answers end, or the terminal is gone.
pub(super) fn ask<R: BufRead, W: Write>(
    args: &mut args::Start,
    person: &mut Asked<R, W>,
) -> Result<(), Failure> {
    ask_room(args, person)?;
    ask_furnishing(args, person).context("no answer came")?;
    Ok(())
}

/// The size of the room, until there is one that holds a first scene.
fn ask_room<R: BufRead, W: Write>(
    args: &mut args::Start,
    person: &mut Asked<R, W>,
) -> Result<(), Failure> {
    let refused = |(message, remedy): (String, String)| Failure::usage(&message, &remedy);
    let given = [args.length, args.width, args.height];
    let ample = |side: Option<Measured>| side.or(Some(Measured { metres: AMPLE_M, units: None }));
    let mut holds = args.room_alone();
    [holds.length, holds.width, holds.height] = given.map(ample);
    planned(&holds).map_err(refused)?;
    loop {
        ask_sides(args, person).context("no answer came")?;
        let Err((message, remedy)) = planned(&args.room_alone()) else { break };
        let why = foreign::visible(&format!("{message}; {remedy}"));
        writeln!(person.questions, "  {why}.").context("no answer came")?;
        [args.length, args.width, args.height] = given;
    }
    planned(args).map_err(refused)?;
    let metres = |side: Option<Measured>| side.map_or(0.0, |side| side.metres);
    if !args.across && metres(args.length) < metres(args.width) {
        std::mem::swap(&mut args.length, &mut args.width);
        let told = "  The room is wider than long: its longer side is taken as the length, so front and back are short.";
        writeln!(person.questions, "{told}").context("no answer came")?;
    }
    Ok(())
}

fn ask_sides<R: BufRead, W: Write>(
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
    Ok(())
}

/// A length that is asked for.
type Field = fn(&mut args::Start) -> &mut Option<Measured>;

fn ask_furnishing<R: BufRead, W: Write>(
    args: &mut args::Start,
    person: &mut Asked<R, W>,
) -> io::Result<()> {
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
    let lengths: [(Field, &str); 5] = [
        (|args| &mut args.ear, "How high are your ears when you sit? (Enter: published averages)"),
        (|args| &mut args.standing_ear, "And when you stand? (Enter: published averages)"),
        (|args| &mut args.base, "How far apart shall the speakers be? (Enter: what fits)"),
        (|args| &mut args.desk, "A desk before the seat: its width? (Enter: none)"),
        (
            |args| &mut args.second_base,
            "A second pair of speakers at the same seat: how far apart? (Enter: none)",
        ),
    ];
    for (field, question) in lengths {
        if field(args).is_some() {
            continue;
        }
        let with = person.read_or_none(question, |answer| {
            let mut with = args.clone();
            *field(&mut with) = Some(measured(answer)?);
            fits(&with).map(|_| with)
        })?;
        *args = with.unwrap_or_else(|| args.clone());
    }
    for kind in PieceKind::ALL {
        if args.pieces(kind).is_empty() {
            ask_pieces(kind, args, person)?;
        }
    }
    Ok(())
}

/// Things of a kind, until there is none more.
fn ask_pieces<R: BufRead, W: Write>(
    kind: PieceKind,
    args: &mut args::Start,
    person: &mut Asked<R, W>,
) -> io::Result<()> {
    let word = kind.word();
    let at = if matches!(kind, PieceKind::Window | PieceKind::Door) { "in" } else { "at" };
    let mut question =
        format!("A {word}: {at} which wall, front, back, left or right? (Enter: none)");
    loop {
        let on = person.read_or_none(&question, |answer| {
            let piece = WallPiece::on(wall(answer)?);
            with(args, kind, piece).map(|_| piece)
        })?;
        let Some(piece) = on else { return Ok(()) };
        let piece = ask_measures(kind, piece, args, person)?;
        args.pieces_mut(kind).push(piece);
        // Most rooms have one sofa, but many have several windows.
        if !matches!(kind, PieceKind::Window | PieceKind::Door) {
            return Ok(());
        }
        question = format!("Another {word}: front, back, left or right? (Enter: none)");
    }
}

/// Place and size of a thing, with what it would have otherwise.
fn ask_measures<R: BufRead, W: Write>(
    kind: PieceKind,
    mut piece: WallPiece,
    args: &args::Start,
    person: &mut Asked<R, W>,
) -> io::Result<WallPiece> {
    for measure in asked_for(kind).iter().copied() {
        let otherwise = match with(args, kind, piece) {
            Ok(placed) => length::length(placed.measure_m(measure), units(args)),
            Err(_) => continue,
        };
        let question = format!("  {} (Enter: {otherwise})", question(measure, piece.on));
        let known = person.read_or_none(&question, |answer| {
            let next = piece.with(measure, measured(answer)?);
            with(args, kind, next).map(|_| next)
        })?;
        piece = known.unwrap_or(piece);
    }
    Ok(piece)
}

/// What people know of a thing without a tape, and then its place, which depends on its size.
fn asked_for(kind: PieceKind) -> &'static [Measure] {
    match kind {
        PieceKind::Window => &[Measure::Width, Measure::Height, Measure::Sill, Measure::At],
        PieceKind::Sofa => &[Measure::Width, Measure::At],
        _ => &[Measure::Width, Measure::Height, Measure::At],
    }
}

fn question(measure: Measure, on: Surface) -> String {
    match measure {
        Measure::At => format!("Its middle, from the {}?", measured_from(on)),
        Measure::Width => "How wide?".to_owned(),
        Measure::Height => "How high?".to_owned(),
        Measure::Sill => "Its sill above the floor?".to_owned(),
        Measure::Depth => "How deep?".to_owned(),
    }
}

/// The thing as it would be placed beside everything that was answered.
fn with(args: &args::Start, kind: PieceKind, piece: WallPiece) -> Result<PlacedPiece, String> {
    let mut with = args.clone();
    with.pieces_mut(kind).push(piece);
    let first = fits(&with)?;
    let placed = first.pieces.into_iter().rfind(|placed| placed.kind == kind);
    placed.ok_or_else(|| "there is no place for it".to_owned())
}

/// Whether all answers go together, in the words of a prompt.
fn fits(args: &args::Start) -> Result<crate::content::first_scene::FirstScene, String> {
    planned(args).map_err(|(message, remedy)| format!("{message}; {remedy}"))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::*;
    use crate::args::Cli;
    use clap::Parser;
    use earline_engine::scene::Units;

    /// The options after these answers, and all that was said.
    fn answered(options: &str, answers: &str) -> (args::Start, String) {
        let line = ["earline", "start"].into_iter().chain(options.split_whitespace());
        let args::Command::Start(mut args) = Cli::try_parse_from(line).unwrap().command else {
            panic!("start")
        };
        let mut person = Asked { answers: answers.as_bytes(), questions: Vec::new() };
        ask(&mut args, &mut person).unwrap();
        assert!(person.answers.is_empty(), "{:?}", person.answers);
        (args, String::from_utf8(person.questions).unwrap())
    }

    /// Only what was not given is asked for, in this order.
    #[test]
    fn questions_fill_the_gaps() {
        let answers = "19 ft\n8 ft\nbrick\n\nplaster\n\n6 ft\n\nnone\n\n\n\n\n\n\n";
        let (args, said) = answered("--width 4.1m --ear 1.2m", answers);
        assert!(!said.contains("How wide") && !said.contains("when you sit"), "{said}");
        assert!((args.length.unwrap().metres - 19.0 * 0.3048).abs() < 1e-12);
        assert!((args.width.unwrap().metres - 4.1).abs() < 1e-12);
        assert_eq!(args.standing_ear, None);
        assert_eq!(args.walls.as_deref(), Some("bare brick"));
        assert_eq!((&args.floor, args.desk, args.second_base), (&None, None, None));
        assert!((args.base.unwrap().metres - 6.0 * 0.3048).abs() < 1e-12);
        assert_eq!(units(&args), Units::Imperial);
        assert!(PieceKind::ALL.iter().all(|kind| args.pieces(*kind).is_empty()));
    }

    /// A room that holds nothing, a base in the walls, a desk in a wall, a second pair in the first, a sofa
    /// on no wall, a door in a window: each is told why at once, and asked for again.
    #[test]
    fn what_does_not_go_with_the_rest_is_asked_again() {
        let answers = [
            "1.2 m\n1.2 m\n1 m\n1 m\n2.5 m\n5.1\n3.6\n2.5\n", // typed twice, for they are unusual
            "\n\n\n\n\n9 m\n1.5 m\n9 m\n1.6 m\n1.4 m\n1 m\n",
            "left\n\n\n\n9 m\n1.2 m\nleft\n\n\n\n1.5 m\n4.4 m\nno\n",
            "floor\nback\n\n\n\n\n\n",
        ];
        let answers = &answers.concat();
        let (args, said) = answered("--door back", answers);
        for told in [
            "not even a small triangle fits",
            "would stand in the side walls",
            "give --desk from",
            "give --second-base from 0.60 m to 1.18 m",
            "its middle 9000 mm from the front wall",
            "the panels `window` and `window 2` overlap on the left wall",
            "the walls are front, back, left and right",
        ] {
            assert!(said.contains(told), "{told}: {said}");
        }
        assert_eq!((args.window.len(), args.door.len(), args.sofa.len()), (2, 1, 1));
        assert!(planned(&args).is_ok());
    }

    /// Which wall is front is asked of the room as it will stand.
    #[test]
    fn a_room_that_is_turned_is_told_before_its_walls_are_asked_for() {
        let answers = "3.6 m\n5.1 m\n2.5 m\n\n\n\n\n\n\n\n\nfront\n\n\n\n\n\n\n\n\n\n\n";
        let (args, said) = answered("", answers);
        let told = said.find("front and back are short").unwrap();
        assert!(told < said.find("in which wall").unwrap(), "{said}");
        let first = planned(&args).unwrap();
        assert!((first.layout.room.length_m - 5.1).abs() < 1e-12);
        assert!(first.layout.compromises.is_empty());
        assert!((first.pieces[0].at_m - 1.8).abs() < 1e-12, "the middle of the short wall");
    }
}
