//! `earline bass`.

use crate::args;
use crate::canvas::Drawing;
use crate::content;
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::Maps;
use crate::export::bass::{BassDocument, response_csv};
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::select::select_with_subwoofers;
use crate::io::terminal;
use crate::io::write::Stop;
use crate::plot;
use crate::plot::figures::endings;
use anyhow::Context;
use earline_engine::scene::ListenerId;
use earline_engine::wave_field::{
    WaveFieldError, WaveFieldRequest, log_spaced_hz, solve_wave_field,
};
use rayon::prelude::*;

/// Farther no head moves, metres.
const HEAD_MOST_M: f64 = 1.0;

pub(super) fn run(args: &args::Bass, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
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
    let selection = select_with_subwoofers(scene, &args.choice)?;
    let plan = WaveFieldRequest {
        speakers: selection.speakers.clone(),
        listeners: selection.listeners.clone(),
        hz: log_spaced_hz(f64::from(args.from), f64::from(args.to)),
        head_half_m: args.head.metres,
        // A script gets the figures alone.
        curves_to_hz: (!args.destination.json).then_some(f64::from(args.to)),
    };
    let progress = Progress::start("solving the modes", waiting, args.destination.json);
    let found = solve_wave_field(scene, &selection.state, &plan, &progress)
        .map_err(|wrong| refused(&wrong))?;
    let sounded = WaveFieldView { scene, state: &selection.state, plan: &plan, found: &found };
    progress.stage("mapping the floor");
    let maps = Maps::of(&sounded).map_err(|wrong| refused(&wrong))?;
    let json = to_json(&BassDocument::new(&sounded, &maps))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    outputs.add("bass.json", json);
    outputs.add("bass.csv", response_csv(&sounded)?);
    let formats = args.pictures.formats();
    for (&listener, ending) in plan.listeners.iter().zip(endings(scene, &plan.listeners)) {
        let drawings = drawings(&sounded, &maps, listener, args.at)?;
        let files: anyhow::Result<Vec<_>> =
            drawings.par_iter().map(|drawing| formats.files(drawing, &ending)).collect();
        outputs.extend(files?.into_iter().flatten());
    }
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    let answer = if args.detail.full {
        content::wave_field::document::document(&sounded, &maps)
    } else {
        content::wave_field::brief::brief(&sounded, &maps)
    };
    super::show(&answer)?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("bass"));
    }
    Ok(Done::Well)
}

/// Every sheet of one seat.
fn drawings(
    sounded: &WaveFieldView<'_>,
    maps: &Maps,
    listener: ListenerId,
    at_hz: Option<f64>,
) -> Result<Vec<Drawing>, Failure> {
    let mut drawings = vec![plot::bass(sounded, listener)];
    for seat in maps.seats.iter().filter(|seat| seat.listener == listener) {
        drawings.extend(plot::bass_decay(sounded, &maps.active, seat));
        drawings.extend(plot::bass_seats(sounded, &maps.active, seat));
        let Some(hz) = at_hz.or(seat.dip_hz) else { continue };
        let levels = maps.levels(sounded, listener, hz).map_err(|wrong| refused(&wrong))?;
        drawings.extend(levels.maps.iter().filter_map(|map| {
            plot::bass_levels(sounded, &maps.active, &levels, map, at_hz.is_none())
        }));
    }
    Ok(drawings)
}

fn refused(wrong: &WaveFieldError) -> Failure {
    if let WaveFieldError::TooLong { predicted_s } = wrong {
        return Failure::too_long(*predicted_s);
    }
    Failure::usage(&wrong.to_string(), "ask for less with --to or --at, or for fewer seats")
}
