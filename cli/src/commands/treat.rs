//! `earline treat`.

use crate::args;
use crate::content;
use crate::content::treatment::{TreatmentView, low_end, refusal};
use crate::export::to_json;
use crate::export::treat::TreatDocument;
use crate::io::exit::{Done, Failure};
use crate::io::input::Loaded;
use crate::io::progress::{Progress, Waiting};
use crate::io::select::select;
use crate::io::terminal;
use crate::io::write::{OutputSet, SceneFile, Stop};
use crate::plot::figures;
use anyhow::{Context, Result};
use earline_engine::explore::treatment::{TreatmentPlan, TreatmentSearch};
use std::sync::OnceLock;

pub(super) fn run(args: &args::Treat, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    outputs.spares(&args.scene, &[SCENE_FILE.to_owned()])?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select(scene, &args.choice)?;
    let zones = args.zoning.plan(&selection.speakers, &selection.listeners);
    let plan = TreatmentPlan {
        speakers: selection.speakers.clone(),
        listeners: selection.listeners.clone(),
        limit: args.limit,
        budget: args.budget,
        pieces: usize::from(args.pieces),
        allow_asymmetric: args.singly,
        head_half_m: zones.head_half_m,
        frequency_hz: zones.frequency_hz,
    };
    let progress = Progress::start("solving the bass", waiting, args.destination.json);
    let low_end = low_end(scene, &selection.state, &plan, &progress)?;
    progress.stage("looking for places");
    let counted = OnceLock::new();
    let told = |more: u64| {
        if let Some(counted) = counted.get() {
            let counted: &crate::io::progress::Counted = counted;
            counted.add(more);
        }
    };
    let variant = args.choice.variant.as_deref();
    let refused = |why| refusal(scene, &plan, why);
    let search =
        TreatmentSearch::new(scene, variant, &loaded.attachments, &plan, &told).map_err(refused)?;
    let _ = counted.set(progress.counted("trying places", Some(search.work_estimate())));
    let treatment = search.run().map_err(refused)?;
    let treated = TreatmentView::new(scene, selection.state.name, &plan, &treatment, low_end);
    let json = to_json(&TreatDocument::new(&treated))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    outputs.add("treat.json", json);
    // Where nothing is worth buying there is no scene to leave.
    if !treatment.steps.is_empty() {
        add_scene(&mut outputs, &treated, &loaded)?;
        outputs.extend(figures::hangings(&treated, args.pictures.formats())?);
    }
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    let scene_file = outputs.folder().join(SCENE_FILE);
    let answer = if args.detail.full {
        content::treatment::document::document(&treated, &scene_file)
    } else {
        content::treatment::brief::brief(&treated, &scene_file)
    };
    super::show(&answer)?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("hang-sides"));
    }
    Ok(Done::Well)
}

/// The file of the resulting scene.
const SCENE_FILE: &str = "treated.toml";

/// The resulting scene.
fn add_scene(outputs: &mut OutputSet, treated: &TreatmentView<'_>, loaded: &Loaded) -> Result<()> {
    outputs.add_scene(&SceneFile {
        name: SCENE_FILE,
        comment: &treated.scene_comment(&outputs.folder().join(SCENE_FILE)),
        text: &treated.treatment.scene.to_toml(),
        attachments: &loaded.attachments,
    })?;
    Ok(())
}
