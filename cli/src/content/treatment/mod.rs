//! A treatment with the words that terminal, JSON and sheets share.

pub(crate) mod brief;
pub(crate) mod document;
mod places;

use crate::format::foreign;
pub(crate) use crate::format::frequency::band;
use crate::format::labels;
use crate::format::length;
use crate::io::exit::Failure;
use earline_engine::explore::treatment::{
    AFTER, BEFORE, EffectiveRange, PlacedAbsorber, Product, Step, Treatment, TreatmentError,
    TreatmentPlan, Weight, effective_range, reach_m,
};
use earline_engine::progress::Progress;
use earline_engine::scene::{Scene, Surface, Units, Variant};
use earline_engine::wave_field::{LowFrequencySummary, WaveFieldError, solve_wave_field};
use std::path::Path;

/// What was found, and what it was asked for.
#[derive(Debug, Clone)]
pub(crate) struct TreatmentView<'a> {
    /// The scene it was asked for.
    pub(crate) asked: &'a Scene,
    /// The state it was asked for, where that has a name.
    pub(crate) variant: Option<&'a str>,
    /// What was asked.
    pub(crate) plan: &'a TreatmentPlan,
    /// What was found.
    pub(crate) treatment: &'a Treatment,
    /// What each build on offer does.
    pub(crate) works: Vec<EffectiveRange>,
    /// The bass before and after; empty where nothing is bought, or the room is too large for it.
    pub(crate) low_ends: Vec<(&'static str, LowFrequencySummary)>,
}

impl<'a> TreatmentView<'a> {
    pub(crate) fn new(
        asked: &'a Scene,
        variant: Option<&'a str>,
        plan: &'a TreatmentPlan,
        treatment: &'a Treatment,
        low_end_before: Option<LowFrequencySummary>,
    ) -> Self {
        let offers = &treatment.products.all;
        let works = offers.iter().map(|offer| effective_range(offer, asked.air())).collect();
        let low_ends = low_ends(plan, treatment, low_end_before);
        Self { asked, variant, plan, treatment, works, low_ends }
    }

    pub(crate) fn units(&self) -> Units {
        self.asked.units()
    }

    /// What a piece is.
    pub(crate) fn offer(&self, piece: &PlacedAbsorber) -> Option<&'a Product> {
        self.treatment.products.all.get(piece.product)
    }

    /// All pieces with their names, in the order to buy them.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = &'a (String, PlacedAbsorber)> {
        self.treatment.steps.iter().flat_map(|step| &step.pieces)
    }

    /// The builds that are bought, by index, each once.
    pub(crate) fn bought(&self) -> Vec<usize> {
        let mut bought: Vec<usize> = self.pieces().map(|(_, piece)| piece.product).collect();
        bought.sort_unstable();
        bought.dedup();
        bought
    }

    /// Lines of the comment before the resulting scene.
    pub(crate) fn scene_comment(&self, file: &Path) -> [String; 3] {
        [
            format!(
                "\"{}\" with what `earline treat` chose, a starting point to experiment from. Its \
                 states are before, after, and",
                self.asked.title()
            ),
            "one after each step on the way. Compare them with".to_owned(),
            format!("  earline compare \"{}\"", foreign::path(file)),
        ]
    }
}

/// The bass of a state; `None` where the room is too large for it.
///
/// # Errors
/// Its solution takes longer than `progress` accepts.
pub(crate) fn low_end(
    scene: &Scene,
    state: &Variant<'_>,
    plan: &TreatmentPlan,
    progress: &dyn Progress,
) -> Result<Option<LowFrequencySummary>, Failure> {
    let request = LowFrequencySummary::request(scene, &plan.speakers, &plan.listeners);
    match solve_wave_field(scene, state, &request, progress) {
        Ok(field) => Ok(Some(LowFrequencySummary::of(scene, &field, &plan.listeners))),
        Err(WaveFieldError::TooLong { predicted_s }) => Err(Failure::too_long(predicted_s)),
        Err(_) => Ok(None),
    }
}

/// The bass before and, where anything is bought, after: much the same work, and so accepted with the first.
fn low_ends(
    plan: &TreatmentPlan,
    treatment: &Treatment,
    before: Option<LowFrequencySummary>,
) -> Vec<(&'static str, LowFrequencySummary)> {
    let after = || {
        let state = treatment.scene.variant(Some(AFTER))?;
        low_end(&treatment.scene, &state, plan, &()).ok()?
    };
    match (before, treatment.steps.as_slice()) {
        (Some(before), [_, ..]) => {
            let after = after().map(|after| (AFTER, after));
            [Some((BEFORE, before)), after].into_iter().flatten().collect()
        }
        _ => Vec::new(),
    }
}

/// `2 × 100 mm board`.
pub(crate) fn what(view: &TreatmentView<'_>, step: &Step) -> String {
    let name = step.pieces.first().and_then(|(_, piece)| view.offer(piece));
    let name = name.map_or("piece", |offer| offer.name.as_str());
    format!("{} × {name}", step.pieces.len())
}

/// `left and right wall`, `hung below the ceiling`.
pub(crate) fn describe_surfaces(step: &Step) -> String {
    let surfaces: Vec<Surface> = step.pieces.iter().map(|(_, piece)| piece.on).collect();
    match (step.pieces.first(), surfaces.as_slice()) {
        (Some((_, PlacedAbsorber { hang_m: Some(_), .. })), _) => {
            "hung below the ceiling".to_owned()
        }
        (_, [a, b]) if a != b => format!("{} and {} wall", a.name(), b.name()),
        (_, [on, ..]) => labels::surface(*on),
        _ => String::new(),
    }
}

/// Where the middle of a piece goes.
pub(crate) fn middle(piece: &PlacedAbsorber, units: Units) -> String {
    length::on_surface(piece.on, piece.centre_m.map(|metres| length::mark(metres, units)))
}

/// Where its edges come to lie.
pub(crate) fn edges(piece: &PlacedAbsorber, units: Units) -> String {
    let [low, high] = reach_m(piece.centre_m, piece.size_m);
    let span = |axis: usize| {
        let (from, to) = (length::mark(low[axis], units), length::mark(high[axis], units));
        let from = if units == Units::Metric { from.trim_end_matches(" mm") } else { &from };
        format!("{from} to {to}")
    };
    length::on_surface(piece.on, [span(0), span(1)])
}

/// What a piece weighs, and how that is known.
pub(crate) fn weight(weight: Weight, units: Units) -> String {
    let short = weight_in_short(weight, units);
    match weight {
        Weight::Given(_) => format!("{short} (the scene says)"),
        Weight::Estimated(_) => format!("{short} (estimated from size and build)"),
        Weight::Unknown => format!("{short}: weigh it before choosing fixings"),
    }
}

/// What a piece weighs: `9 kg`, `about 9 kg`, `weight unknown`.
fn weight_in_short(weight: Weight, units: Units) -> String {
    let shown = |kg: f64| match units {
        Units::Metric => format!("{kg:.0} kg"),
        Units::Imperial => format!("{:.0} lb", kg / POUND_KG),
    };
    match weight {
        Weight::Given(kg) => shown(kg),
        Weight::Estimated(kg) => format!("about {}", shown(kg)),
        Weight::Unknown => "weight unknown".to_owned(),
    }
}

/// The international pound, kilograms.
const POUND_KG: f64 = 0.453_592_37;

/// A wish that cannot be met, as a message with what could be.
pub(crate) fn refusal(scene: &Scene, plan: &TreatmentPlan, why: TreatmentError) -> Failure {
    let (message, help): (String, String) = match why {
        TreatmentError::NoMoney { budget } => (
            format!("nothing can be bought for {budget}"),
            "give --budget more than 0, or leave it out".into(),
        ),
        TreatmentError::NoPieces => (
            "no pieces, no treatment".into(),
            "give --pieces 1 or more; without it up to 8 are tried".into(),
        ),
        TreatmentError::NoCost { generic: true, .. } => (
            "a budget needs costs, and the scene lists no absorber".into(),
            "add [[absorber]] sections with their cost, or leave --budget out".into(),
        ),
        TreatmentError::NoCost { name, .. } => (
            format!("a budget needs the cost of every absorber; `{name}` has none"),
            "add its cost, or leave --budget out".into(),
        ),
        TreatmentError::TooDear { budget, least, mirror_pair } => (
            format!("the budget of {budget} buys nothing: the least that could go up costs {least}"),
            if mirror_pair {
                "that is a piece and its mirror image; raise --budget, or give --singly".into()
            } else {
                "raise --budget".into()
            },
        ),
        TreatmentError::OnlyMirrorPairs => (
            "nothing that could go up is one piece alone: each needs its mirror image".into(),
            "raise --pieces or the `count` of an absorber, or give --singly".into(),
        ),
        TreatmentError::TooLarge => (
            format!(
                "every absorber is larger than the surfaces it may be put on; the room is {}",
                scene.room().size().to_array().map(|m| length::length(m, scene.units())).join(" × ")
            ),
            "offer smaller ones, or more surfaces in their `on`".into(),
        ),
        TreatmentError::NowhereFree { mirrored } => (
            "there is nowhere to put anything: every place where it would work is taken or must stay \
             clear"
                .into(),
            if mirrored && !plan.allow_asymmetric {
                "pieces go up with their mirror image, and one of the two is always in the way: give \
                 --singly, or offer smaller ones or more surfaces in `on`"
                    .into()
            } else {
                "offer smaller ones, or more surfaces in their `on`, or make less keep clear".into()
            },
        ),
        other => return Failure::Other(anyhow::Error::new(other)),
    };
    Failure::usage(&message, &help)
}
