//! What bass does as a document, `earline.bass/1`, and as a table.

use super::bass_maps::{DecayRow, SeatMapRow, decay, seat_map};
use super::bass_room::{BuildOut, SpacingOut};
use super::round;
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::Maps;
use anyhow::Result;
use earline_engine::scene::Room;
use earline_engine::wave_field::{BassPair, Cause, Extreme, ModeRow, Together, UNEVEN_HZ};
use serde::Serialize;

const SCHEMA: &str = "earline.bass/1";

#[derive(Debug, Serialize)]
pub(crate) struct BassDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    schroeder_hz: Option<f64>,
    head_half_m: f64,
    unevenness_from_to_hz: [f64; 2],
    left_out: Vec<String>,
    frequencies_hz: Vec<f64>,
    pairs: Vec<PairRow>,
    together: Vec<TogetherRow>,
    modes: Vec<ModeOut>,
    spacing: SpacingOut,
    builds: Vec<BuildOut>,
    sounding: Vec<String>,
    seat_map: Vec<SeatMapRow>,
    decay: Vec<DecayRow>,
}

#[derive(Debug, Serialize)]
struct PairRow {
    speaker: String,
    listener: String,
    unevenness_db: Option<f64>,
    level_db: Vec<Option<f64>>,
    least_db: Vec<Option<f64>>,
    greatest_db: Vec<Option<f64>>,
    group_delay_ms: Vec<f64>,
    extremes: Vec<ExtremeRow>,
}

#[derive(Debug, Serialize)]
struct TogetherRow {
    pair: String,
    listener: String,
    unevenness_db: Option<f64>,
    level_db: Vec<Option<f64>>,
    least_db: Vec<Option<f64>>,
    greatest_db: Vec<Option<f64>>,
}

#[derive(Debug, Serialize)]
struct ExtremeRow {
    hz: f64,
    height_db: f64,
    causes: Vec<CauseRow>,
}

#[derive(Debug, Serialize)]
#[serde(untagged)]
enum CauseRow {
    Mode { mode: [usize; 3], hz: f64, share: f64 },
    Boundary { surface: &'static str, distance_m: f64, longer_m: f64, null_hz: f64 },
}

#[derive(Debug, Serialize)]
struct ModeOut {
    hz: f64,
    n: [usize; 3],
    decay_s: Option<f64>,
    /// Planes where it is silent, from front wall, left wall and floor.
    silent_at_m: [Vec<f64>; 3],
}

impl BassDocument {
    /// The document of a solution.
    pub(crate) fn new(sounded: &WaveFieldView<'_>, maps: &Maps) -> Self {
        let found = sounded.found;
        Self {
            schema: SCHEMA,
            scene: sounded.scene.title().to_owned(),
            variant: sounded.state.name.map(str::to_owned),
            schroeder_hz: found.schroeder_hz.map(round::hertz),
            head_half_m: round::metres(sounded.plan.head_half_m),
            unevenness_from_to_hz: UNEVEN_HZ,
            left_out: found.left_out.clone(),
            frequencies_hz: found.hz.iter().map(|hz| round::to(*hz, 3)).collect(),
            pairs: found.pairs.iter().map(|pair| PairRow::new(sounded, pair)).collect(),
            together: found.together.iter().map(|both| TogetherRow::new(sounded, both)).collect(),
            modes: found.modes.iter().map(|row| ModeOut::new(row, sounded.scene.room())).collect(),
            spacing: SpacingOut::new(sounded.spacing()),
            builds: sounded.reach().iter().map(BuildOut::new).collect(),
            sounding: maps.active.speakers.iter().map(|&s| sounded.speaker(s).to_owned()).collect(),
            seat_map: maps.seats.iter().filter_map(|seat| seat_map(sounded, seat)).collect(),
            decay: maps.seats.iter().filter_map(|seat| decay(sounded, seat)).collect(),
        }
    }
}

fn levels(levels: impl IntoIterator<Item = f64>) -> Vec<Option<f64>> {
    levels.into_iter().map(round::decibels).collect()
}

impl PairRow {
    fn new(sounded: &WaveFieldView<'_>, pair: &BassPair) -> Self {
        Self {
            speaker: sounded.speaker(pair.speaker).to_owned(),
            listener: sounded.listener(pair.listener).to_owned(),
            unevenness_db: pair.unevenness_db.and_then(round::decibels),
            level_db: levels(pair.level_db.iter().copied()),
            least_db: levels(pair.spread_db.iter().map(|[least, _]| *least)),
            greatest_db: levels(pair.spread_db.iter().map(|[_, greatest]| *greatest)),
            group_delay_ms: pair.group_delay_ms.iter().map(|ms| round::to(*ms, 3)).collect(),
            extremes: pair.extremes.iter().map(ExtremeRow::new).collect(),
        }
    }
}

impl TogetherRow {
    fn new(sounded: &WaveFieldView<'_>, both: &Together) -> Self {
        Self {
            pair: both.name.clone(),
            listener: sounded.listener(both.listener).to_owned(),
            unevenness_db: both.unevenness_db.and_then(round::decibels),
            level_db: levels(both.level_db.iter().copied()),
            least_db: levels(both.spread_db.iter().map(|[least, _]| *least)),
            greatest_db: levels(both.spread_db.iter().map(|[_, greatest]| *greatest)),
        }
    }
}

impl ExtremeRow {
    fn new(extreme: &Extreme) -> Self {
        let cause = |cause: &Cause| match *cause {
            Cause::Mode { mode, hz, share } => {
                CauseRow::Mode { mode: mode.n, hz: round::hertz(hz), share: round::ratio(share) }
            }
            Cause::Boundary(boundary) => CauseRow::Boundary {
                surface: boundary.surface.name(),
                distance_m: round::metres(boundary.distance_m),
                longer_m: round::metres(boundary.longer_m),
                null_hz: round::hertz(boundary.null_hz),
            },
        };
        Self {
            hz: round::to(extreme.hz, 3),
            height_db: round::to(extreme.height_db, 2),
            causes: extreme.causes.iter().map(cause).collect(),
        }
    }
}

impl ModeOut {
    fn new(row: &ModeRow, room: &Room) -> Self {
        let silent =
            |axis| row.mode.silent_at_m(axis, room).into_iter().map(round::metres).collect();
        Self {
            hz: round::to(row.hz, 2),
            n: row.mode.n,
            decay_s: row.decay_s.map(round::seconds),
            silent_at_m: [0, 1, 2].map(silent),
        }
    }
}

/// The responses as a table: a row for each frequency of each speaker at each listener.
///
/// # Errors
/// When the table cannot be encoded.
pub(crate) fn response_csv(sounded: &WaveFieldView<'_>) -> Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(["speaker", "listener", "hz", "level_db", "least_db", "greatest_db"])?;
    for pair in &sounded.found.pairs {
        let rows = sounded.found.hz.iter().zip(&pair.level_db).zip(&pair.spread_db);
        for ((hz, level), [least, greatest]) in rows {
            let figure = |db: f64| round::decibels(db).map_or(String::new(), |db| db.to_string());
            table.write_record([
                sounded.speaker(pair.speaker),
                sounded.listener(pair.listener),
                &round::to(*hz, 3).to_string(),
                &figure(*level),
                &figure(*least),
                &figure(*greatest),
            ])?;
        }
    }
    Ok(table.into_inner()?)
}
