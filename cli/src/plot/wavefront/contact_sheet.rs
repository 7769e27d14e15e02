//! The contact sheet: the most telling moments of an animation on one sheet for print.

use crate::canvas::text_column::wrapped;
use crate::canvas::{Canvas, Drawing, Point, Rect, Text, Weight, typeface};
use crate::content::wavefront::{Shot, WavefrontView, file_name};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::WALL;
use crate::plot::wavefront::background::Background;
use crate::plot::wavefront::fronts;
use earline_engine::analysis::wavefront::{CutPlane, EventKind, Frame};
use glam::DVec2;
use rayon::prelude::*;

/// Heights of title and key, of the words over a room, and of the foot.
const TITLE: f64 = 19.0;
const WORDS: f64 = 14.6;
const FOOT: f64 = 5.0;
/// Between rooms.
const GAP: f64 = 4.0;
/// Fronts on the sheet are this much finer than in the film.
const THIN: f64 = 0.7;
/// Moments closer than this look alike, milliseconds.
const ALIKE_MS: f64 = 0.6;

/// Lays out the sheet.
pub(crate) fn poster(filmed: &WavefrontView<'_>, shot: &Shot<'_>) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let cut = shot.wave.cut();
    heading(&mut canvas, filmed, shot, inner);
    let background = Background::new(filmed, cut);
    let space = Rect::new(inner.min.x, inner.min.y + TITLE, inner.max.x, inner.max.y - FOOT);
    let cells = cells(&background, space);
    let chosen = chosen(filmed, cells.len());
    let moments: Vec<Frame> =
        chosen.par_iter().map(|chosen| shot.wave.at(chosen.time_ms / 1e3)).collect();
    for ((cell, moment), chosen) in cells.iter().zip(&moments).zip(&chosen) {
        let room = Rect { min: cell.min + DVec2::Y * WORDS, ..*cell }.grown(-WALL);
        let view = background.view(room);
        let walls = view.inside.grown(WALL);
        let over = Rect { min: walls.min - DVec2::Y * WORDS, max: walls.max };
        caption(&mut canvas, filmed, chosen, moment.distance_m, over);
        background.beneath(&mut canvas, &view, false);
        fronts::sound(&mut canvas, &view, &filmed.film, (shot, moment), THIN);
        background.above(&mut canvas, &view, false);
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let at = Point::new(inner.max.x, inner.max.y);
    canvas.text(Text::new(LIMITS, at, 2.3).secondary().anchor_end());
    Drawing {
        name: file_name(cut),
        title: format!(
            "{}: how the sound of {} spreads",
            filmed.scene.title(),
            filmed.speaker_name()
        ),
        size: frame::SHEET,
        paper: frame::paper(filmed.scene.units()),
        items: canvas.items,
    }
}

const LIMITS: &str = "Blue lines: wavefronts. Orange dots: rays, with the last 0.6 m of their way. \
                      Mirror paths only: nothing bends round edges or scatters.";

fn heading(canvas: &mut Canvas, filmed: &WavefrontView<'_>, shot: &Shot<'_>, inner: Rect) {
    let key = Rect::new(inner.max.x - 92.0, inner.min.y, inner.max.x, inner.min.y + fronts::KEY);
    let head = Rect { max: DVec2::new(key.min.x - 6.0, inner.max.y), ..inner };
    let from = if shot.wave.cut() == CutPlane::Plan { "from above" } else { "from the left" };
    let kind = format!("How the sound of {} spreads", filmed.speaker_name());
    let kind = typeface::fit(&kind, 3.0, Weight::Semibold, 110.0);
    let height = lengths::with_fractions(&filmed.where_cut(&shot.wave));
    let state = filmed.state.name.map(|name| format!("variant: {name} · ")).unwrap_or_default();
    let room = filmed.scene.room().size().to_array();
    let room = room.map(|metres| lengths::written(metres, filmed.scene.units())).join(" × ");
    let about = [format!("{state}room {room}"), state.trim_end_matches(" · ").to_owned()];
    frame::headline(
        canvas,
        head,
        filmed.scene.title(),
        &kind,
        &format!("{from}, {height}"),
        &about,
    );
    fronts::key(canvas, &filmed.film, key, 2.4);
}

/// Caption over a room: the moment, and what happens then.
fn caption(
    canvas: &mut Canvas,
    filmed: &WavefrontView<'_>,
    KeyFrame { time_ms, says }: &KeyFrame,
    way_m: f64,
    space: Rect,
) {
    let at = |y: f64| space.min + DVec2::Y * y;
    let wide = space.size().x;
    let when = Text::new(format!("{time_ms:.1} ms"), at(5.0), 5.0).semibold();
    let after = typeface::width(&when.content, 5.0, Weight::Semibold) + 2.0;
    canvas.text(when);
    let way = lengths::written(way_m, filmed.scene.units());
    let way = typeface::fit(&way, 2.6, Weight::Regular, wide - after);
    canvas.text(Text::new(way, at(5.0) + DVec2::X * after, 2.6).secondary());
    for (row, line) in wrapped(says, 2.6, Weight::Regular, wide).into_iter().take(2).enumerate() {
        canvas.text(Text::new(line, at(9.4 + 3.5 * row as f64), 2.6));
    }
}

/// Columns and rows of rooms that a sheet may have.
const GRIDS: [[usize; 2]; 5] = [[3, 2], [2, 3], [4, 2], [3, 3], [5, 2]];

/// Places for the rooms: as many, beside and above each other, as make them cover most of the space.
fn cells(background: &Background<'_>, space: Rect) -> Vec<Rect> {
    let size = |[columns, rows]: [usize; 2]| {
        let gaps = DVec2::new(columns as f64 - 1.0, rows as f64 - 1.0) * GAP;
        (space.size() - gaps) / DVec2::new(columns as f64, rows as f64)
    };
    let covered = |[columns, rows]: [usize; 2]| {
        let room = size([columns, rows]) - DVec2::new(2.0 * WALL, 2.0 * WALL + WORDS);
        let scale = (room / background.side.size_m(background.room)).min_element().max(0.0);
        scale * scale * (columns * rows) as f64
    };
    let best = GRIDS.into_iter().reduce(|a, b| if covered(a) < covered(b) { b } else { a });
    let [columns, rows] = best.unwrap_or(GRIDS[0]);
    let size = size([columns, rows]);
    let place = |index: usize| {
        let place = DVec2::new((index % columns) as f64, (index / columns) as f64);
        let min = space.min + (size + DVec2::splat(GAP)) * place;
        Rect { min, max: min + size }
    };
    (0..columns * rows).map(place).collect()
}

/// A moment of the sheet, with what happens then.
struct KeyFrame {
    time_ms: f64,
    says: String,
}

/// The moments shown: half-way to the first seat, at it, its first and its loudest reflection, and the
/// end; then, gap by gap, what happens between.
fn chosen(filmed: &WavefrontView<'_>, count: usize) -> Vec<KeyFrame> {
    let until_ms = filmed.film.moment_ms(filmed.film.pictures());
    let mut moments = Vec::new();
    let first = filmed.listeners.first();
    for happening in &filmed.happenings {
        let time_ms = 1e3 * happening.time_s;
        let says = filmed.says(&happening.kind);
        match &happening.kind {
            EventKind::DirectReachesListener { listener, .. } if Some(listener) == first => {
                add(&mut moments, time_ms / 2.0, "on its way".to_owned());
                add(&mut moments, time_ms, says);
            }
            EventKind::ReflectionReachesListener { listener, .. } if Some(listener) == first => {
                add(&mut moments, time_ms, says);
            }
            _ => {}
        }
    }
    add(&mut moments, until_ms, String::new());
    while moments.len() < count {
        let Some((from_ms, to_ms)) = widest_gap(&moments) else { break };
        let middle_ms = (from_ms * to_ms).sqrt();
        // What happens near the middle of a gap says more than the middle.
        let near =
            filmed.happenings.iter().map(|h| (1e3 * h.time_s, h)).filter(|(time_ms, _)| {
                from_ms + ALIKE_MS < *time_ms && *time_ms < to_ms - ALIKE_MS
            });
        let off = |time_ms: f64| (time_ms / middle_ms).ln().abs();
        let nearest = near
            .min_by(|one, other| off(one.0).total_cmp(&off(other.0)))
            .filter(|(time_ms, _)| off(*time_ms) < 0.6 * (to_ms / middle_ms).ln());
        let before = moments.len();
        match nearest {
            Some((time_ms, happening)) => add(&mut moments, time_ms, filmed.says(&happening.kind)),
            None => add(&mut moments, middle_ms, String::new()),
        }
        if moments.len() == before {
            break;
        }
    }
    moments
}

/// Puts a moment in its place in time, unless it looks like one that is there.
fn add(moments: &mut Vec<KeyFrame>, time_ms: f64, says: String) {
    if moments.iter().all(|known| ALIKE_MS <= (known.time_ms - time_ms).abs()) {
        let place = moments.partition_point(|known| known.time_ms < time_ms);
        moments.insert(place, KeyFrame { time_ms, says });
    }
}

/// The two neighbours that are farthest apart in proportion.
fn widest_gap(moments: &[KeyFrame]) -> Option<(f64, f64)> {
    let gaps = moments.windows(2).map(|two| (two[0].time_ms, two[1].time_ms));
    gaps.max_by(|one, other| (one.1 / one.0).total_cmp(&(other.1 / other.0)))
}
