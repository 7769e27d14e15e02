//! The comparison document, `earline.compare/1`.

use super::low_end::LowEnd;
use super::round;
use super::tables::became;
use super::zones::Zones;
use crate::content::comparison::{ComparisonView, Difference, EARLY_S, Row, VariantAtSeat};
use crate::format::labels;
use earline_engine::analysis::compare::{EQUAL_DB, Item, ItemKind, KNOWN_ERRORS, MEASURED_BANDS};
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::scene::Scene;
use earline_engine::trace::{Direct, Reflection};
use serde::Serialize;

const SCHEMA: &str = "earline.compare/1";
const RULE: &str = "smaller changes are called equal, over 1-8 kHz and in every band: the largest \
                    mean error of finite panels against wave-exact solutions, rounded up; outside \
                    the measured bands it is an assumption";
const SILENT: &str = "no sound arrives in one of the two";

/// Two values: in the first state and in the second.
type Both<T> = [T; 2];

#[derive(Debug, Serialize)]
pub(crate) struct CompareDocument {
    schema: &'static str,
    scene: String,
    bands_hz: PerBand<f64>,
    uncertainty: Uncertainty,
    limit: Limit,
    window_ms: f64,
    states: Vec<State>,
    comparisons: Vec<Comparison>,
}

#[derive(Debug, Serialize)]
struct Uncertainty {
    equal_below_db: f64,
    band_db: PerBand<f64>,
    rule: &'static str,
    measured_bands_hz: Vec<f64>,
    measured: Vec<Measured>,
}

#[derive(Debug, Serialize)]
struct Measured {
    reflection_factor: f64,
    normal_db: [f64; 2],
    at_45_deg_db: [f64; 2],
}

#[derive(Debug, Serialize)]
struct Limit {
    key: &'static str,
    document: &'static str,
    level_db: f64,
    window_ms: f64,
}

#[derive(Debug, Serialize)]
struct State {
    name: String,
    variant: Option<String>,
    listener: String,
    over_limit: usize,
    strongest: Vec<Strongest>,
    sides: Vec<Sides>,
    zones: Zones,
    bass: Option<LowEnd>,
}

#[derive(Debug, Serialize)]
struct Strongest {
    within_ms: f64,
    speaker: Option<String>,
    number: Option<usize>,
    surfaces: Option<Vec<String>>,
    after_direct_ms: Option<f64>,
    level_db: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Sides {
    pair: String,
    partners: usize,
    alone_left: usize,
    alone_right: usize,
    largest: Option<Largest>,
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Largest {
    number_left: usize,
    number_right: usize,
    left_louder_db: Option<f64>,
    equal: bool,
}

#[derive(Debug, Serialize)]
struct Comparison {
    first: usize,
    second: usize,
    strongest: Vec<StrongestChange>,
    added: Vec<Thing>,
    removed: Vec<Thing>,
    cost: Cost,
    pairs: Vec<Pair>,
}

#[derive(Debug, Serialize)]
struct StrongestChange {
    within_ms: f64,
    change_db: Option<f64>,
    equal: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Thing {
    name: String,
    kind: &'static str,
    cost: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Cost {
    added: f64,
    removed: f64,
    unpriced: usize,
    db_per_unit: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

#[derive(Debug, Serialize)]
struct Pair {
    speaker: String,
    listeners: Both<String>,
    direct: DirectBoth,
    arrivals: Vec<Arrival>,
    vanished: usize,
    new: usize,
    changed: usize,
    equal: usize,
}

#[derive(Debug, Serialize)]
struct DirectBoth {
    distance_m: Both<f64>,
    time_ms: Both<f64>,
    shadowed: Both<bool>,
    band_level_db: Both<PerBand<Option<f64>>>,
}

#[derive(Debug, Serialize)]
struct Arrival {
    number: usize,
    became: &'static str,
    order: usize,
    surfaces: Both<Option<Vec<String>>>,
    after_direct_ms: Both<Option<f64>>,
    later_ms: Option<f64>,
    level_db: Both<Option<f64>>,
    change_db: Option<f64>,
    band_level_db: Both<Option<PerBand<Option<f64>>>>,
    band_change_db: Option<PerBand<Option<f64>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

impl CompareDocument {
    /// The document of a comparison.
    pub(crate) fn new(view: &ComparisonView<'_>) -> Self {
        let limit = view.limit;
        Self {
            schema: SCHEMA,
            scene: view.scene.title().to_owned(),
            bands_hz: NOMINAL_HZ,
            uncertainty: Uncertainty::known(),
            limit: Limit {
                key: limit.key,
                document: limit.document,
                level_db: limit.level_db(),
                window_ms: round::milliseconds(limit.window_s()),
            },
            window_ms: round::milliseconds(view.window_s),
            states: view.variants.iter().map(|seen| State::new(view, seen)).collect(),
            comparisons: view.differences.iter().map(|c| Comparison::new(view, c)).collect(),
        }
    }
}

impl Uncertainty {
    fn known() -> Self {
        Self {
            equal_below_db: EQUAL_DB,
            band_db: [EQUAL_DB; NOMINAL_HZ.len()],
            rule: RULE,
            measured_bands_hz: NOMINAL_HZ[MEASURED_BANDS].to_vec(),
            measured: KNOWN_ERRORS
                .iter()
                .map(|known| Measured {
                    reflection_factor: known.reflection,
                    normal_db: known.normal_db,
                    at_45_deg_db: known.at_45_deg_db,
                })
                .collect(),
        }
    }
}

impl State {
    fn new(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>) -> Self {
        Self {
            name: seen.at.name.clone(),
            variant: seen.at.state.name.map(str::to_owned),
            listener: view.scene.listeners()[seen.at.listener].name.clone(),
            over_limit: view.over_limit(seen),
            strongest: EARLY_S.map(|window_s| Strongest::new(view, seen, window_s)).into(),
            sides: sides(view, seen),
            zones: Zones::new(view.scene, &view.zone_plan, &seen.zones),
            bass: seen.low_end.as_ref().map(|found| LowEnd::new(view.scene, found)),
        }
    }
}

impl Strongest {
    fn new(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>, window_s: f64) -> Self {
        let found = seen.strongest(window_s);
        let speaker = |index: usize| view.scene.speakers()[index].name.clone();
        Self {
            within_ms: round::milliseconds(window_s),
            speaker: found.map(|s| speaker(s.pair.speaker)),
            number: found.map(|s| seen.number(s.pair.speaker, s.index)),
            surfaces: found.map(|s| surfaces(view.scene, s.reflection)),
            after_direct_ms: found.map(|s| round::milliseconds(s.reflection.after_direct_s)),
            level_db: found.and_then(|s| round::decibels(s.reflection.level_db)),
            reason: found.is_none().then_some("nothing arrives that early"),
        }
    }
}

fn sides(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>) -> Vec<Sides> {
    let side = |found: earline_engine::analysis::compare::SideDifference| Sides {
        largest: found.largest.map(|partners| Largest {
            number_left: seen.number(found.left, partners.left),
            number_right: seen.number(found.right, partners.right),
            left_louder_db: round::decibels(partners.left_louder_db),
            equal: earline_engine::analysis::compare::is_equal(partners.left_louder_db),
        }),
        largest_reason: found.largest.is_none().then_some("no reflection has a mirrored partner"),
        pair: found.name,
        partners: found.partners,
        alone_left: found.alone[0],
        alone_right: found.alone[1],
    };
    view.sides(seen).into_iter().map(side).collect()
}

impl Comparison {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Self {
        let exchange = &difference.exchange;
        let ratio = view.db_per_cost(difference);
        Self {
            first: 0,
            second: difference.second,
            strongest: EARLY_S.map(|s| StrongestChange::new(view, difference, s)).into(),
            added: exchange.added.iter().map(Thing::new).collect(),
            removed: exchange.removed.iter().map(Thing::new).collect(),
            cost: Cost {
                added: exchange.added_cost(),
                removed: exchange.removed_cost(),
                unpriced: exchange.without_cost(),
                db_per_unit: ratio.ok().map(|ratio| round::to(ratio, 6)),
                reason: ratio.err().map(|why| why.to_string()),
            },
            pairs: (0..difference.pairs.len()).map(|p| Pair::new(view, difference, p)).collect(),
        }
    }
}

impl StrongestChange {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>, window_s: f64) -> Self {
        let change = view.early_change_db(difference, window_s);
        Self {
            within_ms: round::milliseconds(window_s),
            change_db: change.and_then(round::decibels),
            equal: change.map(earline_engine::analysis::compare::is_equal),
            reason: change.is_none().then_some("nothing arrives that early in one of the two"),
        }
    }
}

impl Thing {
    fn new(item: &Item<'_>) -> Self {
        let kind = match item.kind {
            ItemKind::Panel => "panel",
            ItemKind::Screen => "screen",
            ItemKind::Furniture => "furniture",
        };
        Self { name: item.name.to_owned(), kind, cost: item.cost }
    }
}

impl Pair {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>, pair: usize) -> Self {
        let both = view.both(difference);
        let traces = both.map(|seen| &seen.trace.pairs[pair]);
        let rows = difference.rows_of(view, pair);
        let count = |what: &str| rows.iter().filter(|row| became(row.change()) == what).count();
        let listener =
            |seen: &VariantAtSeat<'_>| view.scene.listeners()[seen.at.listener].name.clone();
        Self {
            speaker: view.scene.speakers()[traces[0].speaker].name.clone(),
            listeners: both.map(listener),
            direct: DirectBoth::new(traces.map(|trace| &trace.direct)),
            vanished: count("vanished"),
            new: count("new"),
            changed: count("changed"),
            equal: count("equal"),
            arrivals: rows.iter().map(|row| Arrival::new(view.scene, row)).collect(),
        }
    }
}

impl DirectBoth {
    fn new(both: Both<&Direct>) -> Self {
        Self {
            distance_m: both.map(|direct| round::metres(direct.distance_m)),
            time_ms: both.map(|direct| round::milliseconds(direct.time_s)),
            shadowed: both.map(|direct| direct.shadowed),
            band_level_db: both.map(|direct| direct.band_level_db.map(round::decibels)),
        }
    }
}

impl Arrival {
    fn new(scene: &Scene, row: &Row<'_>) -> Self {
        let both = [row.first, row.second];
        let band_level_db = both.map(|r| r.map(|r| r.band_level_db.map(round::decibels)));
        let silent = |levels: &Option<PerBand<Option<f64>>>| {
            levels.is_some_and(|levels| levels.contains(&None))
        };
        Self {
            number: row.number,
            became: became(row.change()),
            order: row.order(),
            surfaces: both.map(|r| r.map(|r| surfaces(scene, r))),
            after_direct_ms: both.map(|r| r.map(|r| round::milliseconds(r.after_direct_s))),
            later_ms: row.matched.map(|m| round::milliseconds(m.later_s)),
            level_db: both.map(|r| r.and_then(|r| round::decibels(r.level_db))),
            change_db: row.matched.and_then(|m| round::decibels(m.change_db)),
            band_change_db: row.matched.map(|m| m.band_change_db.map(round::decibels)),
            level_reason: band_level_db.iter().any(silent).then_some(SILENT),
            band_level_db,
        }
    }
}

fn surfaces(scene: &Scene, reflection: &Reflection) -> Vec<String> {
    reflection.arrival.bounces.iter().map(|bounce| labels::wire(scene, bounce)).collect()
}
