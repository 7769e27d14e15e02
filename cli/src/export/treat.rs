//! The treatment document, `earline.treat/1`: lengths in metres, gains in decibels of the score.

use super::low_end::LowEnd;
use super::parts::{EarlyLimit, Head, LoudReflection, listener_name, speaker_name, surfaces};
use super::round::{
    Decibels, Metres, Milliseconds, Ratio, Rounded, decibels, metres, milliseconds, ratio,
};
use crate::content::safety_notes::cautions;
use crate::content::treatment::TreatmentView;
use earline_engine::explore::treatment::{
    BEFORE, DIMINISHED_SHARE, EffectiveRange, MostReduced, Outcome, PlacedAbsorber, Product,
    SOFTNESS, SeatOutcome, Step, Suggestion, Weight, reach_m,
};
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};
use schemars::JsonSchema;
use serde::Serialize;

const RULE: &str = "softly counted decibels over the limit, 10/p lg(1 + 10^(p x/10)) of an excess of \
                    x dB, summed over the reflections within the limit's time, mean over all \
                    speakers at all listeners; of equals the one with less early energy";
const NOTHING_EARLY: &str = "nothing arrives that early";
const NO_BUILD: &str = "the build says nothing of its mass";

/// Absorbers worth buying, in order, and where each goes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TreatDocument {
    #[serde(flatten)]
    head: Head,
    /// Octave bands of every list of eight.
    bands_hz: PerBand<f64>,
    speakers: Vec<String>,
    listeners: Vec<String>,
    limit: EarlyLimit,
    score: ScoreRule,
    /// Most that may be spent; null without a budget.
    budget: Option<f64>,
    /// Most pieces that may be put up.
    pieces: usize,
    /// Whether the absorbers are generic ones because the scene has none.
    generic_absorbers: bool,
    absorbers: Vec<AbsorberOffer>,
    /// Whether pieces are put up in mirrored pairs.
    mirrored: bool,
    places_tried: usize,
    before: TreatedState,
    steps: Vec<TreatmentStep>,
    #[schemars(extend("enum" = ["cost", "area"]))]
    gain_held_against: &'static str,
    /// Share of the first step's gain below which returns have diminished.
    diminished_below_share: f64,
    /// Steps before returns diminish.
    worth_steps: usize,
    cautions: Vec<String>,
    bass: Vec<BassOfState>,
    /// Text of the treated scene; null where nothing is worth buying.
    treated: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct BassOfState {
    state: &'static str,
    #[serde(flatten)]
    low_end: LowEnd,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ScoreRule {
    /// The p of the rule.
    softness: f64,
    rule: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
struct AbsorberOffer {
    name: String,
    size_m: [Metres; 2],
    depth_m: Metres,
    material: String,
    /// Cost of a piece; null where the scene gives none.
    cost: Option<f64>,
    count: usize,
    /// Weight of a piece; null where it is unknown.
    weight_kg: Option<Rounded<2>>,
    #[schemars(extend("enum" = ["scene", "estimate", "unknown"]))]
    weight_from: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weight_reason: Option<&'static str>,
    /// Surfaces that it may go on.
    on: Vec<&'static str>,
    /// Distance of its middle below the ceiling; null where it does not hang.
    hang_m: Option<Metres>,
    /// Random-incidence absorption coefficient per band.
    absorption: PerBand<Ratio>,
    /// Lowest band in which it acts; null where it acts in none.
    acts_from_hz: Option<f64>,
    /// Highest band in which it barely acts; null where there is none.
    barely_acts_up_to_hz: Option<f64>,
    /// Changes that would make it act lower.
    to_act_lower: Vec<RemedyRow>,
}

/// Thickness or gap of an absorber that acts lower.
#[derive(Debug, Serialize, JsonSchema)]
struct RemedyRow {
    #[serde(skip_serializing_if = "Option::is_none")]
    thickness_m: Option<Metres>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gap_m: Option<Metres>,
    acts_from_hz: Option<f64>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct TreatedState {
    variant: String,
    /// Score: soft sum of the excess over the limit, mean over all speakers at all listeners.
    over_db: Rounded<3>,
    /// Early energy against the direct sound; null where nothing arrives early.
    early_db: Decibels,
    listeners: Vec<TreatedSeat>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct TreatedSeat {
    listener: String,
    /// Reflections over the limit.
    over_limit: usize,
    over_db: Rounded<3>,
    /// Null where nothing arrives early.
    early_db: Decibels,
    /// Strongest reflection within the limit's time; null where none arrives.
    strongest: Option<LoudReflection>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strongest_reason: Option<&'static str>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct TreatmentStep {
    /// Number of the step, from 1.
    step: usize,
    pieces: Vec<HungPiece>,
    /// Null where an absorber has no cost.
    cost: Option<f64>,
    /// Null where an absorber has no cost.
    cost_so_far: Option<f64>,
    gain_db: Rounded<3>,
    gain_per_piece_db: Rounded<3>,
    gain_per_m2_db: Rounded<3>,
    /// Null where an absorber has no cost.
    gain_per_cost_db: Option<Rounded<6>>,
    /// Whether it comes before returns diminish.
    worth: bool,
    /// Reflection that it lowers most; null where it lowers none.
    does_most_to: Option<LoweredReflection>,
    state: TreatedState,
}

#[derive(Debug, Serialize, JsonSchema)]
struct LoweredReflection {
    speaker: String,
    listener: String,
    surfaces: Vec<String>,
    after_direct_ms: Milliseconds,
    before_db: Decibels,
    /// Null where the reflection is gone or silent.
    after_db: Option<Decibels>,
    #[serde(skip_serializing_if = "Option::is_none")]
    after_reason: Option<&'static str>,
}

/// Piece with its place: coordinates on its surface as the tape has them.
#[derive(Debug, Serialize, JsonSchema)]
struct HungPiece {
    name: String,
    absorber: String,
    on: &'static str,
    centre_m: [Metres; 2],
    low_m: [Metres; 2],
    high_m: [Metres; 2],
    size_m: [Metres; 2],
    /// Null where it does not hang.
    below_ceiling_m: Option<Metres>,
    /// Null where it is unknown.
    weight_kg: Option<Rounded<2>>,
}

impl TreatDocument {
    /// The document of a treatment.
    pub(crate) fn new(treated: &TreatmentView<'_>) -> Self {
        let TreatmentView { asked, plan, treatment, .. } = *treated;
        let offers = treatment.products.all.iter().zip(&treated.works);
        let mut spent = Some(0.0);
        let steps = treatment.steps.iter().enumerate().map(|(index, step)| {
            spent = spent.zip(step.cost).map(|(so_far, cost)| so_far + cost);
            TreatmentStep::new(treated, index, step, spent)
        });
        let has_steps = !treatment.steps.is_empty();
        let bass = treated.low_ends.iter().map(|(state, found)| BassOfState {
            state,
            low_end: LowEnd::new(treated.asked, found),
        });
        Self {
            head: Head::new("earline.treat/1", asked, treated.variant),
            bands_hz: NOMINAL_HZ,
            speakers: plan.speakers.iter().map(|&index| speaker_name(asked, index)).collect(),
            listeners: plan.listeners.iter().map(|&index| listener_name(asked, index)).collect(),
            limit: EarlyLimit::new(plan.limit),
            score: ScoreRule { softness: SOFTNESS, rule: RULE },
            budget: plan.budget,
            pieces: plan.pieces,
            generic_absorbers: treatment.products.generic,
            absorbers: offers.map(|(offer, works)| AbsorberOffer::new(offer, works)).collect(),
            mirrored: treatment.mirrored,
            places_tried: treatment.tried,
            before: TreatedState::new(treated, BEFORE, &treatment.before),
            steps: steps.collect(),
            gain_held_against: if treatment.by_cost { "cost" } else { "area" },
            diminished_below_share: DIMINISHED_SHARE,
            worth_steps: treatment.worthwhile_steps,
            cautions: if has_steps { cautions(treated) } else { Vec::new() },
            bass: bass.collect(),
            treated: has_steps.then(|| treatment.scene.to_toml()),
        }
    }
}

impl AbsorberOffer {
    fn new(offer: &Product, works: &EffectiveRange) -> Self {
        let hz = |band: usize| NOMINAL_HZ.get(band).copied();
        let remedy = |remedy: &Suggestion| {
            let (thickness_m, gap_m, acts_from) = match *remedy {
                Suggestion::Thicker { thickness_m, acts_from } => {
                    (Some(thickness_m), None, acts_from)
                }
                Suggestion::Gap { gap_m, acts_from } => (None, Some(gap_m), acts_from),
            };
            RemedyRow {
                thickness_m: thickness_m.map(metres),
                gap_m: gap_m.map(metres),
                acts_from_hz: hz(acts_from),
            }
        };
        Self {
            name: offer.name.clone(),
            size_m: offer.size_m.map(metres),
            depth_m: metres(offer.depth_m),
            material: offer.material.name.clone(),
            cost: offer.cost,
            count: offer.count,
            weight_kg: offer.weight.kg().map(Rounded::from),
            weight_from: match offer.weight {
                Weight::Given(_) => "scene",
                Weight::Estimated(_) => "estimate",
                Weight::Unknown => "unknown",
            },
            weight_reason: (offer.weight == Weight::Unknown).then_some(NO_BUILD),
            on: offer.on.iter().map(|on| on.name()).collect(),
            hang_m: offer.hang_m.map(metres),
            absorption: works.absorption.map(ratio),
            acts_from_hz: works.acts_from.and_then(hz),
            barely_acts_up_to_hz: works.barely_up_to.and_then(hz),
            to_act_lower: works.suggestions.iter().map(remedy).collect(),
        }
    }
}

impl TreatedState {
    fn new(treated: &TreatmentView<'_>, variant: &str, outcome: &Outcome) -> Self {
        Self {
            variant: variant.to_owned(),
            over_db: outcome.score.over_db.into(),
            early_db: decibels(outcome.score.early_db),
            listeners: outcome.seats.iter().map(|seat| TreatedSeat::new(treated, seat)).collect(),
        }
    }
}

impl TreatedSeat {
    fn new(treated: &TreatmentView<'_>, seat: &SeatOutcome) -> Self {
        let scene = &treated.treatment.scene;
        let strongest = seat.strongest.as_ref().map(|(speaker, r)| {
            LoudReflection::new(scene, *speaker, &r.arrival.bounces, r.delay_s, r.level_db)
        });
        Self {
            listener: listener_name(scene, seat.listener),
            over_limit: seat.over,
            over_db: seat.score.over_db.into(),
            early_db: decibels(seat.score.early_db),
            strongest_reason: strongest.is_none().then_some(NOTHING_EARLY),
            strongest,
        }
    }
}

impl TreatmentStep {
    fn new(treated: &TreatmentView<'_>, index: usize, step: &Step, so_far: Option<f64>) -> Self {
        let piece = |(name, piece): &(String, PlacedAbsorber)| HungPiece::new(treated, name, piece);
        let lowered = step.most_reduced.as_ref();
        Self {
            step: index + 1,
            pieces: step.pieces.iter().map(piece).collect(),
            cost: step.cost,
            cost_so_far: so_far,
            gain_db: step.gain_db.into(),
            gain_per_piece_db: step.per_piece_db().into(),
            gain_per_m2_db: step.per_m2_db().into(),
            gain_per_cost_db: step.per_cost_db().map(Rounded::from),
            worth: index < treated.treatment.worthwhile_steps,
            does_most_to: lowered.map(|lowered| LoweredReflection::new(treated, lowered)),
            state: TreatedState::new(treated, &step.variant, &step.outcome),
        }
    }
}

impl LoweredReflection {
    fn new(treated: &TreatmentView<'_>, lowered: &MostReduced) -> Self {
        let scene = &treated.treatment.scene;
        Self {
            speaker: speaker_name(scene, lowered.speaker),
            listener: listener_name(scene, lowered.listener),
            surfaces: surfaces(scene, &lowered.before.arrival.bounces),
            after_direct_ms: milliseconds(lowered.before.delay_s),
            before_db: decibels(lowered.before.level_db),
            after_db: lowered.after_db.map(decibels),
            after_reason: lowered.after_db.is_none().then_some("it is gone"),
        }
    }
}

impl HungPiece {
    fn new(treated: &TreatmentView<'_>, name: &str, piece: &PlacedAbsorber) -> Self {
        let offer = treated.offer(piece);
        let [low, high] = reach_m(piece.centre_m, piece.size_m);
        Self {
            name: name.to_owned(),
            absorber: offer.map_or_else(String::new, |offer| offer.name.clone()),
            on: piece.on.name(),
            centre_m: piece.centre_m.map(metres),
            low_m: low.map(metres),
            high_m: high.map(metres),
            size_m: piece.size_m.map(metres),
            below_ceiling_m: piece.hang_m.map(metres),
            weight_kg: offer.and_then(|offer| offer.weight.kg()).map(Rounded::from),
        }
    }
}
