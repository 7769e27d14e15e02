//! Evaluation of the chosen metrics of one scene.

use super::bass_metric::{BassMetric, SolvedBass};
use super::reflection_metric::{LevelBands, ReflectionContext, ReflectionMetric};
use super::room_metric::{RoomContext, RoomMetric};
use crate::image_source::{Direct, Reflection};
use crate::metrics::criteria::EarlyLimit;
use crate::metrics::decay::{Estimate, Metric};
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use crate::simulate::{
    Curve, PairDecay, PairSimulation, Request, ResponseRequest, Simulation, SimulationError,
    simulate,
};
use crate::wave_field::WaveFieldError;
use thiserror::Error;

/// A metric of every run.
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

/// Metrics of each run, and the extent of their simulation.
#[derive(Debug, Clone)]
pub struct MetricPlan {
    /// The figures, in the order of a row's values.
    pub wanted: Vec<StudyMetric>,
    /// Speakers and listeners, how far reflections are listed, and the rays behind figures of the decay.
    pub request: Request,
    /// The limit that list figures speak of.
    pub limit: &'static EarlyLimit,
}

/// The figures of one speaker at one listener.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricRow {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// A value for each requested metric; `None` where it cannot be determined. Where nothing random goes
    /// into it the standard error is 0.
    pub values: Vec<Option<Estimate>>,
}

/// Reason why a scene has no metrics.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MetricError {
    /// It cannot be traced.
    #[error(transparent)]
    Trace(#[from] SimulationError),
    /// Its bass cannot be solved.
    #[error(transparent)]
    Bass(#[from] WaveFieldError),
}

/// One speaker at one listener, as far as it was followed.
struct Pair {
    speaker: SpeakerId,
    listener: ListenerId,
    direct: Direct,
    reflections: Vec<Reflection>,
    decay: Option<PairDecay>,
}

/// The requested metrics of a variant of a scene: for each listener of the plan, each speaker.
/// Nothing is followed or solved that no figure needs.
///
/// # Errors
/// The plan asks for what the scene has not, or its bass cannot be solved.
pub fn evaluate_metrics(
    scene: &Scene,
    variant: &Variant<'_>,
    measuring: &MetricPlan,
) -> Result<Vec<MetricRow>, MetricError> {
    let MetricPlan { wanted, request, .. } = measuring;
    let of_bass: Vec<BassMetric> = wanted
        .iter()
        .filter_map(|one| if let StudyMetric::Bass(b) = one { Some(*b) } else { None })
        .collect();
    let pairs = pairs(scene, variant, measuring)?;
    let solved = if of_bass.is_empty() {
        None
    } else {
        Some(SolvedBass::new(scene, variant, &of_bass, &request.listeners)?)
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
            let place = request.listeners.iter().position(|&listener| listener == pair.listener)?;
            let solved = solved.as_ref()?;
            solved.value(scene, figure, (pair.speaker, place)).map(Estimate::exact)
        }
    };
    let row = |pair: &Pair| MetricRow {
        speaker: pair.speaker,
        listener: pair.listener,
        values: wanted.iter().map(|one| value(pair, one)).collect(),
    };
    Ok(pairs.iter().map(row).collect())
}

/// Simulates as far as the requested metrics need it.
fn pairs(
    scene: &Scene,
    variant: &Variant<'_>,
    measuring: &MetricPlan,
) -> Result<Vec<Pair>, SimulationError> {
    let Simulation { pairs, decay, .. } = simulate(scene, variant, &measuring.needed(), &())?;
    let mut decays = decay.map_or_else(Vec::new, |decay| decay.pairs).into_iter();
    let pair = |one: PairSimulation| Pair {
        speaker: one.speaker,
        listener: one.listener,
        direct: one.direct,
        reflections: one.reflections,
        decay: decays.next(),
    };
    Ok(pairs.into_iter().map(pair).collect())
}

impl MetricPlan {
    /// The request without what no wanted figure needs.
    fn needed(&self) -> Request {
        let wants = |kind: fn(&StudyMetric) -> bool| self.wanted.iter().any(kind);
        if wants(|one| matches!(one, StudyMetric::Decay(..))) {
            let response = self.request.response;
            let response =
                response.map(|wanted| ResponseRequest { curve: Curve::Omitted, ..wanted });
            return Request { response, ..self.request.clone() };
        }
        let listed = wants(|one| matches!(one, StudyMetric::List(..)));
        let order = if listed { self.request.order } else { 0 };
        Request { order, response: None, ..self.request.clone() }
    }
}
