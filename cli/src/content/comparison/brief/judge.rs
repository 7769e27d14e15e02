//! How a state does against the first: early reflections, left against right, bass and cost.

use super::super::{ComparisonView, Difference, VariantAtSeat, document, summary};
use crate::content::criterion::early_limit_in_short;
use crate::content::document::{Finding, Grade};
use crate::content::effect::Effect;
use crate::content::low_end::change::{self, LowEndChange};
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{
    EARLY_S, EQUAL_DB, PairAsymmetry, StrongestTraced, is_equal,
};
use earline_engine::scene::ListenerId;

/// All findings on the only difference.
pub(super) fn findings(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Vec<Finding> {
    if document::is_identical(view, difference) {
        return vec![Finding::new(Grade::Fair, document::SAME)];
    }
    let [first, _] = view.both(difference);
    let seat = |id: ListenerId| view.scene[id].name.as_str();
    let mut findings = vec![early(view, difference)];
    findings.extend(summary::shadows(view, difference).map(|text| Finding::new(Grade::Fair, text)));
    findings.extend(sides(view, difference));
    let then = named(view, first);
    findings.extend(change::finding(&bass(view, difference), &seat, &then));
    findings.extend(summary::cost(view, difference).map(|text| Finding::new(Grade::Fair, text)));
    findings
}

/// One difference of several in a sentence.
pub(super) fn in_one(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Finding {
    let [first, second] = view.both(difference);
    let name = &second.at.name;
    if document::is_identical(view, difference) {
        return Finding::new(Grade::Fair, format!("{name}: the same as {}.", first.at.name));
    }
    let over = view.over_limit(second);
    let effects = Effects::of(view, difference);
    let strongest = strongest(view, second)
        .map_or_else(String::new, |found| format!(", strongest {}", level_of(&found)));
    let cost = difference.exchange.added_cost();
    let cost =
        if cost > 0.0 { format!("; {} put up", summary::money(cost)) } else { String::new() };
    let text = format!(
        "{name}: early reflections {} ({over} over the limit{strongest}){}{cost}.",
        effects.early.word(),
        effects.others()
    );
    let grade = match effects.together() {
        Effect::Worse => Grade::Poor,
        _ => grade_early(effects.early, over),
    };
    Finding::new(grade, text)
}

/// A state in a phrase: `in bare`, `at seated`.
fn named(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>) -> String {
    let is_seat = view.scene[seen.at.listener].name == seen.at.name;
    format!("{} {}", if is_seat { "at" } else { "in" }, seen.at.name)
}

/// The state that the others are held against.
pub(super) fn first_state(view: &ComparisonView<'_>) -> String {
    let Some(first) = view.variants.first() else { return String::new() };
    let strongest = strongest(view, first)
        .map_or_else(String::new, |found| format!(", strongest {}", told(view, &found)));
    format!(
        "{}: {} early reflections over the limit ({}){strongest}.",
        first.at.name,
        view.over_limit(first),
        early_limit_in_short(view.limit),
    )
}

/// The effects of a difference.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effects {
    /// On early reflections.
    pub(super) early: Effect,
    /// On left against right, where a pair is whole.
    sides: Option<Effect>,
    /// On the bass, where that is solved.
    bass: Option<Effect>,
}

impl Effects {
    pub(super) fn of(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Self {
        let bass = bass(view, difference);
        Self {
            early: early_effect(view, difference),
            sides: side_differences(view, difference)
                .map(|[first, second]| side_effect(&first, &second)),
            bass: (!bass.is_empty()).then(|| change::effect(&bass)),
        }
    }

    fn together(self) -> Effect {
        [self.sides, self.bass].into_iter().flatten().fold(self.early, Effect::and)
    }

    /// `, left against right worse, bass equal`.
    pub(super) fn others(self) -> String {
        let told = [("left against right", self.sides), ("bass", self.bass)].into_iter();
        told.filter_map(|(what, effect)| Some(format!(", {what} {}", effect?.word()))).collect()
    }
}

/// The grade of an effect where no published limit says when it is enough.
fn grade(effect: Effect) -> Grade {
    if effect == Effect::Worse { Grade::Poor } else { Grade::Fair }
}

/// The grade of early reflections of which so many are over the limit.
fn grade_early(effect: Effect, over: usize) -> Grade {
    match effect {
        _ if over == 0 => Grade::Good,
        Effect::Better => Grade::Fair,
        _ => Grade::Poor,
    }
}

/// The strongest reflection within the limit's time.
fn strongest<'s>(
    view: &ComparisonView<'_>,
    seen: &'s VariantAtSeat<'_>,
) -> Option<StrongestTraced<'s>> {
    seen.strongest(view.limit.window_s())
}

fn early_effect(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Effect {
    let [before, after] = view.both(difference).map(|seen| view.over_limit(seen));
    let counted = match after.cmp(&before) {
        std::cmp::Ordering::Less => Effect::Better,
        std::cmp::Ordering::Equal => Effect::Equal,
        std::cmp::Ordering::Greater => Effect::Worse,
    };
    let change_db = view.early_change_db(difference, view.limit.window_s());
    counted.and(change_db.map_or(Effect::Equal, |db| Effect::of(db, EQUAL_DB)))
}

fn early(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Finding {
    let [first, second] = view.both(difference);
    let [before, after] = [first, second].map(|seen| view.over_limit(seen));
    let then = named(view, first);
    let strongest = match (strongest(view, first), strongest(view, second)) {
        (Some(was), Some(now)) if told(view, &was) == told(view, &now) => {
            format!("; strongest still {}", told(view, &now))
        }
        (Some(was), Some(now)) => {
            let same_path = path(view, &was) == path(view, &now);
            let was = if same_path { level_of(&was) } else { told(view, &was) };
            format!("; strongest {} ({was} {then})", told(view, &now))
        }
        (None, Some(now)) => format!("; strongest {}", told(view, &now)),
        (_, None) => "; nothing arrives that early".to_owned(),
    };
    let effect = early_effect(view, difference);
    let text = format!(
        "Early reflections {}: {after} over the limit ({}), {before} {then}{strongest}.",
        effect.word(),
        early_limit_in_short(view.limit),
    );
    Finding::new(grade_early(effect, after), text)
}

/// `−3.2 dB off top of desk`.
fn told(view: &ComparisonView<'_>, found: &StrongestTraced<'_>) -> String {
    format!("{} off {}", level_of(found), path(view, found))
}

fn path(view: &ComparisonView<'_>, found: &StrongestTraced<'_>) -> String {
    labels::spoken_path(view.scene, &found.reflection.arrival.bounces)
}

fn level_of(found: &StrongestTraced<'_>) -> String {
    level::with_unit(found.reflection.level_db)
}

fn bass<'v>(view: &'v ComparisonView<'_>, difference: &Difference<'_>) -> Vec<LowEndChange<'v>> {
    let second = view.variants.get(difference.second);
    let both = view.variants.first().and_then(|first| first.low_end.as_ref());
    let both = both.zip(second.and_then(|second| second.low_end.as_ref()));
    both.map_or_else(Vec::new, |(before, after)| change::changes(before, after))
}

/// The pair of each state whose two speakers differ most; `None` where no pair is whole.
fn side_differences(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
) -> Option<[PairAsymmetry; 2]> {
    let most = |seen: &VariantAtSeat<'_>| {
        let pairs = view.sides(seen).into_iter();
        pairs.max_by(|a, b| apart_db(a).total_cmp(&apart_db(b)))
    };
    let [first, second] = view.both(difference);
    Some([most(first)?, most(second)?])
}

fn apart_db(pair: &PairAsymmetry) -> f64 {
    pair.largest.map_or(0.0, |most| most.left_louder_db.abs())
}

fn side_effect(first: &PairAsymmetry, second: &PairAsymmetry) -> Effect {
    let [before_db, after_db] = [first, second].map(apart_db);
    if is_equal(before_db) && is_equal(after_db) {
        return Effect::Equal;
    }
    Effect::of(after_db - before_db, EQUAL_DB)
}

fn sides(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Option<Finding> {
    let [first, second] = view.both(difference);
    let [was, now] = side_differences(view, difference)?;
    let [before_db, after_db] = [&was, &now].map(apart_db);
    let early = time::milliseconds(EARLY_S, 0);
    let numbers = now.largest.filter(|_| !is_equal(after_db)).map(|most| {
        [(now.left, most.left), (now.right, most.right)]
            .map(|(speaker, index)| second.number(speaker, index))
    });
    let effect = side_effect(&was, &now);
    let told = match numbers {
        None => format!(" in the first {early}"),
        Some([left, right]) => format!(
            ": in the first {early} nos. {left} and {right} are {} dB apart, most of all",
            fixed(after_db, 1)
        ),
    };
    let before = match is_equal(before_db) {
        true if is_equal(after_db) => String::new(),
        true => format!(" (equal {})", named(view, first)),
        false => format!(" ({} dB {})", fixed(before_db, 1), named(view, first)),
    };
    let grade = if is_equal(after_db) { Grade::Good } else { grade(effect) };
    let text = format!("Left against right {}{told}{before}.", effect.word());
    Some(Finding::new(grade, text))
}
