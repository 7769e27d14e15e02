//! Reflections and energy-time curves as tables for spreadsheets: SI, with the unit in every column's
//! name; nothing where there is no sound.

use super::csv_table::CsvTable;
use super::parts::{point, surfaces};
use super::round::{Rounded, decibels, degrees, metres, milliseconds};
use crate::content::numbering;
use anyhow::Result;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::{EarlyLimit, Verdict};
use earline_engine::scene::{ListenerId, Scene};
use earline_engine::simulate::{PairSimulation, Simulation};

/// Every listed reflection, one row each, seat after seat, in the order of their numbers.
///
/// Points of all bounces are in one field, `x y z` in metres, parted by semicolons as the
/// surfaces are.
pub(crate) fn reflections_csv(
    scene: &Scene,
    trace: &Simulation,
    listeners: &[ListenerId],
    limit: &EarlyLimit,
) -> Result<Vec<u8>> {
    let path = ["listener", "number", "speaker", "order", "surfaces", "points_m", "distance_m"];
    let mut head = path.map(str::to_owned).to_vec();
    head.extend(["after_direct_ms", "level_db"].map(str::to_owned));
    head.extend(NOMINAL_HZ.map(|hz| format!("level_{hz}_hz_db")));
    head.extend(["azimuth_deg", "elevation_deg", "limit"].map(str::to_owned));
    let mut table = CsvTable::new("reflections.csv", &head)?;
    for &listener in listeners {
        for numbered in numbering::at_listener(trace, listener) {
            let r = numbered.reflection;
            let bounces = &r.arrival.bounces;
            let points = bounces.iter().map(|bounce| point(bounce.point));
            let points = points.map(|[x, y, z]| format!("{x} {y} {z}"));
            let mut row = vec![
                scene[listener].name.clone(),
                numbered.number.to_string(),
                scene[numbered.pair.speaker].name.clone(),
                bounces.len().to_string(),
                surfaces(scene, bounces).join("; "),
                points.collect::<Vec<_>>().join("; "),
                metres(r.arrival.distance_m).to_string(),
                milliseconds(r.delay_s).to_string(),
                decibels::<3>(r.level_db).to_string(),
            ];
            row.extend(r.band_level_db.map(|db| decibels::<3>(db).to_string()));
            row.extend([
                degrees(r.azimuth_deg).to_string(),
                degrees(r.elevation_deg).to_string(),
                verdict_word(limit.judge(r.delay_s, r.level_db)).to_owned(),
            ]);
            table.row(&row)?;
        }
    }
    table.finish()
}

/// The energy-time curves, one row for each time: the level over 1–8 kHz and in every octave band
/// for each speaker at each listener. A curve that has ended leaves its fields empty.
pub(crate) fn energy_time_csv(scene: &Scene, trace: &Simulation) -> Result<Vec<u8>> {
    let name = |pair: &PairSimulation| {
        let speaker = &scene[pair.speaker].name;
        let listener = &scene[pair.listener].name;
        format!("{speaker} at {listener}")
    };
    let mut head = vec!["time_ms".to_owned()];
    for pair in &trace.pairs {
        let of = name(pair);
        head.push(format!("{of} level_1000_to_8000_hz_db"));
        head.extend(NOMINAL_HZ.map(|hz| format!("{of} level_{hz}_hz_db")));
    }
    let mut table = CsvTable::new("energy-time.csv", &head)?;
    let curves = || trace.pairs.iter().filter_map(PairSimulation::energy_time);
    let steps = curves().map(|curve| curve.level_db.len()).max().unwrap_or(0);
    let first = curves().next();
    let (start_s, step_s) = first.map_or((0.0, 0.0), |curve| (curve.start_s, curve.step_s));
    let level_at = |levels: &[f64], step: usize| {
        levels.get(step).map_or_else(String::new, |&db| Rounded::<2>::from(db).to_string())
    };
    for step in 0..steps {
        let mut row = vec![milliseconds(start_s + step as f64 * step_s).to_string()];
        for curve in curves() {
            row.push(level_at(&curve.level_db, step));
            row.extend(curve.band_level_db.iter().map(|band| level_at(band, step)));
        }
        table.row(&row)?;
    }
    table.finish()
}

/// Verdict of a limit on a reflection, in a word.
pub(crate) fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Over => "over",
        Verdict::Within => "within",
        Verdict::Later => "later",
    }
}
