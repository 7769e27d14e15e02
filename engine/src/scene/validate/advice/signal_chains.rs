//! Signal chains that do not go together.

use crate::scene::model::Scene;
use crate::scene::named_pairs;
use crate::scene::problem::Problem;
use crate::scene::validate::context::RuleContext;

/// Left and right with different filters or polarities. Level and delay may differ on purpose, for a pair that does
/// not stand alike.
pub(super) fn pair_differs(scene: &Scene, context: &RuleContext<'_>) {
    for (name, [left, right]) in named_pairs(scene) {
        let [a, b] = [left, right].map(|id| scene[id].chain);
        let differs = if a.polarity != b.polarity {
            "polarity"
        } else if a.high_pass != b.high_pass {
            "`high_pass`"
        } else if a.low_limit != b.low_limit {
            "`low_hz`"
        } else {
            continue;
        };
        let Some(raw) = context.raw.speakers.get(right.index()) else { continue };
        let message = format!("left and right of `{name}` differ in {differs}");
        context.add(
            Problem::warning("scene::pair-differs", raw.span.clone(), message)
                .label("the right one")
                .help("write the same in both, unless one is broken and you know it"),
        );
    }
}

/// A high-pass, and nothing that plays below it.
pub(super) fn nothing_below(scene: &Scene, context: &RuleContext<'_>) {
    if scene.subwoofer_ids().next().is_some() {
        return;
    }
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        let Some(filter) = speaker.chain.high_pass else { continue };
        let message = format!(
            "the speaker `{}` has a `high_pass` at {} Hz, and no subwoofer plays below it",
            speaker.name, filter.hz
        );
        context.add(
            Problem::warning("scene::nothing-below", raw.span.clone(), message)
                .label("what plays the low end?")
                .help("add a [[speaker]] with kind = \"subwoofer\", or leave `high_pass` out"),
        );
        return;
    }
}
