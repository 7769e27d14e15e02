//! Wavefronts as lines coloured by level, and rays with a dot at their head.

use crate::canvas::{Canvas, Colour, Point, Rect, Text};
use crate::content::wavefront::{Film, Shot};
use crate::plot::palette::{self, line};
use crate::plot::room::projection::View;
use earline_engine::analysis::wavefront::{Frame, Wavefront};
use glam::DVec2;

/// Shades, and the decibels from one to the next; the loudest is for 0 dB and more.
const SHADES: usize = 10;
const STEP_DB: f64 = 3.0;
/// Shades left out at the pale end, which paper would swallow.
const TOO_PALE: usize = 2;
/// Least level drawn, decibels.
pub(crate) const LEAST_DB: f64 = -STEP_DB * (SHADES - 1) as f64;
/// Widths of the quietest and the loudest front, millimetres.
const WIDTHS: [f64; 2] = [0.22, 0.95];

/// Length of a ray drawn behind its tip, metres.
const TAIL_M: f64 = 0.6;

/// The shade of a level; `None` where it is too quiet to draw.
fn shade(level_db: f64) -> Option<usize> {
    if level_db < LEAST_DB {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative")]
    let shade = ((level_db - LEAST_DB) / STEP_DB) as usize;
    Some(shade.min(SHADES - 1))
}

/// Every colour of the sound.
pub(crate) fn colours() -> Vec<Colour> {
    (0..SHADES).map(colour).chain([palette::RAY, palette::RAY_HEAD]).collect()
}

fn colour(shade: usize) -> Colour {
    palette::level(shade + TOO_PALE, SHADES + TOO_PALE)
}

fn width(shade: usize) -> f64 {
    let [least, greatest] = WIDTHS;
    least + (greatest - least) * shade as f64 / (SHADES - 1) as f64
}

/// Draws every front that is loud enough, the loudest on top; `thin` is a factor on their widths.
fn fronts(canvas: &mut Canvas, view: &View, film: &Film, moment: &Frame, thin: f64) {
    let mut lines: Vec<Vec<Vec<Point>>> = vec![Vec::new(); SHADES];
    for front in &moment.fronts {
        for (shade, points) in shaded(film, view, front) {
            lines[shade].push(points);
        }
    }
    for (shade, lines) in lines.into_iter().enumerate() {
        for points in lines {
            canvas.polyline(points, line(colour(shade), width(shade) * thin));
        }
    }
}

/// The stretches of a front that have one shade; each begins where the last one ended.
fn shaded(film: &Film, view: &View, front: &Wavefront) -> Vec<(usize, Vec<Point>)> {
    let mut stretches: Vec<(usize, Vec<Point>)> = Vec::new();
    let mut before = None;
    for ends in front.points.windows(2) {
        let level_db = ends.iter().map(|end| film.level_db(&end.band_energy)).sum::<f64>() / 2.0;
        let now = shade(level_db);
        if let Some(shade) = now {
            match stretches.last_mut() {
                Some((_, points)) if before == now => points.push(view.at(ends[1].at)),
                _ => stretches.push((shade, ends.iter().map(|end| view.at(end.at)).collect())),
            }
        }
        before = now;
    }
    stretches
}

/// Draws fronts and rays of a moment.
pub(crate) fn sound(
    canvas: &mut Canvas,
    view: &View,
    film: &Film,
    (shot, moment): (&Shot<'_>, &Frame),
    thin: f64,
) {
    let heads = tails(canvas, view, film, shot, moment.distance_m);
    fronts(canvas, view, film, moment, thin);
    for head in heads {
        canvas.circle(head, 0.55 * thin, Some(palette::RAY_HEAD), None);
    }
}

/// Draws the last stretch of each ray that still carries enough; returns where their heads are.
fn tails(canvas: &mut Canvas, view: &View, film: &Film, shot: &Shot<'_>, way_m: f64) -> Vec<Point> {
    let mut heads = Vec::new();
    let fine = line(palette::RAY, 0.16);
    for track in &shot.tracks {
        let Some(head) = shot.wave.tip(track, way_m) else { continue };
        if film.level_db(&head.band_energy) < LEAST_DB {
            continue;
        }
        let tail: Vec<Point> = track.tail(way_m, TAIL_M).iter().map(|p| view.at(*p)).collect();
        canvas.polyline(tail, fine);
        heads.push(view.at(head.at));
    }
    heads
}

/// Height of the key.
pub(crate) const KEY: f64 = 10.5;

/// Says what the shades stand for, in a space; `size` is that of the words.
pub(crate) fn key(canvas: &mut Canvas, film: &Film, space: Rect, size: f64) {
    let says = format!("Level, {}: dB against 1 m on axis", film.range());
    canvas.text(Text::new(says, space.min + DVec2::Y * size, size).secondary());
    let wide = space.size().x / SHADES as f64;
    for index in 0..SHADES {
        let left = space.min + DVec2::new(wide * index as f64, size + 3.2);
        let ends = vec![left, left + DVec2::X * wide];
        canvas.polyline(ends, line(colour(index), 2.0 * width(index)));
        let edge_db = LEAST_DB + STEP_DB * index as f64;
        if index % 3 == 2 {
            let figure = format!("{edge_db:.0}").replace('-', "\u{2212}");
            let under = left + DVec2::Y * (size + 1.6);
            canvas.text(Text::new(figure, under, size).secondary().centred());
        }
    }
}
