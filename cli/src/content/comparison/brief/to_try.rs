//! What to try in the second state of a comparison.

use super::super::{ComparisonView, Difference, summary};
use super::NAMES;
use super::judge::Effects;
use crate::content::document::Document;
use crate::content::effect::Effect;
use crate::content::formula_comparison::FormulaComparison;
use crate::content::trace::TraceReport;
use crate::content::trace::advice::{TRY_FIRST, things_to_try};
use crate::content::trace::seat::{SeatReflections, Suggestion};
use crate::format::sentence::capital;
use earline_engine::metrics::criteria::REVERBERATION_CRITERIA;
use earline_engine::simulate::Request;

/// What is left over the limit, what did nothing for its money, and zones that are not covered.
pub(super) fn document(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Document {
    let mut document = Document::default();
    let [_, second] = view.both(difference);
    document.heading("Try first");
    if 1 < view.differences.len() {
        document.note(format!("In {}:", second.at.name));
    }
    let suggestions = suggestions(view, difference);
    let over = suggestions.iter().take_while(|one| 0.0 < one.worth_db).count();
    let mut texts: Vec<String> = suggestions.into_iter().map(|one| one.text).collect();
    // Behind the first that is over the limit, before all else.
    if let Some(text) = idle_money(view, difference) {
        texts.insert(over.min(1), text);
    }
    texts.truncate(TRY_FIRST);
    if texts.is_empty() {
        document.note(
            "Nothing: no early reflection is over the limit, and a panel covers where one comes near it.",
        );
    }
    document.numbered(texts);
    document
}

/// What a trace of the second state would try, in its order.
fn suggestions(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Vec<Suggestion> {
    let [_, second] = view.both(difference);
    let (scene, state) = (view.scene, &second.at.state);
    let Some(criterion) = REVERBERATION_CRITERIA.first() else { return Vec::new() };
    let listener = second.at.listener;
    let plan = Request {
        listeners: vec![listener],
        window_s: view.window_s,
        ..Request::everything(scene)
    };
    let report = TraceReport {
        scene,
        state,
        plan: &plan,
        trace: &second.trace,
        decay: None,
        snapshots: None,
        zone_plan: &view.zone_plan,
        zones: &second.zones,
        limit: view.limit,
        bands: false,
        formula_comparison: &FormulaComparison::new(scene, state),
        criterion,
        formulas: false,
        crossover_hz: None,
    };
    let seat = SeatReflections::new(&report, listener, second.numbered());
    things_to_try(&report, std::slice::from_ref(&seat))
}

/// What was paid for and leaves the early reflections as they were.
fn idle_money(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Option<String> {
    let exchange = &difference.exchange;
    let effects = Effects::of(view, difference);
    let cost = exchange.added_cost();
    (cost > 0.0 && effects.early == Effect::Equal).then(|| {
        format!(
            "{}: {} spent, and early reflections stay equal{}. Try other places before you buy: `earline \
             treat` looks for them.",
            capital(&summary::listed(&exchange.added, NAMES)),
            summary::money(cost),
            effects.others(),
        )
    })
}
