//! `earline trace`.

use crate::args;
use crate::content;
use crate::content::formula_comparison::FormulaComparison;
use crate::content::trace::TraceReport;
use crate::export::trace::TraceDocument;
use crate::export::{decay_csv, energy_time_csv, reflections_csv, to_json};
use crate::io::exit::{Done, Failure};
use crate::io::progress::Progress;
use crate::io::select::{Selection, select};
use crate::io::terminal;
use crate::io::write::{Output, Stop, write_all};
use crate::plot::figures;
use crate::render;
use anyhow::{Context, Result};
use earline_engine::analysis::zones::zones;
use earline_engine::ray_tracing::{RayCount, snapshots};
use earline_engine::scene::{Scene, State};
use earline_engine::trace::{Plan, Trace, trace};
use earline_engine::wave_field::Deep;
use earline_engine::whole_decay::{crossed_over, ray_plan, whole_decay};

/// The energy-time curve runs so long after the direct sound, seconds.
const CURVE_S: f64 = 0.5;

/// Rays behind the picture of how sound spreads: smooth to the eye.
const SNAPSHOT_RAYS: u64 = 65_536;

pub(super) fn run(args: &args::Trace, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select(scene, &args.choice)?;
    let plan = plan(args, &selection);
    let progress = Progress::start("tracing", quiet || args.destination.json);
    let found = trace(scene, &selection.state, &plan).context("cannot trace this plan")?;
    let decay = args.rays.count().map(|count| {
        let total = match count {
            RayCount::Fixed(rays) => Some(rays * selection.speakers.len() as u64),
            RayCount::Until { .. } => None,
        };
        let counted = progress.counted("following rays", total);
        let rays = ray_plan(count, args.rays.seed, args.rays.floor_db);
        whole_decay(scene, &selection.state, &found, &rays, &|more| counted.add(more))
    });
    let found = match &decay {
        Some(decay) => found.completed_by(decay),
        None => found,
    };
    let deep = decay.as_ref().map(|_| deep(scene, &selection.state, &found)).transpose()?.flatten();
    let found = match decay.as_ref().zip(deep.as_ref()) {
        Some((decay, deep)) => crossed_over(found, decay, deep, args.rays.seed),
        None => found,
    };
    let pictured = decay.is_some() && !args.destination.json;
    let snapshots = selection.speakers.first().filter(|_| pictured).map(|&speaker| {
        let moments = figures::moments(scene);
        snapshots(scene, &selection.state, speaker, &moments, SNAPSHOT_RAYS, args.rays.seed)
    });
    let zone_plan = args.zoning.plan(&selection.speakers, &selection.listeners);
    let zones = zones(scene, &selection.state, &zone_plan).context("cannot find these zones")?;
    let report = TraceReport {
        scene,
        state: &selection.state,
        plan: &plan,
        trace: &found,
        decay: decay.as_ref(),
        snapshots: snapshots.as_ref(),
        zone_plan: &zone_plan,
        zones: &zones,
        limit: args.listing.listed.limit,
        bands: args.listing.bands,
        formula_comparison: &FormulaComparison::new(scene, &selection.state),
        criterion: args.decay.criterion,
        formulas: args.decay.formulas,
        crossover_hz: deep.as_ref().map(|deep| deep.crossover_hz),
    };
    let json = to_json(&TraceDocument::new(&report))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    let outputs = outputs(&report, json)?;
    progress.stage("writing");
    let folder = super::folder(&args.destination, &args.scene);
    write_all(&folder, &outputs, &stop)?;
    drop(progress);
    let answer = content::trace::document(&report);
    terminal::answer(&render::terminal::text(&answer, terminal::width()))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}

/// The wave field for the bottom of every response of a trace.
fn deep(scene: &Scene, state: &State<'_>, found: &Trace) -> Result<Option<Deep>> {
    let pairs: Vec<[usize; 2]> = found.pairs.iter().map(|p| [p.speaker, p.listener]).collect();
    let longest_s = found.pairs.iter().map(|p| p.energy_time.complete_s).fold(0.0, f64::max);
    Deep::new(scene, state, &pairs, longest_s).context("cannot solve the bass of this plan")
}

fn plan(args: &args::Trace, selection: &Selection<'_>) -> Plan {
    let window_s = args.listing.listed.window_s();
    Plan {
        speakers: selection.speakers.clone(),
        listeners: selection.listeners.clone(),
        order: usize::from(args.listing.listed.order),
        window_s,
        curve_s: CURVE_S.max(window_s),
    }
}

/// All files of a trace, in memory.
fn outputs(report: &TraceReport<'_>, json: Vec<u8>) -> Result<Vec<Output>> {
    let reflections =
        reflections_csv(report.scene, report.trace, &report.plan.listeners, report.limit)?;
    let mut outputs = vec![
        Output { name: "trace.json".to_owned(), bytes: json },
        Output { name: "reflections.csv".to_owned(), bytes: reflections },
        Output {
            name: "energy-time.csv".to_owned(),
            bytes: energy_time_csv(report.scene, report.trace)?,
        },
    ];
    if let Some(decay) = report.decay {
        let bytes = decay_csv(report.scene, decay, &report.plan.listeners)?;
        outputs.push(Output { name: "decay.csv".to_owned(), bytes });
    }
    outputs.extend(figures::outputs(report)?);
    Ok(outputs)
}
