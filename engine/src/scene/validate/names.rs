//! Names: each once among its kind, and none that would be taken for something else.

use crate::scene::messages::quoted;
use crate::scene::problem::{Problem, Problems};
use crate::scene::raw::{RawScene, Span, Spanned};
use crate::scene::room::Surface;
use std::collections::BTreeMap;

type Name<'a> = Option<&'a Spanned<String>>;

pub(super) fn check(raw: &RawScene, problems: &Problems) {
    once("material", raw.materials.iter().map(|item| item.name.as_ref()), problems);
    once("speaker", raw.speakers.iter().map(|item| item.name.as_ref()), problems);
    once("listener", raw.listeners.iter().map(|item| item.name.as_ref()), problems);
    once("keep-out", raw.keep_outs.iter().map(|item| item.name.as_ref()), problems);
    once("keep-clear", raw.keep_clears.iter().map(|item| item.name.as_ref()), problems);
    once("absorber", raw.absorbers.iter().map(|item| item.name.as_ref()), problems);
    once("variant", raw.variants.iter().map(|item| item.name.as_ref()), problems);
    // A reflection names what it hit, so panels, screens and furniture share their names.
    let items = items(raw);
    once("panel, screen or piece of furniture", items.iter().map(|item| item.0), problems);
    not_a_surface(raw, problems);
    not_a_set(&items, problems);
}

/// Names and sets of panels, screens and furniture.
pub(super) fn items(raw: &RawScene) -> Vec<(Name<'_>, Name<'_>)> {
    let panels = raw.panels.iter().map(|item| (item.name.as_ref(), item.set.as_ref()));
    let screens = raw.screens.iter().map(|item| (item.name.as_ref(), item.set.as_ref()));
    let furniture = raw.furniture.iter().map(|item| (item.name.as_ref(), item.set.as_ref()));
    panels.chain(screens).chain(furniture).collect()
}

fn once<'a>(kind: &str, names: impl Iterator<Item = Name<'a>>, problems: &Problems) {
    let mut seen: BTreeMap<&str, Span> = BTreeMap::new();
    for name in names.flatten() {
        match seen.get(name.value.as_str()) {
            Some(first) => problems.add(
                Problem::error(
                    "scene::duplicate-name",
                    name.span.clone(),
                    format!("another {kind} is called `{}` already", quoted(&name.value)),
                )
                .label("second one")
                .related(first.clone(), "first one")
                .help("give each its own name"),
            ),
            None => {
                seen.insert(&name.value, name.span.clone());
            }
        }
    }
}

/// A screen or a piece of furniture called `left` would be taken for the wall.
fn not_a_surface(raw: &RawScene, problems: &Problems) {
    let screens = raw.screens.iter().filter_map(|item| item.name.as_ref());
    let furniture = raw.furniture.iter().filter_map(|item| item.name.as_ref());
    for name in screens.chain(furniture) {
        if Surface::ALL.iter().any(|surface| surface.name() == name.value) {
            problems.add(
                Problem::error(
                    "scene::reserved-name",
                    name.span.clone(),
                    format!("`{}` is the name of a surface of the room", name.value),
                )
                .label("would be taken for the surface")
                .help("give it another name, such as \"left gobo\""),
            );
        }
    }
}

/// A variant's `with` must know whether a set or a single item is meant.
fn not_a_set(items: &[(Name<'_>, Name<'_>)], problems: &Problems) {
    let mut sets: BTreeMap<&str, &Spanned<String>> = BTreeMap::new();
    for set in items.iter().filter_map(|item| item.1) {
        sets.entry(&set.value).or_insert(set);
    }
    for (name, set) in items {
        let (Some(name), None) = (name, set) else { continue };
        if let Some(set) = sets.get(name.value.as_str()) {
            problems.add(
                Problem::error(
                    "scene::duplicate-name",
                    name.span.clone(),
                    format!(
                        "`{}` is the name of an item without a set, and of a set",
                        quoted(&name.value)
                    ),
                )
                .label("an item without a set")
                .related(set.span.clone(), "a set of the same name")
                .help("give this item the set as well, or another name"),
            );
        }
    }
}
