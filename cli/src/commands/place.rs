//! `earline place`.

use crate::args;
use crate::content;
use crate::content::placement::PlacementView;
use crate::export::place::PlaceDocument;
use crate::export::to_json;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::input::Loaded;
use crate::io::progress::{Progress, Waiting};
use crate::io::select;
use crate::io::terminal;
use crate::io::write::{OutputSet, SceneFile, Stop};
use crate::plot;
use anyhow::Context;
use earline_engine::explore::placement::{
    Bounds, EvaluatedLayout, Layout, MAX_RESULTS, Parameter, PlacementError, PlacementPlan,
    objective_map, objective_map_cells, optimize_placement,
};
use earline_engine::scene::{ListenerId, MAX_TEXT_CHARS, Scene, SpeakerId, list_names};
use earline_engine::wave_field::WaveFieldError;
use std::path::Path;
use std::sync::atomic::Ordering;

pub(super) fn run(args: &args::Place, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    let stopped = stop.watch_gently().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let scenes: Vec<String> = (0..MAX_RESULTS).map(PlacementView::file).collect();
    outputs.spares(&args.scene, &scenes)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let state = select::state(scene, args.variant.as_deref())?;
    let (pair, speakers) = chosen_pair(scene, args.pair.as_deref())?;
    let plan = plan(args, scene, state.name, speakers)?;
    let progress = Progress::start("trying layouts", waiting, args.destination.json);
    let counted = progress.counted("trying layouts", Some(plan.layouts as u64));
    let go_on = || !stopped.load(Ordering::Relaxed);
    let found =
        optimize_placement(scene, &loaded.attachments, &plan, &go_on, &|more| counted.add(more))
            .map_err(|wrong| refused(&wrong))?;
    // What was found can no longer be lost by waiting: from here on Ctrl-C ends the run.
    stopped.store(true, Ordering::Relaxed);
    let best = found.best.first().map(|best| best.layout).context("nothing was found")?;
    let cells = progress.counted("tracing a map", Some(objective_map_cells(scene) as u64));
    let map = objective_map(scene, &loaded.attachments, &plan, &best, &|more| cells.add(more))
        .map_err(|wrong| refused(&wrong))?;
    progress.stage("drawing");
    let placed =
        PlacementView { scene, state: &state, plan: &plan, pair, found: &found, map: &map };
    let json = to_json(&PlaceDocument::new(&placed))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    outputs.add("place.json", json);
    for (index, one) in found.best.iter().enumerate() {
        add_scene(&mut outputs, &loaded, &plan, one, index)?;
    }
    outputs.extend(args.pictures.formats().files(&plot::place_map(&placed), "")?);
    outputs.write(&stop)?;
    drop(progress);
    let answer = if args.detail.full {
        content::placement::document::document(&placed, outputs.folder())
    } else {
        content::placement::brief::brief(&placed, outputs.folder())
    };
    super::show(&answer)?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("place-map"));
        note_older(outputs.folder(), found.best.len());
    }
    Ok(Done::Well)
}

fn refused(wrong: &PlacementError) -> Failure {
    let remedy = match wrong {
        PlacementError::Stopped => return Failure::Stopped,
        PlacementError::NothingFree => {
            "give one of --seat, --base, --up, --converge or --middle as two lengths, 1.8 m..2.6 m"
        }
        PlacementError::Bass(WaveFieldError::TooMuchMemory { .. }) => {
            "search a smaller room: this one is too large for its bass to be solved for every layout"
        }
        PlacementError::Bass(_) => "search a smaller room: halls are not what this is for",
        _ => {
            "widen the ranges (--seat, --base, --up, --converge, --middle), let the triangle open \
             (--any-triangle), let furniture move along (--with), or look at the keep-outs"
        }
    };
    Failure::usage(&wrong.to_string(), remedy)
}

/// Scenes that an earlier search left there, when this one found fewer.
fn note_older(folder: &Path, found: usize) {
    let names =
        (found..MAX_RESULTS).map(PlacementView::file).filter(|name| folder.join(name).exists());
    let names: Vec<String> = names.collect();
    if !names.is_empty() {
        terminal::closing_notes(&[format!("Of an earlier search, and kept: {}", names.join(", "))]);
    }
}

/// The name of the pair that moves, and its speakers, left before right.
fn chosen_pair<'a>(
    scene: &'a Scene,
    asked: Option<&str>,
) -> Result<(&'a str, [SpeakerId; 2]), Failure> {
    let pairs = earline_engine::analysis::room_summary::named_pairs(scene);
    let found = match asked {
        None => pairs.first(),
        Some(name) => pairs.iter().find(|(pair, _)| *pair == name),
    };
    found.copied().ok_or_else(|| {
        let names = || list_names(pairs.iter().map(|(pair, _)| *pair));
        match asked {
            Some(name) if !pairs.is_empty() => Failure::usage(
                &format!("the scene has no pair named `{}`", foreign::quoted(name)),
                &format!("it has {}", names()),
            ),
            _ => Failure::usage(
                "the scene has no pair of speakers to move",
                "give two speakers the same `pair`, one with side = \"left\", one with \"right\"",
            ),
        }
    })
}

fn plan<'a>(
    args: &args::Place,
    scene: &Scene,
    variant: Option<&'a str>,
    pair: [SpeakerId; 2],
) -> Result<PlacementPlan<'a>, Failure> {
    let mut listeners = select::listeners(scene, &args.listeners)?;
    if listeners.is_empty() {
        listeners = at_the_first_seat(scene);
    }
    listeners.dedup();
    let seat = listeners.first().and_then(|&seat| Layout::of(scene, pair, seat));
    let layout = seat.context("the scene has no such seat")?;
    let mut bounds = Bounds::around(scene, &layout, &listeners);
    let asked = [
        (Parameter::Seat, args.seat),
        (Parameter::Base, args.base),
        (Parameter::Front, args.front),
        (Parameter::Up, args.up),
        (Parameter::Converge, args.converge),
        (Parameter::Axis, args.middle),
    ];
    for (parameter, range) in asked {
        if let Some(range) = range {
            bounds.set(parameter, range);
        }
    }
    Ok(PlacementPlan {
        variant,
        pair,
        listeners,
        moving_furniture: select::furniture(scene, &args.along)?,
        bounds,
        equilateral: !args.any_triangle,
        weights: args.weights(),
        limit: args.limit,
        layouts: args.layouts as usize,
        seed: args.seed,
    })
}

/// The first listener and all that share its cross on the floor.
fn at_the_first_seat(scene: &Scene) -> Vec<ListenerId> {
    let Some(first) = scene.listeners().first() else { return Vec::new() };
    let shares = |id: &ListenerId| (scene[*id].at - first.at).with_z(0.0).length() < 0.05;
    scene.listener_ids().filter(shares).collect()
}

/// The scene with a layout in it, for every other command.
fn add_scene(
    outputs: &mut OutputSet,
    loaded: &Loaded,
    plan: &PlacementPlan<'_>,
    one: &EvaluatedLayout,
    index: usize,
) -> Result<(), Failure> {
    let scene = &loaded.scene;
    let moved = one
        .layout
        .in_scene(scene, &loaded.attachments, plan)
        .map_err(anyhow::Error::msg)
        .context("a layout that was traced cannot be written")?;
    let mut draft = moved.edit();
    draft.set_title(layout_title(scene.title(), index + 1));
    let comment = [
        format!(
            "Layout {} that `earline place` found: {:.1} dB on its own scale, less is better. A starting",
            index + 1,
            one.objective.cost_db,
        ),
        "point to experiment from. Comments of the scene it came from are not here.".to_owned(),
    ];
    outputs.add_scene(&SceneFile {
        name: &PlacementView::file(index),
        comment: &comment,
        text: &draft.to_toml(),
        attachments: &loaded.attachments,
    })?;
    Ok(())
}

/// The title of a layout, which is one a scene may have: a long one is cut to make room for its number.
fn layout_title(title: &str, number: usize) -> String {
    let ending = format!(", layout {number}");
    let kept = MAX_TEXT_CHARS.saturating_sub(ending.chars().count());
    let kept: String = title.chars().take(kept).collect();
    kept + &ending
}
