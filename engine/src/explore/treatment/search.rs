//! The greedy search over candidates.

use super::limits::{Limits, check};
use super::objective::{Score, steps};
use super::plan::TreatmentPlan;
use super::result::{BEFORE, base_scene};
use super::{Candidate, Products, Treatment, TreatmentError, is_mirrored, products};
use crate::scene::{Attachments, Panel, Scene, SceneEdit, Screen, Variant};
use crate::simulate::simulate;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// A room with all its candidates, prepared for the search.
pub struct TreatmentSearch<'a> {
    pub(super) attachments: &'a (dyn Attachments + Sync),
    pub(super) plan: TreatmentPlan,
    pub(super) products: Products,
    /// The room in the variant that is treated, and nothing else.
    pub(super) base_scene: SceneEdit,
    /// The base scene with an absorber at every candidate place.
    master_scene: Scene,
    pub(super) candidates: Vec<Candidate>,
    /// For each candidate, its absorbers in the master scene.
    indices: Vec<Vec<MasterIndex>>,
    pub(super) limits: Limits,
    /// For each speaker at each listener, whether the direct path is occluded already.
    shadowed: Vec<bool>,
    pub(super) mirrored: bool,
    progress: &'a (dyn Fn(u64) + Sync),
    /// Scores traced so far.
    score_cache: Mutex<ScoreCache>,
}

/// Scores by order of the trace and candidates in rising order.
type ScoreCache = BTreeMap<(usize, Vec<usize>), Option<Score>>;

/// Index of an absorber among the panels or screens of the master scene.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum MasterIndex {
    Panel(usize),
    Screen(usize),
}

/// Least gain of a candidate that is worth mounting, decibels of the score: our choice.
pub const LEAST_GAIN_DB: f64 = 0.1;

/// Number of candidates up to which all are traced in full.
const EXHAUSTIVE_BELOW: usize = 40;
/// Candidates kept of each product, on each surface and in each orientation.
const BEST_PER_KIND: usize = 6;
/// Candidates kept in all.
const MAX_SHORTLISTED: usize = 80;
/// Candidates traced to the second order after ranking by the first.
const SHORTLIST: usize = 16;
/// Candidates traced in full after ranking by the second order.
pub(super) const FINALISTS: usize = 3;
/// Cost of a trace by its order, in traces of first order.
const TRACE_COST: [u64; 4] = [0, 1, 4, 10];
/// Order of the traces that rank, and of those that decide.
const COARSE_ORDER: usize = 1;
/// As [`TreatmentPlan::request`].
const FULL_ORDER: usize = 3;

impl<'a> TreatmentSearch<'a> {
    /// Generates the candidates in one variant of a scene; `None` is everything. `progress` is called
    /// with the work done since the last call, in the unit of [`TreatmentSearch::work_estimate`].
    ///
    /// # Errors
    /// Reason why there is no treatment within the given means.
    pub fn new(
        scene: &Scene,
        variant: Option<&str>,
        attachments: &'a (dyn Attachments + Sync),
        plan: &TreatmentPlan,
        progress: &'a (dyn Fn(u64) + Sync),
    ) -> Result<Self, TreatmentError> {
        let products = products(scene);
        check(plan, &products)?;
        let variant = scene.variant(variant).ok_or(TreatmentError::NoSuchVariant)?;
        let base_scene = base_scene(scene, &variant);
        let bare = base_scene.validate(attachments).map_err(TreatmentError::Refused)?.scene;
        let candidates = {
            let before = bare.variant(Some(BEFORE)).ok_or(TreatmentError::NoSuchVariant)?;
            super::candidates::candidates(&bare, &before, plan, &products)?
        };
        let limits = Limits::new(bare.room(), &candidates, &products, plan);
        limits.anything(&candidates)?;
        let (edit, indices) = master_scene_edit(&base_scene, &bare, &products, &candidates);
        let master_scene = edit.validate(attachments).map_err(TreatmentError::Refused)?.scene;
        let shadowed = {
            let before = master_scene.variant(Some(BEFORE)).ok_or(TreatmentError::NoSuchVariant)?;
            let lists = simulate(&master_scene, &before, &plan.search_request(0), &())
                .map_err(TreatmentError::Trace)?
                .pairs;
            lists.iter().map(|pair| pair.direct.occluded).collect()
        };
        let mirrored = is_mirrored(&bare, plan) && !plan.allow_asymmetric;
        Ok(Self {
            attachments,
            plan: plan.clone(),
            products,
            base_scene,
            master_scene,
            candidates,
            indices,
            limits,
            shadowed,
            mirrored,
            progress,
            score_cache: Mutex::default(),
        })
    }

    /// The available products.
    pub fn products(&self) -> &Products {
        &self.products
    }

    /// All candidates.
    pub fn candidates(&self) -> &[Candidate] {
        &self.candidates
    }

    /// Whether these candidates can be bought and mounted together.
    pub fn allows(&self, chosen: &[usize]) -> bool {
        self.limits.allow(chosen)
    }

    /// Score of the room with these candidates mounted, traced to the third order; `None` where a piece
    /// would stand before a speaker.
    pub fn score(&self, chosen: &[usize]) -> Option<Score> {
        self.traced(chosen, FULL_ORDER)
    }

    /// Upper estimate of the work, in traces of first order.
    pub fn work_estimate(&self) -> u64 {
        let candidates = self.candidates.len() as u64;
        let each = self.candidates.iter().map(|m| m.pieces.len()).max().unwrap_or(1) as u64;
        let steps = (self.plan.pieces as u64).div_ceil(each).min(candidates);
        if self.candidates.len() <= EXHAUSTIVE_BELOW {
            return steps * steps.max(2) * candidates * TRACE_COST[FULL_ORDER];
        }
        let pool = candidates.min(MAX_SHORTLISTED as u64);
        let each = pool
            + SHORTLIST as u64 * TRACE_COST[COARSE_ORDER + 1]
            + FINALISTS as u64 * TRACE_COST[FULL_ORDER];
        candidates + steps * each * steps.div_ceil(2).max(1)
    }

    /// Searches, and traces the result in a scene of its own.
    ///
    /// # Errors
    /// When the chosen candidates do not make a valid scene.
    pub fn run(&self) -> Result<Treatment, TreatmentError> {
        let pool = self.pool();
        let mut chosen = Vec::new();
        // What an exchange frees may pay for one more addition, seldom for two.
        for _ in 0..3 {
            let before = chosen.clone();
            while let Some(next) = self.best_addition(&chosen, &pool) {
                chosen.push(next);
                self.improve_by_swaps(&mut chosen, &pool, false);
            }
            self.improve_by_swaps(&mut chosen, &pool, true);
            if chosen == before {
                break;
            }
        }
        self.prune(&mut chosen);
        self.treatment(&self.purchase_order(&chosen))
    }

    /// The pool of candidates: the best of each kind at each place by first-order reflections.
    fn pool(&self) -> Vec<usize> {
        let all: Vec<usize> =
            (0..self.candidates.len()).filter(|&m| self.limits.allow(&[m])).collect();
        if all.len() <= EXHAUSTIVE_BELOW {
            return all;
        }
        let ranked = self.ranked(&[], &all, COARSE_ORDER);
        let mut taken: Vec<([usize; 2], [bool; 2], usize)> = Vec::new();
        let mut kept = Vec::new();
        for index in ranked {
            let Some(piece) = self.candidates.get(index).and_then(|m| m.pieces.first()) else {
                continue;
            };
            let place = [piece.product, piece.on as usize];
            let way = [piece.size_m[0] > piece.size_m[1], self.candidates[index].pieces.len() > 1];
            let known = taken.iter_mut().find(|t| t.0 == place && t.1 == way);
            match known {
                Some((_, _, count)) if *count >= BEST_PER_KIND => continue,
                Some((_, _, count)) => *count += 1,
                None => taken.push((place, way, 1)),
            }
            kept.push(index);
        }
        kept.truncate(MAX_SHORTLISTED);
        kept
    }

    /// The candidate that gains most for its price on top of those chosen, if any gains enough.
    fn best_addition(&self, chosen: &[usize], pool: &[usize]) -> Option<usize> {
        let fits = |m: &usize| !chosen.contains(m) && self.limits.allow(&with(chosen, *m));
        let open: Vec<usize> = pool.iter().copied().filter(fits).collect();
        let open = if pool.len() <= EXHAUSTIVE_BELOW {
            open
        } else {
            Self::shortlisted(&open, |of, order| self.ranked(chosen, of, order))
        };
        let now = self.traced(chosen, FULL_ORDER)?;
        let gains = self.gains(now, chosen, &open, FULL_ORDER);
        let worth = gains.into_iter().filter(|gain| gain.decibels >= LEAST_GAIN_DB);
        worth.min_by_key(CandidateGain::key).map(|gain| gain.index)
    }

    /// The best few candidates by a ranking, by the first order, then by the second.
    pub(super) fn shortlisted(
        open: &[usize],
        ranking: impl Fn(&[usize], usize) -> Vec<usize>,
    ) -> Vec<usize> {
        let mut best = ranking(open, COARSE_ORDER);
        best.truncate(SHORTLIST);
        best = ranking(&best, COARSE_ORDER + 1);
        best.truncate(FINALISTS);
        best
    }

    /// Candidates by their gain for their price on top of those chosen, by reflections up to an order.
    fn ranked(&self, chosen: &[usize], open: &[usize], order: usize) -> Vec<usize> {
        let Some(now) = self.traced(chosen, order) else { return open.to_vec() };
        let mut gains = self.gains(now, chosen, open, order);
        gains.sort_by_key(CandidateGain::key);
        gains.into_iter().map(|gain| gain.index).collect()
    }

    fn gains(
        &self,
        now: Score,
        chosen: &[usize],
        open: &[usize],
        order: usize,
    ) -> Vec<CandidateGain> {
        let gain = |&index: &usize| {
            let after = self.traced(&with(chosen, index), order)?;
            let gain_db = after.gain_on(&now);
            let per_price = gain_db / self.limits.price(index);
            Some(CandidateGain { index, decibels: gain_db, per_price, after })
        };
        open.par_iter().filter_map(gain).collect()
    }

    /// Score of the room with these candidates, by reflections up to an order.
    pub(super) fn traced(&self, chosen: &[usize], order: usize) -> Option<Score> {
        let mut candidates = chosen.to_vec();
        candidates.sort_unstable();
        let key = (order, candidates);
        if let Some(score) =
            self.score_cache.lock().unwrap_or_else(PoisonError::into_inner).get(&key)
        {
            return *score;
        }
        let score = self.traced_anew(&key.1, order);
        self.score_cache.lock().unwrap_or_else(PoisonError::into_inner).insert(key, score);
        score
    }

    fn traced_anew(&self, chosen: &[usize], order: usize) -> Option<Score> {
        let lists = simulate(
            &self.master_scene,
            &self.variant(chosen)?,
            &self.plan.search_request(order),
            &(),
        )
        .ok()?
        .pairs;
        (self.progress)(TRACE_COST[order.min(TRACE_COST.len() - 1)]);
        let steps_in =
            |(pair, &was): (&crate::simulate::PairSimulation, &bool)| pair.direct.occluded && !was;
        if lists.iter().zip(&self.shadowed).any(steps_in) {
            return None;
        }
        Some(Score::of(lists.iter().map(|pair| pair.reflections.as_slice()), self.plan.limit))
    }

    /// The base variant of the master scene with these candidates mounted.
    fn variant(&self, chosen: &[usize]) -> Option<Variant<'_>> {
        let mut variant = self.master_scene.variant(Some(BEFORE))?;
        let mut indices: Vec<MasterIndex> =
            chosen.iter().filter_map(|&index| self.indices.get(index)).flatten().copied().collect();
        indices.sort_unstable();
        for slot in indices {
            match slot {
                MasterIndex::Panel(index) => {
                    variant.panels.extend(self.master_scene.panels().get(index));
                }
                MasterIndex::Screen(index) => {
                    variant.screens.extend(self.master_scene.screens().get(index));
                }
            }
        }
        Some(variant)
    }

    /// Whether there are so few candidates that all are traced in full.
    pub(super) fn is_small(&self) -> bool {
        self.candidates.len() <= EXHAUSTIVE_BELOW
    }
}

/// Gain of a candidate.
struct CandidateGain {
    index: usize,
    decibels: f64,
    per_price: f64,
    after: Score,
}

impl CandidateGain {
    /// Sorts the most gain for its price first; of equals the least early energy, then the first.
    fn key(&self) -> (std::cmp::Reverse<i64>, [i64; 2], usize) {
        // Prices in a currency may be in the hundreds: a finer step.
        (std::cmp::Reverse(steps(1000.0 * self.per_price)), self.after.key(), self.index)
    }
}

pub(super) fn with(chosen: &[usize], index: usize) -> Vec<usize> {
    chosen.iter().copied().chain([index]).collect()
}

/// A room with an absorber at every candidate place, none of them in any variant, and their indices.
fn master_scene_edit(
    base_scene: &SceneEdit,
    bare: &Scene,
    products: &Products,
    candidates: &[Candidate],
) -> (SceneEdit, Vec<Vec<MasterIndex>>) {
    let mut edit = base_scene.clone();
    let materials: Vec<usize> = products.all.iter().map(|o| edit.material(&o.material)).collect();
    let (mut panels, mut screens) = (bare.panels().len(), bare.screens().len());
    let mut indices = Vec::new();
    for (number, piece) in candidates.iter().flat_map(|m| &m.pieces).enumerate() {
        let name = format!("treat: place {number}");
        let material = materials.get(piece.product).copied().unwrap_or(0);
        let set = Some("treat: places".to_owned());
        let screen = piece.screen(bare.room(), name.clone(), set.clone(), material, None);
        if let Some(screen) = screen {
            edit.screens_mut().push(screen);
            indices.push(MasterIndex::Screen(screens));
            screens += 1;
        } else {
            edit.panels_mut().push(piece.panel(name, set, material, None));
            indices.push(MasterIndex::Panel(panels));
            panels += 1;
        }
    }
    let mut indices = indices.into_iter();
    let of_move = |m: &Candidate| indices.by_ref().take(m.pieces.len()).collect();
    (edit, candidates.iter().map(of_move).collect())
}

impl super::PlacedAbsorber {
    /// As a panel of a scene.
    pub(super) fn panel(
        &self,
        name: String,
        set: Option<String>,
        material: usize,
        cost: Option<f64>,
    ) -> Panel {
        let (on, centre_m, size_m) = (self.on, self.centre_m, self.size_m);
        Panel { name, set, on, centre_m, size_m, material, cost }
    }

    /// As a screen of a scene, where it hangs clear.
    pub(super) fn screen(
        &self,
        room: &crate::scene::Room,
        name: String,
        set: Option<String>,
        material: usize,
        cost: Option<f64>,
    ) -> Option<Screen> {
        let [x, y] = self.centre_m;
        let centre = DVec3::new(x, y, room.height_m - self.hang_m?);
        let (facing, along) = (DVec3::NEG_Z, DVec3::X);
        Some(Screen { name, set, centre, facing, along, size_m: self.size_m, material, cost })
    }
}
