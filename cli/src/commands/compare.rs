//! `earline compare`.

use crate::args;
use crate::content::comparison::{Compared, choose, contrast};
use crate::export::compare::CompareDocument;
use crate::export::{comparison_csv, to_json};
use crate::io::exit::{Done, Failure};
use crate::io::progress::Progress;
use crate::io::select::speakers;
use crate::io::terminal;
use crate::io::write::{Output, Stop, write_all};
use crate::plot::figures;
use crate::render;
use anyhow::{Context, Result};
use earline_engine::trace::Request;

pub(super) fn run(args: &args::Compare, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let states = choose(scene, args)?;
    let mut chosen = speakers(scene, &args.speakers)?;
    chosen.sort_unstable();
    chosen.dedup();
    let everything = Request::everything(scene);
    let plan = Request {
        speakers: if chosen.is_empty() { everything.speakers } else { chosen },
        order: usize::from(args.listing.listed.order),
        window_s: args.listing.listed.window_s(),
        ..everything
    };
    let progress = Progress::start("tracing", quiet || args.destination.json);
    let zone_plan = args.zoning.plan(&plan.speakers, &[]);
    let compared = contrast(scene, states, &plan, zone_plan, args.listing.listed.limit)?;
    let json = to_json(&CompareDocument::new(&compared))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    let outputs = outputs(&compared, json)?;
    progress.stage("writing");
    let folder = super::folder(&args.destination, &args.scene);
    write_all(&folder, &outputs, &stop)?;
    drop(progress);
    let width = terminal::width();
    terminal::answer(&render::terminal::compare::text(&compared, args.listing.bands, width))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}

/// All files of a comparison, in memory.
fn outputs(compared: &Compared<'_>, json: Vec<u8>) -> Result<Vec<Output>> {
    let table = comparison_csv(compared)?;
    let mut outputs = vec![
        Output { name: "compare.json".to_owned(), bytes: json },
        Output { name: "comparison.csv".to_owned(), bytes: table },
    ];
    outputs.extend(figures::comparison(compared)?);
    Ok(outputs)
}
