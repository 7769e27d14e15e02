//! Sets that no variant has.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;
use crate::scene::validate::names::items;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    if scene.variants().is_empty() {
        return;
    }
    let mut told: Vec<&str> = Vec::new();
    for (_, set) in items(context.raw) {
        let Some(set) = set else { continue };
        let used = scene.variants().iter().any(|variant| variant.with.contains(&set.value));
        if used || told.contains(&set.value.as_str()) {
            continue;
        }
        told.push(&set.value);
        context.add(
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
