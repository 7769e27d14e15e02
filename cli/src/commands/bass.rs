//! `earline bass`.

use crate::answer;
use crate::args;
use crate::exit::{Done, Failure};
use crate::picture;
use crate::progress::Progress;
use crate::report::bass::{BassDocument, response_csv};
use crate::report::to_json;
use crate::select::select;
use crate::sheet::{both_files, endings};
use crate::sounded::Sounded;
use crate::terminal;
use crate::write::{Output, Stop, write_all};
use anyhow::Context;
use earline_engine::bass::{BassPlan, bass, steps_hz};

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
    let found = bass(scene, &selection.state, &plan).map_err(|wrong| {
        Failure::usage(&wrong.to_string(), "ask for less with --to, or for fewer seats")
    })?;
    let sounded = Sounded { scene, state: &selection.state, plan: &plan, found: &found };
    let json = to_json(&BassDocument::new(&sounded))?;
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
        outputs.extend(both_files(&picture::bass(&sounded, listener), &ending)?);
    }
    progress.stage("writing");
    let folder = super::folder(&args.destination, &args.scene);
    write_all(&folder, &outputs, &stop)?;
    drop(progress);
    terminal::answer(&answer::bass::text(&sounded, terminal::width()))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}
