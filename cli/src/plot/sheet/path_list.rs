//! The list that the numbers on a drawing refer to.

use crate::canvas::{Canvas, Point, Rect, Text, Weight, typeface};
use crate::plot::data::input::{Bounce, Input, LimitVerdict, Path, letter};
use crate::plot::palette::{self, line};
use crate::plot::room::paths;
use crate::plot::sheet::{badge, lengths};
use earline_engine::scene::Units;
use glam::DVec2;

/// A list that has been fitted to its place.
#[derive(Debug, Clone)]
pub(crate) struct FittedList<'a> {
    /// The paths that have a place on the sheet, in the order of the input.
    pub(crate) shown: Vec<&'a Path>,
    /// Number of paths without a place.
    left_out: usize,
    /// Height of a row, millimetres.
    pitch: f64,
}

/// Height of a row where there is room, and how small it may become.
const PITCHES: [f64; 4] = [3.9, 3.6, 3.3, 3.0];

/// Chooses which paths fit in columns of these heights, and how large they are written. First
/// order goes before second, strong before weak.
pub(crate) fn fit<'a>(
    input: &'a Input<'a>,
    paths: Vec<&'a Path>,
    columns: &[Rect],
) -> FittedList<'a> {
    let mut shown = paths;
    let all = shown.len();
    for pitch in PITCHES {
        if fits(input, &shown, columns, pitch, 0) {
            return FittedList { shown, left_out: 0, pitch };
        }
    }
    let pitch = PITCHES[PITCHES.len() - 1];
    while !fits(input, &shown, columns, pitch, 1) {
        let Some((weakest, _)) = shown.iter().enumerate().max_by(|(_, a), (_, b)| {
            a.order().cmp(&b.order()).then(b.level_db.total_cmp(&a.level_db))
        }) else {
            break;
        };
        shown.remove(weakest);
    }
    FittedList { left_out: all - shown.len(), shown, pitch }
}

/// A row or rows that stay together.
enum ListBlock<'a> {
    Speaker(usize),
    Path(&'a Path),
}

impl ListBlock<'_> {
    fn rows(&self) -> usize {
        match self {
            Self::Speaker(_) => 1,
            Self::Path(path) => path.bounces.len().max(1),
        }
    }
}

fn blocks<'a>(input: &Input, paths: &[&'a Path]) -> Vec<ListBlock<'a>> {
    (0..input.speakers.len())
        .flat_map(|speaker| {
            let own: Vec<ListBlock<'a>> = paths
                .iter()
                .filter(|path| path.speaker == speaker)
                .map(|&path| ListBlock::Path(path))
                .collect();
            let heading = (!own.is_empty()).then_some(ListBlock::Speaker(speaker));
            heading.into_iter().chain(own)
        })
        .collect()
}

/// Blocks dealt out evenly to columns; `None` if they do not fit.
fn deal<'a>(
    paths: &[&'a Path],
    input: &Input,
    columns: &[Rect],
    pitch: f64,
) -> Option<Vec<Vec<ListBlock<'a>>>> {
    let rows = || (1..=80).map(f64::from);
    let attempt = |most, whole| deal_rows(blocks(input, paths), columns, pitch, most, whole);
    // Each speaker's list in one piece, if that fits.
    rows()
        .find_map(|most| attempt(most, true))
        .or_else(|| rows().find_map(|most| attempt(most, false)))
}

/// Blocks dealt out with no more than this many rows in a column.
fn deal_rows<'a>(
    blocks: Vec<ListBlock<'a>>,
    columns: &[Rect],
    pitch: f64,
    most: f64,
    speakers_whole: bool,
) -> Option<Vec<Vec<ListBlock<'a>>>> {
    let capacity = |column: &Rect| ((column.size().y / pitch).floor() - 1.0).clamp(0.0, most);
    let mut dealt: Vec<Vec<ListBlock<'a>>> = vec![Vec::new()];
    let mut used = 0.0;
    let mut blocks = blocks.into_iter();
    while let Some(block) = blocks.next() {
        let rows = block.rows() as f64;
        let ahead = blocks.as_slice().iter().take_while(|next| matches!(next, ListBlock::Path(_)));
        // A speaker's heading keeps its first path with it, or all of them.
        let kept = match block {
            ListBlock::Speaker(_) if speakers_whole => ahead.count(),
            ListBlock::Speaker(_) => 1,
            ListBlock::Path(_) => 0,
        };
        let together =
            rows + blocks.as_slice().iter().take(kept).map(ListBlock::rows).sum::<usize>() as f64;
        if used + together > capacity(columns.get(dealt.len() - 1)?) {
            dealt.push(Vec::new());
            used = 0.0;
            if let ListBlock::Path(path) = &block {
                // A speaker's list that goes on in the next column has its name there too.
                dealt.last_mut()?.push(ListBlock::Speaker(path.speaker));
                used = 1.0;
            }
            if used + together > capacity(columns.get(dealt.len() - 1)?) {
                return None;
            }
        }
        used += rows;
        dealt.last_mut()?.push(block);
    }
    Some(dealt)
}

fn fits(input: &Input, paths: &[&Path], columns: &[Rect], pitch: f64, spare_rows: usize) -> bool {
    let shorter: Vec<Rect> = columns
        .iter()
        .map(|c| Rect { max: c.max - DVec2::new(0.0, pitch * spare_rows as f64), ..*c })
        .collect();
    deal(paths, input, &shorter, pitch).is_some()
}

/// Height that a list in this many equal columns would like, millimetres.
pub(crate) fn height(input: &Input, paths: &[&Path], columns: usize) -> f64 {
    let rows: usize = blocks(input, paths).iter().map(ListBlock::rows).sum();
    (rows.div_ceil(columns.max(1)) + 2) as f64 * PITCHES[0]
}

impl FittedList<'_> {
    /// Writes the list.
    pub(crate) fn draw(&self, canvas: &mut Canvas, input: &Input, columns: &[Rect]) {
        let size = (self.pitch * 0.66).min(2.4);
        let Some(dealt) = deal(&self.shown, input, columns, self.pitch) else {
            return;
        };
        let last = dealt.len().saturating_sub(1);
        for (index, (column, blocks)) in columns.iter().zip(dealt).enumerate() {
            let table = ListColumns::new(input, &self.shown, *column, size);
            let mut y = column.min.y + self.pitch * 0.5;
            table.heading(canvas, y);
            for block in blocks {
                y += self.pitch;
                match block {
                    ListBlock::Speaker(index) => table.speaker(canvas, input, index, y),
                    ListBlock::Path(path) => {
                        table.path(canvas, input.units, path, y, self.pitch);
                        y += self.pitch * (path.bounces.len().max(1) - 1) as f64;
                    }
                }
            }
            if self.left_out > 0 && index == last {
                let note = format!("and {} weaker ones, in reflections.csv", self.left_out);
                let at = Point::new(table.what, y + self.pitch);
                canvas.text(Text::new(note, at, size).secondary().middle_baseline());
            }
        }
    }
}

/// The columns of one table: left edges of words, right edges of figures, middle of the mark.
struct ListColumns {
    left: f64,
    what: f64,
    tape: f64,
    late: f64,
    level: f64,
    mark: f64,
    size: f64,
}

impl ListColumns {
    fn new(input: &Input, paths: &[&Path], space: Rect, size: f64) -> Self {
        let tape_width = paths
            .iter()
            .flat_map(|path| &path.bounces)
            .map(|bounce| typeface::width(&tape(bounce, input.units), size, Weight::Regular))
            .fold(typeface::width("put the tape: from …", size, Weight::Semibold), f64::max);
        let mark = space.max.x - 1.6;
        let level = mark - 3.0;
        let late = level - typeface::width("−88.8 dB", size, Weight::Regular);
        let tape = late - typeface::width("888.8", size, Weight::Regular) - 2.0 - tape_width;
        Self { left: space.min.x, what: space.min.x + 6.6, tape, late, level, mark, size }
    }

    fn heading(&self, canvas: &mut Canvas, y: f64) {
        let word = |content: &str, x: f64| {
            Text::new(content, Point::new(x, y), self.size).semibold().secondary().middle_baseline()
        };
        canvas.text(word("bounces off", self.what));
        canvas.text(word("put the tape: from …", self.tape));
        canvas.text(word("ms", self.late).anchor_end());
        canvas.text(word("dB", self.level).anchor_end());
        let under = y + self.size * 0.85;
        let rule = vec![Point::new(self.left, under), Point::new(self.mark + 1.6, under)];
        canvas.polyline(rule, line(palette::RULE, 0.2));
    }

    fn speaker(&self, canvas: &mut Canvas, input: &Input, index: usize, y: f64) {
        canvas.sample(Point::new(self.left, y + 0.3), 10.0, paths::stroke(index, 1));
        let name = input.speakers.get(index).map_or("", |speaker| &speaker.name);
        let at = Point::new(self.left + 12.0, y + 0.3);
        let name = typeface::fit(name, self.size, Weight::Semibold, self.mark - at.x);
        canvas.text(Text::new(name, at, self.size).semibold().middle_baseline());
    }

    fn path(&self, canvas: &mut Canvas, units: Units, path: &Path, y: f64, pitch: f64) {
        let tag = paths::badge(path, 0);
        let tag = badge::Badge { content: path.tag.clone(), ..tag };
        let scale = (pitch * 0.97 / badge::HEIGHT).min(1.0);
        tag.draw_scaled(canvas, Point::new(self.left + tag.size().x * scale / 2.0, y), scale);
        for (index, bounce) in path.bounces.iter().enumerate() {
            let row = y + pitch * index as f64;
            let what = match path.bounces.len() {
                1 => bounce.what.clone(),
                _ => format!("{} {}", letter(index), bounce.what),
            };
            let what =
                typeface::fit(&what, self.size, Weight::Regular, self.tape - self.what - 1.5);
            canvas.text(Text::new(what, Point::new(self.what, row), self.size).middle_baseline());
            let tape = Text::new(tape(bounce, units), Point::new(self.tape, row), self.size);
            canvas.text(tape.middle_baseline());
        }
        let figures = [
            (format!("{:.1}", path.after_direct_ms), self.late),
            (decibels(path.level_db), self.level),
        ];
        for (figure, right) in figures {
            canvas.text(
                Text::new(figure, Point::new(right, y), self.size).anchor_end().middle_baseline(),
            );
        }
        verdict(canvas, Point::new(self.mark, y), path.verdict);
    }
}

/// A level with a real minus sign.
pub(crate) fn decibels(level_db: f64) -> String {
    format!("{level_db:.1}").replace('-', "−")
}

/// The mark for how a reflection stands to the limit: a filled triangle over it, a tick within.
pub(crate) fn verdict(canvas: &mut Canvas, middle: Point, verdict: LimitVerdict) {
    let at = |x: f64, y: f64| middle + DVec2::new(x, y);
    match verdict {
        LimitVerdict::Over => {
            let triangle = vec![at(0.0, -1.1), at(1.15, 0.85), at(-1.15, 0.85)];
            canvas.polygon(triangle, palette::OVER, line(palette::OVER, 0.15));
        }
        LimitVerdict::Within => {
            canvas.polyline(
                vec![at(-0.9, 0.1), at(-0.25, 0.8), at(1.0, -0.9)],
                line(palette::PANEL_EDGE, 0.35),
            );
        }
        LimitVerdict::Unjudged => {}
    }
}

/// Tape distances in words: `front 1.34 m · floor 1.20 m`.
fn tape(bounce: &Bounce, units: Units) -> String {
    bounce
        .tape
        .iter()
        .map(|from| format!("{} {}", from.surface.name(), lengths::written(from.metres, units)))
        .collect::<Vec<_>>()
        .join(" · ")
}
