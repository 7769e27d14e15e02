//! The list of reflections: those that matter, in the order of time.

use super::TraceReport;
use crate::content::numbering::Numbered;
use crate::format::direction;
use crate::format::labels;
use crate::format::length;
use crate::io::terminal::{ALERT, GOOD, HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented, paragraph};
use anstyle::Style;
use earline_engine::geometry::FaceId;
use earline_engine::image_source::Bounce;
use earline_engine::metrics::criteria::Verdict;
use unicode_width::UnicodeWidthStr;

/// FormulaComparison those over the limit and all first bounces, so many of the strongest are shown.
const STRONGEST_SHOWN: usize = 6;

/// From this width on, the speaker has a column of its own.
const ROOMY: usize = 76;
/// From this width on, the direction does too.
const WIDE: usize = 112;

pub(crate) use crate::format::frequency::BAND_NAMES;

pub(super) fn lines(
    told: &TraceReport<'_>,
    numbered: &[Numbered<'_>],
    width: usize,
) -> Vec<String> {
    let window_ms = told.plan.window_s * 1000.0;
    if numbered.is_empty() {
        let text = format!(
            "No reflection of order {} or less arrives within {window_ms} ms.",
            told.plan.order
        );
        return paragraph(&text, width);
    }
    let shown = that_matter(told, numbered);
    let mut lines = vec![format!("{HEADING}Reflections{HEADING:#}")];
    let note = "Delay and level are against the direct sound of the same speaker, the level over 1 \
                to 8 kHz. Numbers are those on the pictures.";
    lines.extend(indented(note, 2, width));
    lines.extend(table(told, &shown, width).lines(width, QUIET));
    if told.bands {
        lines.push(String::new());
        lines.extend(indented("Level in dB in the octave bands, Hz:", 2, width));
        lines.extend(bands(&shown).lines(width, QUIET));
    }
    let hidden = numbered.len() - shown.len();
    if hidden > 0 {
        let more = format!(
            "{hidden} quieter ones of up to {} bounces within {window_ms} ms are in \
             reflections.csv.",
            told.plan.order
        );
        lines.extend(indented(&more, 2, width));
    }
    lines
}

/// All over the limit, all first bounces, and the strongest of the rest.
fn that_matter<'a>(told: &TraceReport<'_>, numbered: &[Numbered<'a>]) -> Vec<Numbered<'a>> {
    let must = |n: &Numbered<'_>| {
        told.verdict(n) == Verdict::Over || n.reflection.arrival.bounces.len() == 1
    };
    let mut rest: Vec<&Numbered<'_>> = numbered.iter().filter(|n| !must(n)).collect();
    rest.sort_by(|a, b| b.reflection.level_db.total_cmp(&a.reflection.level_db));
    let strong: Vec<usize> = rest.iter().take(STRONGEST_SHOWN).map(|n| n.number).collect();
    numbered.iter().filter(|n| must(n) || strong.contains(&n.number)).copied().collect()
}

fn table(told: &TraceReport<'_>, shown: &[Numbered<'_>], width: usize) -> Table {
    let mut heads = vec![("No", Lean::Right)];
    if ROOMY <= width {
        heads.push(("Speaker", Lean::Left));
    }
    heads.extend([("After", Lean::Right), ("Level", Lean::Right), ("Limit", Lean::Left)]);
    if WIDE <= width {
        heads.push(("Comes", Lean::Left));
    }
    heads.push(("Hits", Lean::Left));
    let mut table = Table::new(heads);
    for n in shown {
        let r = n.reflection;
        let mut cells = vec![Cell::plain(n.number.to_string())];
        if ROOMY <= width {
            cells.push(Cell::plain(told.speaker(n)));
        }
        let (word, style) = verdict(told.verdict(n));
        cells.extend([
            Cell::plain(format!("{:.2} ms", r.delay_s * 1000.0)),
            Cell::plain(level(r.level_db)),
            Cell::styled(word, style),
        ]);
        let comes = direction::words(r.azimuth_deg, r.elevation_deg);
        if WIDE <= width {
            cells.push(Cell::plain(&comes));
        }
        cells.push(Cell::plain(labels::spoken_path(told.scene, &r.arrival.bounces)));
        let mut under = Vec::new();
        let heard = if width < ROOMY {
            format!("{}, heard {comes}", told.speaker(n))
        } else {
            format!("heard {comes}")
        };
        let spot = first_spot(told, &r.arrival.bounces);
        let hang = 8;
        if WIDE <= width {
            under.push(spot);
        } else if hang + spot.width() + heard.width() + 2 <= width {
            under.push(format!("{spot}; {heard}"));
        } else {
            under.extend([spot, heard]);
        }
        table.row(cells, under);
    }
    table
}

/// Where to put the tape: the only bounce, or the first of several.
pub(crate) fn first_spot(told: &TraceReport<'_>, bounces: &[Bounce]) -> String {
    let Some(bounce) = bounces.first() else { return String::new() };
    let spot = match bounce.face {
        FaceId::Surface(surface) => length::spot(surface, bounce.point, told.units()),
        FaceId::Screen { .. } | FaceId::Furniture { .. } | FaceId::Cabinet { .. } => {
            length::position(bounce.point, told.units())
        }
    };
    if bounces.len() == 1 { format!("at {spot}") } else { format!("first at {spot}") }
}

/// The level in every octave band.
fn bands(shown: &[Numbered<'_>]) -> Table {
    let mut heads = vec![("No", Lean::Right)];
    heads.extend(BAND_NAMES.map(|name| (name, Lean::Right)));
    let mut table = Table::new(heads);
    for n in shown {
        let mut cells = vec![Cell::plain(n.number.to_string())];
        cells.extend(n.reflection.band_level_db.map(|db| Cell::plain(bare_level(db))));
        table.row(cells, Vec::new());
    }
    table
}

fn verdict(verdict: Verdict) -> (&'static str, Style) {
    match verdict {
        Verdict::Over => ("over", ALERT),
        Verdict::Within => ("within", GOOD),
        Verdict::Later => ("later", QUIET),
    }
}

pub(crate) use crate::format::level::{bare as bare_level, with_unit as level};
