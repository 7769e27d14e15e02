//! Energy against time of more than two speakers: charts of two each, for four curves in one are not read.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text, Weight, typeface};
use crate::plot::curves::energy_time_chart::{Arrivals, chart, early, late, notes, stroke};
use crate::plot::data::input::Input;
use crate::plot::sheet::{frame, speaker_key};
use glam::DVec2;

/// Groups on the sheet.
const GROUPS: usize = 3;
/// Top of the first chart, top of the whole decays and bottom of these, millimetres.
const HEIGHTS: [f64; 3] = [31.0, 147.0, 184.0];
/// Number of arrivals that get their number in each chart.
const NUMBERED: usize = 16;

/// Places of the speakers: those of a pair together, and what is single two by two.
pub(crate) fn groups_of_two(input: &Input) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let pair = |place: usize| input.speakers[place].pair.as_ref().map(|(name, _)| name);
    for place in 0..input.speakers.len() {
        let fits = |group: &&mut Vec<usize>| group.len() == 1 && pair(group[0]) == pair(place);
        match groups.iter_mut().find(fits) {
            Some(group) => group.push(place),
            None => groups.push(vec![place]),
        }
    }
    groups
}

/// Lays out the charts of the first groups: the first milliseconds below each other, the wholes side by side.
pub(crate) fn in_groups(input: &Input, groups: &[Vec<usize>]) -> Drawing {
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    let level = "at the seat, dB over 1–8 kHz (0 at the direct sound)";
    frame::title(&mut canvas, head, input, "Energy against time", level);
    speaker_key::draw(&mut canvas, input, inner, stroke);
    let shown = &groups[..groups.len().min(GROUPS)];
    let [top, middle, bottom] = HEIGHTS;
    let high = (middle - 6.0 - top) / shown.len().max(1) as f64;
    let (left, right) = (inner.min.x + 8.0, inner.max.x - 2.0);
    let wide = (right - left) / shown.len().max(1) as f64;
    for (index, group) in shown.iter().enumerate() {
        let top = top + high * index as f64;
        let axes = early(Rect::new(left, top + 5.0, right, top + high - 5.0));
        let arrivals = Arrivals { numbered: NUMBERED, limit_in_words: index == 0 };
        chart(&mut canvas, input, group, &axes, Some(arrivals));
        axes.marks(&mut canvas);
        let names: Vec<&str> =
            group.iter().map(|&place| input.speakers[place].name.as_str()).collect();
        let names = typeface::fit(&names.join(", "), 2.6, Weight::Semibold, wide - 10.0);
        canvas.text(Text::new(&names, axes.space.min - DVec2::Y * 1.4, 2.6).semibold());
        let from = left + wide * index as f64;
        let to = from + wide - if index + 1 < shown.len() { 10.0 } else { 0.0 };
        let axes = late(Rect::new(from, middle, to, bottom));
        chart(&mut canvas, input, group, &axes, None);
        axes.marks(&mut canvas);
        canvas.text(Text::new(names, axes.space.min - DVec2::Y * 1.4, 2.6).semibold());
    }
    let under = Point::new(right, bottom + 8.0);
    canvas.text(
        Text::new("milliseconds after the direct sound", under, 2.4).secondary().anchor_end(),
    );
    let more: usize = groups[shown.len()..].iter().map(Vec::len).sum();
    let more =
        if more > 0 { format!(" {more} more speakers in energy-time.csv.") } else { String::new() };
    notes(&mut canvas, inner, &more);
    Drawing {
        name: "energy-time",
        title: format!("{}: energy against time at the seat", input.title),
        size: frame::SHEET,
        paper: frame::paper(input.units),
        items: canvas.items,
    }
}
