//! Even samples of the whole space, then a simplex from the best of them.

use super::Bounds;
use super::bounds::PlacementError;
use super::evaluate::{EvaluatedLayout, Evaluator, room};
use super::layout::{Layout, Parameter};
use super::plan::PlacementPlan;
use super::sensitivity::{round_to_tape, sensitivity_db};
use crate::scene::{Attachments, Scene};
use argmin::core::{CostFunction, Error, Executor};
use argmin::solver::neldermead::NelderMead;
use rayon::prelude::*;
use std::sync::Mutex;
use std::sync::PoisonError;

/// Result of a placement search.
#[derive(Debug, Clone, PartialEq)]
pub struct SearchResult {
    /// The scene as it stands, with the layout nearest to it; or the reason why it cannot be evaluated.
    pub start: Result<EvaluatedLayout, String>,
    /// The best that differ from each other, best first.
    pub best: Vec<EvaluatedLayout>,
    /// Sensitivity of each of the best: largest increase of its cost, decibels, when one of its lengths is
    /// [`super::PERTURBATION_M`] off.
    pub sensitivities_db: Vec<f64>,
    /// Number of layouts traced.
    pub traced: usize,
    /// Number of layouts rejected as infeasible.
    pub rejected: usize,
    /// Whether the search was interrupted.
    pub interrupted: bool,
}

/// Greatest number of layouts in a result.
pub const MAX_RESULTS: usize = 5;
/// Greatest number of simplexes.
const MAX_SIMPLEXES: usize = 6;
/// Samples per batch; `should_continue` is called between batches.
const BATCH: u32 = 32;
/// Share of the layouts that samples take.
const SAMPLED: f64 = 0.6;
/// Size of the first simplex, as a share of each range.
const INITIAL_STEP: f64 = 0.1;
/// Cost of an infeasible layout for the simplex, decibels: far above any feasible one.
const INFEASIBLE_COST_DB: f64 = 1e6;
/// Layouts that differ by this or more in some length are distinct, metres.
const DISTINCT_M: f64 = 0.25;

/// Searches the layout of least cost. `should_continue` is called between batches; `progress` is called,
/// from any thread, with the number of layouts tried since the last call.
///
/// The same plan gives the same layouts, to the last bit, on any number of threads, unless it is
/// stopped.
///
/// # Errors
/// There is nothing to choose, or nothing that fits.
pub fn optimize_placement(
    scene: &Scene,
    attachments: &(dyn Attachments + Sync),
    plan: &PlacementPlan<'_>,
    should_continue: &(dyn Fn() -> bool + Sync),
    progress: &(dyn Fn(u64) + Sync),
) -> Result<SearchResult, PlacementError> {
    let bounds = &plan.bounds;
    let free = bounds.free(plan.equilateral);
    if free.is_empty() {
        return Err(PlacementError::NothingFree);
    }
    let waves = room(scene, plan)?;
    let room = &waves.factorize().map_err(PlacementError::Bass)?;
    let evaluator = Evaluator { scene, attachments, plan, room };
    let search = LayoutSearch { evaluator, bounds, free, should_continue, progress };
    let mut trials = Trials::default();
    let now = Layout::of(scene, plan.pair, plan.seat());
    let start = now.ok_or_else(|| "the scene has no such pair or seat".to_owned());
    let start = start.and_then(|layout| search.as_it_stands(layout));
    // What the scene has is the first tried, made symmetric.
    let symmetric = now.filter(|now| search.is_within(now)).map(|now| search.evaluated(now));
    trials.good.extend(symmetric.and_then(Result::ok));
    search.sample(&mut trials);
    if trials.good.is_empty() {
        let Some(why) = trials.first_rejection else { return Err(PlacementError::Stopped) };
        return Err(PlacementError::NothingFits { tried: trials.rejected, why });
    }
    search.refine(&mut trials);
    let interrupted = !should_continue();
    let best =
        round_to_tape(&search.evaluator, bounds, &search.free, distinct(&trials.good, MAX_RESULTS));
    let sensitivities_db =
        best.par_iter().map(|one| sensitivity_db(&search.evaluator, one)).collect();
    Ok(SearchResult {
        start,
        best,
        sensitivities_db,
        traced: trials.traced,
        rejected: trials.rejected,
        interrupted,
    })
}

/// All layouts tried so far.
#[derive(Default)]
struct Trials {
    good: Vec<EvaluatedLayout>,
    traced: usize,
    rejected: usize,
    first_rejection: Option<String>,
}

impl Trials {
    fn add(&mut self, tried: Result<EvaluatedLayout, String>) {
        match tried {
            Ok(evaluated) => {
                self.traced += 1;
                self.good.push(evaluated);
            }
            Err(why) => {
                self.rejected += 1;
                self.first_rejection.get_or_insert(why);
            }
        }
    }
}

struct LayoutSearch<'a> {
    evaluator: Evaluator<'a>,
    bounds: &'a Bounds,
    free: Vec<Parameter>,
    should_continue: &'a (dyn Fn() -> bool + Sync),
    progress: &'a (dyn Fn(u64) + Sync),
}

impl LayoutSearch<'_> {
    /// The scene as it stands.
    fn as_it_stands(&self, layout: Layout) -> Result<EvaluatedLayout, String> {
        self.evaluator.as_it_stands(&layout).map(|objective| EvaluatedLayout { layout, objective })
    }

    fn evaluated(&self, layout: Layout) -> Result<EvaluatedLayout, String> {
        self.evaluator.evaluate(&layout).map(|objective| EvaluatedLayout { layout, objective })
    }

    /// Whether the layout of the scene is one of those searched.
    fn is_within(&self, layout: &Layout) -> bool {
        let closes = layout.triangle_error_m().abs() < 0.005;
        let plan = self.evaluator.plan;
        (closes || !plan.equilateral)
            && super::PARAMETERS.into_iter().all(|parameter| {
                let follows = plan.equilateral && parameter == Parameter::Front;
                follows || self.bounds.get(parameter).holds(layout.get(parameter))
            })
    }

    fn tried(&self, shares: &[f64]) -> Result<EvaluatedLayout, String> {
        let layout = self.bounds.layout(&self.free, shares, self.evaluator.plan.equilateral);
        let tried = self.evaluated(layout);
        (self.progress)(1);
        tried
    }

    /// A Sobol sequence with Owen's scrambling (Burley 2020) over all free ranges.
    fn sample(&self, trials: &mut Trials) {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "counts")]
        let count = ((self.evaluator.plan.layouts as f64 * SAMPLED) as u32).max(1);
        let seed = self.evaluator.plan.seed;
        for first in (0..count).step_by(BATCH as usize) {
            if !(self.should_continue)() {
                return;
            }
            let round = first..count.min(first + BATCH);
            let sample = |index: u32| {
                let share = |(_, dimension): (&Parameter, u32)| {
                    f64::from(sobol_burley::sample(index, dimension, seed))
                };
                self.tried(&self.free.iter().zip(0..).map(share).collect::<Vec<f64>>())
            };
            let tried: Vec<_> = round.into_par_iter().map(sample).collect();
            for one in tried {
                trials.add(one);
            }
        }
    }

    /// A simplex (Nelder and Mead 1965) from each of the best that differ.
    fn refine(&self, trials: &mut Trials) {
        let starts = distinct(&trials.good, MAX_SIMPLEXES);
        let left = self.evaluator.plan.layouts.saturating_sub(trials.traced + trials.rejected);
        let each = left / starts.len().max(1);
        let followed: Vec<Vec<Result<EvaluatedLayout, String>>> =
            starts.par_iter().map(|start| self.simplex(start, each)).collect();
        for one in followed.into_iter().flatten() {
            trials.add(one);
        }
    }

    /// All layouts that a simplex tried from a start, in its order.
    fn simplex(
        &self,
        start: &EvaluatedLayout,
        most: usize,
    ) -> Vec<Result<EvaluatedLayout, String>> {
        let corner = self.bounds.shares(&self.free, &start.layout);
        if most <= corner.len() {
            return Vec::new();
        }
        let mut simplex = vec![corner.clone()];
        for axis in 0..corner.len() {
            let mut other = corner.clone();
            let step = if other[axis] < 0.5 { INITIAL_STEP } else { -INITIAL_STEP };
            other[axis] += step;
            simplex.push(other);
        }
        let run = SimplexRun { search: self, tried: Mutex::default(), most };
        // A step of the solver tries one or two layouts, or all corners when it shrinks.
        let steps = u64::try_from(most).unwrap_or(u64::MAX);
        let solver = NelderMead::new(simplex).with_sd_tolerance(1e-3);
        let ended = solver.map(|solver| {
            Executor::new(&run, solver).timer(false).configure(|state| state.max_iters(steps)).run()
        });
        // However it ended, what was tried stands.
        drop(ended);
        run.tried.into_inner().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The layouts of one simplex.
struct SimplexRun<'a> {
    search: &'a LayoutSearch<'a>,
    tried: Mutex<Vec<Result<EvaluatedLayout, String>>>,
    most: usize,
}

impl CostFunction for &SimplexRun<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    fn cost(&self, shares: &Self::Param) -> Result<f64, Error> {
        let mut tried = self.tried.lock().unwrap_or_else(PoisonError::into_inner);
        if self.most <= tried.len() || !(self.search.should_continue)() {
            // The solver takes no error; it comes to its end on what can no longer get better.
            return Ok(INFEASIBLE_COST_DB);
        }
        // Outside the bounds the nearest layout within them, and the farther out the worse.
        let held: Vec<f64> = shares.iter().map(|share| share.clamp(0.0, 1.0)).collect();
        let out: f64 = shares.iter().zip(&held).map(|(share, held)| (share - held).abs()).sum();
        let one = self.search.tried(&held);
        let cost = one.as_ref().map_or(INFEASIBLE_COST_DB, |evaluated| evaluated.objective.cost_db);
        tried.push(one);
        Ok(cost + 10.0 * out)
    }
}

/// The best, best first, each differing from all better ones.
fn distinct(all: &[EvaluatedLayout], most: usize) -> Vec<EvaluatedLayout> {
    let mut sorted: Vec<&EvaluatedLayout> = all.iter().collect();
    sorted.sort_by(|a, b| a.objective.cost_db.total_cmp(&b.objective.cost_db));
    let mut kept: Vec<EvaluatedLayout> = Vec::new();
    for one in sorted {
        if kept.len() == most {
            break;
        }
        if kept.iter().all(|other| differ(&one.layout, &other.layout)) {
            kept.push(one.clone());
        }
    }
    kept
}

fn differ(one: &Layout, other: &Layout) -> bool {
    super::PARAMETERS
        .into_iter()
        .any(|parameter| DISTINCT_M <= (one.get(parameter) - other.get(parameter)).abs())
}
