//! The animation: frames one after another, as a GIF for a slide and as PNG files for whoever cuts films.

use crate::canvas::gif::{GifWriter, Palette};
use crate::canvas::text_column::wrapped;
use crate::canvas::{Canvas, Colour, Drawing, Paper, Point, Rect, Text, Weight, png, typeface};
use crate::content::wavefront::{RATE, Shot, WavefrontView, file_name};
use crate::io::write::OutputFile;
use crate::plot::palette::{self, line};
use crate::plot::room::projection::{Side, View};
use crate::plot::sheet::drawing_scale::{self, DrawingScale};
use crate::plot::sheet::frame::CAPTION;
use crate::plot::sheet::lengths;
use crate::plot::sheet::ordinate::WALL;
use crate::plot::wavefront::background::Background;
use crate::plot::wavefront::fronts::{self, KEY};
use anyhow::Result;
use earline_engine::analysis::wavefront::CutPlane;
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
pub(crate) struct Animation {
    /// The GIF, then every picture.
    pub(crate) outputs: Vec<OutputFile>,
    pictures: usize,
}

/// Size of an animation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Sizes {
    /// Number of its pictures.
    pub(crate) pictures: usize,
    /// Bytes of the GIF.
    pub(crate) film_bytes: usize,
}

impl Animation {
    /// Its size.
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
) -> Result<Animation> {
    let frames = Frames::new(filmed, shot)?;
    let pictures = filmed.film.pictures();
    let name = file_name(shot.wave.cut());
    let all: Vec<usize> = (1..=pictures).collect();
    let sampled: Vec<usize> = all.iter().copied().rev().step_by(SAMPLED).collect();
    let samples: Result<Vec<Pixmap>> =
        sampled.into_par_iter().map(|index| frames.picture(index)).collect();
    let palette = Palette::new(&plain_colours(), &samples?);
    let size = [SHEET.x, SHEET.y].map(|mm| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "720 by 540")]
        let dots = (mm * DOTS_PER_MM) as usize;
        dots
    });
    let mut film = GifWriter::new(size, &palette)?;
    let mut outputs = Vec::with_capacity(pictures + 1);
    for some in all.chunks(AT_ONCE) {
        let made: Result<Vec<(Vec<u8>, Vec<u8>)>> = some
            .par_iter()
            .map(|&index| {
                let pixels = frames.picture(index)?;
                more(1);
                let indexed = palette.indexed(&pixels);
                let file = png::with_palette(size, palette.bytes(), &indexed)?;
                Ok((indexed, file))
            })
            .collect();
        for (&index, (indexed, bytes)) in some.iter().zip(made?) {
            film.add(indexed, if index == pictures { LAST } else { DELAY })?;
            outputs.push(OutputFile { name: format!("{name}/{index:04}.png"), bytes });
        }
    }
    outputs.insert(0, OutputFile { name: format!("{name}.gif"), bytes: film.file()? });
    Ok(Animation { outputs, pictures })
}

/// Colours of fields and lines.
fn plain_colours() -> Vec<Colour> {
    let room = [
        palette::PAPER,
        palette::FLOOR,
        palette::INK,
        palette::SECONDARY,
        palette::WALL,
        palette::FURNITURE,
        palette::FURNITURE_EDGE,
        palette::PANEL,
        palette::PANEL_EDGE,
    ];
    room.into_iter().chain(fronts::colours()).collect()
}

/// Duration of a picture, hundredths of a second.
#[expect(clippy::cast_possible_truncation, reason = "a few hundredths")]
const DELAY: u16 = (100 / RATE) as u16;

/// Frames of an animation over the background they share.
struct Frames<'a> {
    filmed: &'a WavefrontView<'a>,
    shot: &'a Shot<'a>,
    background: Background<'a>,
    layout: FrameLayout,
    beneath: Pixmap,
}

/// Layout of a frame.
struct FrameLayout {
    view: View,
    heading: Rect,
    clock: Rect,
    story: Rect,
    key: Rect,
    foot: Rect,
    /// Beginning of the scale bar.
    bar: Point,
}

impl<'a> Frames<'a> {
    fn new(filmed: &'a WavefrontView<'a>, shot: &'a Shot<'a>) -> Result<Self> {
        let background = Background::new(filmed, shot.wave.cut());
        let layout = FrameLayout::of(&background);
        let beneath = png::rasterise(&still(filmed, shot, &background, &layout), DOTS_PER_MM)?;
        Ok(Self { filmed, shot, background, layout, beneath })
    }

    /// A picture, counted from one.
    fn picture(&self, index: usize) -> Result<Pixmap> {
        let mut pixels = self.beneath.clone();
        png::paint_over(&self.moving(index), &mut pixels)?;
        Ok(pixels)
    }

    /// The moving part of a frame.
    fn moving(&self, index: usize) -> Drawing {
        let time_ms = self.filmed.film.moment_ms(index);
        let moment = self.shot.wave.at(time_ms / 1e3);
        let mut canvas = Canvas::default();
        let (film, view) = (&self.filmed.film, &self.layout.view);
        fronts::sound(&mut canvas, view, film, (self.shot, &moment), 1.0);
        self.background.above(&mut canvas, view, true);
        clock(&mut canvas, self.filmed, time_ms, moment.distance_m, self.layout.clock);
        story(&mut canvas, self.filmed, time_ms, self.layout.story);
        sheet(canvas)
    }
}

/// The part that all frames share.
fn still(
    filmed: &WavefrontView<'_>,
    shot: &Shot<'_>,
    background: &Background<'_>,
    layout: &FrameLayout,
) -> Drawing {
    let mut canvas = Canvas::default();
    canvas.rect(Rect { min: DVec2::ZERO, max: SHEET }, Some(palette::PAPER), None);
    background.beneath(&mut canvas, &layout.view, true);
    heading(&mut canvas, filmed, shot, layout.heading);
    fronts::key(&mut canvas, &filmed.film, layout.key, SMALL);
    foot(&mut canvas, layout.foot);
    measure(&mut canvas, filmed, &layout.view, layout.bar);
    sheet(canvas)
}

/// A picture with what stays and what moves, and where in it the room is.
#[cfg(test)]
pub(crate) fn whole(
    filmed: &WavefrontView<'_>,
    shot: &Shot<'_>,
    index: usize,
) -> Result<(Drawing, Rect)> {
    let frames = Frames::new(filmed, shot)?;
    let mut drawing = still(filmed, shot, &frames.background, &frames.layout);
    drawing.items.extend(frames.moving(index).items);
    Ok((drawing, frames.layout.view.inside))
}

fn sheet(canvas: Canvas) -> Drawing {
    let paper = Paper::AsDrawn;
    Drawing { name: "wave", title: String::new(), size: SHEET, paper, items: canvas.items }
}

impl FrameLayout {
    fn of(background: &Background<'_>) -> Self {
        let inner = Rect { min: DVec2::splat(MARGIN), max: SHEET - DVec2::splat(MARGIN) };
        if background.side == Side::Plan {
            Self::beside(background, inner)
        } else {
            Self::under(background, inner)
        }
    }

    /// The room on the left, the words in a column beside it.
    fn beside(background: &Background<'_>, inner: Rect) -> Self {
        let most =
            Rect { max: DVec2::new(inner.max.x - BESIDE, inner.max.y), ..inner }.grown(-WALL);
        let view = background.view(most);
        let wide = view.inside.size().x;
        let view = background.view(Rect { max: DVec2::new(most.min.x + wide, most.max.y), ..most });
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
    fn under(background: &Background<'_>, inner: Rect) -> Self {
        let most = Rect { max: DVec2::new(inner.max.x, inner.max.y - UNDER), ..inner }.grown(-WALL);
        let view = background.view(most);
        let tall = view.inside.size().y;
        let view = background.view(Rect { max: DVec2::new(most.max.x, most.min.y + tall), ..most });
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

/// Heading: scene, state, speaker and direction of view.
fn heading(canvas: &mut Canvas, filmed: &WavefrontView<'_>, shot: &Shot<'_>, space: Rect) {
    let wide = space.size().x;
    let mut line = |content: &str, y: f64, size: f64, weight: Weight| {
        let content = typeface::fit(content, size, weight, wide);
        let line = Text::new(content, space.min + DVec2::Y * y, size);
        canvas.text(if weight == Weight::Semibold { line.semibold() } else { line.secondary() });
    };
    line(filmed.scene.title(), 3.4, 4.2, Weight::Semibold);
    line(&format!("The sound of {}", filmed.speaker_name()), 8.0, 3.0, Weight::Semibold);
    let from = if shot.wave.cut() == CutPlane::Plan { "from above" } else { "from the left" };
    let height = lengths::with_fractions(&filmed.where_cut(&shot.wave));
    line(&format!("{from}, {height}"), 12.0, SMALL, Weight::Regular);
    if let Some(state) = filmed.state.name {
        line(&format!("variant: {state}"), 15.6, SMALL, Weight::Regular);
    }
}

/// Foot of every frame.
fn foot(canvas: &mut Canvas, space: Rect) {
    let at = |y: f64| space.min + DVec2::Y * y;
    canvas.text(Text::new(LIMITS, at(2.8), 2.2).secondary());
    canvas.text(Text::new(CAPTION, at(6.2), 2.2).secondary());
}

/// Limits of the model, for the foot.
const LIMITS: &str = "Mirror paths only: nothing bends round edges or scatters.";

/// Draws a bar for scale from a point on.
fn measure(canvas: &mut Canvas, filmed: &WavefrontView<'_>, view: &View, from: Point) {
    let scale = DrawingScale { mm_per_m: view.mm_per_m, name: String::new() };
    let (step_m, count, unit, unit_m) = drawing_scale::bar(&scale, 18.0, filmed.scene.units());
    let long_m = step_m * count as f64;
    let to = from + DVec2::X * long_m * scale.mm_per_m;
    for ends in [[from, to], [from - DVec2::Y, from], [to - DVec2::Y, to]] {
        canvas.polyline(ends.to_vec(), line(palette::INK, 0.3));
    }
    let says = format!("{} {unit}", long_m / unit_m);
    canvas.text(Text::new(says, to + DVec2::X * 1.0, 2.3));
}

/// Clock: time, distance and slow motion.
fn clock(canvas: &mut Canvas, filmed: &WavefrontView<'_>, time_ms: f64, way_m: f64, space: Rect) {
    let at = |y: f64| space.min + DVec2::Y * y;
    canvas.text(Text::new(format!("{time_ms:.1} ms"), at(7.5), 9.0).semibold());
    let way = format!("sound has come {}", lengths::written(way_m, filmed.scene.units()));
    // As large as the longest way, so that it does not jump.
    let fits = |size: &f64| typeface::width(LONGEST_WAY, *size, Weight::Regular) <= space.size().x;
    let size = [3.2, 2.9, SMALL].into_iter().find(fits).unwrap_or(SMALL);
    canvas.text(Text::new(way, at(12.6), size));
    canvas.text(
        Text::new(format!("{} times slower than life", filmed.film.slow), at(17.0), SMALL)
            .secondary(),
    );
}

const LONGEST_WAY: &str = "sound has come 88 ft 10⅞ in";

/// Events so far, the latest at the end; as many lines as there is room for.
fn story(canvas: &mut Canvas, filmed: &WavefrontView<'_>, time_ms: f64, space: Rect) {
    let indent = 9.5;
    let wide = space.size().x - indent;
    let past = filmed.happenings.iter().filter(|h| 1e3 * h.time_s <= time_ms);
    let mut lines: Vec<(Option<String>, String)> = Vec::new();
    for happening in past {
        let when = format!("{:.1}", 1e3 * happening.time_s);
        for (index, line) in wrapped(&filmed.says(&happening.kind), SMALL, Weight::Regular, wide)
            .into_iter()
            .enumerate()
        {
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
            canvas.text(Text::new(when, at - DVec2::X * 1.6, SMALL).semibold().anchor_end());
        }
        canvas.text(Text::new(line, at, SMALL));
    }
}
