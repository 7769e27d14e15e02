//! Best layouts of a search as a document, `earline.place/1`.

use super::parts::{Head, LoudReflection, listener_name, loud_reflection, speaker_name};
use super::round::{Decibels, Hertz, Metres, Rounded, decibels, hertz, metres};
use crate::content::placement::{PlacementView, TERMS};
use earline_engine::explore::placement::{
    EvaluatedLayout, Layout, PARAMETERS, Parameter, SeatTerms,
};
use schemars::JsonSchema;
use serde::Serialize;

/// Layouts of a pair and a seat that a search judges best.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PlaceDocument {
    #[serde(flatten)]
    head: Head,
    pair: String,
    listeners: Vec<String>,
    /// Name of the early limit.
    limit: &'static str,
    /// Whether every layout is an equilateral triangle.
    equilateral: bool,
    seed: u32,
    ranges: Vec<LengthRange>,
    weights: Vec<TermWeight>,
    /// Layouts that were traced.
    traced: usize,
    /// Layouts that break a rule.
    turned_away: usize,
    stopped_early: bool,
    /// The present layout; null with the reason where it cannot be judged.
    start: Option<LayoutJudgement>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_reason: Option<String>,
    /// Distance of the present pair and seat from symmetric; null without either.
    start_off_symmetric_m: Option<Metres>,
    /// The best layouts that differ, the best first.
    best: Vec<LayoutJudgement>,
    map: ObjectiveMap,
}

#[derive(Debug, Serialize, JsonSchema)]
struct LengthRange {
    length: &'static str,
    low_m: Metres,
    high_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct TermWeight {
    term: &'static str,
    counts: f64,
}

/// Layout with its terms, of which less is better.
#[derive(Debug, Serialize, JsonSchema)]
struct LayoutJudgement {
    /// Scene file of the layout; absent for the present one.
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<String>,
    /// Seat from the front wall.
    seat_m: Metres,
    base_m: Metres,
    /// Speakers from the front wall.
    front_m: Metres,
    /// Speakers above the floor.
    up_m: Metres,
    /// Crossing of the axes behind the ears.
    converge_m: Metres,
    /// Line of symmetry from the left wall.
    middle_m: Metres,
    triangle_error_m: Metres,
    early_db: TermDecibels,
    sides_db: TermDecibels,
    bass_db: TermDecibels,
    start_db: TermDecibels,
    sum_db: TermDecibels,
    /// Greatest loss with a length 3 cm off; absent for the present one.
    #[serde(skip_serializing_if = "Option::is_none")]
    slip_db: Option<TermDecibels>,
    /// Lengths at an end of their range; absent for the present one.
    #[serde(skip_serializing_if = "Option::is_none")]
    at_ends: Option<Vec<&'static str>>,
    listeners: Vec<SeatJudgement>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SeatJudgement {
    listener: String,
    early_db: TermDecibels,
    sides_db: TermDecibels,
    bass_db: TermDecibels,
    /// Deepest dip between 45 and 300 Hz; null where there is none.
    dip: Option<DeepestDip>,
    /// Strongest early reflection; null where none arrives.
    strongest: Option<LoudReflection>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct DeepestDip {
    speaker: String,
    hz: Hertz,
    level_db: Decibels,
}

/// The best layout moved as a whole over the floor.
#[derive(Debug, Serialize, JsonSchema)]
struct ObjectiveMap {
    seat_m: Vec<Metres>,
    middle_m: Vec<Metres>,
    /// Sum of the terms for each of `seat_m`, for each of `middle_m`; null where the layout does not fit.
    sum_db: Vec<Vec<Option<TermDecibels>>>,
}

/// Decibels of a term to a thousandth.
type TermDecibels = Rounded<3>;

fn key(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::Seat => "seat",
        Parameter::Base => "base",
        Parameter::Front => "front",
        Parameter::Up => "up",
        Parameter::Converge => "converge",
        Parameter::Axis => "middle",
    }
}

impl PlaceDocument {
    /// The document of a search.
    pub(crate) fn new(placed: &PlacementView<'_>) -> Self {
        let PlacementView { scene, plan, found, map, .. } = placed;
        let range = |parameter: Parameter| {
            let range = plan.bounds.get(parameter);
            LengthRange {
                length: key(parameter),
                low_m: metres(range.low_m),
                high_m: metres(range.high_m),
            }
        };
        let follows = |parameter: &Parameter| plan.equilateral && *parameter == Parameter::Front;
        let best = found.best.iter().enumerate();
        let weights = TERMS.iter().zip(placed.weights());
        let sums = |row: &Vec<Option<earline_engine::explore::placement::Objective>>| {
            row.iter().map(|worth| worth.as_ref().map(|worth| worth.cost_db.into())).collect()
        };
        Self {
            head: Head::new("earline.place/1", scene, placed.state.name),
            pair: placed.pair.to_owned(),
            listeners: plan.listeners.iter().map(|&index| listener_name(scene, index)).collect(),
            limit: plan.limit.key,
            equilateral: plan.equilateral,
            seed: plan.seed,
            ranges: PARAMETERS.into_iter().filter(|p| !follows(p)).map(range).collect(),
            weights: weights.map(|(term, counts)| TermWeight { term: term.name, counts }).collect(),
            traced: found.traced,
            turned_away: found.rejected,
            stopped_early: found.interrupted,
            start: found.start.as_ref().ok().map(|one| LayoutJudgement::new(placed, one, None)),
            start_reason: found.start.as_ref().err().cloned(),
            start_off_symmetric_m: placed.start_off_m().map(metres),
            best: best.map(|(index, one)| LayoutJudgement::new(placed, one, Some(index))).collect(),
            map: ObjectiveMap {
                seat_m: map.seats_m.iter().copied().map(metres).collect(),
                middle_m: map.axes_m.iter().copied().map(metres).collect(),
                sum_db: map.cost.iter().map(sums).collect(),
            },
        }
    }
}

impl LayoutJudgement {
    /// The present layout, or one of the best by its place.
    fn new(placed: &PlacementView<'_>, one: &EvaluatedLayout, index: Option<usize>) -> Self {
        let Layout {
            seat_m,
            base_m,
            speaker_distance_m: front_m,
            speaker_height_m: up_m,
            converge_m,
            axis_m,
        } = one.layout;
        let objective = &one.objective;
        let PlacementView { plan, found, .. } = placed;
        let ends = plan.bounds.at_ends(&one.layout, plan.equilateral);
        Self {
            file: index.map(PlacementView::file),
            seat_m: metres(seat_m),
            base_m: metres(base_m),
            front_m: metres(front_m),
            up_m: metres(up_m),
            converge_m: metres(converge_m),
            middle_m: metres(axis_m),
            triangle_error_m: metres(one.layout.triangle_error_m()),
            early_db: objective.early_db().into(),
            sides_db: objective.asymmetry_db().into(),
            bass_db: objective.bass_db().into(),
            start_db: objective.prior_db.into(),
            sum_db: objective.cost_db.into(),
            slip_db: index
                .and_then(|index| found.sensitivities_db.get(index))
                .copied()
                .map(Rounded::from),
            at_ends: index.map(|_| ends.into_iter().map(key).collect()),
            listeners: objective
                .seats
                .iter()
                .map(|seat| SeatJudgement::new(placed, seat))
                .collect(),
        }
    }
}

impl SeatJudgement {
    fn new(placed: &PlacementView<'_>, seat: &SeatTerms) -> Self {
        let scene = placed.scene;
        Self {
            listener: listener_name(scene, seat.listener),
            early_db: seat.early_db.into(),
            sides_db: seat.asymmetry_db.into(),
            bass_db: seat.bass_db.into(),
            dip: seat.dip.map(|dip| DeepestDip {
                speaker: speaker_name(scene, dip.speaker),
                hz: hertz(dip.hz),
                level_db: decibels(dip.level_db),
            }),
            strongest: seat.strongest.as_ref().map(|found| loud_reflection(scene, found)),
        }
    }
}
