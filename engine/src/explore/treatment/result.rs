//! Result of a treatment search: a scene of its own, with every step traced in it.

use super::limits::is_by_cost;
use super::{MostReduced, Outcome, PlacedAbsorber, Products, TreatmentError, TreatmentSearch};
use crate::scene::{Scene, SceneEdit, Variant, VariantDefinition};
use crate::simulate::{Simulation, simulate};
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Variant before the treatment.
pub const BEFORE: &str = "before";
/// Variant with the whole treatment.
pub const AFTER: &str = "after";

/// Returns have diminished once a step gains less for its price than this share of the best step
/// before it: our choice.
pub const DIMINISHED_SHARE: f64 = 0.2;

/// Result of a treatment search.
#[derive(Debug, Clone, PartialEq)]
pub struct Treatment {
    /// The treated room: the variants [`BEFORE`] and [`AFTER`], and one after each step.
    pub scene: Scene,
    /// The available products.
    pub products: Products,
    /// Before the first step.
    pub before: Outcome,
    /// The steps, in the order to take them.
    pub steps: Vec<Step>,
    /// Whether gains are related to cost; otherwise to area.
    pub by_cost: bool,
    /// Number of worthwhile steps: after them the returns have diminished
    /// ([`DIMINISHED_SHARE`]).
    pub worthwhile_steps: usize,
    /// Whether what goes up at the left goes up at the right as well.
    pub mirrored: bool,
    /// Number of candidates tried.
    pub tried: usize,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The pieces with their names in the scene: one, or one and its mirror image.
    pub pieces: Vec<(String, PlacedAbsorber)>,
    /// The variant after it.
    pub variant: String,
    /// Its cost in the scene's currency, where that is known.
    pub cost: Option<f64>,
    /// Gain of the score over the step before, decibels.
    pub gain_db: f64,
    /// The early reflection that it does most to, where it does anything.
    pub most_reduced: Option<MostReduced>,
    /// After it.
    pub outcome: Outcome,
}

impl Step {
    /// Gain for each piece, decibels.
    pub fn per_piece_db(&self) -> f64 {
        self.gain_db / self.pieces.len().max(1) as f64
    }

    /// Gain for each unit of currency, decibels, where there is a cost.
    pub fn per_cost_db(&self) -> Option<f64> {
        self.cost.filter(|&cost| cost > 0.0).map(|cost| self.gain_db / cost)
    }

    /// Gain for each square metre, decibels.
    pub fn per_m2_db(&self) -> f64 {
        let area = |piece: &PlacedAbsorber| piece.size_m[0] * piece.size_m[1];
        self.gain_db / self.pieces.iter().map(|(_, piece)| area(piece)).sum::<f64>()
    }

    /// Gain for its price: for money where every absorber has a cost, or else for area.
    pub fn rate(&self, by_cost: bool) -> f64 {
        self.per_cost_db().filter(|_| by_cost).unwrap_or_else(|| self.per_m2_db())
    }
}

impl Treatment {
    /// Outcome of the whole treatment.
    pub fn after(&self) -> &Outcome {
        self.steps.last().map_or(&self.before, |step| &step.outcome)
    }

    /// Total cost, where every piece has a cost.
    pub fn cost(&self) -> Option<f64> {
        self.steps.iter().map(|step| step.cost).sum()
    }
}

/// A room in one of its variants and nothing else, with that as its only variant.
pub(super) fn base_scene(scene: &Scene, variant: &Variant<'_>) -> SceneEdit {
    let mut edit = scene.edit();
    let panels = kept(scene.panels(), &variant.panels);
    let screens = kept(scene.screens(), &variant.screens);
    let furniture = kept(scene.furniture(), &variant.furniture);
    keep(edit.panels_mut(), &panels);
    keep(edit.screens_mut(), &screens);
    keep(edit.furniture_mut(), &furniture);
    let sets = variant
        .panels
        .iter()
        .map(|item| item.set.as_ref())
        .chain(variant.screens.iter().map(|item| item.set.as_ref()))
        .chain(variant.furniture.iter().map(|item| item.set.as_ref()));
    let with: BTreeSet<String> = sets.flatten().cloned().collect();
    *edit.variants_mut() = vec![VariantDefinition {
        name: BEFORE.to_owned(),
        with: with.into_iter().collect(),
        now: true,
    }];
    edit
}

fn kept<T>(all: &[T], of_state: &[&T]) -> Vec<bool> {
    all.iter().map(|item| of_state.iter().any(|&other| std::ptr::eq(other, item))).collect()
}

fn keep<T>(items: &mut Vec<T>, kept: &[bool]) {
    let mut kept = kept.iter();
    items.retain(|_| kept.next().is_some_and(|&keep| keep));
}

impl TreatmentSearch<'_> {
    /// The chosen candidates in their order, as a scene, traced.
    pub(super) fn treatment(&self, order: &[usize]) -> Result<Treatment, TreatmentError> {
        let (edit, named) = self.built(order)?;
        let scene = edit.validate(self.attachments).map_err(TreatmentError::Refused)?.scene;
        let states: Vec<&str> = std::iter::once(BEFORE)
            .chain(named.iter().map(|(variant, _)| variant.as_str()))
            .collect();
        let plan = self.plan.request();
        let traces: Vec<Simulation> = states
            .par_iter()
            .map(|&name| {
                let variant = scene.variant(Some(name)).ok_or(TreatmentError::NoSuchVariant)?;
                simulate(&scene, &variant, &plan, &()).map_err(TreatmentError::Trace)
            })
            .collect::<Result<_, TreatmentError>>()?;
        let mut outcomes = traces.iter().map(|found| Outcome::new(found, &self.plan));
        let before = outcomes.next().ok_or(TreatmentError::NoSuchVariant)?;
        let most_reduced = traces.windows(2).map(|both| match both {
            [first, second] => MostReduced::between(first, second, &self.plan),
            _ => None,
        });
        let mut last = before.score;
        let mut steps = Vec::new();
        let outcomes = outcomes.zip(most_reduced);
        for ((variant, pieces), (outcome, most_reduced)) in named.into_iter().zip(outcomes) {
            let cost = |piece: &PlacedAbsorber| self.products.all.get(piece.product)?.cost;
            let gain_db = outcome.score.gain_on(&last);
            last = outcome.score;
            let cost = pieces.iter().map(|(_, piece)| cost(piece)).sum();
            steps.push(Step { pieces, variant, cost, gain_db, most_reduced, outcome });
        }
        let by_cost = is_by_cost(&self.products);
        Ok(Treatment {
            scene,
            products: self.products.clone(),
            before,
            worthwhile_steps: worthwhile_steps(&steps, by_cost),
            steps,
            by_cost,
            mirrored: self.mirrored,
            tried: self.candidates.len(),
        })
    }

    /// The scene as an edit, and for each step its variant and its pieces by name.
    #[expect(clippy::type_complexity, reason = "a pair of what the caller takes apart at once")]
    fn built(
        &self,
        order: &[usize],
    ) -> Result<(SceneEdit, Vec<(String, Vec<(String, PlacedAbsorber)>)>), TreatmentError> {
        let bare =
            self.base_scene.validate(self.attachments).map_err(TreatmentError::Refused)?.scene;
        let mut edit = self.base_scene.clone();
        let materials: Vec<usize> =
            self.products.all.iter().map(|product| edit.material(&product.material)).collect();
        let mut names = TakenNames::new(&bare);
        let mut with = edit.variants_mut().first().map_or(Vec::new(), |v| v.with.clone());
        let (mut named, mut variants) = (Vec::new(), Vec::new());
        for (index, &chosen) in order.iter().enumerate() {
            let set = names.set(index + 1);
            let mut pieces = Vec::new();
            for piece in self.candidates.get(chosen).into_iter().flat_map(|m| &m.pieces) {
                let Some(product) = self.products.all.get(piece.product) else { continue };
                let name = names.piece(&product.name);
                let material = materials.get(piece.product).copied().unwrap_or(0);
                let (set, cost) = (Some(set.clone()), product.cost);
                match piece.screen(bare.room(), name.clone(), set.clone(), material, cost) {
                    Some(screen) => edit.screens_mut().push(screen),
                    None => edit.panels_mut().push(piece.panel(name.clone(), set, material, cost)),
                }
                pieces.push((name, piece.clone()));
            }
            with.push(set);
            let is_last = index + 1 == order.len();
            let name = if is_last { AFTER.to_owned() } else { format!("after step {}", index + 1) };
            variants.push(VariantDefinition { name: name.clone(), with: with.clone(), now: false });
            named.push((name, pieces));
        }
        // What is looked at most comes first: before, after, then the steps on the way.
        let last = variants.pop();
        variants.splice(0..0, last);
        edit.variants_mut().extend(variants);
        Ok((edit, named))
    }
}

/// Number of worthwhile steps.
fn worthwhile_steps(steps: &[Step], by_cost: bool) -> usize {
    let mut best = 0.0;
    for (index, step) in steps.iter().enumerate() {
        let rate = step.rate(by_cost);
        if rate < DIMINISHED_SHARE * best {
            return index;
        }
        best = f64::max(best, rate);
    }
    steps.len()
}

/// Names of the scene that a new piece may not have.
struct TakenNames {
    taken: BTreeSet<String>,
}

impl TakenNames {
    fn new(scene: &Scene) -> Self {
        let panels = scene.panels().iter().map(|item| (&item.name, &item.set));
        let screens = scene.screens().iter().map(|item| (&item.name, &item.set));
        let furniture = scene.furniture().iter().map(|item| (&item.name, &item.set));
        let all = panels.chain(screens).chain(furniture);
        let taken = all.flat_map(|(name, set)| std::iter::once(name).chain(set)).cloned().collect();
        Self { taken }
    }

    /// `wool board 1`, or the next number that is free.
    fn piece(&mut self, product: &str) -> String {
        // A scene's names have up to 200 characters; a number must still fit.
        let short: String = product.chars().take(190).collect();
        self.take(|number| format!("{short} {number}"))
    }

    /// `step 1`, or with words before it where that is taken.
    fn set(&mut self, step: usize) -> String {
        self.take(|number| {
            if number == 1 {
                format!("step {step}")
            } else {
                format!("treatment {number} step {step}")
            }
        })
    }

    fn take(&mut self, name: impl Fn(usize) -> String) -> String {
        let mut number = 1;
        while !self.taken.insert(name(number)) {
            number += 1;
        }
        name(number)
    }
}
