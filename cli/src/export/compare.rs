//! The comparison document, `earline.compare/1`.

use super::comparison_csv::change_word;
use super::low_end::LowEnd;
use super::parts::{EarlyLimit, listener_name, speaker_name, surfaces};
use super::round::{Decibels, Metres, Milliseconds, Rounded, decibels, metres, milliseconds};
use super::zones::Zones;
use crate::content::comparison::{
    ComparedPath, ComparisonView, Difference, EARLY_S, VariantAtSeat,
};
use earline_engine::analysis::compare::{
    EQUAL_DB, Item, ItemKind, KNOWN_ERRORS, MEASURED_BANDS, PairAsymmetry, is_equal,
};
use earline_engine::image_source::Direct;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use earline_engine::scene::Scene;
use schemars::JsonSchema;
use serde::Serialize;

const RULE: &str = "smaller changes are called equal, over 1-8 kHz and in every band: the largest \
                    mean error of finite panels against wave-exact solutions, rounded up; outside \
                    the measured bands it is an assumption";
const SILENT: &str = "no sound arrives in one of the two";

/// A value in the first state and in the second.
type InBoth<T> = [T; 2];

/// States of a room, or seats, against the first of them.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CompareDocument {
    /// Name and version of the document.
    schema: &'static str,
    /// Title of the scene.
    scene: String,
    /// Octave bands of every list of eight.
    bands_hz: PerBand<f64>,
    uncertainty: ChangeUncertainty,
    limit: EarlyLimit,
    /// Time after the direct sound within which reflections are listed.
    window_ms: Milliseconds,
    states: Vec<ComparedState>,
    comparisons: Vec<StateComparison>,
}

/// Smallest change that means anything.
#[derive(Debug, Serialize, JsonSchema)]
struct ChangeUncertainty {
    equal_below_db: f64,
    band_db: PerBand<f64>,
    rule: &'static str,
    measured_bands_hz: Vec<f64>,
    measured: Vec<MeasuredError>,
}

/// Least and greatest mean error of a finite panel.
#[derive(Debug, Serialize, JsonSchema)]
struct MeasuredError {
    /// Pressure reflection factor of the panel.
    reflection_factor: f64,
    /// At normal incidence.
    normal_db: [f64; 2],
    at_45_deg_db: [f64; 2],
}

/// A variant at a seat.
#[derive(Debug, Serialize, JsonSchema)]
struct ComparedState {
    name: String,
    /// Variant of the scene; null where everything is in the room.
    variant: Option<String>,
    listener: String,
    /// Reflections over the limit.
    over_limit: usize,
    /// Strongest reflection within each of two times.
    strongest: Vec<StrongestWithin>,
    /// Left against right, pair by pair.
    sides: Vec<SideBalance>,
    zones: Zones,
    /// Null in a room too large for the wave field.
    bass: Option<LowEnd>,
}

/// Strongest reflection within a time after the direct sound; all null, with the reason, where none
/// arrives.
#[derive(Debug, Serialize, JsonSchema)]
struct StrongestWithin {
    within_ms: Milliseconds,
    speaker: Option<String>,
    /// Number of the reflection at the seat.
    number: Option<usize>,
    surfaces: Option<Vec<String>>,
    after_direct_ms: Option<Milliseconds>,
    level_db: Option<Decibels>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
}

/// Reflections of a pair's left speaker against their mirror images from the right one.
#[derive(Debug, Serialize, JsonSchema)]
struct SideBalance {
    pair: String,
    /// Reflections with a mirror image.
    partners: usize,
    /// Reflections of the left speaker without one.
    alone_left: usize,
    alone_right: usize,
    /// Largest difference of level; null without partners.
    largest: Option<LargestDifference>,
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_reason: Option<&'static str>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct LargestDifference {
    number_left: usize,
    number_right: usize,
    /// Null where one of the two is silent.
    left_louder_db: Decibels,
    equal: bool,
}

/// A state against the first.
#[derive(Debug, Serialize, JsonSchema)]
struct StateComparison {
    /// Index of the first state.
    first: usize,
    /// Index of the second state.
    second: usize,
    strongest: Vec<StrongestChange>,
    added: Vec<ItemRow>,
    removed: Vec<ItemRow>,
    cost: CostDifference,
    pairs: Vec<PairComparison>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct StrongestChange {
    within_ms: Milliseconds,
    /// Second less first; null where one of the two is silent.
    change_db: Option<Decibels>,
    /// Null where nothing arrives that early in one of the two.
    equal: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'static str>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ItemRow {
    name: String,
    #[schemars(extend("enum" = ["panel", "screen", "furniture"]))]
    kind: &'static str,
    /// Cost in the scene's currency; null where the scene gives none.
    cost: Option<f64>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct CostDifference {
    added: f64,
    removed: f64,
    /// Items without a cost.
    unpriced: usize,
    /// Fall of the strongest reflection per unit of cost; null with the reason.
    db_per_unit: Option<Rounded<6>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

/// A speaker at the seat in both states.
#[derive(Debug, Serialize, JsonSchema)]
struct PairComparison {
    speaker: String,
    listeners: InBoth<String>,
    direct: DirectInBoth,
    arrivals: Vec<PathComparison>,
    vanished: usize,
    new: usize,
    changed: usize,
    equal: usize,
}

#[derive(Debug, Serialize, JsonSchema)]
struct DirectInBoth {
    distance_m: InBoth<Metres>,
    time_ms: InBoth<Milliseconds>,
    shadowed: InBoth<bool>,
    band_level_db: InBoth<PerBand<Decibels>>,
}

/// A reflection in both states; null in the state that has no such path.
#[derive(Debug, Serialize, JsonSchema)]
struct PathComparison {
    number: usize,
    #[schemars(extend("enum" = ["equal", "changed", "vanished", "new"]))]
    became: &'static str,
    order: usize,
    surfaces: InBoth<Option<Vec<String>>>,
    after_direct_ms: InBoth<Option<Milliseconds>>,
    /// Second less first.
    later_ms: Option<Milliseconds>,
    level_db: InBoth<Option<Decibels>>,
    /// Second less first.
    change_db: Option<Decibels>,
    band_level_db: InBoth<Option<PerBand<Decibels>>>,
    /// Second less first.
    band_change_db: Option<PerBand<Decibels>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    level_reason: Option<&'static str>,
}

impl CompareDocument {
    /// The document of a comparison.
    pub(crate) fn new(view: &ComparisonView<'_>) -> Self {
        let comparison = |difference: &Difference<'_>| StateComparison::new(view, difference);
        Self {
            schema: "earline.compare/1",
            scene: view.scene.title().to_owned(),
            bands_hz: NOMINAL_HZ,
            uncertainty: ChangeUncertainty::known(),
            limit: EarlyLimit::new(view.limit),
            window_ms: milliseconds(view.window_s),
            states: view.variants.iter().map(|seen| ComparedState::new(view, seen)).collect(),
            comparisons: view.differences.iter().map(comparison).collect(),
        }
    }
}

impl ChangeUncertainty {
    fn known() -> Self {
        let measured = KNOWN_ERRORS.iter().map(|known| MeasuredError {
            reflection_factor: known.reflection,
            normal_db: known.normal_db,
            at_45_deg_db: known.at_45_deg_db,
        });
        Self {
            equal_below_db: EQUAL_DB,
            band_db: [EQUAL_DB; NOMINAL_HZ.len()],
            rule: RULE,
            measured_bands_hz: NOMINAL_HZ[MEASURED_BANDS].to_vec(),
            measured: measured.collect(),
        }
    }
}

impl ComparedState {
    fn new(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>) -> Self {
        let scene = view.scene;
        let sides = view.sides(seen).into_iter();
        Self {
            name: seen.at.name.clone(),
            variant: seen.at.state.name.map(str::to_owned),
            listener: listener_name(scene, seen.at.listener),
            over_limit: view.over_limit(seen),
            strongest: EARLY_S.map(|within_s| StrongestWithin::new(scene, seen, within_s)).into(),
            sides: sides.map(|found| SideBalance::new(seen, found)).collect(),
            zones: Zones::new(scene, &view.zone_plan, &seen.zones),
            bass: seen.low_end.as_ref().map(|found| LowEnd::new(scene, found)),
        }
    }
}

impl StrongestWithin {
    fn new(scene: &Scene, seen: &VariantAtSeat<'_>, within_s: f64) -> Self {
        let found = seen.strongest(within_s);
        let reflection = found.map(|s| s.reflection);
        Self {
            within_ms: milliseconds(within_s),
            speaker: found.map(|s| speaker_name(scene, s.pair.speaker)),
            number: found.map(|s| seen.number(s.pair.speaker, s.index)),
            surfaces: reflection.map(|r| surfaces(scene, &r.arrival.bounces)),
            after_direct_ms: reflection.map(|r| milliseconds(r.delay_s)),
            level_db: reflection.map(|r| decibels(r.level_db)),
            reason: found.is_none().then_some("nothing arrives that early"),
        }
    }
}

impl SideBalance {
    fn new(seen: &VariantAtSeat<'_>, found: PairAsymmetry) -> Self {
        let largest = found.largest.map(|partners| LargestDifference {
            number_left: seen.number(found.left, partners.left),
            number_right: seen.number(found.right, partners.right),
            left_louder_db: decibels(partners.left_louder_db),
            equal: is_equal(partners.left_louder_db),
        });
        Self {
            pair: found.name,
            partners: found.partners,
            alone_left: found.alone[0],
            alone_right: found.alone[1],
            largest_reason: largest.is_none().then_some("no reflection has a mirrored partner"),
            largest,
        }
    }
}

impl StateComparison {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>) -> Self {
        let exchange = &difference.exchange;
        let ratio = view.db_per_cost(difference);
        let pairs = (0..difference.pairs.len()).map(|p| PairComparison::new(view, difference, p));
        Self {
            first: 0,
            second: difference.second,
            strongest: EARLY_S.map(|s| StrongestChange::new(view, difference, s)).into(),
            added: exchange.added.iter().map(ItemRow::new).collect(),
            removed: exchange.removed.iter().map(ItemRow::new).collect(),
            cost: CostDifference {
                added: exchange.added_cost(),
                removed: exchange.removed_cost(),
                unpriced: exchange.without_cost(),
                db_per_unit: ratio.ok().map(Rounded::from),
                reason: ratio.err().map(|why| why.to_string()),
            },
            pairs: pairs.collect(),
        }
    }
}

impl StrongestChange {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>, within_s: f64) -> Self {
        let change = view.early_change_db(difference, within_s);
        Self {
            within_ms: milliseconds(within_s),
            change_db: change.map(decibels),
            equal: change.map(is_equal),
            reason: change.is_none().then_some("nothing arrives that early in one of the two"),
        }
    }
}

impl ItemRow {
    fn new(item: &Item<'_>) -> Self {
        let kind = match item.kind {
            ItemKind::Panel => "panel",
            ItemKind::Screen => "screen",
            ItemKind::Furniture => "furniture",
        };
        Self { name: item.name.to_owned(), kind, cost: item.cost }
    }
}

impl PairComparison {
    fn new(view: &ComparisonView<'_>, difference: &Difference<'_>, pair: usize) -> Self {
        let scene = view.scene;
        let both = view.both(difference);
        let traces = both.map(|seen| &seen.trace.pairs[pair]);
        let rows = difference.rows_of(view, pair);
        let count = |word| rows.iter().filter(|row| change_word(row.change()) == word).count();
        Self {
            speaker: speaker_name(scene, traces[0].speaker),
            listeners: both.map(|seen| listener_name(scene, seen.at.listener)),
            direct: DirectInBoth::new(traces.map(|trace| &trace.direct)),
            arrivals: rows.iter().map(|row| PathComparison::new(scene, row)).collect(),
            vanished: count("vanished"),
            new: count("new"),
            changed: count("changed"),
            equal: count("equal"),
        }
    }
}

impl DirectInBoth {
    fn new(both: InBoth<&Direct>) -> Self {
        Self {
            distance_m: both.map(|direct| metres(direct.distance_m)),
            time_ms: both.map(|direct| milliseconds(direct.time_s)),
            shadowed: both.map(|direct| direct.occluded),
            band_level_db: both.map(|direct| direct.band_level_db.map(decibels)),
        }
    }
}

impl PathComparison {
    fn new(scene: &Scene, row: &ComparedPath<'_>) -> Self {
        let both = [row.first, row.second];
        let band_level_db = both.map(|r| r.map(|r| r.band_level_db.map(decibels::<3>)));
        let is_silent = band_level_db.iter().flatten().flatten().any(|level| level.is_silent());
        Self {
            number: row.number,
            became: change_word(row.change()),
            order: row.order(),
            surfaces: both.map(|r| r.map(|r| surfaces(scene, &r.arrival.bounces))),
            after_direct_ms: both.map(|r| r.map(|r| milliseconds(r.delay_s))),
            later_ms: row.matched.map(|m| milliseconds(m.later_s)),
            level_db: both.map(|r| r.map(|r| decibels(r.level_db))),
            change_db: row.matched.map(|m| decibels(m.change_db)),
            band_level_db,
            band_change_db: row.matched.map(|m| m.band_change_db.map(decibels)),
            level_reason: is_silent.then_some(SILENT),
        }
    }
}
