//! Seat maps and decays of the low end in the document of `bass`.

use super::parts::point;
use super::round::{Decibels, Metres, Milliseconds, Rounded, decibels, metres, milliseconds};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::SeatMaps;
use earline_engine::wave_field;
use schemars::JsonSchema;
use serde::Serialize;

/// Unevenness over the floor at the ears of one listener.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct SeatMap {
    listener: String,
    /// Height of the ears.
    height_m: Metres,
    /// Unevenness where the listener is.
    unevenness_here_db: Option<Decibels>,
    /// The place with the smoothest response; null where no place is free.
    flattest: Option<FlattestSeat>,
    /// The same among places as far from one speaker as from the other; null for a single speaker.
    flattest_between: Option<FlattestSeat>,
    /// Distances from the front wall.
    x_m: Vec<Metres>,
    /// Distances from the left wall.
    y_m: Vec<Metres>,
    /// Unevenness for each of `x_m`, for each of `y_m`.
    unevenness_db: Vec<Vec<Decibels<2>>>,
    /// Whether a head could be there, for each of `x_m`, for each of `y_m`.
    is_seat: Vec<Vec<bool>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct FlattestSeat {
    /// Middle of the head, from front wall, left wall and floor.
    at_m: [Metres; 3],
    unevenness_db: Decibels,
}

/// Decay of the low end at one listener.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct BassDecay {
    listener: String,
    /// Greatest level of all bands, against the same click at 1 m in a free field.
    greatest_db: Decibels,
    /// Step between levels of a band, from the direct sound on.
    step_ms: Milliseconds,
    /// Middle frequencies of the bands.
    bands_hz: Vec<Rounded<3>>,
    /// Levels against the greatest, for each band, for each step.
    level_db: Vec<Vec<Decibels<2>>>,
}

impl SeatMap {
    pub(super) fn new(sounded: &WaveFieldView<'_>, seat: &SeatMaps) -> Option<Self> {
        let map = seat.seats.as_ref()?;
        let spot = |spot: &wave_field::FlattestSeat| FlattestSeat {
            at_m: point(spot.at),
            unevenness_db: decibels(spot.unevenness_db),
        };
        let is_seat = |row: &Vec<f64>| row.iter().map(|clear_m| 0.0 <= *clear_m).collect();
        Some(Self {
            listener: sounded.listener(seat.listener).to_owned(),
            height_m: metres(map.height_m),
            unevenness_here_db: seat.unevenness_db.map(decibels),
            flattest: map.flattest.as_ref().map(spot),
            flattest_between: map.flattest_on_median.as_ref().map(spot),
            x_m: map.x_m.iter().copied().map(metres).collect(),
            y_m: map.y_m.iter().copied().map(metres).collect(),
            unevenness_db: grid(&map.unevenness_db),
            is_seat: map.clearance_m.iter().map(is_seat).collect(),
        })
    }
}

impl BassDecay {
    pub(super) fn new(sounded: &WaveFieldView<'_>, seat: &SeatMaps) -> Option<Self> {
        let ringing = seat.ringing.as_ref()?;
        Some(Self {
            listener: sounded.listener(seat.listener).to_owned(),
            greatest_db: decibels(ringing.peak_db),
            step_ms: milliseconds(ringing.time_step_s),
            bands_hz: ringing.band_hz.iter().copied().map(Rounded::from).collect(),
            level_db: grid(&ringing.level_db),
        })
    }
}

fn grid(rows: &[Vec<f64>]) -> Vec<Vec<Decibels<2>>> {
    rows.iter().map(|row| row.iter().copied().map(decibels).collect()).collect()
}
