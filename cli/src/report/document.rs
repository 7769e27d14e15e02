//! What is on the page, for its script and for `--json`: `earline.report/1`.

use super::gather::ReportData;
use super::summary::Summary;
use crate::content::comparison::VariantAtSeat;
use crate::content::numbering::Numbered;
use crate::content::trace::reflections;
use crate::export::{to_decimals as to, wire_surfaces};
use crate::format::direction;
use crate::format::labels;
use crate::plot::{self, Input};
use earline_engine::medium::bands::{BAND_COUNT, NOMINAL_HZ, PerBand};
use earline_engine::metrics::criteria::Verdict;
use earline_engine::simulate::PairSimulation;
use schemars::JsonSchema;
use serde::Serialize;

const SCHEMA: &str = "earline.report/1";
/// Beside those over the limit, all first bounces and all that are drawn, so many of the strongest.
const STRONGEST: usize = 16;
/// The curves of the page have a level for each step of this, milliseconds: the highest in it.
const STEP_MS: f64 = 0.5;
/// Their ends, milliseconds after the direct sound.
const ENDS_MS: [f64; 2] = [-2.0, 50.0];
/// Nothing is drawn below, decibels.
const SILENT_DB: f64 = -99.0;

/// All that the report page shows.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ReportDocument {
    /// Name and version of the document.
    schema: &'static str,
    /// Version of the program.
    version: &'static str,
    scene: String,
    seed: u64,
    /// Rays that were followed from each speaker; null without rays.
    rays: Option<u64>,
    speed_of_sound_m_s: f64,
    /// Octave bands of every list of eight.
    bands_hz: PerBand<f64>,
    limit: Limit,
    /// Length, width and height.
    room_m: [f64; 3],
    speakers: Vec<Speaker>,
    listeners: Vec<Listener>,
    states: Vec<Variant>,
    /// Which of them the summary is of, from 0.
    answered: usize,
    /// The summary in sentences.
    #[serde(rename = "says")]
    pub(crate) summary: Summary,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Limit {
    document: &'static str,
    window_ms: f64,
    level_db: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Speaker {
    name: String,
    at_m: [f64; 3],
    /// Eight corners: the front four, then the back four, in the same order.
    corners_m: Vec<[f64; 3]>,
    colour: String,
    dashes_mm: &'static [f64],
}

#[derive(Debug, Serialize, JsonSchema)]
struct Listener {
    name: String,
    at_m: [f64; 3],
    /// Direction that the listener faces, of length one.
    ahead: [f64; 3],
}

#[derive(Debug, Serialize, JsonSchema)]
struct Variant {
    name: String,
    panels: Vec<Piece>,
    screens: Vec<Piece>,
    furniture: Vec<Piece>,
    seats: Vec<Seat>,
}

/// Something in the room by its corners: four of a face, or eight of a box.
#[derive(Debug, Serialize, JsonSchema)]
struct Piece {
    name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost: Option<f64>,
    corners_m: Vec<[f64; 3]>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Seat {
    listener: String,
    /// Reflections over the limit.
    over_limit: usize,
    pairs: Vec<Pair>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Pair {
    speaker: String,
    distance_m: f64,
    /// Travel time of the direct sound.
    time_ms: f64,
    /// Reflections not listed here are in the files of `earline trace`.
    not_listed: usize,
    reflections: Vec<Reflection>,
    energy_time: Option<Curve>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Reflection {
    number: usize,
    surfaces: Vec<String>,
    /// Surface of the room that each bounce is on; null where it is on something inside.
    on: Vec<Option<&'static str>>,
    /// Surfaces in words.
    hits: String,
    /// Direction in words.
    heard: String,
    points_m: Vec<[f64; 3]>,
    distance_m: f64,
    after_direct_ms: f64,
    #[schemars(extend("enum" = ["over", "within", "later"]))]
    limit: &'static str,
    /// Level over 1-8 kHz against the direct sound; null where no sound arrives.
    level_db: Option<f64>,
    band_level_db: PerBand<Option<f64>>,
}

/// Energy-time curve against the direct sound, the highest level in each step.
#[derive(Debug, Serialize, JsonSchema)]
struct Curve {
    /// Time of the first level after the direct sound.
    start_ms: f64,
    step_ms: f64,
    level_db: Vec<f64>,
    band_level_db: Vec<Vec<f64>>,
}

/// The document of a report.
pub(crate) fn document(data: &ReportData<'_>) -> ReportDocument {
    let scene = data.scene();
    let limit = data.request.limit;
    let first = data.shown.first().and_then(|states| states.first());
    let speakers = first.map_or_else(Vec::new, |shown| {
        shown.input.speakers.iter().enumerate().map(|(i, s)| speaker(i, s)).collect()
    });
    let listeners = data
        .shown
        .iter()
        .filter_map(|states| states.first())
        .map(|shown| Listener {
            name: shown.input.listener.name.clone(),
            at_m: point(shown.input.listener.at),
            ahead: point(shown.input.listener.ahead),
        })
        .collect();
    ReportDocument {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        scene: scene.title().to_owned(),
        seed: data.request.rays.seed,
        rays: data.rays(),
        speed_of_sound_m_s: to(scene.air().speed_of_sound_m_s(), 3),
        bands_hz: NOMINAL_HZ,
        limit: Limit {
            document: limit.document,
            window_ms: to(limit.window_s() * 1e3, 3),
            level_db: to(limit.level_db(), 3),
        },
        room_m: scene.room().size().to_array().map(|m| to(m, 4)),
        speakers,
        listeners,
        states: (0..data.variants.len()).map(|state| of_state(data, state)).collect(),
        answered: data.answered,
        summary: Summary::new(data),
    }
}

fn point(at: glam::DVec3) -> [f64; 3] {
    at.to_array().map(|m| to(m, 4))
}

fn speaker(index: usize, speaker: &earline_engine::scene::Speaker) -> Speaker {
    let style = plot::speaker_style(index);
    Speaker {
        name: speaker.name.clone(),
        at_m: point(speaker.at),
        corners_m: plot::outlines::speaker(speaker).map(point).to_vec(),
        colour: style.colour.hex(),
        dashes_mm: style.dash.pattern(),
    }
}

fn of_state(data: &ReportData<'_>, state: usize) -> Variant {
    let found = &data.variants[state];
    let shown = data.shown.first().and_then(|states| states.get(state));
    let input = shown.map(|shown| &shown.input);
    let each = |of: &dyn Fn(&Input) -> Vec<Piece>| input.map_or_else(Vec::new, of);
    let panels = each(&|input| {
        let both = input.panels.iter().zip(&found.state.panels);
        both.map(|(panel, known)| Piece {
            name: panel.name.clone(),
            cost: known.cost,
            corners_m: plot::outlines::panel(panel, input.room).map(point).to_vec(),
        })
        .collect()
    });
    let screens = each(&|input| {
        let both = input.screens.iter().zip(&found.state.screens);
        both.map(|(screen, known)| Piece {
            name: screen.name.clone(),
            cost: known.cost,
            corners_m: plot::outlines::screen(screen).map(point).to_vec(),
        })
        .collect()
    });
    let furniture = each(&|input| {
        let pieces = input.furniture.iter().map(|piece| {
            let base = plot::outlines::furniture_base(piece);
            let top = base.map(|corner| corner + glam::DVec3::Z * piece.size.z);
            let corners_m = base.iter().chain(&top).map(|&corner| point(corner)).collect();
            Piece { name: piece.name.clone(), cost: None, corners_m }
        });
        pieces.collect()
    });
    let seats = data.seats.iter().zip(&data.shown).filter_map(|(view, shown)| {
        let (seen, shown) = (view.variants.get(state)?, shown.get(state)?);
        Some(Seat {
            listener: data.listener(seen.at.listener).to_owned(),
            over_limit: view.over_limit(seen),
            pairs: seen.trace.pairs.iter().map(|p| of_pair(data, seen, &shown.input, p)).collect(),
        })
    });
    Variant { name: found.name.to_owned(), panels, screens, furniture, seats: seats.collect() }
}

fn of_pair(
    data: &ReportData<'_>,
    seen: &VariantAtSeat<'_>,
    input: &Input,
    pair: &PairSimulation,
) -> Pair {
    let listed: Vec<Reflection> = listed(data, seen, input)
        .iter()
        .filter(|n| n.pair.speaker == pair.speaker)
        .map(|n| of_reflection(data, n))
        .collect();
    Pair {
        speaker: data.speaker(pair.speaker).to_owned(),
        distance_m: to(pair.direct.distance_m, 4),
        time_ms: to(pair.direct.time_s * 1e3, 4),
        not_listed: pair.reflections.len().saturating_sub(listed.len()),
        reflections: listed,
        energy_time: curve(pair),
    }
}

/// The reflections of the page at a seat in a state, in the order of time.
pub(super) fn listed<'a>(
    data: &ReportData<'_>,
    seen: &'a VariantAtSeat<'_>,
    input: &Input,
) -> Vec<Numbered<'a>> {
    let limit = data.request.limit;
    let all = seen.numbered();
    let drawn = |n: &Numbered<'_>| input.paths.iter().any(|path| path.tag == n.number.to_string());
    let must = |n: &Numbered<'_>| {
        let r = n.reflection;
        drawn(n) || limit.judge(r.delay_s, r.level_db) == Verdict::Over
    };
    let mut rest: Vec<&Numbered<'_>> = all.iter().filter(|n| !must(n)).collect();
    rest.sort_by(|a, b| {
        b.reflection.level_db.total_cmp(&a.reflection.level_db).then(a.number.cmp(&b.number))
    });
    let strong: Vec<usize> = rest.iter().take(STRONGEST).map(|n| n.number).collect();
    let wanted = |n: &&Numbered<'a>| {
        n.reflection.level_db.is_finite() && (must(n) || strong.contains(&n.number))
    };
    let mut listed: Vec<Numbered<'a>> = all.iter().filter(wanted).copied().collect();
    // To the nanosecond, as the numbers are dealt.
    listed.sort_by_key(|n| {
        #[expect(clippy::cast_possible_truncation, reason = "a window is far below 2^63 ns")]
        let nanoseconds = (n.reflection.delay_s * 1e9).round() as i64;
        (nanoseconds, n.number)
    });
    listed
}

fn of_reflection(data: &ReportData<'_>, n: &Numbered<'_>) -> Reflection {
    let scene = data.scene();
    let r = n.reflection;
    let decibels = |db: f64| db.is_finite().then(|| to(db, 1));
    let bounces = &r.arrival.bounces;
    Reflection {
        number: n.number,
        surfaces: wire_surfaces(scene, bounces),
        on: bounces.iter().map(labels::surface_of).collect(),
        hits: labels::spoken_path(scene, bounces),
        heard: direction::words(r.azimuth_deg, r.elevation_deg),
        points_m: bounces.iter().map(|bounce| point(bounce.point)).collect(),
        distance_m: to(r.arrival.distance_m, 4),
        after_direct_ms: to(r.delay_s * 1e3, 3),
        limit: reflections::word(data.request.limit.judge(r.delay_s, r.level_db)),
        level_db: decibels(r.level_db),
        band_level_db: r.band_level_db.map(decibels),
    }
}

/// The curve in steps that a screen can show.
fn curve(pair: &PairSimulation) -> Option<Curve> {
    let energy = pair.energy_time()?;
    let start_ms = (energy.start_s - pair.direct.time_s) * 1e3;
    let of = |levels: &[f64]| -> Vec<f64> {
        let mut steps = Vec::new();
        let mut from = ENDS_MS[0];
        while from < ENDS_MS[1] {
            let inside = levels.iter().enumerate().filter(|(index, _)| {
                let time = start_ms + energy.step_s * 1e3 * *index as f64;
                from <= time && time < from + STEP_MS
            });
            let highest = inside.map(|(_, &db)| db).fold(SILENT_DB, f64::max);
            steps.push(to(highest, 1));
            from += STEP_MS;
        }
        steps
    };
    Some(Curve {
        start_ms: ENDS_MS[0] + STEP_MS / 2.0,
        step_ms: STEP_MS,
        level_db: of(&energy.level_db),
        band_level_db: (0..BAND_COUNT).map(|band| of(&energy.band_level_db[band])).collect(),
    })
}
