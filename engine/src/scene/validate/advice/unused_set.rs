//! Sets that no variant has.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::validate::names::items;
use crate::scene::validate::setting::Setting;

pub(super) fn check(scene: &Scene, setting: &Setting<'_>) {
    if scene.variants().is_empty() {
        return;
    }
    let mut told: Vec<&str> = Vec::new();
    for (_, set) in items(setting.raw) {
        let Some(set) = set else { continue };
        let used = scene.variants().iter().any(|variant| variant.with.contains(&set.value));
        if used || told.contains(&set.value.as_str()) {
            continue;
        }
        told.push(&set.value);
        setting.add(
            Problem::warning(
                "scene::unused-set",
                set.span.clone(),
                format!("no variant has the set `{}`", set.value),
            )
            .label("only there when everything is in")
            .help("add it to the `with` of a [[variant]]"),
        );
    }
}
