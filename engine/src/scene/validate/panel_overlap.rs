//! Panels on one surface do not overlap in any variant of the room.

use super::context::RuleContext;
use super::inside::surface_words;
use crate::scene::model::{Panel, VariantDefinition};
use crate::scene::problem::Problem;
use crate::scene::variant::{is_in, overlap};

pub(super) fn check(
    context: &RuleContext<'_>,
    panels: &[Option<Panel>],
    variants: &[Option<VariantDefinition>],
) {
    let variants: Vec<VariantDefinition> = variants.iter().flatten().cloned().collect();
    for (second, panel) in panels.iter().enumerate() {
        let Some(panel) = panel else { continue };
        for (first, other) in panels.iter().enumerate().take(second) {
            let Some(other) = other else { continue };
            if overlap(panel, other) && together(panel, other, &variants) {
                report(context, panel, second, other, first);
            }
        }
    }
}

/// Whether some state has both. Without variants the only state is everything.
fn together(one: &Panel, other: &Panel, variants: &[VariantDefinition]) -> bool {
    let both = |variant| {
        [one, other].iter().all(|panel| is_in(panel.set.as_deref(), &panel.name, variant, variants))
    };
    variants.is_empty() || variants.iter().any(both)
}

fn report(
    context: &RuleContext<'_>,
    panel: &Panel,
    index: usize,
    other: &Panel,
    other_index: usize,
) {
    let place = |index: usize| {
        context
            .raw
            .panels
            .get(index)
            .and_then(|raw| raw.centre.as_ref())
            .map(|centre| centre.span.clone())
    };
    let (Some(span), Some(other_span)) = (place(index), place(other_index)) else { return };
    let message = format!(
        "the panels `{}` and `{}` overlap on the {}",
        other.name,
        panel.name,
        surface_words(panel.on)
    );
    context.add(
        Problem::error("scene::panels-overlap", span, message)
            .label(format!("`{}`", panel.name))
            .related(other_span, format!("`{}`", other.name))
            .help("move or shrink one of them, or put them in sets that no variant has together"),
    );
}
