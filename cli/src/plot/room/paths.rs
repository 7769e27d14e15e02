//! Sound on its way: direct sound, reflected paths, bounce points.

use crate::canvas::{Canvas, Point, Stroke};
use crate::plot::data::input::{Hit, Input, Path};
use crate::plot::groups;
use crate::plot::palette::{self, SpeakerStyle, dashed};
use crate::plot::room::projection::View;
use crate::plot::room::{coincidence, symbol};
use crate::plot::sheet::badge::Badge;

/// Radius of a first-order bounce mark, millimetres.
pub(crate) const MARK: f64 = 1.05;
/// Radius of the marks of later orders.
pub(crate) const SMALL_MARK: f64 = 0.7;

/// The line of a speaker's direct sound.
pub(crate) fn direct_stroke(speaker: usize) -> Stroke {
    let style = palette::speaker(speaker);
    dashed(style.colour, 0.6, style.dash)
}

/// The line of a reflected path.
pub(crate) fn stroke(speaker: usize, order: usize) -> Stroke {
    styled(palette::speaker(speaker), order)
}

/// The line of a reflected path in a style.
pub(crate) fn styled(style: SpeakerStyle, order: usize) -> Stroke {
    dashed(style.colour, if order == 1 { 0.32 } else { 0.14 }, style.dash)
}

/// The style of a path: that of its speaker, or of both where it runs where another's does.
fn style(view: &View, input: &Input, paths: &[&Path], path: &Path) -> SpeakerStyle {
    if coincidence::is_shared_path(view, input, paths, path) {
        palette::SHARED
    } else {
        palette::speaker(path.speaker)
    }
}

/// The style of a speaker: its own, or that of several that are seen as one.
pub(crate) fn speaker_style(view: &View, input: &Input, index: usize) -> SpeakerStyle {
    match coincidence::speakers_alike(view, input, index).as_slice() {
        [_, _, ..] => palette::SHARED,
        _ => palette::speaker(index),
    }
}

/// Draws lines of all paths, weak ones under strong ones.
pub(crate) fn lines(canvas: &mut Canvas, view: &View, input: &Input, paths: &[&Path]) {
    let mut later: Vec<&&Path> = paths.iter().collect();
    later.sort_by_key(|path| std::cmp::Reverse(path.order()));
    for path in later {
        let Some(speaker) = input.speakers.get(path.speaker) else { continue };
        let points: Vec<Point> = std::iter::once(speaker.at)
            .chain(path.bounces.iter().map(|bounce| bounce.point))
            .chain([input.listener.at])
            .map(|at| view.at(at))
            .collect();
        let stroke = styled(style(view, input, paths, path), path.order());
        canvas.group(groups::path(path.tag.clone()), |canvas| {
            if path.order() == 1 {
                arrow(canvas, &points, stroke);
            }
            draw(canvas, points, stroke);
        });
    }
    for (index, speaker) in input.speakers.iter().enumerate() {
        let points = vec![view.at(speaker.at), view.at(input.listener.at)];
        canvas.group(groups::direct(index), |canvas| {
            let style = speaker_style(view, input, index);
            let stroke = Stroke { colour: style.colour, dash: style.dash, ..direct_stroke(index) };
            arrow(canvas, &points, stroke);
            draw(canvas, points, stroke);
        });
    }
}

/// An arrow head on the way to the ears, where nothing else is drawn over it.
fn arrow(canvas: &mut Canvas, points: &[Point], stroke: Stroke) {
    if let [.., from, to] = points {
        let way = *to - *from;
        if way.length() > 18.0 {
            canvas.arrow_head(*to - way.normalize() * 8.0, way, 1.5 + stroke.width, stroke.colour);
        }
    }
}

fn draw(canvas: &mut Canvas, points: Vec<Point>, stroke: Stroke) {
    canvas.lines.extend(points.windows(2).filter_map(|w| <[Point; 2]>::try_from(w).ok()));
    canvas.polyline(points, stroke);
}

/// Draws the marks of all bounce points.
pub(crate) fn marks(canvas: &mut Canvas, view: &View, input: &Input, paths: &[&Path]) {
    for path in paths {
        let style = style(view, input, paths, path);
        canvas.group(groups::path(path.tag.clone()), |canvas| {
            for (index, bounce) in path.bounces.iter().enumerate() {
                let radius = radius(path);
                if coincidence::is_stacked(view, paths, path, index) {
                    symbol::stack(canvas, view.at(bounce.point), style, radius);
                } else {
                    symbol::bounce(canvas, view, bounce.point, bounce.hit, style, radius);
                }
            }
        });
    }
}

/// Radius of a path's bounce marks.
pub(crate) fn radius(path: &Path) -> f64 {
    if path.order() == 1 { MARK } else { SMALL_MARK }
}

/// The number at one of a path's bounce points.
pub(crate) fn badge(path: &Path, bounce: usize) -> Badge {
    Badge {
        content: path.number_at(bounce),
        style: palette::speaker(path.speaker),
        verdict: path.verdict,
        first_order: path.order() == 1,
    }
}

/// Whether a first-order bounce is written at the dimensions outside the room.
pub(crate) fn at_the_wall(view: &View, path: &Path) -> bool {
    path.order() == 1
        && path.bounces.iter().all(|bounce| match bounce.hit {
            Hit::Surface(surface) => view.edge_on(surface),
            Hit::Inside { .. } => false,
        })
}
