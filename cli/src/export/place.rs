//! What a search found as a document, `earline.place/1`.

use super::loudest::LoudestRow;
use super::round;
use crate::content::placement::{PlacementView, TERMS};
use earline_engine::explore::placement::{Judged, Layout, PARAMETERS, Parameter, SeatTerms};
use serde::Serialize;

const SCHEMA: &str = "earline.place/1";

#[derive(Debug, Serialize)]
pub(crate) struct PlaceDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    pair: String,
    listeners: Vec<String>,
    limit: &'static str,
    equilateral: bool,
    seed: u32,
    ranges: Vec<RangeRow>,
    weights: Vec<WeightRow>,
    traced: usize,
    turned_away: usize,
    stopped_early: bool,
    start: Option<LayoutRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_reason: Option<String>,
    start_off_symmetric_m: Option<f64>,
    best: Vec<LayoutRow>,
    map: MapRows,
}

#[derive(Debug, Serialize)]
struct RangeRow {
    length: &'static str,
    low_m: f64,
    high_m: f64,
}

#[derive(Debug, Serialize)]
struct WeightRow {
    term: &'static str,
    counts: f64,
}

#[derive(Debug, Serialize)]
struct LayoutRow {
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<String>,
    seat_m: f64,
    base_m: f64,
    front_m: f64,
    up_m: f64,
    converge_m: f64,
    middle_m: f64,
    triangle_error_m: f64,
    early_db: f64,
    sides_db: f64,
    bass_db: f64,
    start_db: f64,
    sum_db: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    slip_db: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_ends: Option<Vec<&'static str>>,
    listeners: Vec<SeatRow>,
}

#[derive(Debug, Serialize)]
struct SeatRow {
    listener: String,
    early_db: f64,
    sides_db: f64,
    bass_db: f64,
    dip: Option<DipRow>,
    strongest: Option<LoudestRow>,
}

#[derive(Debug, Serialize)]
struct DipRow {
    speaker: String,
    hz: f64,
    level_db: Option<f64>,
}

#[derive(Debug, Serialize)]
struct MapRows {
    seat_m: Vec<f64>,
    middle_m: Vec<f64>,
    sum_db: Vec<Vec<Option<f64>>>,
}

/// Decibels of a term to a thousandth.
fn term(db: f64) -> f64 {
    round::to(db, 3)
}

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
        let name = |&index: &usize| {
            scene.listeners().get(index).map_or_else(String::new, |listener| listener.name.clone())
        };
        let range = |parameter: Parameter| {
            let range = plan.bounds.get(parameter);
            RangeRow {
                length: key(parameter),
                low_m: round::metres(range.low_m),
                high_m: round::metres(range.high_m),
            }
        };
        let follows = |parameter: &Parameter| plan.equilateral && *parameter == Parameter::Front;
        let best = found.best.iter().enumerate();
        let weights = TERMS.iter().zip(placed.weights());
        let sums = |row: &Vec<Option<earline_engine::explore::placement::Objective>>| {
            row.iter().map(|worth| worth.as_ref().map(|worth| term(worth.sum_db))).collect()
        };
        Self {
            schema: SCHEMA,
            scene: scene.title().to_owned(),
            variant: placed.state.name.map(str::to_owned),
            pair: placed.pair.to_owned(),
            listeners: plan.listeners.iter().map(name).collect(),
            limit: plan.limit.key,
            equilateral: plan.equilateral,
            seed: plan.seed,
            ranges: PARAMETERS.into_iter().filter(|p| !follows(p)).map(range).collect(),
            weights: weights.map(|(term, counts)| WeightRow { term: term.name, counts }).collect(),
            traced: found.traced,
            turned_away: found.turned_away,
            stopped_early: found.is_cut_short,
            start: found.start.as_ref().ok().map(|one| LayoutRow::new(placed, one, None)),
            start_reason: found.start.as_ref().err().cloned(),
            start_off_symmetric_m: placed.start_off_m().map(round::metres),
            best: best.map(|(index, one)| LayoutRow::new(placed, one, Some(index))).collect(),
            map: MapRows {
                seat_m: map.seats_m.iter().copied().map(round::metres).collect(),
                middle_m: map.axes_m.iter().copied().map(round::metres).collect(),
                sum_db: map.worth.iter().map(sums).collect(),
            },
        }
    }
}

impl LayoutRow {
    /// The present layout, or one of the best by its place.
    fn new(placed: &PlacementView<'_>, one: &Judged, index: Option<usize>) -> Self {
        let Layout { seat_m, base_m, front_m, up_m, converge_m, axis_m } = one.layout;
        let objective = &one.objective;
        let PlacementView { plan, found, .. } = placed;
        let ends = plan.bounds.at_ends(&one.layout, plan.equilateral);
        Self {
            file: index.map(PlacementView::file),
            seat_m: round::metres(seat_m),
            base_m: round::metres(base_m),
            front_m: round::metres(front_m),
            up_m: round::metres(up_m),
            converge_m: round::metres(converge_m),
            middle_m: round::metres(axis_m),
            triangle_error_m: round::metres(one.layout.triangle_error_m()),
            early_db: term(objective.early_db()),
            sides_db: term(objective.sides_db()),
            bass_db: term(objective.bass_db()),
            start_db: term(objective.start_db),
            sum_db: term(objective.sum_db),
            slip_db: index.and_then(|index| found.slips_db.get(index)).copied().map(term),
            at_ends: index.map(|_| ends.into_iter().map(key).collect()),
            listeners: objective.seats.iter().map(|seat| SeatRow::new(placed, seat)).collect(),
        }
    }
}

impl SeatRow {
    fn new(placed: &PlacementView<'_>, seat: &SeatTerms) -> Self {
        let scene = placed.scene;
        let listener = scene.listeners().get(seat.listener);
        let speaker = |index: usize| {
            scene.speakers().get(index).map_or_else(String::new, |speaker| speaker.name.clone())
        };
        Self {
            listener: listener.map_or_else(String::new, |listener| listener.name.clone()),
            early_db: term(seat.early_db),
            sides_db: term(seat.sides_db),
            bass_db: term(seat.bass_db),
            dip: seat.dip.map(|dip| DipRow {
                speaker: speaker(dip.speaker),
                hz: round::to(dip.hz, 1),
                level_db: round::decibels(dip.level_db),
            }),
            strongest: seat.strongest.as_ref().map(|found| LoudestRow::new(scene, found)),
        }
    }
}
