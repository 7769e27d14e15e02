//! States of a room, or seats, traced and laid side by side: what answer, files and pictures of
//! `earline compare` are made from.

pub(crate) mod brief;
pub(crate) mod changes;
mod choose;
pub(crate) mod costs;
pub(crate) mod document;
mod mirrored;
mod row;
pub(crate) mod sides;
pub(crate) mod summary;
mod zones;

pub(crate) use choose::{VariantSeat, choose};
pub(crate) use row::{ComparedPath, PathChange, with_change};

use crate::content::numbering::{self, Numbered};
use anyhow::{Context, Result};
use earline_engine::analysis::compare::{
    Comparison, CostUnavailable, PairAsymmetry, PathKey, StrongestTraced, TreatmentDiff, change_db,
    compare, db_per_cost, margin_s, pair_asymmetries, path_keys, strongest_within,
};
use earline_engine::analysis::zones::{SeatZones, ZonePlan, zones};
use earline_engine::metrics::criteria::{EarlyLimit, Verdict};
use earline_engine::progress::Progress;
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Variant};
use earline_engine::simulate::defaults::COMPARED_RESPONSE_S;
use earline_engine::simulate::{
    MAX_WINDOW_S, PairSimulation, Request, ResponseRequest, Simulation, simulate,
};
use earline_engine::wave_field::{LowFrequencySummary, UNEVENNESS_BAND_HZ, WaveFieldRequest};
use std::collections::BTreeMap;

/// The strongest reflection is sought within these times after the direct sound, seconds: those
/// the published early-reflection limits speak of.
pub(crate) const EARLY_S: [f64; 2] = [0.015, 0.020];

/// Everything compared.
#[derive(Debug, Clone)]
pub(crate) struct ComparisonView<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// The states; the others are compared with the first.
    pub(crate) variants: Vec<VariantAtSeat<'a>>,
    /// Each state but the first, against the first.
    pub(crate) differences: Vec<Difference<'a>>,
    /// The limit the lists are held against.
    pub(crate) limit: &'static EarlyLimit,
    /// Reflections are listed up to this long after the direct sound, seconds.
    pub(crate) window_s: f64,
    /// Whose zones were asked for, and how; each state's own seat takes the place of its listeners.
    pub(crate) zone_plan: ZonePlan,
}

/// A state of the room at a seat, traced.
#[derive(Debug, Clone)]
pub(crate) struct VariantAtSeat<'a> {
    /// Which it is.
    pub(crate) at: VariantSeat<'a>,
    /// What arrives there.
    pub(crate) trace: Simulation,
    /// For each pair of the trace, the number of each of its reflections. A path has one number in
    /// all states: the one it has in the room as it stands (else in the first state), or, where it is not
    /// there, a number after those.
    pub(crate) numbers: Vec<Vec<usize>>,
    /// The zones of the seat: one, or none where there is no speaker.
    pub(crate) zones: Vec<SeatZones>,
    /// The bass at the seat; `None` in a room too large for it to be solved.
    pub(crate) low_end: Option<LowFrequencySummary>,
}

/// A state against the first.
#[derive(Debug, Clone)]
pub(crate) struct Difference<'a> {
    /// Which state, by index.
    pub(crate) second: usize,
    /// What was put up and taken down.
    pub(crate) exchange: TreatmentDiff<'a>,
    /// For each pair of the traces, what became of its reflections.
    pub(crate) pairs: Vec<Comparison>,
}

/// Traces every state and compares each with the first.
///
/// # Errors
/// When a state cannot be traced, or its zones cannot be found.
pub(crate) fn compare_variants<'a>(
    scene: &'a Scene,
    states: Vec<VariantSeat<'a>>,
    plan: &Request,
    zone_plan: ZonePlan,
    limit: &'static EarlyLimit,
    progress: &dyn Progress,
) -> Result<ComparisonView<'a>> {
    let wider = widened(scene, &states, plan, limit);
    // A state is simulated once for all of its seats.
    let mut alike: Vec<(&Variant<'_>, Vec<ListenerId>)> = Vec::new();
    for at in &states {
        match alike.iter_mut().find(|(state, _)| **state == at.state) {
            Some((_, listeners)) if listeners.contains(&at.listener) => {}
            Some((_, listeners)) => listeners.push(at.listener),
            None => alike.push((&at.state, vec![at.listener])),
        }
    }
    let simulated: Vec<(&Variant<'_>, Simulation)> = alike
        .into_iter()
        .map(|(state, listeners)| {
            let request = Request {
                response: Some(ResponseRequest::early(COMPARED_RESPONSE_S)),
                wave_field: Some(WaveFieldRequest {
                    curves_to_hz: Some(UNEVENNESS_BAND_HZ[1]),
                    ..LowFrequencySummary::request(scene, &plan.speakers, &listeners)
                }),
                listeners,
                ..wider.clone()
            };
            Ok((state, simulate(scene, state, &request, progress)?))
        })
        .collect::<Result<_>>()
        .context("cannot trace this plan")?;
    let of_state = |at: &VariantSeat<'_>| {
        let (_, simulation) = simulated.iter().find(|(state, _)| **state == at.state)?;
        let field = simulation.wave_field.as_ref().and_then(|solved| solved.as_ref().ok());
        let low_end = field.map(|field| LowFrequencySummary::of(scene, field, &[at.listener]));
        Some((simulation.at_listener(at.listener), low_end))
    };
    let found: Vec<Vec<SeatZones>> = states
        .iter()
        .map(|at| {
            let own = ZonePlan { listeners: vec![at.listener], ..zone_plan.clone() };
            zones(scene, &at.state, &own)
        })
        .collect::<Result<_, _>>()
        .context("cannot find these zones")?;
    let traces: Vec<_> = states.iter().filter_map(of_state).collect();
    let traced = states.into_iter().zip(traces.into_iter().zip(found));
    let traced = traced
        .map(|(at, ((trace, low_end), zones))| TracedVariant { at, trace, zones, low_end })
        .collect();
    Ok(side_by_side(scene, traced, plan.window_s, zone_plan, limit))
}

/// A state at a seat with what was found there.
#[derive(Debug)]
pub(crate) struct TracedVariant<'a> {
    /// Which it is.
    pub(crate) at: VariantSeat<'a>,
    /// What arrives there; no other seat is in it.
    pub(crate) trace: Simulation,
    /// The zones of the seat.
    pub(crate) zones: Vec<SeatZones>,
    /// What the room does to the bass there, where it can be said.
    pub(crate) low_end: Option<LowFrequencySummary>,
}

/// Compares every state with the first.
pub(crate) fn side_by_side<'a>(
    scene: &'a Scene,
    traced: Vec<TracedVariant<'a>>,
    window_s: f64,
    zone_plan: ZonePlan,
    limit: &'static EarlyLimit,
) -> ComparisonView<'a> {
    let mut known = BTreeMap::new();
    // The room as it stands first, so that a path of it has the number that a trace gives it.
    if let Some(standing) = traced.iter().find(|one| is_standing(scene, &one.at.state)) {
        numbers(&standing.trace, standing.at.listener, &mut known);
    }
    let mut variants: Vec<VariantAtSeat<'a>> = traced
        .into_iter()
        .map(|TracedVariant { at, trace, zones, low_end }| VariantAtSeat {
            numbers: numbers(&trace, at.listener, &mut known),
            at,
            trace,
            zones,
            low_end,
        })
        .collect();
    let differences = match variants.as_mut_slice() {
        [] => Vec::new(),
        [first, others @ ..] => others
            .iter()
            .enumerate()
            .map(|(index, other)| Difference {
                second: index + 1,
                exchange: TreatmentDiff::between(&first.at.state, &other.at.state),
                pairs: first
                    .trace
                    .pairs
                    .iter()
                    .zip(&other.trace.pairs)
                    .map(|(a, b)| compare(a, b, window_s))
                    .collect(),
            })
            .collect(),
    };
    ComparisonView { scene, variants, differences, limit, window_s, zone_plan }
}

/// Whether a state is the room as it stands.
pub(crate) fn is_standing(scene: &Scene, state: &Variant<'_>) -> bool {
    state.name == scene.standing_variant().map(|variant| variant.name.as_str())
}

/// A plan that looks past the window by as much as the seats lie apart, so that what only crossed
/// its end finds its partner.
///
/// It reaches as far as the early windows at least, however short the list is.
fn widened(
    scene: &Scene,
    states: &[VariantSeat<'_>],
    plan: &Request,
    limit: &EarlyLimit,
) -> Request {
    let seat = |at: &VariantSeat<'_>| scene[at.listener].at;
    let moved_m = states.first().map_or(0.0, |first| {
        states.iter().map(|other| seat(first).distance(seat(other))).fold(0.0, f64::max)
    });
    let margin_s = margin_s(moved_m, scene.air().speed_of_sound_m_s());
    let least_s = EARLY_S.into_iter().chain([limit.window_s()]).fold(plan.window_s, f64::max);
    Request { window_s: (least_s + margin_s).min(MAX_WINDOW_S), ..plan.clone() }
}

/// Number of every path that is known.
type PathNumbers = BTreeMap<(SpeakerId, PathKey), usize>;

/// The numbers of a trace's reflections; paths not known yet get the next ones in their order.
fn numbers(trace: &Simulation, listener: ListenerId, known: &mut PathNumbers) -> Vec<Vec<usize>> {
    let keyed: Vec<Vec<PathKey>> =
        trace.pairs.iter().map(|pair| path_keys(&pair.reflections)).collect();
    for Numbered { pair, reflection, .. } in numbering::at_listener(trace, listener) {
        let place = |(p, all): (&PairSimulation, &Vec<PathKey>)| {
            let index = p.reflections.iter().position(|r| std::ptr::eq(r, reflection))?;
            all.get(index).cloned()
        };
        if let Some(key) = trace.pairs.iter().zip(&keyed).find_map(place) {
            let next = known.len() + 1;
            known.entry((pair.speaker, key)).or_insert(next);
        }
    }
    let number =
        |speaker: SpeakerId, key: PathKey| known.get(&(speaker, key)).copied().unwrap_or(0);
    trace
        .pairs
        .iter()
        .zip(keyed)
        .map(|(pair, all)| all.into_iter().map(|key| number(pair.speaker, key)).collect())
        .collect()
}

impl<'a> ComparisonView<'a> {
    /// The state the others are compared with, and one of the others.
    pub(crate) fn both(&self, difference: &Difference<'a>) -> [&VariantAtSeat<'a>; 2] {
        [&self.variants[0], &self.variants[difference.second]]
    }

    /// How many reflections of a state are over the limit.
    pub(crate) fn over_limit(&self, seen: &VariantAtSeat<'_>) -> usize {
        let is_over = |r: &&earline_engine::image_source::Reflection| {
            self.limit.judge(r.delay_s, r.level_db) == Verdict::Over
        };
        seen.trace.pairs.iter().flat_map(|pair| &pair.reflections).filter(is_over).count()
    }

    /// How much louder the strongest reflection within a time is in the second state, decibels;
    /// `None` where nothing arrives that early in one of them.
    pub(crate) fn early_change_db(
        &self,
        difference: &Difference<'a>,
        window_s: f64,
    ) -> Option<f64> {
        let [first, second] = self.both(difference).map(|seen| seen.strongest(window_s));
        Some(change_db(first?.reflection.level_db, second?.reflection.level_db))
    }

    /// Decibels for each unit of cost, of the strongest reflection in the shorter early window.
    pub(crate) fn db_per_cost(&self, difference: &Difference<'a>) -> Result<f64, CostUnavailable> {
        db_per_cost(self.early_change_db(difference, EARLY_S[0]), &difference.exchange)
    }

    /// How the two speakers of each pair differ in a state.
    pub(crate) fn sides(&self, seen: &VariantAtSeat<'_>) -> Vec<PairAsymmetry> {
        pair_asymmetries(self.scene, &seen.at.state, &seen.pairs())
    }
}

impl VariantAtSeat<'_> {
    /// What each speaker brings to the seat.
    pub(crate) fn pairs(&self) -> Vec<&PairSimulation> {
        self.trace.pairs.iter().collect()
    }

    /// The strongest reflection at the seat within a time after the direct sound.
    pub(crate) fn strongest(&self, window_s: f64) -> Option<StrongestTraced<'_>> {
        strongest_within(&self.pairs(), window_s)
    }

    /// The number of a reflection, by its speaker and its index among that speaker's.
    pub(crate) fn number(&self, speaker: SpeakerId, index: usize) -> usize {
        let place = self.trace.pairs.iter().position(|pair| pair.speaker == speaker);
        place.and_then(|p| self.numbers.get(p)?.get(index).copied()).unwrap_or(0)
    }

    /// Its reflections with the numbers of the comparison, in their order.
    pub(crate) fn numbered(&self) -> Vec<Numbered<'_>> {
        let pairs = self.trace.pairs.iter().zip(&self.numbers);
        let mut all: Vec<Numbered<'_>> = pairs
            .flat_map(|(pair, numbers)| {
                let both = numbers.iter().zip(&pair.reflections);
                both.map(move |(&number, reflection)| Numbered { number, pair, reflection })
            })
            .collect();
        all.sort_by_key(|numbered| numbered.number);
        all
    }
}
