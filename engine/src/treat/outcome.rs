//! How a state of the treated room does, seat by seat.

use super::{Score, TreatPlan};
use crate::compare::strongest_within;
use crate::criteria::Verdict;
use crate::trace::{PairTrace, Reflection, Trace};

/// A state of the room, traced by [`TreatPlan::trace_plan`].
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
    /// Index of the listener in the scene.
    pub listener: usize,
    /// The speaker of the strongest reflection within the limit's time, by index in the scene, and
    /// that reflection; `None` when nothing arrives that early.
    pub strongest: Option<(usize, Reflection)>,
    /// How many reflections are over the limit.
    pub over: usize,
    /// The score of this listener alone.
    pub score: Score,
}

impl Outcome {
    /// What a trace of the plan amounts to.
    pub(super) fn new(trace: &Trace, plan: &TreatPlan) -> Self {
        let seat = |&listener: &usize| {
            let own: Vec<&PairTrace> =
                trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
            let strongest = strongest_within(&own, plan.limit.window_s());
            let is_over =
                |r: &&Reflection| plan.limit.judge(r.after_direct_s, r.level_db) == Verdict::Over;
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

fn score<'a>(pairs: impl IntoIterator<Item = &'a PairTrace>, plan: &TreatPlan) -> Score {
    Score::of(pairs.into_iter().map(|pair| pair.reflections.as_slice()), plan.limit)
}
