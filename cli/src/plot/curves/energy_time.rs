//! Energy against time at the seat: the first 50 ms with every arrival, and the first 500 ms.

use crate::canvas::{Canvas, Drawing, Rect};
use crate::plot::curves::energy_time_chart::{
    Arrivals, chart, early, figures, late, notes, stroke,
};
use crate::plot::curves::energy_time_groups::{groups_of_two, in_groups};
use crate::plot::data::input::Input;
use crate::plot::sheet::viewport::{Sheet, Window};
use crate::plot::sheet::{frame, speaker_key};
use glam::DVec2;

/// Lays out the curves: of one or two speakers over each other, of more in groups of two.
pub(crate) fn energy_time(input: &Input) -> Drawing {
    match groups_of_two(input) {
        groups if 1 < groups.len() => in_groups(input, &groups),
        _ => energy_time_sheet(input).drawing,
    }
}

/// The curves of all speakers over each other, with the viewport of their early part.
pub(crate) fn energy_time_sheet(input: &Input) -> Sheet {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let inner = frame.grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    frame::title(&mut canvas, head, input, "Energy against time", "at the seat");
    speaker_key::draw(&mut canvas, input, inner, stroke);

    let left = inner.min.x + 14.0;
    let early = early(Rect::new(left, 33.0, inner.max.x - 2.0, 117.0));
    let late = late(Rect::new(left, 133.0, inner.max.x - 2.0, 184.0));
    let all: Vec<usize> = (0..input.speakers.len()).collect();
    chart(&mut canvas, input, &all, &early, Some(Arrivals { numbered: 24, limit_in_words: true }));
    figures(&mut canvas, &early);
    chart(&mut canvas, input, &all, &late, None);
    figures(&mut canvas, &late);
    notes(&mut canvas, inner, "");
    let drawing = Drawing {
        name: "energy-time",
        title: format!("{}: energy against time at the seat", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    };
    // Axis, figures and their units; not the chart below.
    let part = Rect::new(frame.min.x + 0.5, early.space.min.y - 2.0, frame.max.x - 0.5, 126.0);
    let window = Window::of_curve("curve", "Energy against time, the first 50 ms", part, &early);
    Sheet { drawing, windows: vec![window] }
}
