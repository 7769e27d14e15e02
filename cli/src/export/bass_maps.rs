//! Maps and decays of the bass in `earline.bass/1`.

use super::round;
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::SeatMaps;
use earline_engine::wave_field::Flattest;
use serde::Serialize;

/// Unevenness over the floor at the ears of one listener.
#[derive(Debug, Serialize)]
pub(super) struct SeatMapRow {
    listener: String,
    height_m: f64,
    unevenness_here_db: Option<f64>,
    flattest: Option<SpotRow>,
    flattest_between: Option<SpotRow>,
    x_m: Vec<f64>,
    y_m: Vec<f64>,
    unevenness_db: Vec<Vec<Option<f64>>>,
    is_seat: Vec<Vec<bool>>,
}

#[derive(Debug, Serialize)]
struct SpotRow {
    at_m: [f64; 3],
    unevenness_db: Option<f64>,
}

/// How the bands die away at one listener.
#[derive(Debug, Serialize)]
pub(super) struct DecayRow {
    listener: String,
    greatest_db: Option<f64>,
    step_ms: f64,
    bands_hz: Vec<f64>,
    level_db: Vec<Vec<Option<f64>>>,
}

pub(super) fn seat_map(sounded: &WaveFieldView<'_>, seat: &SeatMaps) -> Option<SeatMapRow> {
    let map = seat.seats.as_ref()?;
    let metres = |all: &[f64]| all.iter().map(|m| round::metres(*m)).collect();
    let spot = |spot: &Flattest| SpotRow {
        at_m: spot.at.to_array().map(round::metres),
        unevenness_db: round::decibels(spot.unevenness_db),
    };
    Some(SeatMapRow {
        listener: sounded.listener(seat.listener).to_owned(),
        height_m: round::metres(map.height_m),
        unevenness_here_db: seat.unevenness_db.and_then(round::decibels),
        flattest: map.flattest.as_ref().map(spot),
        flattest_between: map.flattest_between.as_ref().map(spot),
        x_m: metres(&map.x_m),
        y_m: metres(&map.y_m),
        unevenness_db: map.unevenness_db.iter().map(|row| figures(row)).collect(),
        is_seat: map.clear_m.iter().map(|row| row.iter().map(|m| 0.0 <= *m).collect()).collect(),
    })
}

pub(super) fn decay(sounded: &WaveFieldView<'_>, seat: &SeatMaps) -> Option<DecayRow> {
    let ringing = seat.ringing.as_ref()?;
    Some(DecayRow {
        listener: sounded.listener(seat.listener).to_owned(),
        greatest_db: round::decibels(ringing.greatest_db),
        step_ms: round::milliseconds(ringing.step_s),
        bands_hz: ringing.band_hz.iter().map(|hz| round::to(*hz, 3)).collect(),
        level_db: ringing.level_db.iter().map(|band| figures(band)).collect(),
    })
}

/// To a hundredth of a decibel; nothing where there is no sound.
fn figures(all: &[f64]) -> Vec<Option<f64>> {
    all.iter().map(|db| db.is_finite().then(|| round::curve_decibels(*db))).collect()
}
