//! From a raw scene to a scene that cannot be wrong: one rule a file, every problem collected.
//!
//! Rules about one item give the finished item or nothing, having said why. Rules about several
//! items look at whatever could be finished, so that one slip does not hide another. Advice is
//! given only on a scene without errors.

mod advice;
mod air;
mod cabinet;
mod constraints;
mod context;
mod counts;
mod directivity;
mod directivity_table;
mod furniture;
mod inside;
mod limits;
mod listeners;
mod materials;
mod names;
mod own_material;
mod pairs;
mod panel_overlap;
mod panels;
mod porous;
mod room;
mod same_place;
mod screens;
mod signal_chain;
mod solid;
mod speakers;
mod variants;

use super::attachments::Attachments;
use super::length::TAPE_SLACK_M;
use super::model::{Model, Scene};
use super::problem::Problems;
use super::raw::{RawModel, RawScene};
use crate::medium::materials::ReflectionLaw;
use context::RuleContext;
use materials::Materials;

/// Title of a scene that gives none.
const UNTITLED: &str = "Untitled room";

/// Checks a raw scene and builds the scene. `None` only with at least one error among the problems.
pub(super) fn validate(
    raw: &RawScene,
    attachments: &dyn Attachments,
    problems: &Problems,
) -> Option<Scene> {
    if !counts::check(raw, problems) {
        return None;
    }
    let units = raw.units.as_ref().map_or_else(Default::default, |units| units.value);
    let room = room::room(raw, units, problems);
    let context = RuleContext { raw, units, room, problems };

    names::check(raw, problems);
    let air = air::air(&context);
    let mut materials = Materials::new(&context);
    let surfaces = raw.surfaces.each_ref().map(|name| materials.resolve(name.as_ref()));
    let listeners = listeners::listeners(&context);
    let speakers = speakers::speakers(&context, &listeners, attachments, &mut materials);
    let panels = panels::panels(&context, &mut materials);
    let screens = screens::screens(&context, &mut materials);
    let furniture = furniture::furniture(&context, &mut materials);
    let variants = variants::variants(&context);
    let keep_outs = constraints::keep_outs(&context);
    let keep_clears = constraints::keep_clears(&context);
    let absorbers = constraints::absorbers(&context, &mut materials);
    pairs::check(raw, problems);
    same_place::check(&context, &speakers, &listeners);
    solid::check(&context, &speakers, &listeners, &furniture);
    panel_overlap::check(&context, &panels, &variants);

    let own_materials = materials.own_count();
    let scene = Scene {
        title: raw.title.as_ref().map_or_else(|| UNTITLED.to_owned(), |title| title.value.clone()),
        units,
        room: room?,
        air: air?,
        surfaces: all(surfaces)?.try_into().ok()?,
        materials: all(materials.into_list())?,
        own_materials,
        speakers: all(speakers)?,
        listeners: all(listeners)?,
        panels: all(panels)?,
        screens: all(screens)?,
        furniture: all(furniture)?,
        variants: all(variants)?,
        keep_outs: all(keep_outs)?,
        keep_clears: all(keep_clears)?,
        absorbers: all(absorbers)?,
        model: model(&raw.model),
    };
    if !problems.any_error() {
        advice::give(&scene, &context);
    }
    Some(scene)
}

fn all<T>(items: impl IntoIterator<Item = Option<T>>) -> Option<Vec<T>> {
    items.into_iter().collect()
}

fn model(raw: &RawModel) -> Model {
    Model {
        reflection: raw.reflection.as_ref().map_or(ReflectionLaw::Angle, |law| law.value),
        edges: raw.edges.as_ref().is_none_or(|edges| edges.value),
    }
}
