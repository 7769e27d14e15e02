//! Outcome of a variant of the treated room, seat by seat.

use super::Score;
use super::objective::steps;
use super::plan::TreatmentPlan;
use super::soft_excess_db;
use crate::analysis::compare::{compare, strongest_within};
use crate::image_source::Reflection;
use crate::metrics::criteria::{Verdict, is_within};
use crate::scene::{ListenerId, SpeakerId};
use crate::simulate::{PairSimulation, Simulation};

/// A state of the room, traced by [`TreatmentPlan::request`].
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Over all chosen speakers and listeners.
    pub score: Score,
    /// Each listener on their own, in the plan's order.
    pub seats: Vec<SeatOutcome>,
}

/// One listener.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatOutcome {
    /// The listener.
    pub listener: ListenerId,
    /// The speaker of the strongest reflection within the limit's time, and that reflection; `None`
    /// when nothing arrives that early.
    pub strongest: Option<(SpeakerId, Reflection)>,
    /// Number of reflections over the limit.
    pub over: usize,
    /// The score of this listener alone.
    pub score: Score,
}

/// The early reflection that a step does most to.
#[derive(Debug, Clone, PartialEq)]
pub struct MostReduced {
    /// Its speaker.
    pub speaker: SpeakerId,
    /// Its listener.
    pub listener: ListenerId,
    /// The reflection before the step.
    pub before: Reflection,
    /// Its level over 1–8 kHz afterwards, decibels; `None` where it is gone.
    pub after_db: Option<f64>,
}

impl MostReduced {
    /// Among the reflections within the limit's time, the one whose decibels over the limit, softly
    /// counted, fall most between two traces of one plan; of equals the first.
    pub(super) fn between(
        first: &Simulation,
        second: &Simulation,
        plan: &TreatmentPlan,
    ) -> Option<Self> {
        let over = |db: f64| soft_excess_db(db - plan.limit.level_db());
        let mut most: Option<(i64, Self)> = None;
        for (a, b) in first.pairs.iter().zip(&second.pairs) {
            let found = compare(a, b, plan.limit.window_s());
            let changed = found
                .matched
                .iter()
                .map(|m| (m.first, b.reflections.get(m.second).map(|r| r.level_db)))
                .chain(found.vanished.iter().map(|&index| (index, None)));
            for (index, after_db) in changed {
                let Some(before) = a.reflections.get(index) else { continue };
                if !is_within(before.delay_s, plan.limit.window_s()) {
                    continue;
                }
                let fall = steps(over(before.level_db) - after_db.map_or(0.0, over));
                if fall > most.as_ref().map_or(0, |known| known.0) {
                    let (speaker, listener) = (a.speaker, a.listener);
                    let before = before.clone();
                    most = Some((fall, Self { speaker, listener, before, after_db }));
                }
            }
        }
        most.map(|(_, taken)| taken)
    }
}

impl Outcome {
    /// Outcome of a trace of the plan.
    pub(super) fn new(trace: &Simulation, plan: &TreatmentPlan) -> Self {
        let seat = |&listener: &ListenerId| {
            let own: Vec<&PairSimulation> =
                trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
            let strongest = strongest_within(&own, plan.limit.window_s());
            let is_over =
                |r: &&Reflection| plan.limit.judge(r.delay_s, r.level_db) == Verdict::Over;
            SeatOutcome {
                listener,
                strongest: strongest.map(|s| (s.pair.speaker, s.reflection.clone())),
                over: own.iter().flat_map(|pair| &pair.reflections).filter(is_over).count(),
                score: score(own.iter().copied(), plan),
            }
        };
        Self { score: score(&trace.pairs, plan), seats: plan.listeners.iter().map(seat).collect() }
    }
}

fn score<'a>(pairs: impl IntoIterator<Item = &'a PairSimulation>, plan: &TreatmentPlan) -> Score {
    Score::of(pairs.into_iter().map(|pair| pair.reflections.as_slice()), plan.limit)
}
