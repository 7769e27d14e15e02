//! From energy at chosen moments to what the picture shows of it.

use crate::content::trace::TraceReport;
use crate::plot::data::input::Input;
use crate::plot::data::spreading_view::{Moment, Spreading};
use earline_engine::medium::bands::EARLY_BANDS;
use earline_engine::ray_tracing::DensityFrames;

impl Input<'_> {
    /// With the way in which the first speaker's sound spreads.
    pub(crate) fn with_spreading(
        self,
        report: &TraceReport<'_>,
        snapshots: &DensityFrames,
    ) -> Self {
        let plan = &snapshots.plan;
        let speed = report.trace.speed_of_sound_m_s;
        let moment = |(&time_s, density): (&f64, &Vec<[f64; 8]>)| {
            let share: Vec<f64> = density
                .iter()
                .map(|bands| bands[EARLY_BANDS].iter().sum::<f64>() / EARLY_BANDS.len() as f64)
                .collect();
            Moment {
                time_ms: time_s * 1e3,
                reach_m: time_s * speed,
                left: share.iter().sum::<f64>() / share.len() as f64,
                level_db: share.iter().map(|share| 10.0 * share.log10()).collect(),
            }
        };
        let moments_shown = plan.times_s.iter().zip(&snapshots.density).map(moment).collect();
        let spreading = Spreading { speaker: 0, cells: plan.cells, moments: moments_shown };
        Self { spreading: Some(spreading), ..self }
    }
}
