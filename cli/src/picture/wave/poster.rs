//! The poster: the most telling moments of a film on one sheet for print.

use super::super::border::{self, CAPTION};
use super::super::canvas::{Canvas, words};
use super::super::model::{Drawing, Point, Rect, Weight};
use super::super::ordinate::WALL;
use super::super::text;
use super::fronts;
use super::stage::Stage;
use crate::filmed::{Filmed, Shot, file_name};
use earline_engine::wavefront::{Cut, Moment, What, Which};
use glam::DVec2;
use rayon::prelude::*;

/// Moments on the sheet.
const MOMENTS: usize = 6;
/// Heights of title and key, of the words over a room, and of the foot.
const TITLE: f64 = 19.0;
const WORDS: f64 = 12.5;
const FOOT: f64 = 5.0;
/// Between rooms.
const GAP: f64 = 4.0;
/// Fronts on the sheet are this much finer than in the film.
const THIN: f64 = 0.62;
/// Moments closer than this look alike, milliseconds.
const ALIKE_MS: f64 = 0.6;

/// Lays out the sheet.
pub(crate) fn poster(filmed: &Filmed<'_>, shot: &Shot<'_>) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = border::frame(&mut canvas).grown(-4.0);
    let cut = shot.wave.cut();
    heading(&mut canvas, filmed, shot, inner);
    let stage = Stage::new(filmed, cut);
    let space = Rect::new(inner.min.x, inner.min.y + TITLE, inner.max.x, inner.max.y - FOOT);
    let chosen = chosen(filmed);
    let moments: Vec<Moment> =
        chosen.par_iter().map(|(time_ms, _)| shot.wave.at(time_ms / 1e3)).collect();
    for ((cell, moment), (time_ms, says)) in cells(&stage, space).iter().zip(&moments).zip(&chosen)
    {
        let room = Rect { min: cell.min + DVec2::Y * WORDS, ..*cell }.grown(-WALL);
        let view = stage.view(room);
        let words_at = Point::new(view.inside.min.x - WALL, view.inside.min.y - WALL - WORDS);
        let wide = view.inside.size().x + 2.0 * WALL;
        caption(
            &mut canvas,
            filmed,
            *time_ms,
            moment.distance_m,
            says,
            Rect { min: words_at, max: words_at + DVec2::new(wide, WORDS) },
        );
        stage.beneath(&mut canvas, &view, false);
        fronts::sound(&mut canvas, &view, &filmed.film, (shot, moment), THIN);
        stage.above(&mut canvas, &view, false);
    }
    canvas.text(words(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).quiet());
    let at = Point::new(inner.max.x, inner.max.y);
    canvas.text(words(LIMITS, at, 2.3).quiet().ending_here());
    Drawing {
        name: file_name(cut),
        title: format!(
            "{}: how the sound of {} spreads",
            filmed.scene.title(),
            filmed.speaker_name()
        ),
        size: border::SHEET,
        items: canvas.items,
    }
}

const LIMITS: &str = "Dark lines: wavefronts. Red dots: rays, with the last 0.9 m of their way. \
                      Mirror paths only: nothing bends round edges or scatters.";

fn heading(canvas: &mut Canvas, filmed: &Filmed<'_>, shot: &Shot<'_>, inner: Rect) {
    let key = Rect::new(inner.max.x - 92.0, inner.min.y, inner.max.x, inner.min.y + fronts::KEY);
    let head = Rect { max: DVec2::new(key.min.x - 6.0, inner.max.y), ..inner };
    let from = if shot.wave.cut() == Cut::Plan { "from above" } else { "from the left" };
    let kind = format!("How the sound of {} spreads", filmed.speaker_name());
    let kind = text::fit(&kind, 3.0, Weight::Semibold, 110.0);
    let height = text::with_fractions(&filmed.where_cut(&shot.wave));
    let state = filmed.state.name.map(|name| format!("variant: {name} · ")).unwrap_or_default();
    let room = filmed.scene.room().size().to_array();
    let room = room.map(|metres| border::length(metres, filmed.scene.units())).join(" × ");
    let about = [format!("{state}room {room}"), state.trim_end_matches(" · ").to_owned()];
    border::headline(
        canvas,
        head,
        filmed.scene.title(),
        &kind,
        &format!("{from}, {height}"),
        &about,
    );
    fronts::key(canvas, &filmed.film, key, 2.4);
}

/// What is over a room: the moment, and what happens then.
fn caption(
    canvas: &mut Canvas,
    filmed: &Filmed<'_>,
    time_ms: f64,
    way_m: f64,
    says: &str,
    space: Rect,
) {
    let at = |y: f64| space.min + DVec2::Y * y;
    let wide = space.size().x;
    let when = words(format!("{time_ms:.1} ms"), at(5.0), 5.0).strong();
    let after = text::width(&when.content, 5.0, Weight::Semibold) + 2.0;
    canvas.text(when);
    let way = border::length(way_m, filmed.scene.units());
    let way = text::fit(&way, 2.6, Weight::Regular, wide - after);
    canvas.text(words(way, at(5.0) + DVec2::X * after, 2.6).quiet());
    canvas.text(words(text::fit(says, 2.6, Weight::Regular, wide), at(9.6), 2.6));
}

/// Places for the rooms: as many beside each other as make them largest.
fn cells(stage: &Stage, space: Rect) -> Vec<Rect> {
    let cell = |columns: usize| {
        let rows = MOMENTS.div_ceil(columns);
        let gaps = DVec2::new(columns as f64 - 1.0, rows as f64 - 1.0) * GAP;
        (space.size() - gaps) / DVec2::new(columns as f64, rows as f64)
    };
    let scale = |columns: usize| {
        let room = cell(columns) - DVec2::new(2.0 * WALL, 2.0 * WALL + WORDS);
        (room / stage.side.size_m(&stage.room)).min_element()
    };
    let columns = [2, 3, 6]
        .into_iter()
        .reduce(|best, next| if scale(best) < scale(next) { next } else { best })
        .unwrap_or(3);
    let size = cell(columns);
    (0..MOMENTS)
        .map(|index| {
            let place = DVec2::new((index % columns) as f64, (index / columns) as f64);
            let min = space.min + (size + DVec2::splat(GAP)) * place;
            Rect { min, max: min + size }
        })
        .collect()
}

/// The moments shown, with what happens then: half-way to the first seat, at it, its first and its
/// loudest reflection, the end; and what lies between where these leave room.
fn chosen(filmed: &Filmed<'_>) -> Vec<(f64, String)> {
    let until_ms = filmed.film.moment_ms(filmed.film.pictures());
    let first = filmed.listeners.first().copied();
    let mut moments: Vec<(f64, String)> = Vec::new();
    let add = |moments: &mut Vec<(f64, String)>, time_ms: f64, says: String| {
        let is_new = moments.iter().all(|(known, _)| ALIKE_MS <= (known - time_ms).abs());
        if is_new && time_ms <= until_ms && moments.len() < MOMENTS {
            moments.push((time_ms, says));
        }
    };
    for happening in &filmed.happenings {
        let time_ms = 1e3 * happening.time_s;
        match &happening.what {
            What::Passes { listener, .. } if Some(*listener) == first => {
                add(&mut moments, time_ms / 2.0, "on its way".to_owned());
                add(&mut moments, time_ms, filmed.says(&happening.what));
            }
            What::Reflects { listener, which, .. } if Some(*listener) == first => {
                let is_first = *which != Which::Loudest;
                let says = filmed.says(&happening.what);
                add(&mut moments, time_ms, says);
                if is_first {
                    add(&mut moments, until_ms, "and so on".to_owned());
                }
            }
            _ => {}
        }
    }
    let filling = (0..).map(|i: i32| 0.8f64.powi(i) * until_ms);
    for time_ms in filling.take_while(|time_ms| 0.05 * until_ms < *time_ms) {
        add(&mut moments, time_ms, String::new());
    }
    moments.sort_by(|one, other| one.0.total_cmp(&other.0));
    moments
}
