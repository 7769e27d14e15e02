//! Responses of the wave field as a document, `earline.bass/1`, and as a table.

use super::bass_maps::{BassDecay, SeatMap};
use super::bass_responses::{PairResponse, Response};
use super::bass_room::{BuildReach, ModeSpacing};
use super::bass_subwoofers::Subwoofers;
use super::csv_table::CsvTable;
use super::parts::Head;
use super::round::{
    Hertz, Metres, Ratio, Rounded, Seconds, decibels, hertz, metres, ratio, seconds,
};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::Maps;
use anyhow::Result;
use earline_engine::scene::Room;
use earline_engine::wave_field::{
    DampedMode, Extremum, ExtremumCause, TransferFunction, UNEVENNESS_BAND_HZ,
};
use schemars::JsonSchema;
use serde::Serialize;

/// Low-frequency response of a room by its wave field.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct BassDocument {
    #[serde(flatten)]
    head: Head,
    /// Schroeder frequency; null without a reverberation time.
    schroeder_hz: Option<Hertz>,
    /// Allowed movement of the head, either way.
    head_half_m: Metres,
    /// Range of frequencies of the unevenness.
    unevenness_from_to_hz: [f64; 2],
    /// Things in the room that the solution leaves out.
    left_out: Vec<String>,
    /// Frequencies of all levels.
    frequencies_hz: Vec<Rounded<3>>,
    /// Every speaker at every listener.
    pairs: Vec<SpeakerResponse>,
    /// Every pair of speakers with one signal in both, and in every subwoofer, at every listener.
    together: Vec<PairResponse>,
    subwoofers: Subwoofers,
    /// The lowest modes.
    modes: Vec<Mode>,
    spacing: ModeSpacing,
    /// Porous builds on the surfaces.
    builds: Vec<BuildReach>,
    /// Speakers that play in `seat_map` and `decay`.
    sounding: Vec<String>,
    /// Unevenness over the floor, listener by listener; empty where too few frequencies were solved.
    seat_map: Vec<SeatMap>,
    /// Decay of the low end, listener by listener; empty where too few frequencies were solved.
    decay: Vec<BassDecay>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerResponse {
    speaker: String,
    listener: String,
    #[serde(flatten)]
    response: Response,
    /// Group delay at the middle of the head.
    group_delay_ms: Vec<Rounded<3>>,
    /// The largest peaks and dips.
    extremes: Vec<ExtremeRow>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ExtremeRow {
    hz: Rounded<3>,
    /// Level against the mean of an octave about it; a dip is negative.
    height_db: Rounded<2>,
    /// Likely causes, the likeliest first.
    causes: Vec<ExtremeCause>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
enum ExtremeCause {
    /// A mode of the room.
    Mode {
        /// Half waves along length, width and height.
        mode: [usize; 3],
        hz: Hertz,
        /// Share of the pressure at the ear.
        share: Ratio,
    },
    /// First reflection of a surface near the speaker.
    Boundary {
        surface: &'static str,
        /// Distance of the speaker from it.
        distance_m: Metres,
        /// Path difference to the direct sound.
        longer_m: Metres,
        /// Frequency that it cancels.
        null_hz: Hertz,
    },
}

#[derive(Debug, Serialize, JsonSchema)]
struct Mode {
    hz: Rounded<2>,
    /// Half waves along length, width and height.
    n: [usize; 3],
    /// Decay time to -60 dB; null where nothing damps the mode.
    decay_s: Option<Seconds>,
    /// Nodal planes, from front wall, left wall and floor.
    silent_at_m: [Vec<Metres>; 3],
}

impl BassDocument {
    /// The document of a solution.
    pub(crate) fn new(sounded: &WaveFieldView<'_>, maps: &Maps) -> Self {
        let found = sounded.found;
        let room = sounded.scene.room();
        Self {
            head: Head::new("earline.bass/1", sounded.scene, sounded.state.name),
            schroeder_hz: found.schroeder_hz.map(hertz),
            head_half_m: metres(sounded.plan.head_half_m),
            unevenness_from_to_hz: UNEVENNESS_BAND_HZ,
            left_out: found.neglected.clone(),
            frequencies_hz: found.hz.iter().copied().map(Rounded::from).collect(),
            pairs: found.pairs.iter().map(|pair| SpeakerResponse::new(sounded, pair)).collect(),
            together: found
                .coherent_sums
                .iter()
                .map(|both| PairResponse::new(sounded, both))
                .collect(),
            subwoofers: Subwoofers::new(sounded),
            modes: found.modes.iter().map(|row| Mode::new(row, room)).collect(),
            spacing: ModeSpacing::new(sounded.spacing()),
            builds: sounded.reach().iter().map(BuildReach::new).collect(),
            sounding: maps.active.speakers.iter().map(|&s| sounded.speaker(s).to_owned()).collect(),
            seat_map: maps.seats.iter().filter_map(|seat| SeatMap::new(sounded, seat)).collect(),
            decay: maps.seats.iter().filter_map(|seat| BassDecay::new(sounded, seat)).collect(),
        }
    }
}

impl SpeakerResponse {
    fn new(sounded: &WaveFieldView<'_>, pair: &TransferFunction) -> Self {
        Self {
            speaker: sounded.speaker(pair.speaker).to_owned(),
            listener: sounded.listener(pair.listener).to_owned(),
            response: Response::new(
                (pair.unevenness_db, pair.range_hz),
                &pair.level_db,
                &pair.spread_db,
            ),
            group_delay_ms: pair.group_delay_ms.iter().copied().map(Rounded::from).collect(),
            extremes: pair.extrema.iter().map(ExtremeRow::new).collect(),
        }
    }
}

impl ExtremeRow {
    fn new(extreme: &Extremum) -> Self {
        let cause = |cause: &ExtremumCause| match *cause {
            ExtremumCause::Mode { mode, hz, participation: share } => {
                ExtremeCause::Mode { mode: mode.n, hz: hertz(hz), share: ratio(share) }
            }
            ExtremumCause::Boundary(boundary) => ExtremeCause::Boundary {
                surface: boundary.surface.name(),
                distance_m: metres(boundary.distance_m),
                longer_m: metres(boundary.path_difference_m),
                null_hz: hertz(boundary.null_hz),
            },
        };
        Self {
            hz: extreme.hz.into(),
            height_db: extreme.prominence_db.into(),
            causes: extreme.causes.iter().map(cause).collect(),
        }
    }
}

impl Mode {
    fn new(row: &DampedMode, room: &Room) -> Self {
        let nodal_planes =
            |axis| row.mode.nodal_planes_m(axis, room).into_iter().map(metres).collect();
        Self {
            hz: row.hz.into(),
            n: row.mode.n,
            decay_s: row.decay_s.map(seconds),
            silent_at_m: [0, 1, 2].map(nodal_planes),
        }
    }
}

/// The responses as a table: a row for each frequency of each speaker at each listener.
///
/// # Errors
/// When the table cannot be encoded.
pub(crate) fn response_csv(sounded: &WaveFieldView<'_>) -> Result<Vec<u8>> {
    let head = ["speaker", "listener", "hz", "level_db", "least_db", "greatest_db"];
    let mut table = CsvTable::new("bass.csv", head)?;
    for pair in &sounded.found.pairs {
        let levels = sounded.found.hz.iter().zip(&pair.level_db).zip(&pair.spread_db);
        for ((&hz, &level), &[least, greatest]) in levels {
            let [level, least, greatest] =
                [level, least, greatest].map(|db| decibels::<3>(db).to_string());
            table.row([
                sounded.speaker(pair.speaker),
                sounded.listener(pair.listener),
                &Rounded::<3>::from(hz).to_string(),
                &level,
                &least,
                &greatest,
            ])?;
        }
    }
    table.finish()
}
