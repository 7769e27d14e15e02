//! The search: what is tried, and what is chosen.

use super::limits::{Limits, check};
use super::objective::{Score, steps};
use super::result::{BEFORE, settled};
use super::{Impossible, Move, Offers, TreatPlan, Treatment, is_mirrored, offers};
use crate::scene::{Attachments, Draft, Panel, Scene, Screen, State};
use crate::simulate::simulate;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// A room with every place worth a try, ready to be searched.
pub struct Search<'a> {
    pub(super) attachments: &'a (dyn Attachments + Sync),
    pub(super) plan: TreatPlan,
    pub(super) offers: Offers,
    /// The room in the state that is treated, and nothing else.
    pub(super) settled: Draft,
    /// The same with a piece at every place.
    stage: Scene,
    pub(super) moves: Vec<Move>,
    /// For each move, its pieces in the stage.
    slots: Vec<Vec<Slot>>,
    pub(super) limits: Limits,
    /// For each speaker at each listener, whether something stands before it already.
    shadowed: Vec<bool>,
    pub(super) mirrored: bool,
    told: &'a (dyn Fn(u64) + Sync),
    /// What was traced already.
    known: Mutex<Known>,
}

/// Scores by order of the trace and moves in rising order.
type Known = BTreeMap<(usize, Vec<usize>), Option<Score>>;

/// A piece among the panels or screens of the stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Slot {
    Panel(usize),
    Screen(usize),
}

/// A move that gains less than this is not worth its fixings, decibels of the score: our choice.
pub const LEAST_GAIN_DB: f64 = 0.1;

/// So many moves or fewer are all traced in full.
const FEW: usize = 40;
/// Of each kind, on each surface and each way round, so many of the best go on.
const BEST_OF_EACH: usize = 6;
/// So many go on in all.
const MOST: usize = 80;
/// So many of the best by first bounces are traced to second bounces.
const LOOKED_AT: usize = 16;
/// So many of the best of those are traced in full.
pub(super) const CONFIRMED: usize = 3;
/// What a trace takes by its order, in traces of first bounces.
const TAKES: [u64; 4] = [0, 1, 4, 10];
/// Order of the traces that rank, and of those that decide.
const QUICK: usize = 1;
/// As [`TreatPlan::trace_plan`].
const FULL: usize = 3;

impl<'a> Search<'a> {
    /// Finds the places worth a try in one state of a scene; `None` is everything. While it works it
    /// tells `told` how much is done, in the measure of [`Search::most`].
    ///
    /// # Errors
    /// Why nothing can be bought or put up as asked for.
    pub fn new(
        scene: &Scene,
        variant: Option<&str>,
        attachments: &'a (dyn Attachments + Sync),
        plan: &TreatPlan,
        told: &'a (dyn Fn(u64) + Sync),
    ) -> Result<Self, Impossible> {
        let offers = offers(scene);
        check(plan, &offers)?;
        let state = scene.state(variant).ok_or(Impossible::NoState)?;
        let settled = settled(scene, &state);
        let bare = settled.read(attachments).map_err(Impossible::Refused)?.scene;
        let moves = {
            let before = bare.state(Some(BEFORE)).ok_or(Impossible::NoState)?;
            super::moves::moves(&bare, &before, plan, &offers)?
        };
        let limits = Limits::new(bare.room(), &moves, &offers, plan);
        limits.anything(&moves)?;
        let (draft, slots) = staged(&settled, &bare, &offers, &moves);
        let stage = draft.read(attachments).map_err(Impossible::Refused)?.scene;
        let shadowed = {
            let before = stage.state(Some(BEFORE)).ok_or(Impossible::NoState)?;
            let lists = simulate(&stage, &before, &plan.search_request(0), &())
                .map_err(Impossible::Trace)?
                .pairs;
            lists.iter().map(|pair| pair.direct.occluded).collect()
        };
        let mirrored = is_mirrored(&bare, plan) && !plan.singly;
        Ok(Self {
            attachments,
            plan: plan.clone(),
            offers,
            settled,
            stage,
            moves,
            slots,
            limits,
            shadowed,
            mirrored,
            told,
            known: Mutex::default(),
        })
    }

    /// What is on offer.
    pub fn offers(&self) -> &Offers {
        &self.offers
    }

    /// Every move that is tried.
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// Whether these moves can be bought and put up together.
    pub fn allows(&self, chosen: &[usize]) -> bool {
        self.limits.allow(chosen)
    }

    /// Score of the room with these moves in it, traced to the third order; `None` where a piece
    /// would stand before a speaker.
    pub fn score(&self, chosen: &[usize]) -> Option<Score> {
        self.traced(chosen, FULL)
    }

    /// About how much is to be done, in traces of first bounces. A search may well be done earlier.
    pub fn most(&self) -> u64 {
        let moves = self.moves.len() as u64;
        let each = self.moves.iter().map(|m| m.pieces.len()).max().unwrap_or(1) as u64;
        let steps = (self.plan.pieces as u64).div_ceil(each).min(moves);
        if self.moves.len() <= FEW {
            return steps * steps.max(2) * moves * TAKES[FULL];
        }
        let going_on = moves.min(MOST as u64);
        let each = going_on + LOOKED_AT as u64 * TAKES[QUICK + 1] + CONFIRMED as u64 * TAKES[FULL];
        moves + steps * each * steps.div_ceil(2).max(1)
    }

    /// Searches, and traces what is chosen in a scene of its own.
    ///
    /// # Errors
    /// When what is chosen does not hold together as a scene.
    pub fn run(&self) -> Result<Treatment, Impossible> {
        let going_on = self.going_on();
        let mut chosen = Vec::new();
        // What an exchange frees may pay for one more addition, seldom for two.
        for _ in 0..3 {
            let before = chosen.clone();
            while let Some(next) = self.addition(&chosen, &going_on) {
                chosen.push(next);
                self.exchange(&mut chosen, &going_on, false);
            }
            self.exchange(&mut chosen, &going_on, true);
            if chosen == before {
                break;
            }
        }
        self.drop_idle(&mut chosen);
        self.treatment(&self.ordered(&chosen))
    }

    /// The moves that go on: the best of each kind at each place by first bounces.
    fn going_on(&self) -> Vec<usize> {
        let all: Vec<usize> = (0..self.moves.len()).filter(|&m| self.limits.allow(&[m])).collect();
        if all.len() <= FEW {
            return all;
        }
        let ranked = self.ranked(&[], &all, QUICK);
        let mut taken: Vec<([usize; 2], [bool; 2], usize)> = Vec::new();
        let mut kept = Vec::new();
        for index in ranked {
            let Some(piece) = self.moves.get(index).and_then(|m| m.pieces.first()) else {
                continue;
            };
            let place = [piece.offer, piece.on as usize];
            let way = [piece.size_m[0] > piece.size_m[1], self.moves[index].pieces.len() > 1];
            let known = taken.iter_mut().find(|t| t.0 == place && t.1 == way);
            match known {
                Some((_, _, count)) if *count >= BEST_OF_EACH => continue,
                Some((_, _, count)) => *count += 1,
                None => taken.push((place, way, 1)),
            }
            kept.push(index);
        }
        kept.truncate(MOST);
        kept
    }

    /// The move that gains most for its price on top of those chosen, if any gains enough.
    fn addition(&self, chosen: &[usize], going_on: &[usize]) -> Option<usize> {
        let fits = |m: &usize| !chosen.contains(m) && self.limits.allow(&with(chosen, *m));
        let open: Vec<usize> = going_on.iter().copied().filter(fits).collect();
        let open = if going_on.len() <= FEW {
            open
        } else {
            Self::sifted(&open, |of, order| self.ranked(chosen, of, order))
        };
        let now = self.traced(chosen, FULL)?;
        let gains = self.gains(now, chosen, &open, FULL);
        let worth = gains.into_iter().filter(|gain| gain.decibels >= LEAST_GAIN_DB);
        worth.min_by_key(Gain::key).map(|gain| gain.index)
    }

    /// The best few moves by a ranking, first by first bounces, then by second ones.
    pub(super) fn sifted(
        open: &[usize],
        ranking: impl Fn(&[usize], usize) -> Vec<usize>,
    ) -> Vec<usize> {
        let mut best = ranking(open, QUICK);
        best.truncate(LOOKED_AT);
        best = ranking(&best, QUICK + 1);
        best.truncate(CONFIRMED);
        best
    }

    /// Moves by what they gain for their price on top of those chosen, by bounces up to an order.
    fn ranked(&self, chosen: &[usize], open: &[usize], order: usize) -> Vec<usize> {
        let Some(now) = self.traced(chosen, order) else { return open.to_vec() };
        let mut gains = self.gains(now, chosen, open, order);
        gains.sort_by_key(Gain::key);
        gains.into_iter().map(|gain| gain.index).collect()
    }

    fn gains(&self, now: Score, chosen: &[usize], open: &[usize], order: usize) -> Vec<Gain> {
        let gain = |&index: &usize| {
            let after = self.traced(&with(chosen, index), order)?;
            let gain_db = after.gain_on(&now);
            let per_price = gain_db / self.limits.price(index);
            Some(Gain { index, decibels: gain_db, per_price, after })
        };
        open.par_iter().filter_map(gain).collect()
    }

    /// Score of the room with these moves, by reflections up to an order.
    pub(super) fn traced(&self, chosen: &[usize], order: usize) -> Option<Score> {
        let mut moves = chosen.to_vec();
        moves.sort_unstable();
        let key = (order, moves);
        if let Some(score) = self.known.lock().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return *score;
        }
        let score = self.traced_anew(&key.1, order);
        self.known.lock().unwrap_or_else(PoisonError::into_inner).insert(key, score);
        score
    }

    fn traced_anew(&self, chosen: &[usize], order: usize) -> Option<Score> {
        let lists =
            simulate(&self.stage, &self.state(chosen)?, &self.plan.search_request(order), &())
                .ok()?
                .pairs;
        (self.told)(TAKES[order.min(TAKES.len() - 1)]);
        let steps_in =
            |(pair, &was): (&crate::simulate::PairSimulation, &bool)| pair.direct.occluded && !was;
        if lists.iter().zip(&self.shadowed).any(steps_in) {
            return None;
        }
        Some(Score::of(lists.iter().map(|pair| pair.reflections.as_slice()), self.plan.limit))
    }

    /// The stage with these moves in it.
    fn state(&self, chosen: &[usize]) -> Option<State<'_>> {
        let mut state = self.stage.state(Some(BEFORE))?;
        let mut slots: Vec<Slot> =
            chosen.iter().filter_map(|&index| self.slots.get(index)).flatten().copied().collect();
        slots.sort_unstable();
        for slot in slots {
            match slot {
                Slot::Panel(index) => state.panels.extend(self.stage.panels().get(index)),
                Slot::Screen(index) => state.screens.extend(self.stage.screens().get(index)),
            }
        }
        Some(state)
    }

    /// Whether there are so few moves that all are traced in full.
    pub(super) fn is_small(&self) -> bool {
        self.moves.len() <= FEW
    }
}

/// What a move gains.
struct Gain {
    index: usize,
    decibels: f64,
    per_price: f64,
    after: Score,
}

impl Gain {
    /// Sorts the most gain for its price first; of equals the least early energy, then the first.
    fn key(&self) -> (std::cmp::Reverse<i64>, [i64; 2], usize) {
        // Prices in a currency may be in the hundreds: a finer step.
        (std::cmp::Reverse(steps(1000.0 * self.per_price)), self.after.key(), self.index)
    }
}

pub(super) fn with(chosen: &[usize], index: usize) -> Vec<usize> {
    chosen.iter().copied().chain([index]).collect()
}

/// A room with a piece at every place, none of them in any variant, and where they are.
fn staged(
    settled: &Draft,
    bare: &Scene,
    offers: &Offers,
    moves: &[Move],
) -> (Draft, Vec<Vec<Slot>>) {
    let mut draft = settled.clone();
    let materials: Vec<usize> = offers.all.iter().map(|o| draft.material(&o.material)).collect();
    let (mut panels, mut screens) = (bare.panels().len(), bare.screens().len());
    let mut slots = Vec::new();
    for (number, piece) in moves.iter().flat_map(|m| &m.pieces).enumerate() {
        let name = format!("treat: place {number}");
        let material = materials.get(piece.offer).copied().unwrap_or(0);
        let set = Some("treat: places".to_owned());
        let screen = piece.screen(bare.room(), name.clone(), set.clone(), material, None);
        if let Some(screen) = screen {
            draft.screens_mut().push(screen);
            slots.push(Slot::Screen(screens));
            screens += 1;
        } else {
            draft.panels_mut().push(piece.panel(name, set, material, None));
            slots.push(Slot::Panel(panels));
            panels += 1;
        }
    }
    let mut slots = slots.into_iter();
    let of_move = |m: &Move| slots.by_ref().take(m.pieces.len()).collect();
    (draft, moves.iter().map(of_move).collect())
}

impl super::Piece {
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
