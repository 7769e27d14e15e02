//! `earline trace`.

use crate::args;
use crate::content;
use crate::content::formula_comparison::FormulaComparison;
use crate::content::trace::TraceReport;
use crate::export::trace::TraceDocument;
use crate::export::{decay_csv, energy_time_csv, reflections_csv, to_json};
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::select::{Selection, select};
use crate::io::terminal;
use crate::io::write::{OutputSet, Stop};
use crate::plot::figures::{self, PictureFormats};
use crate::render;
use anyhow::{Context, Result};
use earline_engine::analysis::zones::zones;
use earline_engine::ray_tracing::density_frames;
use earline_engine::simulate::defaults::EARLY_RESPONSE_S;
use earline_engine::simulate::{Request, ResponseRequest, simulate};

/// Rays behind the picture of how sound spreads: smooth to the eye.
const SNAPSHOT_RAYS: u64 = 65_536;

pub(super) fn run(args: &args::Trace, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select(scene, &args.choice)?;
    let request = request(args, &selection);
    let progress = Progress::start("tracing", waiting, args.destination.json);
    let simulation =
        simulate(scene, &selection.state, &request, &progress).context("cannot trace this plan")?;
    let pictured = simulation.decay.is_some() && !args.destination.json;
    let snapshots = selection.speakers.first().filter(|_| pictured).map(|&speaker| {
        let moments = figures::moments(scene);
        density_frames(scene, &selection.state, speaker, &moments, SNAPSHOT_RAYS, args.rays.seed)
    });
    let zone_plan = args.zoning.plan(&selection.speakers, &selection.listeners);
    let zones = zones(scene, &selection.state, &zone_plan).context("cannot find these zones")?;
    let report = TraceReport {
        scene,
        state: &selection.state,
        plan: &request,
        trace: &simulation,
        decay: simulation.decay.as_ref(),
        snapshots: snapshots.as_ref(),
        zone_plan: &zone_plan,
        zones: &zones,
        limit: args.listing.listed.limit,
        bands: args.listing.bands,
        formula_comparison: &FormulaComparison::new(scene, &selection.state),
        criterion: args.decay.criterion,
        formulas: args.decay.formulas,
        crossover_hz: simulation.crossover_hz,
    };
    let json = to_json(&TraceDocument::new(&report))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    add_files(&mut outputs, &report, json, args.pictures.formats())?;
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    let answer = if args.detail.full || report.bands || report.formulas {
        content::trace::document(&report)
    } else {
        content::trace::brief(&report)
    };
    terminal::answer(&render::terminal::text(&answer, terminal::width()))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("plan"));
    }
    Ok(Done::Well)
}

/// List, response and rays; the response is as long as the list at least.
fn request(args: &args::Trace, selection: &Selection<'_>) -> Request {
    let Selection { speakers, listeners, .. } = selection;
    let list = args.listing.listed.request(speakers.clone(), listeners.clone());
    let early_s = EARLY_RESPONSE_S.max(list.window_s);
    let response = ResponseRequest { rays: args.rays.request(), ..ResponseRequest::early(early_s) };
    Request { response: Some(response), ..list }
}

/// All files of a trace.
fn add_files(
    outputs: &mut OutputSet,
    report: &TraceReport<'_>,
    json: Vec<u8>,
    formats: PictureFormats,
) -> Result<()> {
    let TraceReport { scene, trace, .. } = report;
    outputs.add("trace.json", json);
    let reflections = reflections_csv(scene, trace, &report.plan.listeners, report.limit)?;
    outputs.add("reflections.csv", reflections);
    outputs.add("energy-time.csv", energy_time_csv(scene, trace)?);
    if let Some(decay) = report.decay {
        outputs.add("decay.csv", decay_csv(scene, decay, &report.plan.listeners)?);
    }
    outputs.extend(figures::outputs(report, formats)?);
    Ok(())
}
