//! Panels on one surface do not overlap in any variant of the room.

use super::context::RuleContext;
use super::inside::surface_words;
use crate::scene::model::{Panel, VariantDefinition};
use crate::scene::problem::Problem;
use crate::scene::variant::{Membership, overlap};

pub(super) fn check(
    context: &RuleContext<'_>,
    panels: &[Option<Panel>],
    variants: &[Option<VariantDefinition>],
) {
    let variants: Vec<VariantDefinition> = variants.iter().flatten().cloned().collect();
    let memberships: Vec<Membership<'_>> =
        variants.iter().map(|variant| Membership::new(variant, &variants)).collect();
    // Variants that have each panel.
    let presence = |panel: &Option<Panel>| -> Vec<bool> {
        let has = |membership: &Membership<'_>| {
            panel.as_ref().is_some_and(|panel| membership.has(panel.set.as_deref(), &panel.name))
        };
        memberships.iter().map(has).collect()
    };
    let presences: Vec<Vec<bool>> = panels.iter().map(presence).collect();
    // Without variants the only state is everything.
    let are_together = |one: usize, other: usize| {
        variants.is_empty()
            || presences[one].iter().zip(&presences[other]).any(|(one, other)| *one && *other)
    };
    for (second, panel) in panels.iter().enumerate() {
        let Some(panel) = panel else { continue };
        if context.problems.is_full() {
            return;
        }
        for (first, other) in panels.iter().enumerate().take(second) {
            let Some(other) = other else { continue };
            if overlap(panel, other) && are_together(second, first) {
                report(context, panel, second, other, first);
            }
        }
    }
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
