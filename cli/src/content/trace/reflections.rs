//! The list of reflections: those that matter, in the order of time.

use super::TraceReport;
use super::seat::SeatReflections;
use crate::content::document::{Cell, Column, Document, Table, Tone};
use crate::content::mirrored::MirroredRow;
use crate::format::frequency::BAND_NAMES;
use crate::format::number::shortest;
use crate::format::{direction, labels, length, level, time};
use earline_engine::geometry::FaceId;
use earline_engine::image_source::Bounce;
use earline_engine::metrics::criteria::Verdict;
use earline_engine::scene::{Scene, Units};
use std::cmp::Ordering;

/// Beside those over the limit and all first bounces, so many of the strongest are shown.
const STRONGEST_SHOWN: usize = 6;
/// From this width on, the speaker has a column of its own.
const ROOMY: usize = 76;
/// Caption of the list.
const CAPTION: &str = "Reflections";

/// The list at a seat.
pub(super) fn document(report: &TraceReport<'_>, seat: &SeatReflections<'_>) -> Document {
    let mut document = Document::default();
    let window = format!("{} ms", shortest(report.plan.window_s * 1000.0));
    let order = report.plan.order;
    if seat.rows.is_empty() {
        let text = format!("No reflection of order {order} or less arrives within {window}.");
        document.pause().paragraph(text);
        return document;
    }
    let shown = that_matter(report, &seat.rows);
    document.heading(CAPTION);
    document.note(format!(
        "{AGAINST_DIRECT}, the level over 1 to 8 kHz. Numbers are those on the pictures."
    ));
    document.table(table(report, &shown, place_and_direction));
    if report.bands {
        document.pause().note("Level in dB in the octave bands, Hz:").table(bands(&shown));
    }
    let shown: usize = shown.iter().map(MirroredRow::len).sum();
    let hidden = seat.numbered.len() - shown;
    if hidden > 0 {
        document.note(format!(
            "{hidden} quieter ones of up to {order} bounces within {window} are in reflections.csv."
        ));
    }
    document
}

/// Reference of delays and levels.
pub(crate) const AGAINST_DIRECT: &str =
    "Delay and level are against the direct sound of the same speaker";

/// All over the limit, all first bounces, and the strongest of the rest.
fn that_matter<'a>(report: &TraceReport<'_>, rows: &[MirroredRow<'a>]) -> Vec<MirroredRow<'a>> {
    let must = |row: &MirroredRow<'_>| {
        report.verdict(&row.first) == Verdict::Over
            || row.first.reflection.arrival.bounces.len() == 1
    };
    let mut rest: Vec<&MirroredRow<'_>> = rows.iter().filter(|row| !must(row)).collect();
    rest.sort_by(|a, b| loudest_first(a, b));
    let strong: Vec<usize> =
        rest.iter().take(STRONGEST_SHOWN).map(|row| row.first.number).collect();
    rows.iter().filter(|row| must(row) || strong.contains(&row.first.number)).copied().collect()
}

/// The strongest so many in the order of their numbers, those over the limit before all others.
pub(super) fn strongest(
    report: &TraceReport<'_>,
    seat: &SeatReflections<'_>,
    count: usize,
) -> Document {
    let mut rows: Vec<&MirroredRow<'_>> = seat.rows.iter().collect();
    let is_within = |row: &MirroredRow<'_>| report.verdict(&row.first) != Verdict::Over;
    rows.sort_by(|a, b| is_within(a).cmp(&is_within(b)).then_with(|| loudest_first(a, b)));
    let mut shown: Vec<MirroredRow<'_>> = rows.into_iter().take(count).copied().collect();
    shown.sort_by_key(|row| row.first.number);
    let mut document = Document::default();
    if !shown.is_empty() {
        document.table(table(report, &shown, place));
    }
    document
}

/// By level to a hundredth, so that equal ones keep the order of their numbers.
fn loudest_first(a: &MirroredRow<'_>, b: &MirroredRow<'_>) -> Ordering {
    let [a, b] = [a, b].map(|row| row.first.reflection.level_db);
    level::loudest_first(a, b)
}

fn table<'a>(
    report: &TraceReport<'_>,
    shown: &[MirroredRow<'a>],
    under: impl Fn(&Scene, &MirroredRow<'a>) -> String,
) -> Table {
    let columns = vec![
        Column::right("No"),
        Column::left("Speaker").from(ROOMY),
        Column::right("After"),
        Column::right("Level"),
        Column::left("Limit"),
        Column::left("Hits"),
    ];
    let mut table = Table::new(CAPTION, columns);
    for row in shown {
        let r = row.first.reflection;
        let speaker = row.speaker(report.scene);
        let verdict = report.verdict(&row.first);
        table
            .row(vec![
                Cell::plain(row.numbers()),
                Cell::plain(speaker.clone()).or_under(speaker),
                Cell::plain(time::delay(r.delay_s)),
                Cell::plain(row.both(|n| level::with_unit(n.reflection.level_db))),
                Cell::toned(word(verdict), tone(verdict)),
                Cell::plain(path(report.scene, row)),
            ])
            .note(under(report.scene, row));
    }
    table
}

/// What it hits, on either side.
fn path(scene: &Scene, row: &MirroredRow<'_>) -> String {
    row.both(|n| labels::spoken_path(scene, &n.reflection.arrival.bounces))
}

/// Where to put the tape, and where it is heard from.
fn place_and_direction(scene: &Scene, row: &MirroredRow<'_>) -> String {
    let comes =
        row.both(|n| direction::words(n.reflection.azimuth_deg, n.reflection.elevation_deg));
    format!("{}; heard {comes}", place(scene, row))
}

/// Where to put the tape, on either side.
fn place(scene: &Scene, row: &MirroredRow<'_>) -> String {
    row.both(|n| first_spot(scene, &n.reflection.arrival.bounces))
}

/// Where to put the tape: the only bounce, or the first of several.
pub(crate) fn first_spot(scene: &Scene, bounces: &[Bounce]) -> String {
    let Some(bounce) = bounces.first() else { return String::new() };
    let spot = spot(bounce, scene.units());
    if bounces.len() == 1 { format!("at {spot}") } else { format!("first at {spot}") }
}

/// The place of a bounce: two distances on a surface of the room, else three.
pub(super) fn spot(bounce: &Bounce, units: Units) -> String {
    match bounce.face {
        FaceId::Surface(surface) => length::spot(surface, bounce.point, units),
        FaceId::Screen { .. } | FaceId::Furniture { .. } | FaceId::Cabinet { .. } => {
            length::position(bounce.point, units)
        }
    }
}

/// The level in every octave band.
fn bands(shown: &[MirroredRow<'_>]) -> Table {
    let columns = [Column::right("No")].into_iter().chain(BAND_NAMES.map(Column::right));
    let mut table = Table::new("Level in the octave bands", columns.collect());
    for n in shown.iter().flat_map(MirroredRow::each) {
        let levels = n.reflection.band_level_db.map(level::bare);
        let cells = [n.number.to_string()].into_iter().chain(levels);
        table.row(cells.map(Cell::plain).collect());
    }
    table
}

/// How a reflection stands to the limit, in a word.
pub(crate) fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Over => "over",
        Verdict::Within => "within",
        Verdict::Later => "later",
    }
}

fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::Over => Tone::Alert,
        Verdict::Within => Tone::Good,
        Verdict::Later => Tone::Quiet,
    }
}
