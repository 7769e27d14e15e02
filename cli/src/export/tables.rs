//! Tables for spreadsheets: SI, with the unit in every column's name; nothing where there is no
//! sound.

use super::round;
use crate::content::comparison::{ComparisonView, Difference, PathChange, Row};
use crate::content::numbering;
use crate::format::labels;
use anyhow::{Context, Result, anyhow};
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::{EarlyLimit, Verdict};
use earline_engine::scene::Scene;
use earline_engine::trace::{PairTrace, Reflection, Trace};

/// Every listed reflection, one row each, seat after seat, in the order of their numbers.
///
/// Points of all bounces are in one field, `x y z` in metres, parted by semicolons as the
/// surfaces are.
pub(crate) fn reflections_csv(
    scene: &Scene,
    trace: &Trace,
    listeners: &[usize],
    limit: &EarlyLimit,
) -> Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut head = [
        "listener",
        "number",
        "speaker",
        "order",
        "surfaces",
        "points_m",
        "distance_m",
        "after_direct_ms",
        "level_db",
    ]
    .map(str::to_owned)
    .to_vec();
    head.extend(NOMINAL_HZ.map(|hz| format!("level_{hz}_hz_db")));
    head.extend(["azimuth_deg", "elevation_deg", "limit"].map(str::to_owned));
    table.write_record(&head).context("cannot write reflections.csv")?;
    for &listener in listeners {
        for numbered in numbering::at_listener(trace, listener) {
            let r = numbered.reflection;
            let bounces = &r.arrival.bounces;
            let mut row = vec![
                scene.listeners()[listener].name.clone(),
                numbered.number.to_string(),
                scene.speakers()[numbered.pair.speaker].name.clone(),
                bounces.len().to_string(),
                joined(bounces.iter().map(|bounce| labels::wire(scene, bounce))),
                joined(bounces.iter().map(|bounce| {
                    let [x, y, z] = bounce.point.to_array().map(round::metres);
                    format!("{x} {y} {z}")
                })),
                round::metres(r.arrival.distance_m).to_string(),
                round::milliseconds(r.after_direct_s).to_string(),
                level(r.level_db),
            ];
            row.extend(r.band_level_db.map(level));
            row.extend([
                round::degrees(r.azimuth_deg).to_string(),
                round::degrees(r.elevation_deg).to_string(),
                verdict(limit.judge(r.after_direct_s, r.level_db)).to_owned(),
            ]);
            table.write_record(&row).context("cannot write reflections.csv")?;
        }
    }
    finished(table)
}

/// The energy-time curves, one row for each time: the level over 1–8 kHz and in every octave band
/// for each speaker at each listener. A curve that has ended leaves its fields empty.
pub(crate) fn energy_time_csv(scene: &Scene, trace: &Trace) -> Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let name = |pair: &PairTrace| {
        let speaker = &scene.speakers()[pair.speaker].name;
        let listener = &scene.listeners()[pair.listener].name;
        format!("{speaker} at {listener}")
    };
    let mut head = vec!["time_ms".to_owned()];
    for pair in &trace.pairs {
        let of = name(pair);
        head.push(format!("{of} level_1000_to_8000_hz_db"));
        head.extend(NOMINAL_HZ.map(|hz| format!("{of} level_{hz}_hz_db")));
    }
    table.write_record(&head).context("cannot write energy-time.csv")?;
    let steps = trace.pairs.iter().map(|p| p.energy_time.level_db.len()).max().unwrap_or(0);
    let first = trace
        .pairs
        .first()
        .map_or((0.0, 0.0), |pair| (pair.energy_time.start_s, pair.energy_time.step_s));
    for step in 0..steps {
        let mut row = vec![round::milliseconds(first.0 + step as f64 * first.1).to_string()];
        for pair in &trace.pairs {
            let curve = &pair.energy_time;
            row.push(at_step(&curve.level_db, step));
            row.extend(curve.band_level_db.iter().map(|band| at_step(band, step)));
        }
        table.write_record(&row).context("cannot write energy-time.csv")?;
    }
    finished(table)
}

/// Every path of the states compared, one row each: the first state against each of the others.
/// Fields of a state that has no such path are empty.
pub(crate) fn comparison_csv(view: &ComparisonView<'_>) -> Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut head = ["first", "second", "speaker", "number", "order", "became"].to_vec();
    head.extend(["surfaces_first", "surfaces_second", "after_direct_first_ms"]);
    head.extend(["after_direct_second_ms", "level_first_db", "level_second_db", "change_db"]);
    let mut head: Vec<String> = head.into_iter().map(str::to_owned).collect();
    for what in ["level_first", "level_second", "change"] {
        head.extend(NOMINAL_HZ.map(|hz| format!("{what}_{hz}_hz_db")));
    }
    table.write_record(&head).context("cannot write comparison.csv")?;
    for difference in &view.differences {
        for row in difference.rows(view) {
            let fields = comparison_row(view, difference, &row);
            table.write_record(&fields).context("cannot write comparison.csv")?;
        }
    }
    finished(table)
}

fn comparison_row(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
    row: &Row<'_>,
) -> Vec<String> {
    let [first, second] = view.both(difference);
    let both = [row.first, row.second];
    let of = |what: &dyn Fn(&Reflection) -> String| {
        both.map(|reflection| reflection.map_or_else(String::new, what))
    };
    let mut fields = vec![
        first.at.name.clone(),
        second.at.name.clone(),
        view.scene.speakers()[row.speaker].name.clone(),
        row.number.to_string(),
        row.order().to_string(),
        became(row.change()).to_owned(),
    ];
    fields.extend(of(&|r| {
        joined(r.arrival.bounces.iter().map(|bounce| labels::wire(view.scene, bounce)))
    }));
    fields.extend(of(&|r| round::milliseconds(r.after_direct_s).to_string()));
    fields.extend(of(&|r| level(r.level_db)));
    fields.push(row.matched.map_or_else(String::new, |m| level(m.change_db)));
    for reflection in both {
        fields.extend(
            (0..NOMINAL_HZ.len())
                .map(|band| reflection.map_or_else(String::new, |r| level(r.band_level_db[band]))),
        );
    }
    fields.extend(
        (0..NOMINAL_HZ.len())
            .map(|band| row.matched.map_or_else(String::new, |m| level(m.band_change_db[band]))),
    );
    fields
}

/// What became of a path, in machine output.
pub(super) fn became(became: PathChange) -> &'static str {
    match became {
        PathChange::Equal => "equal",
        PathChange::Changed => "changed",
        PathChange::Vanished => "vanished",
        PathChange::New => "new",
    }
}

fn joined(parts: impl Iterator<Item = String>) -> String {
    parts.collect::<Vec<_>>().join("; ")
}

fn level(decibels: f64) -> String {
    round::decibels(decibels).map_or_else(String::new, |db| db.to_string())
}

fn at_step(levels: &[f64], step: usize) -> String {
    levels.get(step).map_or_else(String::new, |&db| round::curve_decibels(db).to_string())
}

fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Over => "over",
        Verdict::Within => "within",
        Verdict::Later => "later",
    }
}

pub(super) fn finished(table: csv::Writer<Vec<u8>>) -> Result<Vec<u8>> {
    table.into_inner().map_err(|failed| anyhow!("cannot finish a table: {}", failed.error()))
}
