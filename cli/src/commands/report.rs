//! `earline report`.

use crate::args;
use crate::content::document::state_title;
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::select::{self, or_all};
use crate::io::terminal;
use crate::io::write::Stop;
use crate::render;
use crate::report::{self, ReportData, ReportRequest};
use anyhow::Context;
use earline_engine::scene::{Scene, Variant};

/// The file.
const PAGE: &str = "report.html";

pub(super) fn run(args: &args::Report, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let speakers = select::full_range_speakers(scene, &args.speakers)?;
    let listeners = or_all(select::listeners(scene, &args.listeners)?, scene.listener_ids());
    let request = ReportRequest {
        states: states(scene, &args.variants)?,
        zone_plan: args.zoning.plan(&speakers, &listeners),
        speakers,
        listeners,
        limit: args.limit,
        criterion: args.criterion,
        rays: args.rays.clone(),
    };
    let progress = Progress::start("tracing", waiting, args.destination.json);
    let data = ReportData::new(&loaded, &request, &progress)?;
    let document = report::document(&data);
    if args.destination.json {
        let json = to_json(&document)?;
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    let html = report::page(&data, &document)?;
    outputs.add(PAGE, html.into_bytes());
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    let title = data.present().and_then(|found| state_title(scene, &found.state));
    let title = title
        .map_or_else(|| scene.title().to_owned(), |state| format!("{} ({state})", scene.title()));
    let answer = document.summary.document(title, &outputs.folder().join(PAGE));
    terminal::answer(&render::terminal::text(&answer, terminal::width()))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, None);
    }
    Ok(Done::Well)
}

/// The states that were asked for, each once; without names all there are.
fn states<'a>(scene: &'a Scene, named: &[String]) -> Result<Vec<Variant<'a>>, Failure> {
    let mut chosen: Vec<usize> = Vec::new();
    for index in select::variants(scene, named)? {
        if !chosen.contains(&index) {
            chosen.push(index);
        }
    }
    if chosen.is_empty() {
        chosen = (0..scene.variants().len()).collect();
    }
    if chosen.is_empty() {
        return Ok(vec![select::state(scene, None)?]);
    }
    let name = |index: usize| scene.variants().get(index).map(|variant| variant.name.as_str());
    chosen.into_iter().map(|index| select::state(scene, name(index))).collect()
}
