//! The chosen figures of one scene.

use super::bass_metric::{BassMetric, SolvedBass};
use super::reflection_metric::{LevelBands, ReflectionContext, ReflectionMetric};
use super::room_metric::{RoomContext, RoomMetric};
use crate::metrics::criteria::EarlyLimit;
use crate::metrics::decay::{Estimate, Metric};
use crate::ray_tracing::RayPlan;
use crate::scene::{Scene, Variant};
use crate::trace::{Direct, Reflection, Request, RequestError, list, trace};
use crate::wave_field::WaveFieldError;
use crate::whole_decay::{PairDecay, whole_decay};
use thiserror::Error;

/// A figure that is wanted of every run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StudyMetric {
    /// Of the direct sound and the list of reflections; what it is taken over counts for levels only.
    List(ReflectionMetric, LevelBands),
    /// Of the decay, in an octave band by its index; in SI units, with its standard error.
    Decay(Metric, usize),
    /// Of the room.
    Room(RoomMetric),
    /// Of the wave field.
    Bass(BassMetric),
}

/// What is measured of each run.
#[derive(Debug, Clone)]
pub struct MetricPlan {
    /// The figures, in the order of a row's values.
    pub wanted: Vec<StudyMetric>,
    /// Which speakers and listeners, and how far reflections are listed.
    pub plan: Request,
    /// The limit that list figures speak of.
    pub limit: &'static EarlyLimit,
    /// How rays are followed, where decay figures are wanted.
    pub rays: RayPlan,
}

/// The figures of one speaker at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricRow {
    /// Index of the speaker in the scene.
    pub speaker: usize,
    /// Index of the listener in the scene.
    pub listener: usize,
    /// A value for each wanted figure; `None` where it cannot be determined. Where nothing random goes
    /// into it the standard error is nought.
    pub values: Vec<Option<Estimate>>,
}

/// Why a scene has no figures.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MetricError {
    /// It cannot be traced.
    #[error(transparent)]
    Trace(#[from] RequestError),
    /// Its bass cannot be solved.
    #[error(transparent)]
    Bass(#[from] WaveFieldError),
}

/// One speaker at one listener, as far as it was followed.
struct Pair {
    speaker: usize,
    listener: usize,
    direct: Direct,
    reflections: Vec<Reflection>,
    decay: Option<PairDecay>,
}

/// The wanted figures of a scene in one of its states: for each listener of the plan, each speaker.
/// Nothing is followed or solved that no figure needs.
///
/// # Errors
/// The plan asks for what the scene has not, or its bass cannot be solved.
pub fn evaluate_metrics(
    scene: &Scene,
    variant: &Variant<'_>,
    measuring: &MetricPlan,
) -> Result<Vec<MetricRow>, MetricError> {
    let MetricPlan { wanted, plan, .. } = measuring;
    let of_bass: Vec<BassMetric> = wanted
        .iter()
        .filter_map(|one| if let StudyMetric::Bass(b) = one { Some(*b) } else { None })
        .collect();
    let pairs = pairs(scene, variant, measuring)?;
    let solved = if of_bass.is_empty() {
        None
    } else {
        Some(SolvedBass::new(scene, variant, &of_bass, &plan.listeners)?)
    };
    let room = RoomContext::new(scene, variant);
    let value = |pair: &Pair, one: &StudyMetric| match *one {
        StudyMetric::List(figure, over) => {
            let context = ReflectionContext {
                direct: &pair.direct,
                reflections: &pair.reflections,
                limit: measuring.limit,
            };
            figure.value(&context, over).map(Estimate::exact)
        }
        StudyMetric::Decay(figure, band) => {
            pair.decay.as_ref().and_then(|decay| decay.metrics[band][figure].as_ref().ok().copied())
        }
        StudyMetric::Room(figure) => room.value(figure).map(Estimate::exact),
        StudyMetric::Bass(figure) => {
            let place = plan.listeners.iter().position(|&listener| listener == pair.listener)?;
            let solved = solved.as_ref()?;
            solved.value(scene, figure, [pair.speaker, place]).map(Estimate::exact)
        }
    };
    let row = |pair: &Pair| MetricRow {
        speaker: pair.speaker,
        listener: pair.listener,
        values: wanted.iter().map(|one| value(pair, one)).collect(),
    };
    Ok(pairs.iter().map(row).collect())
}

/// Traces as far as the wanted figures need it.
fn pairs(
    scene: &Scene,
    variant: &Variant<'_>,
    measuring: &MetricPlan,
) -> Result<Vec<Pair>, RequestError> {
    let MetricPlan { wanted, plan, rays, .. } = measuring;
    if !wanted.iter().any(|one| matches!(one, StudyMetric::Decay(..))) {
        let listed = wanted.iter().any(|one| matches!(one, StudyMetric::List(..)));
        let order = if listed { plan.order } else { 0 };
        let lists = list(scene, variant, &Request { order, ..plan.clone() })?;
        let pair = |one: crate::trace::PairList| Pair {
            speaker: one.speaker,
            listener: one.listener,
            direct: one.direct,
            reflections: one.reflections,
            decay: None,
        };
        return Ok(lists.into_iter().map(pair).collect());
    }
    let traced = trace(scene, variant, plan)?;
    let decay = whole_decay(scene, variant, &traced, rays, &|_| {});
    let pair = |(one, decay): (crate::trace::PairSimulation, PairDecay)| Pair {
        speaker: one.speaker,
        listener: one.listener,
        direct: one.direct,
        reflections: one.reflections,
        decay: Some(decay),
    };
    Ok(traced.pairs.into_iter().zip(decay.pairs).map(pair).collect())
}
