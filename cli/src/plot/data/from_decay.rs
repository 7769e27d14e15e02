//! From a traced decay to what the pictures show of it.

use crate::content::criterion::{RATED_METRIC, evaluate};
use crate::content::trace::TraceReport;
use crate::plot::data::decay_view::{Criterion, SeatDecay, SpeakerDecay, Time};
use crate::plot::data::input::Input;
use earline_engine::scene::ListenerId;
use earline_engine::simulate::{PairDecay, RoomDecay};

impl<'a> Input<'a> {
    /// With the decay at the same seat; its speakers are those of the picture, in their order.
    pub(crate) fn with_decay(
        self,
        report: &TraceReport<'_>,
        decay: &'a RoomDecay,
        listener: ListenerId,
    ) -> Self {
        let volume_m3 = report.scene.room().volume_m3();
        let criterion = report.criterion;
        let here = decay.pairs.iter().filter(|pair| pair.listener == listener);
        let decay = SeatDecay {
            speakers: here
                .enumerate()
                .map(|(speaker, pair)| speaker_decay(report, speaker, pair))
                .collect(),
            eyring_s: report.formula_comparison.statistics.eyring_s,
            criterion: Criterion {
                document: criterion.document.to_owned(),
                nominal_s: criterion.nominal_s(volume_m3),
                corners: criterion
                    .limits(volume_m3)
                    .iter()
                    .map(|corner| [corner.hz, corner.lower_s, corner.upper_s])
                    .collect(),
                from_memory: criterion.is_from_memory(),
            },
        };
        Self { decay: Some(decay), ..self }
    }
}

fn speaker_decay<'a>(
    report: &TraceReport<'_>,
    speaker: usize,
    pair: &'a PairDecay,
) -> SpeakerDecay<'a> {
    let found = evaluate(report.criterion, report.scene.room().volume_m3(), pair);
    SpeakerDecay {
        speaker,
        step_ms: pair.bin_s * 1000.0,
        curves: pair.curve_db.each_ref().map(Vec::as_slice),
        t20: std::array::from_fn(|band| {
            let time = pair.metrics[band][RATED_METRIC].ok()?;
            Some(Time {
                s: time.value,
                error_s: time.standard_error,
                judgement: found.bands[band].map(|found| found.judgement),
            })
        }),
    }
}
