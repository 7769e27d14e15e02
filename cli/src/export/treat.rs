//! The treatment document, `earline.treat/1`: lengths in metres, gains in decibels of the score.

use super::low_end::LowEnd;
use super::round;
use crate::content::safety_notes::cautions;
use crate::content::treatment::TreatmentView;
use crate::format::labels;
use earline_engine::explore::treatment::{
    DIMINISHED_SHARE, Offer, Outcome, Piece, Remedy, SOFTNESS, Score, SeatOutcome, Step, TakenDown,
    Weight, Works, reach_m,
};
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use serde::Serialize;

const SCHEMA: &str = "earline.treat/1";
const RULE: &str = "softly counted decibels over the limit, 10/p lg(1 + 10^(p x/10)) of an excess of \
                    x dB, summed over the reflections within the limit's time, mean over all \
                    speakers at all listeners; of equals the one with less early energy";
const NOTHING_EARLY: &str = "nothing arrives that early";
const NO_BUILD: &str = "the build says nothing of its mass";

#[derive(Debug, Serialize)]
pub(crate) struct TreatDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    bands_hz: PerBand<f64>,
    speakers: Vec<String>,
    listeners: Vec<String>,
    limit: Limit,
    score: Rule,
    budget: Option<f64>,
    pieces: usize,
    generic_absorbers: bool,
    absorbers: Vec<Absorber>,
    mirrored: bool,
    places_tried: usize,
    before: State,
    steps: Vec<StepRow>,
    gain_held_against: &'static str,
    diminished_below_share: f64,
    worth_steps: usize,
    cautions: Vec<String>,
    bass: Vec<BassState>,
    treated: Option<String>,
}

/// The bass in a state of the treated scene.
#[derive(Debug, Serialize)]
struct BassState {
    state: &'static str,
    #[serde(flatten)]
    found: LowEnd,
}

#[derive(Debug, Serialize)]
struct Limit {
    key: &'static str,
    document: &'static str,
    level_db: f64,
    window_ms: f64,
}

#[derive(Debug, Serialize)]
struct Rule {
    softness: f64,
    rule: &'static str,
}

#[derive(Debug, Serialize)]
struct Absorber {
    name: String,
    size_m: [f64; 2],
    depth_m: f64,
    material: String,
    cost: Option<f64>,
    count: usize,
    weight_kg: Option<f64>,
    weight_from: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight_reason: Option<&'static str>,
    on: Vec<&'static str>,
    hang_m: Option<f64>,
    absorption: PerBand<f64>,
    acts_from_hz: Option<f64>,
    barely_acts_up_to_hz: Option<f64>,
    to_act_lower: Vec<Lower>,
}

#[derive(Debug, Serialize)]
struct Lower {
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gap_m: Option<f64>,
    acts_from_hz: Option<f64>,
}

#[derive(Debug, Serialize)]
struct State {
    variant: String,
    over_db: f64,
    early_db: Option<f64>,
    listeners: Vec<Seat>,
}

#[derive(Debug, Serialize)]
struct Seat {
    listener: String,
    over_limit: usize,
    over_db: f64,
    early_db: Option<f64>,
    strongest: Option<Strongest>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strongest_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Strongest {
    speaker: String,
    surfaces: Vec<String>,
    after_direct_ms: f64,
    level_db: Option<f64>,
}

#[derive(Debug, Serialize)]
struct StepRow {
    step: usize,
    pieces: Vec<PieceRow>,
    cost: Option<f64>,
    cost_so_far: Option<f64>,
    gain_db: f64,
    gain_per_piece_db: f64,
    gain_per_m2_db: f64,
    gain_per_cost_db: Option<f64>,
    worth: bool,
    does_most_to: Option<TakenRow>,
    state: State,
}

#[derive(Debug, Serialize)]
struct TakenRow {
    speaker: String,
    listener: String,
    surfaces: Vec<String>,
    after_direct_ms: f64,
    before_db: Option<f64>,
    after_db: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    after_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct PieceRow {
    name: String,
    absorber: String,
    on: &'static str,
    centre_m: [f64; 2],
    low_m: [f64; 2],
    high_m: [f64; 2],
    size_m: [f64; 2],
    below_ceiling_m: Option<f64>,
    weight_kg: Option<f64>,
}

impl TreatDocument {
    /// The document of a treatment.
    pub(crate) fn new(treated: &TreatmentView<'_>) -> Self {
        let TreatmentView { asked, plan, treatment, .. } = *treated;
        let speaker = |&index: &usize| asked.speakers()[index].name.clone();
        let listener = |&index: &usize| asked.listeners()[index].name.clone();
        let offers = treatment.offers.all.iter().zip(&treated.works);
        let mut spent = Some(0.0);
        let steps = treatment.steps.iter().enumerate().map(|(index, step)| {
            spent = spent.zip(step.cost).map(|(so_far, cost)| so_far + cost);
            StepRow::new(treated, index, step, spent)
        });
        let has_steps = !treatment.steps.is_empty();
        Self {
            schema: SCHEMA,
            scene: asked.title().to_owned(),
            variant: treated.variant.map(str::to_owned),
            bands_hz: NOMINAL_HZ,
            speakers: plan.speakers.iter().map(speaker).collect(),
            listeners: plan.listeners.iter().map(listener).collect(),
            limit: Limit {
                key: plan.limit.key,
                document: plan.limit.document,
                level_db: plan.limit.level_db(),
                window_ms: round::milliseconds(plan.limit.window_s()),
            },
            score: Rule { softness: SOFTNESS, rule: RULE },
            budget: plan.budget,
            pieces: plan.pieces,
            generic_absorbers: treatment.offers.generic,
            absorbers: offers.map(|(offer, works)| Absorber::new(offer, works)).collect(),
            mirrored: treatment.mirrored,
            places_tried: treatment.tried,
            before: State::new(
                treated,
                earline_engine::explore::treatment::BEFORE,
                &treatment.before,
            ),
            steps: steps.collect(),
            gain_held_against: if treatment.by_cost { "cost" } else { "area" },
            diminished_below_share: DIMINISHED_SHARE,
            worth_steps: treatment.worth,
            cautions: if has_steps { cautions(treated) } else { Vec::new() },
            bass: treated
                .low_ends
                .iter()
                .map(|(state, found)| BassState { state, found: LowEnd::new(treated.asked, found) })
                .collect(),
            treated: has_steps.then(|| treatment.scene.to_toml()),
        }
    }
}

impl Absorber {
    fn new(offer: &Offer, works: &Works) -> Self {
        let hz = |band: usize| NOMINAL_HZ.get(band).copied();
        let lower = |remedy: &Remedy| match *remedy {
            Remedy::Thicker { thickness_m, acts_from } => Lower {
                thickness_m: Some(round::metres(thickness_m)),
                gap_m: None,
                acts_from_hz: hz(acts_from),
            },
            Remedy::Gap { gap_m, acts_from } => Lower {
                thickness_m: None,
                gap_m: Some(round::metres(gap_m)),
                acts_from_hz: hz(acts_from),
            },
        };
        Self {
            name: offer.name.clone(),
            size_m: offer.size_m.map(round::metres),
            depth_m: round::metres(offer.depth_m),
            material: offer.material.name.clone(),
            cost: offer.cost,
            count: offer.count,
            weight_kg: offer.weight.kg().map(|kg| round::to(kg, 2)),
            weight_from: match offer.weight {
                Weight::Given(_) => "scene",
                Weight::Estimated(_) => "estimate",
                Weight::Unknown => "unknown",
            },
            weight_reason: (offer.weight == Weight::Unknown).then_some(NO_BUILD),
            on: offer.on.iter().map(|on| on.name()).collect(),
            hang_m: offer.hang_m.map(round::metres),
            absorption: works.absorption.map(round::ratio),
            acts_from_hz: works.acts_from.and_then(hz),
            barely_acts_up_to_hz: works.barely_up_to.and_then(hz),
            to_act_lower: works.remedies.iter().map(lower).collect(),
        }
    }
}

impl State {
    fn new(treated: &TreatmentView<'_>, variant: &str, outcome: &Outcome) -> Self {
        let Score { over_db, early_db } = outcome.score;
        Self {
            variant: variant.to_owned(),
            over_db: round::to(over_db, 3),
            early_db: round::decibels(early_db),
            listeners: outcome.seats.iter().map(|seat| Seat::new(treated, seat)).collect(),
        }
    }
}

impl Seat {
    fn new(treated: &TreatmentView<'_>, seat: &SeatOutcome) -> Self {
        let scene = &treated.treatment.scene;
        let strongest = seat.strongest.as_ref().map(|(speaker, reflection)| Strongest {
            speaker: scene.speakers()[*speaker].name.clone(),
            surfaces: reflection.arrival.bounces.iter().map(|b| labels::wire(scene, b)).collect(),
            after_direct_ms: round::milliseconds(reflection.after_direct_s),
            level_db: round::decibels(reflection.level_db),
        });
        Self {
            listener: scene.listeners()[seat.listener].name.clone(),
            over_limit: seat.over,
            over_db: round::to(seat.score.over_db, 3),
            early_db: round::decibels(seat.score.early_db),
            strongest_reason: strongest.is_none().then_some(NOTHING_EARLY),
            strongest,
        }
    }
}

impl StepRow {
    fn new(treated: &TreatmentView<'_>, index: usize, step: &Step, so_far: Option<f64>) -> Self {
        let piece = |(name, piece): &(String, Piece)| PieceRow::new(treated, name, piece);
        Self {
            step: index + 1,
            pieces: step.pieces.iter().map(piece).collect(),
            cost: step.cost,
            cost_so_far: so_far,
            gain_db: round::to(step.gain_db, 3),
            gain_per_piece_db: round::to(step.per_piece_db(), 3),
            gain_per_m2_db: round::to(step.per_m2_db(), 3),
            gain_per_cost_db: step.per_cost_db().map(|db| round::to(db, 6)),
            worth: index < treated.treatment.worth,
            does_most_to: step.taken_down.as_ref().map(|taken| TakenRow::new(treated, taken)),
            state: State::new(treated, &step.variant, &step.outcome),
        }
    }
}

impl TakenRow {
    fn new(treated: &TreatmentView<'_>, taken: &TakenDown) -> Self {
        let scene = &treated.treatment.scene;
        let bounces = &taken.before.arrival.bounces;
        Self {
            speaker: scene.speakers()[taken.speaker].name.clone(),
            listener: scene.listeners()[taken.listener].name.clone(),
            surfaces: bounces.iter().map(|bounce| labels::wire(scene, bounce)).collect(),
            after_direct_ms: round::milliseconds(taken.before.after_direct_s),
            before_db: round::decibels(taken.before.level_db),
            after_db: taken.after_db.and_then(round::decibels),
            after_reason: taken.after_db.is_none().then_some("it is gone"),
        }
    }
}

impl PieceRow {
    fn new(treated: &TreatmentView<'_>, name: &str, piece: &Piece) -> Self {
        let offer = treated.offer(piece);
        let [low, high] = reach_m(piece.centre_m, piece.size_m);
        Self {
            name: name.to_owned(),
            absorber: offer.map_or_else(String::new, |offer| offer.name.clone()),
            on: piece.on.name(),
            centre_m: piece.centre_m.map(round::metres),
            low_m: low.map(round::metres),
            high_m: high.map(round::metres),
            size_m: piece.size_m.map(round::metres),
            below_ceiling_m: piece.hang_m.map(round::metres),
            weight_kg: offer.and_then(|offer| offer.weight.kg()).map(|kg| round::to(kg, 2)),
        }
    }
}
