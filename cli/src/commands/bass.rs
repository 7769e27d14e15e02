//! `earline bass`.

use crate::answer;
use crate::args;
use crate::exit::{Done, Failure};
use crate::mapped::Maps;
use crate::picture::{self, Drawing};
use crate::progress::Progress;
use crate::report::bass::{BassDocument, response_csv};
use crate::report::to_json;
use crate::select::select;
use crate::sheet::{both_files, endings};
use crate::sounded::Sounded;
use crate::terminal;
use crate::write::{Output, Stop, write_all};
use anyhow::Context;
use earline_engine::bass::{BassError, BassPlan, bass, steps_hz};
use rayon::prelude::*;

/// Farther no head moves, metres.
const HEAD_MOST_M: f64 = 1.0;

pub(super) fn run(args: &args::Bass, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    if args.to <= args.from {
        return Err(Failure::usage(
            "the highest frequency is not above the lowest",
            "give --from and --to in hertz, the lower one first",
        ));
    }
    if !(0.0..=HEAD_MOST_M).contains(&args.head.metres) {
        return Err(Failure::usage(
            "a head does not move so far",
            "give --head from 0 to 1 m, either way",
        ));
    }
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select(scene, &args.choice)?;
    let plan = BassPlan {
        speakers: selection.speakers.clone(),
        listeners: selection.listeners.clone(),
        hz: steps_hz(f64::from(args.from), f64::from(args.to)),
        head_half_m: args.head.metres,
    };
    let progress = Progress::start("solving the modes", quiet || args.destination.json);
    let found = bass(scene, &selection.state, &plan).map_err(|wrong| refused(&wrong))?;
    let sounded = Sounded { scene, state: &selection.state, plan: &plan, found: &found };
    progress.stage("mapping the floor");
    let maps = Maps::of(&sounded).map_err(|wrong| refused(&wrong))?;
    let json = to_json(&BassDocument::new(&sounded, &maps))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    let mut outputs = vec![
        Output { name: "bass.json".to_owned(), bytes: json },
        Output { name: "bass.csv".to_owned(), bytes: response_csv(&sounded)? },
    ];
    for (&listener, ending) in plan.listeners.iter().zip(endings(scene, &plan.listeners)) {
        let drawings = drawings(&sounded, &maps, listener, args.at)?;
        let files: anyhow::Result<Vec<_>> =
            drawings.par_iter().map(|drawing| both_files(drawing, &ending)).collect();
        outputs.extend(files?.into_iter().flatten());
    }
    progress.stage("writing");
    let folder = super::folder(&args.destination, &args.scene);
    write_all(&folder, &outputs, &stop)?;
    drop(progress);
    terminal::answer(&answer::bass::text(&sounded, &maps, terminal::width()))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}

/// Every sheet of one seat.
fn drawings(
    sounded: &Sounded<'_>,
    maps: &Maps,
    listener: usize,
    at_hz: Option<f64>,
) -> Result<Vec<Drawing>, Failure> {
    let mut drawings = vec![picture::bass(sounded, listener)];
    for seat in maps.seats.iter().filter(|seat| seat.listener == listener) {
        drawings.extend(picture::bass_decay(sounded, &maps.chorus, seat));
        drawings.extend(picture::bass_seats(sounded, &maps.chorus, seat));
        let Some(hz) = at_hz.or(seat.dip_hz) else { continue };
        let levels = maps.levels(sounded, listener, hz).map_err(|wrong| refused(&wrong))?;
        drawings.extend(levels.maps.iter().filter_map(|map| {
            picture::bass_levels(sounded, &maps.chorus, &levels, map, at_hz.is_none())
        }));
    }
    Ok(drawings)
}

fn refused(wrong: &BassError) -> Failure {
    Failure::usage(&wrong.to_string(), "ask for less with --to or --at, or for fewer seats")
}
