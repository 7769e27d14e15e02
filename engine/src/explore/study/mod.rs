//! Many scenes from one: numbers of a scene varied by a plan, and any figures of what comes of it.
//!
//! A [`Design`] turns [`SceneParameter`](crate::scene::SceneParameter)s of a scene text by [`Factor`]s: every combination of
//! their levels, or seeded draws. Each run is a scene of its own, read with every rule of scene files, and
//! [`evaluate_metrics()`] gives any [`StudyMetric`] figures of it, one row for each speaker at each listener. A run
//! depends on its number alone, so runs may be done in any order, anywhere, and put together later.

mod bass_metric;
mod design;
mod factor;
mod metrics;
mod reflection_metric;
mod room_metric;

pub use bass_metric::BassMetric;
pub use design::{Design, DesignError, MAX_DRAWS, MAX_FACTORS, MAX_RUNS};
pub use factor::{Factor, FactorParameter, Levels, LevelsError, MAX_LEVELS, Operation};
pub use metrics::{MetricError, MetricPlan, MetricRow, StudyMetric, evaluate_metrics};
pub use reflection_metric::{LevelBands, ReflectionMetric};
pub use room_metric::RoomMetric;
