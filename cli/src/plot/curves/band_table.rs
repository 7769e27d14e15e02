//! Times and judgements under the octave bands they belong to.

use crate::canvas::{Canvas, Point, Rect, Text, Weight, typeface};
use crate::content::criterion::word;
use crate::plot::axes::Axes;
use crate::plot::curves::decay;
use crate::plot::data::decay_view::{SeatDecay, SpeakerDecay, Time};
use crate::plot::data::input::Input;
use crate::plot::palette::{self, line};
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::Judgement;
use glam::DVec2;

/// Height of a row: a line with the times, one with the judgements.
const ROW: f64 = 9.2;
/// Size of the words.
const WORDS: f64 = 2.4;

/// Number of speakers that have a row in a height.
pub(crate) fn rows(speakers: usize, height: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a sheet has a few rows"
    )]
    let fitting = (height / ROW).max(0.0) as usize;
    if speakers <= fitting { speakers } else { fitting.saturating_sub(1) }
}

/// Height of so many speakers' rows.
pub(crate) fn height(speakers: usize) -> f64 {
    ROW * speakers as f64
}

/// Writes the rows of the first speakers from a height down, names in the space left of the chart.
pub(crate) fn draw(
    canvas: &mut Canvas,
    input: &Input,
    decay: &SeatDecay,
    axes: &Axes,
    space: Rect,
    shown: usize,
) {
    for (row, speaker) in decay.speakers.iter().take(shown).enumerate() {
        let top = space.min.y + ROW * row as f64;
        let rule = vec![Point::new(space.min.x, top), Point::new(space.max.x, top)];
        canvas.polyline(rule, line(palette::RULE, 0.12));
        let at = Point::new(space.min.x, top + 3.2);
        let name = input.speakers.get(speaker.speaker).map_or("", |of| of.name.as_str());
        let room = axes.x(NOMINAL_HZ[0]) - 11.0 - space.min.x;
        let name = typeface::fit(name, WORDS, Weight::Semibold, room);
        canvas.text(Text::new(name, at, WORDS).semibold().middle_baseline());
        canvas.sample(at + DVec2::Y * 3.4, 9.0, decay::stroke(speaker.speaker));
        times(canvas, speaker, axes, top);
    }
}

fn times(canvas: &mut Canvas, speaker: &SpeakerDecay, axes: &Axes, top: f64) {
    for (hz, time) in NOMINAL_HZ.into_iter().zip(&speaker.t20) {
        let middle = Point::new(axes.x(hz), top + 3.2);
        let Some(time) = time else {
            canvas.text(Text::new("–", middle, WORDS).secondary().centred().middle_baseline());
            continue;
        };
        canvas.text(Text::new(time.with_error(), middle, WORDS).centred().middle_baseline());
        judgement(canvas, time, middle + DVec2::Y * 3.4);
    }
}

/// The judgement in a word, so that it needs no colour.
fn judgement(canvas: &mut Canvas, time: &Time, middle: Point) {
    let Some(judgement) = time.judgement else { return };
    let colour = match judgement {
        Judgement::Pass => palette::TOLERANCE_EDGE,
        Judgement::Near => palette::INK,
        Judgement::Miss => palette::OVER,
    };
    let says =
        Text::new(word(judgement), middle, WORDS).coloured(colour).centred().middle_baseline();
    canvas.text(says.semibold());
}
