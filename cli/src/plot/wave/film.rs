//! The film: pictures one after another, as a GIF for a slide and as PNG files for whoever cuts films.

use super::super::border::CAPTION;
use super::super::canvas::{Canvas, words};
use super::super::model::{Colour, Drawing, Point, Rect, Weight};
use super::super::ordinate::WALL;
use super::super::palette::{self, line};
use super::super::scale::{self, Scale};
use super::super::view::{Side, View};
use super::super::{border, png, text};
use super::fronts::{self, KEY};
use super::gif::{Palette, Writer};
use super::stage::Stage;
use crate::content::wavefront::{RATE, Shot, WavefrontView, file_name};
use crate::io::write::Output;
use anyhow::Result;
use earline_engine::analysis::wavefront::Cut;
use glam::DVec2;
use rayon::prelude::*;
use resvg::tiny_skia::Pixmap;

/// A picture in millimetres: 720 × 540 pixels, as slides are.
const SHEET: DVec2 = DVec2::new(144.0, 108.0);
const DOTS_PER_MM: f64 = 5.0;
/// Between things and the edge.
const MARGIN: f64 = 2.5;
/// Least width of the words beside a plan, and least height of those under a section.
const BESIDE: f64 = 60.0;
const UNDER: f64 = 41.0;
/// Heights of title and what is shown, and of the two lines at the foot.
const HEADING: f64 = 17.5;
const FOOT: f64 = 6.6;
/// Between two lines of the story, and the size of its words.
const ROW: f64 = 3.7;
const SMALL: f64 = 2.6;

/// Pictures made at once: all of them are in memory for that long.
const AT_ONCE: usize = 32;
/// One in so many pictures is looked at for the palette.
const SAMPLED: usize = 12;
/// The last picture stays this long before the film begins again, hundredths of a second.
const LAST: u16 = 200;

/// The files of a film.
pub(crate) struct Reel {
    /// The GIF, then every picture.
    pub(crate) outputs: Vec<Output>,
    pictures: usize,
}

/// How large a film is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Sizes {
    /// How many pictures it has.
    pub(crate) pictures: usize,
    /// Bytes of the GIF.
    pub(crate) film_bytes: usize,
}

impl Reel {
    /// How large it is.
    pub(crate) fn sizes(&self) -> Sizes {
        let film_bytes = self.outputs.first().map_or(0, |film| film.bytes.len());
        Sizes { pictures: self.pictures, film_bytes }
    }
}

/// Films a cut; `more` is told when pictures are done.
///
/// # Errors
/// When a picture cannot be rendered or written.
pub(crate) fn shoot(
    filmed: &WavefrontView<'_>,
    shot: &Shot<'_>,
    more: &(dyn Fn(u64) + Sync),
) -> Result<Reel> {
    let set = Set::new(filmed, shot)?;
    let pictures = filmed.film.pictures();
    let name = file_name(shot.wave.cut());
    let all: Vec<usize> = (1..=pictures).collect();
    let sampled: Vec<usize> = all.iter().copied().rev().step_by(SAMPLED).collect();
    let samples: Result<Vec<Pixmap>> =
        sampled.into_par_iter().map(|index| set.picture(index)).collect();
    let palette = Palette::new(&plain_colours(), &samples?);
    let size = [SHEET.x, SHEET.y].map(|mm| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "720 by 540")]
        let dots = (mm * DOTS_PER_MM) as usize;
        dots
    });
    let mut film = Writer::new(size, &palette)?;
    let mut outputs = Vec::with_capacity(pictures + 1);
    for some in all.chunks(AT_ONCE) {
        let made: Result<Vec<(Vec<u8>, Vec<u8>)>> = some
            .par_iter()
            .map(|&index| {
                let pixels = set.picture(index)?;
                more(1);
                let indexed = palette.indexed(&pixels);
                let file = png::with_palette(size, palette.bytes(), &indexed)?;
                Ok((indexed, file))
            })
            .collect();
        for (&index, (indexed, bytes)) in some.iter().zip(made?) {
            film.add(indexed, if index == pictures { LAST } else { DELAY })?;
            outputs.push(Output { name: format!("{name}/{index:04}.png"), bytes });
        }
    }
    outputs.insert(0, Output { name: format!("{name}.gif"), bytes: film.file()? });
    Ok(Reel { outputs, pictures })
}

/// Colours of fields and lines.
fn plain_colours() -> Vec<Colour> {
    let room = [
        palette::PAPER,
        palette::FLOOR,
        palette::INK,
        palette::QUIET,
        palette::WALL,
        palette::FURNITURE,
        palette::FURNITURE_EDGE,
        palette::PANEL,
        palette::PANEL_EDGE,
    ];
    room.into_iter().chain(fronts::colours()).collect()
}

/// How long a picture stays, hundredths of a second.
#[expect(clippy::cast_possible_truncation, reason = "a few hundredths")]
const DELAY: u16 = (100 / RATE) as u16;

/// What stays the same from picture to picture.
struct Set<'a> {
    filmed: &'a WavefrontView<'a>,
    shot: &'a Shot<'a>,
    stage: Stage,
    places: Places,
    beneath: Pixmap,
}

/// Where everything is.
struct Places {
    view: View,
    heading: Rect,
    clock: Rect,
    story: Rect,
    key: Rect,
    foot: Rect,
    /// Where the bar for scale begins.
    bar: Point,
}

impl<'a> Set<'a> {
    fn new(filmed: &'a WavefrontView<'a>, shot: &'a Shot<'a>) -> Result<Self> {
        let stage = Stage::new(filmed, shot.wave.cut());
        let places = Places::of(&stage);
        let beneath = png::rasterise(&still(filmed, shot, &stage, &places), DOTS_PER_MM)?;
        Ok(Self { filmed, shot, stage, places, beneath })
    }

    /// A picture, counted from one.
    fn picture(&self, index: usize) -> Result<Pixmap> {
        let mut pixels = self.beneath.clone();
        png::paint_over(&self.moving(index), &mut pixels)?;
        Ok(pixels)
    }

    /// What a picture has over what stays.
    fn moving(&self, index: usize) -> Drawing {
        let time_ms = self.filmed.film.moment_ms(index);
        let moment = self.shot.wave.at(time_ms / 1e3);
        let mut canvas = Canvas::default();
        let (film, view) = (&self.filmed.film, &self.places.view);
        fronts::sound(&mut canvas, view, film, (self.shot, &moment), 1.0);
        self.stage.above(&mut canvas, view, true);
        clock(&mut canvas, self.filmed, time_ms, moment.distance_m, self.places.clock);
        story(&mut canvas, self.filmed, time_ms, self.places.story);
        sheet(canvas)
    }
}

/// What stays the same.
fn still(filmed: &WavefrontView<'_>, shot: &Shot<'_>, stage: &Stage, places: &Places) -> Drawing {
    let mut canvas = Canvas::default();
    canvas.rect(Rect { min: DVec2::ZERO, max: SHEET }, Some(palette::PAPER), None);
    stage.beneath(&mut canvas, &places.view, true);
    heading(&mut canvas, filmed, shot, places.heading);
    fronts::key(&mut canvas, &filmed.film, places.key, SMALL);
    foot(&mut canvas, places.foot);
    measure(&mut canvas, filmed, &places.view, places.bar);
    sheet(canvas)
}

/// A picture with what stays and what moves, and where in it the room is.
#[cfg(test)]
pub(super) fn whole(
    filmed: &WavefrontView<'_>,
    shot: &Shot<'_>,
    index: usize,
) -> Result<(Drawing, Rect)> {
    let set = Set::new(filmed, shot)?;
    let mut drawing = still(filmed, shot, &set.stage, &set.places);
    drawing.items.extend(set.moving(index).items);
    Ok((drawing, set.places.view.inside))
}

fn sheet(canvas: Canvas) -> Drawing {
    Drawing { name: "wave", title: String::new(), size: SHEET, items: canvas.items }
}

impl Places {
    fn of(stage: &Stage) -> Self {
        let inner = Rect { min: DVec2::splat(MARGIN), max: SHEET - DVec2::splat(MARGIN) };
        if stage.side == Side::Plan {
            Self::beside(stage, inner)
        } else {
            Self::under(stage, inner)
        }
    }

    /// The room on the left, the words in a column beside it.
    fn beside(stage: &Stage, inner: Rect) -> Self {
        let most =
            Rect { max: DVec2::new(inner.max.x - BESIDE, inner.max.y), ..inner }.grown(-WALL);
        let view = stage.view(most);
        let wide = view.inside.size().x;
        let view = stage.view(Rect { max: DVec2::new(most.min.x + wide, most.max.y), ..most });
        let column = Rect { min: DVec2::new(view.inside.max.x + WALL + 4.0, inner.min.y), ..inner };
        let slice = |from: f64, to: f64| Rect {
            min: DVec2::new(column.min.x, from),
            max: DVec2::new(column.max.x, to),
        };
        let Rect { min: DVec2 { y: top, .. }, max: DVec2 { y: end, .. } } = column;
        let key = end - FOOT - KEY - 1.5;
        Self {
            view,
            heading: slice(top, top + HEADING),
            clock: slice(top + HEADING + 1.5, top + HEADING + 21.0),
            story: slice(top + HEADING + 23.5, key - 6.5),
            bar: Point::new(column.min.x, key - 2.5),
            key: slice(key, end - FOOT),
            foot: slice(end - FOOT, end),
        }
    }

    /// The room on top, the words under it in three columns.
    fn under(stage: &Stage, inner: Rect) -> Self {
        let most = Rect { max: DVec2::new(inner.max.x, inner.max.y - UNDER), ..inner }.grown(-WALL);
        let view = stage.view(most);
        let tall = view.inside.size().y;
        let view = stage.view(Rect { max: DVec2::new(most.max.x, most.min.y + tall), ..most });
        let top = view.inside.max.y + WALL + 3.5;
        let end = inner.max.y;
        let part = |from: f64, to: f64, top: f64, end: f64| Rect {
            min: DVec2::new(inner.min.x + from, top),
            max: DVec2::new(inner.min.x + to, end),
        };
        Self {
            view,
            heading: part(0.0, 47.0, top, top + HEADING),
            clock: part(50.0, 89.0, top, end - FOOT),
            bar: Point::new(inner.min.x + 50.0, end - FOOT - 4.5),
            story: part(89.0, 139.0, top, end - FOOT),
            key: part(0.0, 47.0, end - FOOT - KEY - 1.5, end - FOOT),
            foot: part(0.0, 139.0, end - FOOT, end),
        }
    }
}

/// What is shown: scene, state, whose sound, from where.
fn heading(canvas: &mut Canvas, filmed: &WavefrontView<'_>, shot: &Shot<'_>, space: Rect) {
    let wide = space.size().x;
    let mut line = |content: &str, y: f64, size: f64, weight: Weight| {
        let content = text::fit(content, size, weight, wide);
        let line = words(content, space.min + DVec2::Y * y, size);
        canvas.text(if weight == Weight::Semibold { line.strong() } else { line.quiet() });
    };
    line(filmed.scene.title(), 3.4, 4.2, Weight::Semibold);
    line(&format!("The sound of {}", filmed.speaker_name()), 8.0, 3.0, Weight::Semibold);
    let from = if shot.wave.cut() == Cut::Plan { "from above" } else { "from the left" };
    let height = text::with_fractions(&filmed.where_cut(&shot.wave));
    line(&format!("{from}, {height}"), 12.0, SMALL, Weight::Regular);
    if let Some(state) = filmed.state.name {
        line(&format!("variant: {state}"), 15.6, SMALL, Weight::Regular);
    }
}

/// What is said at the foot of every picture.
fn foot(canvas: &mut Canvas, space: Rect) {
    let at = |y: f64| space.min + DVec2::Y * y;
    canvas.text(words(LIMITS, at(2.8), 2.2).quiet());
    canvas.text(words(CAPTION, at(6.2), 2.2).quiet());
}

/// What the pictures leave out.
const LIMITS: &str = "Mirror paths only: nothing bends round edges or scatters.";

/// Draws a bar for scale from a point on.
fn measure(canvas: &mut Canvas, filmed: &WavefrontView<'_>, view: &View, from: Point) {
    let scale = Scale { mm_per_m: view.mm_per_m, name: String::new() };
    let (step_m, count, unit, unit_m) = scale::bar(&scale, 18.0, filmed.scene.units());
    let long_m = step_m * count as f64;
    let to = from + DVec2::X * long_m * scale.mm_per_m;
    for ends in [[from, to], [from - DVec2::Y, from], [to - DVec2::Y, to]] {
        canvas.polyline(ends.to_vec(), line(palette::INK, 0.3));
    }
    let says = format!("{} {unit}", long_m / unit_m);
    canvas.text(words(says, to + DVec2::X * 1.0, 2.3));
}

/// How far the film is.
fn clock(canvas: &mut Canvas, filmed: &WavefrontView<'_>, time_ms: f64, way_m: f64, space: Rect) {
    let at = |y: f64| space.min + DVec2::Y * y;
    canvas.text(words(format!("{time_ms:.1} ms"), at(7.5), 9.0).strong());
    let way = format!("sound has come {}", border::length(way_m, filmed.scene.units()));
    // As large as the longest way, so that it does not jump.
    let fits = |size: &f64| text::width(LONGEST_WAY, *size, Weight::Regular) <= space.size().x;
    let size = [3.2, 2.9, SMALL].into_iter().find(fits).unwrap_or(SMALL);
    canvas.text(words(way, at(12.6), size));
    canvas.text(
        words(format!("{} times slower than life", filmed.film.slow), at(17.0), SMALL).quiet(),
    );
}

const LONGEST_WAY: &str = "sound has come 88 ft 10⅞ in";

/// What has happened so far, the latest at the end; as many lines as there is room for.
fn story(canvas: &mut Canvas, filmed: &WavefrontView<'_>, time_ms: f64, space: Rect) {
    let indent = 9.5;
    let wide = space.size().x - indent;
    let past = filmed.happenings.iter().filter(|h| 1e3 * h.time_s <= time_ms);
    let mut lines: Vec<(Option<String>, String)> = Vec::new();
    for happening in past {
        let when = format!("{:.1}", 1e3 * happening.time_s);
        for (index, line) in wrapped(&filmed.says(&happening.what), wide).into_iter().enumerate() {
            lines.push(((index == 0).then(|| when.clone()), line));
        }
    }
    let rows = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16];
    let rows = rows.into_iter().rev().find(|&n| f64::from(n) * ROW <= space.size().y).unwrap_or(1);
    let hidden = lines.len().saturating_sub(usize::try_from(rows).unwrap_or(1));
    // No half sentence at the top: go on to where the next one begins, if it does.
    let rest = lines[hidden..].iter().position(|(when, _)| when.is_some()).unwrap_or(0);
    let hidden = hidden + rest;
    for (row, (when, line)) in lines.into_iter().skip(hidden).enumerate() {
        let at = space.min + DVec2::new(indent, ROW * row as f64 + SMALL);
        if let Some(when) = when {
            canvas.text(words(when, at - DVec2::X * 1.6, SMALL).strong().ending_here());
        }
        canvas.text(words(line, at, SMALL));
    }
}

/// Words in lines no wider than a width.
pub(super) fn wrapped(says: &str, wide: f64) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in says.split_whitespace() {
        let Some(line) = lines.last_mut() else { break };
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if line.is_empty() || text::width(&longer, SMALL, Weight::Regular) <= wide {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines.into_iter().map(|line| text::fit(&line, SMALL, Weight::Regular, wide)).collect()
}
