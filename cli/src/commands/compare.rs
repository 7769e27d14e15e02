//! `earline compare`.

use crate::args;
use crate::content;
use crate::content::comparison::{choose, compare_variants};
use crate::export::compare::CompareDocument;
use crate::export::{comparison_csv, to_json};
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::select::full_range_speakers;
use crate::io::terminal;
use crate::io::write::Stop;
use crate::plot::figures;
use crate::render;
use anyhow::Context;

pub(super) fn run(args: &args::Compare, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let states = choose(scene, args)?;
    let chosen = full_range_speakers(scene, &args.speakers)?;
    let list = args.listing.listed.request(chosen, Vec::new());
    let progress = Progress::start("tracing", waiting, args.destination.json);
    let zone_plan = args.zoning.plan(&list.speakers, &[]);
    let limit = args.listing.listed.limit;
    let view = compare_variants(scene, states, &list, zone_plan, limit, &progress)?;
    let json = to_json(&CompareDocument::new(&view))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    outputs.add("compare.json", json);
    outputs.add("comparison.csv", comparison_csv(&view)?);
    outputs.extend(figures::comparison(&view, args.pictures.formats())?);
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    let answer = if args.detail.full || args.listing.bands {
        content::comparison::document::document(&view, args.listing.bands)
    } else {
        content::comparison::brief::brief(&view)
    };
    terminal::answer(&render::terminal::text(&answer, terminal::width()))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("compare-plans"));
    }
    Ok(Done::Well)
}
