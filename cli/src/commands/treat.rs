//! `earline treat`.

use crate::args;
use crate::content;
use crate::content::treatment::{TreatmentView, refusal};
use crate::export::to_json;
use crate::export::treat::TreatDocument;
use crate::io::exit::{Done, Failure};
use crate::io::input::Loaded;
use crate::io::progress::Progress;
use crate::io::select::select;
use crate::io::terminal;
use crate::io::write::{OutputFile, Stop, write_all};
use crate::plot::figures::{self, PictureFormats};
use anyhow::{Context, Result, anyhow};
use earline_engine::explore::treatment::{TreatmentPlan, TreatmentSearch};
use earline_engine::medium::directivity::Directivity;
use earline_engine::scene::Attachments;
use std::path::Path;
use std::sync::OnceLock;

pub(super) fn run(args: &args::Treat, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
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
    let progress = Progress::start("looking for places", quiet || args.destination.json);
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
    let treated = TreatmentView::new(scene, selection.state.name, &plan, &treatment);
    let json = to_json(&TreatDocument::new(&treated))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("drawing");
    let folder = super::folder(&args.destination, &args.scene);
    let outputs = outputs(&treated, &loaded, json, &folder, args.pictures.formats())?;
    progress.stage("writing");
    write_all(&folder, &outputs, &stop)?;
    drop(progress);
    let scene_file = folder.join(SCENE_FILE);
    super::show(&content::treatment::document::document(&treated, &scene_file))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}

/// The file of the resulting scene.
const SCENE_FILE: &str = "treated.toml";

/// All files of a treatment, in memory. Where nothing is worth buying there is no scene to leave.
fn outputs(
    treated: &TreatmentView<'_>,
    loaded: &Loaded,
    json: Vec<u8>,
    folder: &Path,
    formats: PictureFormats,
) -> Result<Vec<OutputFile>> {
    let mut outputs = vec![OutputFile { name: "treat.json".to_owned(), bytes: json }];
    if treated.treatment.steps.is_empty() {
        return Ok(outputs);
    }
    let text = treated.scene_text(&folder.join(SCENE_FILE));
    outputs.push(OutputFile { name: SCENE_FILE.to_owned(), bytes: text.into_bytes() });
    outputs.extend(tables(treated, loaded)?);
    outputs.extend(figures::hangings(treated, formats)?);
    Ok(outputs)
}

/// The directivity tables that the resulting scene names, for beside it. One in another folder is
/// left there: the scene then belongs beside the one it came from.
fn tables(treated: &TreatmentView<'_>, loaded: &Loaded) -> Result<Vec<OutputFile>> {
    let mut tables: Vec<OutputFile> = Vec::new();
    for speaker in treated.treatment.scene.speakers() {
        let Directivity::Table(table) = &speaker.directivity else { continue };
        let is_plain = !table.file.contains(['/', '\\']);
        if is_plain && tables.iter().all(|known| known.name != table.file) {
            let text = loaded.attachments.read(&table.file).map_err(|why| anyhow!(why))?;
            tables.push(OutputFile { name: table.file.clone(), bytes: text.into_bytes() });
        }
    }
    Ok(tables)
}
