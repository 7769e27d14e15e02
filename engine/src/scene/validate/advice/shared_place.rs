//! Panels that share a place: when no variant is named, only the first of them is up.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;
use crate::scene::variant::overlap;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    // A state that bears a name is told by it.
    let Some(all) = scene.variant(None).filter(|state| state.name.is_none()) else { return };
    for (panel, raw) in scene.panels().iter().zip(&context.raw.panels) {
        let is_up = all.panels.iter().any(|up| std::ptr::eq(*up, panel));
        let first = all.panels.iter().find(|up| overlap(up, panel));
        let (false, Some(first), Some(name)) = (is_up, first, &raw.name) else { continue };
        let message = format!("`{}` shares its place with `{}`", panel.name, first.name);
        context.add(
            Problem::warning("scene::shared-place", name.span.clone(), message)
                .label("left out when no variant is asked for")
                .help("nothing to do; ask for a state by its name with --variant"),
        );
    }
}
