//! What changes at the seat, what was put up for it, and what that costs.

use super::super::list::level;
use super::{change, count};
use crate::content::comparison::{ComparisonView, Difference, EARLY_S, PathChange, VariantAtSeat};
use crate::format::labels;
use crate::render::columns::indented;
use earline_engine::analysis::compare::{CostUnavailable, Item, is_equal};

pub(super) fn lines(
    compared: &ComparisonView<'_>,
    contrast: &Difference<'_>,
    width: usize,
) -> Vec<String> {
    let says = sentences(compared, contrast);
    says.iter().flat_map(|text| indented(text, 2, width)).collect()
}

/// What changes, a paragraph each.
pub(crate) fn sentences(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> Vec<String> {
    let mut says = Vec::new();
    let exchange = &contrast.exchange;
    for (word, items) in [("Put up", &exchange.added), ("Taken away", &exchange.removed)] {
        if !items.is_empty() {
            says.push(format!("{word}: {}.", listed(items)));
        }
    }
    says.push(early(compared, contrast));
    says.push(over_limit(compared, contrast));
    says.extend(shadows(compared, contrast));
    says.extend(cost(compared, contrast));
    says
}

fn listed(items: &[Item<'_>]) -> String {
    items.iter().map(|item| item.name).collect::<Vec<_>>().join("; ")
}

/// The strongest reflection before and after, in both early windows; once where they agree.
fn early(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> String {
    let both = compared.both(contrast);
    let of = |window_s: f64| {
        let [first, second] = both.map(|seen| strongest(compared, seen, window_s));
        let says = match compared.early_change_db(contrast, window_s) {
            None => String::new(),
            Some(db) if is_equal(db) => ": equal within what the model knows".to_owned(),
            Some(db) if db < 0.0 => format!(": {:.1} dB quieter", -db),
            Some(db) => format!(": {db:.1} dB louder"),
        };
        format!("{first} in {}, {second} in {}{says}.", both[0].at.name, both[1].at.name)
    };
    let [short, long] = EARLY_S.map(|window_s| window_s * 1e3);
    let [in_short, in_long] = EARLY_S.map(of);
    if in_short == in_long {
        format!("The strongest reflection in the first {short:.0} and {long:.0} ms is {in_short}")
    } else {
        format!(
            "The strongest reflection in the first {short:.0} ms is {in_short} In the first \
             {long:.0} ms it is {in_long}"
        )
    }
}

/// `−3.2 dB (no. 1, main left off floor)`.
fn strongest(compared: &ComparisonView<'_>, seen: &VariantAtSeat<'_>, window_s: f64) -> String {
    seen.strongest(window_s).map_or_else(
        || "nothing at all".to_owned(),
        |found| {
            format!(
                "{} (no. {}, {} off {})",
                level(found.reflection.level_db),
                seen.number(found.pair.speaker, found.index),
                compared.scene.speakers()[found.pair.speaker].name,
                labels::spoken_path(compared.scene, &found.reflection.arrival.bounces),
            )
        },
    )
}

fn over_limit(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> String {
    let [first, second] = compared.both(contrast);
    let rows = contrast.rows(compared);
    format!(
        "Over the limit: {} in {}, {} in {}. Of all paths {} change, {} are equal, {} vanish, {} \
         are new.",
        compared.over_limit(first),
        first.at.name,
        compared.over_limit(second),
        second.at.name,
        count(&rows, PathChange::Changed),
        count(&rows, PathChange::Equal),
        count(&rows, PathChange::Vanished),
        count(&rows, PathChange::New),
    )
}

/// Direct sound that something comes to stand in the way of, or no longer does.
fn shadows(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> Option<String> {
    let [first, second] = compared.both(contrast);
    let mut says = Vec::new();
    for (a, b) in first.trace.pairs.iter().zip(&second.trace.pairs) {
        let speaker = &compared.scene.speakers()[a.speaker].name;
        match (a.direct.occluded, b.direct.occluded) {
            (false, true) => says.push(format!("Now something stands before {speaker}.")),
            (true, false) => says.push(format!("Nothing stands before {speaker} any more.")),
            _ => {}
        }
    }
    (!says.is_empty()).then(|| says.join(" "))
}

fn cost(compared: &ComparisonView<'_>, contrast: &Difference<'_>) -> Option<String> {
    let exchange = &contrast.exchange;
    if exchange.is_empty() {
        return None;
    }
    let sums = format!("{} put up", money(exchange.added_cost()));
    let sums = match exchange.removed_cost() {
        removed if removed > 0.0 => format!("{sums}, {} taken away", money(removed)),
        _ => sums,
    };
    let early_ms = EARLY_S[0] * 1e3;
    let says = match compared.db_per_cost(contrast) {
        Ok(ratio) => format!(
            "in the first {early_ms:.0} ms the strongest reflection changes by {} for it, {:.2} dB \
             quieter for every 100 spent",
            compared.early_change_db(contrast, EARLY_S[0]).map_or_else(String::new, change),
            ratio * 100.0,
        ),
        Err(CostUnavailable::NoCost) => return None,
        Err(CostUnavailable::Equal) => format!(
            "no decibels for each unit are given, for in the first {early_ms:.0} ms the strongest \
             reflection stays equal; look at the list for what it does elsewhere"
        ),
        Err(why) => format!("no decibels for each unit are given, for {why}"),
    };
    Some(format!("Cost, in the scene's currency: {sums}; {says}."))
}

/// A sum without needless decimals.
fn money(sum: f64) -> String {
    if sum.fract() == 0.0 { format!("{sum:.0}") } else { format!("{sum:.2}") }
}
