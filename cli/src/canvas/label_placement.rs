//! Placing labels: each near what it names, none on another, none across the edge.
//!
//! Every label tries positions in rings around its anchor (and inside its home, if it has one).
//! The cheapest free one is taken in turn; then labels are reconsidered, one by one, until nothing
//! improves. A label that is still in the way of another searches the whole area.

use super::{Canvas, Point, Rect, palette};
use glam::DVec2;

/// A label to be placed.
#[derive(Debug, Clone)]
pub(crate) struct Label {
    /// Width and height in millimetres.
    pub(crate) size: DVec2,
    /// The point it belongs to.
    pub(crate) anchor: Point,
    /// Radius of the mark at the anchor, millimetres.
    pub(crate) clear: f64,
    /// Cost of a millimetre away from its point; about 0.4 for a label with a clear leader.
    pub(crate) stay: f64,
    /// An area it may lie in without a leader, such as the outline it names.
    pub(crate) home: Option<Rect>,
}

/// Position given to a label.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PlacedLabel {
    /// Its rectangle.
    pub(crate) rect: Rect,
    /// Line from the anchor to it, where it lies apart.
    pub(crate) leader: Option<[Point; 2]>,
}

/// Space kept around every label.
const AIR: f64 = 0.35;
/// Closer than this, a label needs no leader.
const NEAR: f64 = 1.3;
/// Cost of overlapping another label: never worth it.
const BLOCKED: f64 = 1e4;
/// Rings around the anchor, millimetres.
const RINGS: [f64; 12] = [0.5, 1.2, 2.2, 3.5, 5.0, 7.0, 9.5, 12.5, 16.0, 20.0, 26.0, 34.0];
/// Directions on a ring.
const DIRECTIONS: u32 = 24;

/// With more labels than this a sheet is crowded whatever is done: few places are tried for each.
const CROWD: usize = 150;
/// Places that a label of a crowd tries.
const PLACES_IN_A_CROWD: usize = 40;

/// Places all labels inside an area, clear of what is on the canvas. Every label gets a place;
/// one overlaps only if the area is full.
pub(crate) fn place(labels: &[Label], canvas: &Canvas, area: Rect) -> Vec<PlacedLabel> {
    let is_crowd = CROWD < labels.len();
    let of_label = |label: &Label| {
        let mut options = options(label, &near(label, canvas), area);
        options.truncate(if is_crowd { PLACES_IN_A_CROWD } else { usize::MAX });
        options
    };
    let options: Vec<Vec<Spot>> = labels.iter().map(of_label).collect();
    let mut order: Vec<usize> = (0..labels.len()).collect();
    order.sort_by(|&a, &b| {
        let best = |i: usize| options[i].first().map_or(f64::INFINITY, |o| o.cost);
        best(b).total_cmp(&best(a)).then(a.cmp(&b))
    });
    let mut chosen: Vec<Option<Spot>> = vec![None; labels.len()];
    for _ in 0..if is_crowd { 1 } else { 8 } {
        let mut changed = false;
        for &i in &order {
            let best = cheapest(&options[i], i, &chosen);
            changed |= chosen[i] != best;
            chosen[i] = best;
        }
        if !changed {
            break;
        }
    }
    for &i in &order {
        let stuck = chosen[i].is_none_or(|option| clash(&option, i, &chosen) >= BLOCKED);
        if stuck && !is_crowd {
            let anywhere = everywhere(&labels[i], canvas, area);
            chosen[i] = cheapest(&anywhere, i, &chosen).or(chosen[i]);
        }
    }
    labels
        .iter()
        .zip(chosen)
        .map(|(label, option)| option.map_or_else(|| on_top(label), |option| option.placed))
        .collect()
}

/// Draws the leaders of placed labels.
pub(crate) fn draw_leaders(canvas: &mut Canvas, placed: &[PlacedLabel]) {
    for leader in placed.iter().filter_map(|p| p.leader) {
        canvas.polyline(leader.to_vec(), palette::hairline());
    }
}

/// A possible place with what it costs whatever the other labels do.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Spot {
    placed: PlacedLabel,
    cost: f64,
}

fn on_top(label: &Label) -> PlacedLabel {
    PlacedLabel { rect: Rect::around(label.anchor, label.size), leader: None }
}

/// The part of the canvas within reach of a label's rings.
fn near(label: &Label, canvas: &Canvas) -> Canvas {
    let reach = label.clear + RINGS[RINGS.len() - 1] + 2.0 * label.size.length() + AIR;
    let home = label.home.unwrap_or(Rect::around(label.anchor, DVec2::ZERO));
    let around = Rect {
        min: home.min.min(label.anchor - DVec2::splat(reach)),
        max: home.max.max(label.anchor + DVec2::splat(reach)),
    };
    Canvas {
        items: Vec::new(),
        solid: canvas.solid.iter().copied().filter(|solid| solid.overlaps(around)).collect(),
        lines: canvas.lines.iter().copied().filter(|&l| around.cut(l).is_some()).collect(),
    }
}

/// Places near the anchor, cheapest first.
fn options(label: &Label, canvas: &Canvas, area: Rect) -> Vec<Spot> {
    let mut found: Vec<Spot> = Vec::new();
    if let Some(home) = label.home {
        found
            .extend(at_home(label, home).filter_map(|rect| judge(label, rect, true, canvas, area)));
    }
    for ring in RINGS {
        for step in 0..DIRECTIONS {
            let angle = std::f64::consts::TAU * f64::from(step) / f64::from(DIRECTIONS);
            let way = DVec2::from_angle(angle);
            let half = label.size / 2.0;
            // How far the middle must be for the nearest edge to be `ring` from the mark.
            let reach = (half.x / way.x.abs().max(1e-9)).min(half.y / way.y.abs().max(1e-9));
            let round = half.min_element();
            let middle =
                label.anchor + way * (label.clear + ring + reach.min(half.length()).max(round));
            let rect = Rect::around(middle, label.size);
            found.extend(judge(label, rect, false, canvas, area));
        }
    }
    found.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    found
}

/// Nine places inside a home that is large enough.
fn at_home(label: &Label, home: Rect) -> impl Iterator<Item = Rect> {
    let inner = home.grown(-AIR);
    let slack = inner.size() - label.size;
    let fits = slack.min_element() >= 0.0;
    let steps = [0.5, 0.0, 1.0, 0.25, 0.75];
    steps
        .into_iter()
        .flat_map(move |y| steps.into_iter().map(move |x| DVec2::new(x, y)))
        .filter(move |_| fits)
        .map(move |part| {
            let min = inner.min + slack * part;
            Rect { min, max: min + label.size }
        })
}

/// The whole area in small steps.
fn everywhere(label: &Label, canvas: &Canvas, area: Rect) -> Vec<Spot> {
    let mut found = Vec::new();
    let mut corner = area.min;
    while corner.y + label.size.y <= area.max.y {
        let rect = Rect { min: corner, max: corner + label.size };
        found.extend(judge(label, rect, false, canvas, area));
        corner.x += 1.5;
        if corner.x + label.size.x > area.max.x {
            corner = DVec2::new(area.min.x, corner.y + 1.5);
        }
    }
    found
}

/// The cost of a place, or `None` if something solid is there or it leaves the area.
fn judge(label: &Label, rect: Rect, at_home: bool, canvas: &Canvas, area: Rect) -> Option<Spot> {
    let padded = rect.grown(AIR);
    let mark = Rect::around(label.anchor, DVec2::splat(2.0 * label.clear));
    let free = area.holds(rect)
        && !canvas.solid.iter().any(|solid| solid.overlaps(padded))
        && (at_home || !mark.overlaps(rect));
    if !free {
        return None;
    }
    let covered: f64 =
        canvas.lines.iter().filter_map(|&line| padded.cut(line)).map(|[a, b]| a.distance(b)).sum();
    let far = (rect.nearest(label.anchor).distance(label.anchor) - label.clear).max(0.0);
    if at_home {
        let off_centre = rect.middle().distance(label.home.map_or(rect.middle(), Rect::middle));
        let placed = PlacedLabel { rect, leader: None };
        return Some(Spot { placed, cost: 0.8 * covered + 0.05 * off_centre });
    }
    let leader = (far > NEAR).then(|| leader(label, rect));
    let crossed = leader.map_or(0.0, |leader| {
        let lines = canvas.lines.iter().filter(|&&line| cross(line, leader)).count();
        let solid = canvas.solid.iter().filter(|solid| solid.cut(leader).is_some()).count();
        0.35 * lines as f64 + 4.0 * solid as f64
    });
    // Of two equal places the upper right one.
    let way = (rect.middle() - label.anchor).normalize_or_zero();
    let taste = 0.15 * (way.y - way.x);
    let homeless = if label.home.is_some() { 2.0 } else { 0.0 };
    let cost = 0.8 * covered + label.stay * far + crossed + taste + homeless;
    Some(Spot { placed: PlacedLabel { rect, leader }, cost })
}

/// From the edge of the mark to the edge of the label.
fn leader(label: &Label, rect: Rect) -> [Point; 2] {
    let end = rect.nearest(label.anchor);
    let way = (end - label.anchor).normalize_or_zero();
    [label.anchor + way * label.clear, end]
}

fn cheapest(options: &[Spot], own: usize, chosen: &[Option<Spot>]) -> Option<Spot> {
    let mut best: Option<(f64, Spot)> = None;
    for option in options {
        if best.is_some_and(|(cost, _)| cost <= option.cost) {
            continue;
        }
        let cost = option.cost + clash(option, own, chosen);
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, *option));
        }
    }
    best.map(|(_, option)| option)
}

/// Cost of a place because of the other labels.
fn clash(option: &Spot, own: usize, chosen: &[Option<Spot>]) -> f64 {
    let rect = option.placed.rect.grown(AIR);
    chosen
        .iter()
        .enumerate()
        .filter(|&(i, _)| i != own)
        .filter_map(|(_, other)| other.as_ref())
        .map(|other| {
            let overlap = if rect.overlaps(other.placed.rect) { BLOCKED } else { 0.0 };
            let under = [(option, other), (other, option)]
                .into_iter()
                .filter(|(a, b)| {
                    a.placed.leader.is_some_and(|line| b.placed.rect.grown(AIR).cut(line).is_some())
                })
                .count();
            let crossing = match (option.placed.leader, other.placed.leader) {
                (Some(a), Some(b)) if cross(a, b) => 3.0,
                _ => 0.0,
            };
            overlap + 6.0 * under as f64 + crossing
        })
        .sum()
}

/// Whether two lines cross between their ends.
fn cross([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).perp_dot(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(x: f64, y: f64) -> Label {
        Label {
            size: DVec2::new(6.0, 3.0),
            anchor: DVec2::new(x, y),
            clear: 0.8,
            stay: 0.4,
            home: None,
        }
    }

    #[test]
    fn a_crowd_on_one_point_comes_apart() {
        let area = Rect::new(0.0, 0.0, 60.0, 60.0);
        let labels = vec![label(30.0, 30.0); 30];
        let placed = place(&labels, &Canvas::default(), area);
        for (i, a) in placed.iter().enumerate() {
            assert!(area.holds(a.rect));
            assert!(placed[i + 1..].iter().all(|b| !a.rect.overlaps(b.rect)), "{i}");
        }
    }

    /// A thousand names on one sheet are placed without trying everything for each.
    #[test]
    fn a_thousand_labels_get_their_places() {
        let area = Rect::new(0.0, 0.0, 300.0, 200.0);
        let at = |i: u32| label(10.0 + f64::from(i % 40) * 7.0, 10.0 + f64::from(i / 40) * 7.0);
        let labels: Vec<Label> = (0..1000).map(at).collect();
        assert_eq!(place(&labels, &Canvas::default(), area).len(), 1000);
    }

    #[test]
    fn nothing_covers_what_is_solid_and_nothing_is_clipped() {
        let area = Rect::new(0.0, 0.0, 40.0, 20.0);
        let taken = Rect::new(0.0, 0.0, 30.0, 20.0);
        let canvas = Canvas { solid: vec![taken], ..Canvas::default() };
        let placed = place(&[label(2.0, 2.0), label(38.0, 18.0)], &canvas, area);
        assert!(placed.iter().all(|p| area.holds(p.rect) && !p.rect.overlaps(taken)));
        assert!(placed[0].leader.is_some(), "a label far from its point is tied to it");
    }

    #[test]
    fn a_name_goes_inside_its_own_outline() {
        let home = Rect::new(10.0, 10.0, 30.0, 20.0);
        let named = Label { home: Some(home), ..label(20.0, 15.0) };
        let placed = place(&[named], &Canvas::default(), Rect::new(0.0, 0.0, 40.0, 40.0));
        assert!(home.holds(placed[0].rect) && placed[0].leader.is_none());
    }
}
