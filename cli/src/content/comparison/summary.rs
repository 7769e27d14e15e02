//! The change at the seat, the treatment behind it, and its cost.

use super::row::{change, count};
use super::{ComparisonView, Difference, EARLY_S, PathChange, VariantAtSeat};
use crate::format::number::fixed;
use crate::format::{labels, level, time};
use earline_engine::analysis::compare::{CostUnavailable, Item, is_equal};

/// The change, a paragraph each.
pub(crate) fn sentences(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Vec<String> {
    let mut sentences = exchange(difference, usize::MAX);
    sentences.push(early(view, difference));
    sentences.push(over_limit(view, difference));
    sentences.extend(shadows(view, difference));
    sentences.extend(cost(view, difference));
    sentences
}

/// What was put up and what was taken away, so many things of each by their names.
pub(super) fn exchange(difference: &Difference<'_>, most: usize) -> Vec<String> {
    let exchange = &difference.exchange;
    [("Put up", &exchange.added), ("Taken away", &exchange.removed)]
        .into_iter()
        .filter(|(_, items)| !items.is_empty())
        .map(|(word, items)| format!("{word}: {}.", listed(items, most)))
        .collect()
}

/// Things by their names; more than `most` are counted.
pub(super) fn listed(items: &[Item<'_>], most: usize) -> String {
    let names: Vec<&str> = items.iter().take(most).map(|item| item.name).collect();
    match items.len().saturating_sub(most) {
        0 => names.join("; "),
        more => format!("{}; and {more} more", names.join("; ")),
    }
}

/// The strongest reflection before and after, in both early windows; once where they agree.
fn early(view: &ComparisonView<'_>, difference: &Difference<'_>) -> String {
    let both = view.both(difference);
    let of = |window_s: f64| {
        let [first, second] = both.map(|seen| strongest(view, seen, window_s));
        let outcome = match view.early_change_db(difference, window_s) {
            None => String::new(),
            Some(db) if is_equal(db) => ": equal within the uncertainty of the model".to_owned(),
            Some(db) if db < 0.0 => format!(": {:.1} dB quieter", -db),
            Some(db) => format!(": {db:.1} dB louder"),
        };
        format!("{first} in {}, {second} in {}{outcome}.", both[0].at.name, both[1].at.name)
    };
    let [short, long] = EARLY_S.map(|window_s| time::milliseconds(window_s, 0));
    let [in_short, in_long] = EARLY_S.map(of);
    if in_short == in_long {
        format!(
            "The strongest reflection in the first {} and {long} is {in_short}",
            fixed(1e3 * EARLY_S[0], 0)
        )
    } else {
        format!(
            "The strongest reflection in the first {short} is {in_short} In the first \
             {long} it is {in_long}"
        )
    }
}

/// `−3.2 dB (no. 1, main left off floor)`.
fn strongest(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>, window_s: f64) -> String {
    seen.strongest(window_s).map_or_else(
        || "nothing at all".to_owned(),
        |found| {
            format!(
                "{} (no. {}, {} off {})",
                level::with_unit(found.reflection.level_db),
                seen.number(found.pair.speaker, found.index),
                view.scene[found.pair.speaker].name,
                labels::spoken_path(view.scene, &found.reflection.arrival.bounces),
            )
        },
    )
}

fn over_limit(view: &ComparisonView<'_>, difference: &Difference<'_>) -> String {
    let [first, second] = view.both(difference);
    let rows = difference.rows(view);
    format!(
        "Over the limit: {} in {}, {} in {}. Of all paths {} change, {} are equal, {} vanish, {} \
         are new.",
        view.over_limit(first),
        first.at.name,
        view.over_limit(second),
        second.at.name,
        count(&rows, PathChange::Changed),
        count(&rows, PathChange::Equal),
        count(&rows, PathChange::Vanished),
        count(&rows, PathChange::New),
    )
}

/// Direct sound that something comes to stand in the way of, or no longer does.
pub(super) fn shadows(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Option<String> {
    let [first, second] = view.both(difference);
    let mut sentences = Vec::new();
    for (a, b) in first.trace.pairs.iter().zip(&second.trace.pairs) {
        let speaker = &view.scene[a.speaker].name;
        match (a.direct.occluded, b.direct.occluded) {
            (false, true) => sentences.push(format!("Now something stands before {speaker}.")),
            (true, false) => sentences.push(format!("Nothing stands before {speaker} any more.")),
            _ => {}
        }
    }
    (!sentences.is_empty()).then(|| sentences.join(" "))
}

/// What it costs and what that gains; `None` where nothing has a cost.
pub(super) fn cost(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Option<String> {
    let exchange = &difference.exchange;
    let told = |sum: f64, verb: &str| (sum > 0.0).then(|| format!("{} {verb}", money(sum)));
    let sums = [told(exchange.added_cost(), "put up"), told(exchange.removed_cost(), "taken away")];
    let sums = sums.into_iter().flatten().collect::<Vec<_>>().join(", ");
    if sums.is_empty() {
        return None;
    }
    let worth = match view.db_per_cost(difference) {
        Ok(ratio) => format!(
            "strongest early reflection {}, {:.2} dB quieter per 100 spent",
            view.early_change_db(difference, EARLY_S[0]).map_or_else(String::new, change),
            ratio * 100.0,
        ),
        Err(CostUnavailable::Equal) => "strongest early reflection equal".to_owned(),
        Err(why) => format!("no decibels per 100 spent, for {why}"),
    };
    Some(format!("Cost: {sums} (scene's currency); {worth}."))
}

/// A sum without needless decimals.
pub(super) fn money(sum: f64) -> String {
    if sum.fract() == 0.0 { format!("{sum:.0}") } else { format!("{sum:.2}") }
}
