//! Invented decays for the invented rooms.

use crate::plot::data::decay_view::{Criterion, SeatDecay, SpeakerDecay, Time};
use crate::plot::data::input::Input;
use crate::plot::data::spreading_view::{Moment, Spreading};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::criteria::Judgement;
use earline_engine::metrics::decay::Estimate;

/// Straight decays that get shorter toward the high bands; the second speaker's lowest band has no
/// T20, and the last speaker's highest no known error.
pub(crate) fn decay(input: &Input<'_>) -> SeatDecay<'static> {
    let nominal_s = 0.25 * (input.room.volume_m3() / 100.0).cbrt();
    let corners =
        [(63.0, 0.05, 0.3), (200.0, 0.05, 0.05), (4000.0, 0.05, 0.05), (8000.0, 0.1, 0.1)];
    let speakers = input.speakers.len();
    let t_s = |speaker: usize, band: usize| 0.8 - 0.07 * band as f64 + 0.02 * speaker as f64;
    let speaker = |speaker: usize| SpeakerDecay {
        speaker,
        step_ms: 1.0,
        curves: std::array::from_fn(|band| curve(t_s(speaker, band))),
        t20: std::array::from_fn(|band| {
            (speaker != 1 || band > 0).then(|| Time {
                s: t_s(speaker, band),
                error_s: (speaker + 1 < speakers || band + 1 < BAND_COUNT).then_some(0.02),
                judgement: [Judgement::Pass, Judgement::Near, Judgement::Miss].get(band).copied(),
            })
        }),
    };
    SeatDecay {
        speakers: (0..speakers).map(speaker).collect(),
        eyring_s: std::array::from_fn(|band| Some(0.7 - 0.06 * band as f64)),
        criterion: Criterion {
            document: "EBU Tech 3276".to_owned(),
            nominal_s,
            corners: corners
                .iter()
                .map(|&(hz, down, up)| [hz, nominal_s - down, nominal_s + up])
                .collect(),
            from_memory: true,
        },
    }
}

/// A straight decay with an error that grows, and nothing left at its end.
fn curve(t_s: f64) -> &'static [Estimate] {
    let level = |ms: u32| {
        let db = -60.0 * f64::from(ms) / 1000.0 / t_s;
        let value = if db < -80.0 { f64::NEG_INFINITY } else { db };
        Estimate { value, standard_error: Some(-db / 40.0) }
    };
    (0..1500).map(level).collect::<Vec<_>>().leak()
}

/// A ring that widens and pales, as thin as a cell.
pub(crate) fn spreading(input: &Input) -> Spreading {
    let cells = [12, 9];
    let moment = |time_ms: f64| Moment {
        time_ms,
        reach_m: time_ms * 0.343,
        left: 1.0 / (1.0 + time_ms / 10.0),
        level_db: (0..cells[0] * cells[1])
            .map(|cell| {
                let away = (cell / cells[1]) as f64 - time_ms / 3.0;
                9.0 - away * away - time_ms / 3.0
            })
            .collect(),
    };
    let moments = [3.0, 6.0, 10.0, 16.0, 25.0, 50.0].map(moment).to_vec();
    Spreading { speaker: input.speakers.len() - 1, cells, moments }
}
