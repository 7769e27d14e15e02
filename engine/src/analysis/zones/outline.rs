//! Convex outlines on a surface: drawn round points, cut by rectangles, measured.

use glam::DVec2;

/// The convex outline round some points, counter-clockwise (monotone chain, Andrew 1979, from
/// memory).
pub(super) fn hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut outline = half_hull(points.iter().copied());
    let upper = half_hull(points.iter().rev().copied());
    outline.pop();
    outline.extend(upper);
    outline.pop();
    outline
}

/// From the first to the last of sorted points, turning left all the way.
fn half_hull(points: impl Iterator<Item = DVec2>) -> Vec<DVec2> {
    let mut chain: Vec<DVec2> = Vec::new();
    for point in points {
        while let [.., a, b] = chain.as_slice()
            && (*b - *a).perp_dot(point - *b) <= 0.0
        {
            chain.pop();
        }
        chain.push(point);
    }
    chain
}

/// The part of a convex outline inside a rectangle (Sutherland and Hodgman 1974, from memory);
/// empty where they do not meet.
pub(super) fn clipped(outline: &[DVec2], low: DVec2, high: DVec2) -> Vec<DVec2> {
    let mut kept = outline.to_vec();
    for axis in 0..2 {
        kept = on_one_side(&kept, |p| p[axis] - low[axis]);
        kept = on_one_side(&kept, |p| high[axis] - p[axis]);
    }
    // Cuts lie on the rectangle but for rounding.
    kept.into_iter().map(|p| p.clamp(low, high)).collect()
}

/// Cuts at a line, by the distance of a point inside it.
fn on_one_side(outline: &[DVec2], inside: impl Fn(DVec2) -> f64) -> Vec<DVec2> {
    let mut kept = Vec::with_capacity(outline.len() + 2);
    for (&a, &b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        let (from, to) = (inside(a), inside(b));
        if from >= 0.0 {
            kept.push(a);
        }
        if (from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0) {
            kept.push(a.lerp(b, from / (from - to)));
        }
    }
    kept
}

/// Area of an outline, square metres.
fn area_m2(outline: &[DVec2]) -> f64 {
    let Some(&origin) = outline.first() else { return 0.0 };
    let fan = outline.windows(2).map(|w| (w[0] - origin).perp_dot(w[1] - origin));
    0.5 * fan.sum::<f64>()
}

/// Area that at least one of several convex outlines covers, square metres.
///
/// Between two neighbouring corners or crossings every outline is a strip with straight sides, so
/// the union's width grows evenly there, and its middle width times the height of the strip is exact.
pub(super) fn union_area_m2(outlines: &[&[DVec2]]) -> f64 {
    if let [only] = outlines {
        return area_m2(only);
    }
    let mut cuts: Vec<f64> = outlines.iter().flat_map(|o| o.iter().map(|p| p.x)).collect();
    for (index, one) in outlines.iter().enumerate() {
        for other in &outlines[index + 1..] {
            cuts.extend(edges(one).flat_map(|a| edges(other).filter_map(move |b| crossing(a, b))));
        }
    }
    cuts.sort_by(f64::total_cmp);
    let strips = cuts.windows(2).filter(|w| w[0] < w[1]);
    strips.map(|w| (w[1] - w[0]) * covered_at(outlines, f64::midpoint(w[0], w[1]))).sum()
}

fn edges(outline: &[DVec2]) -> impl Iterator<Item = [DVec2; 2]> {
    outline.iter().zip(outline.iter().cycle().skip(1)).map(|(&a, &b)| [a, b])
}

/// First coordinate of where two edges cross.
fn crossing([a, b]: [DVec2; 2], [c, d]: [DVec2; 2]) -> Option<f64> {
    let (one, other) = (b - a, d - c);
    let turn = one.perp_dot(other);
    let (s, t) = ((c - a).perp_dot(other) / turn, (c - a).perp_dot(one) / turn);
    // Edges side by side give no number here; their ends are cuts already.
    let meets = (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t);
    meets.then_some(a.x + one.x * s)
}

/// Length that the outlines cover of the line at a first coordinate where no corner lies.
fn covered_at(outlines: &[&[DVec2]], x: f64) -> f64 {
    let section = |outline: &&[DVec2]| {
        let at = edges(outline).filter(|[a, b]| (a.x < x) != (b.x < x));
        let ends = at.map(|[a, b]| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x));
        ends.map(|y| [y, y]).reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
    };
    let mut sections: Vec<[f64; 2]> = outlines.iter().filter_map(section).collect();
    sections.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut reached = f64::NEG_INFINITY;
    let mut length = 0.0;
    for [low, high] in sections {
        length += (high - low.max(reached)).max(0.0);
        reached = reached.max(high);
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    fn points(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<DVec2>> {
        // On a coarse grid, where corners in one line and edges on one another are the rule.
        let point = (0..9i32, 0..9i32).prop_map(|(x, y)| DVec2::new(f64::from(x), f64::from(y)));
        prop::collection::vec(point, count)
    }

    fn outlines() -> impl Strategy<Value = Vec<Vec<DVec2>>> {
        let triangle = points(4..12).prop_map(hull).prop_filter("flat", |o| area_m2(o) > 0.1);
        prop::collection::vec(triangle, 1..5)
    }

    fn holds(outline: &[DVec2], point: DVec2) -> bool {
        edges(outline).all(|[a, b]| (b - a).perp_dot(point - a) >= 0.0)
    }

    /// Share of a fine lattice over the 8 × 8 square, in its units of area.
    fn sampled(inside: impl Fn(DVec2) -> bool) -> f64 {
        let steps = 160;
        let at = |i: i32| (f64::from(i) + 0.5) * 8.0 / f64::from(steps);
        let hits = (0..steps).flat_map(|i| (0..steps).map(move |j| DVec2::new(at(i), at(j))));
        hits.filter(|&p| inside(p)).count() as f64 * (8.0 / f64::from(steps)).powi(2)
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, rng_seed: RngSeed::Fixed(7), failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_hull_holds_its_points_and_turns_left(points in points(4..40)) {
            let outline = hull(points.clone());
            prop_assert!(points.iter().all(|&p| holds(&outline, p)));
            prop_assert!(outline.iter().all(|p| points.contains(p)));
        }

        #[test]
        fn a_union_has_the_area_of_its_samples(outlines in outlines()) {
            let slices: Vec<&[DVec2]> = outlines.iter().map(Vec::as_slice).collect();
            let expected = sampled(|p| outlines.iter().any(|o| holds(o, p)));
            // The lattice errs by at most a row of its cells along every edge.
            prop_assert!((union_area_m2(&slices) - expected).abs() < 0.6);
            let twice: Vec<&[DVec2]> = slices.iter().chain(&slices).copied().collect();
            prop_assert!((union_area_m2(&twice) - union_area_m2(&slices)).abs() < 1e-9);
        }

        #[test]
        fn clipping_keeps_what_is_inside(outlines in outlines(), low in (0..5i32, 0..5i32), size in (1..6i32, 1..6i32)) {
            let low = DVec2::new(f64::from(low.0), f64::from(low.1)) + 0.3;
            let high = low + DVec2::new(f64::from(size.0), f64::from(size.1));
            let outline = &outlines[0];
            let part = clipped(outline, low, high);
            let expected = sampled(|p| holds(outline, p) && p.cmpge(low).all() && p.cmple(high).all());
            prop_assert!((area_m2(&part) - expected).abs() < 0.6);
            prop_assert!(part.iter().all(|p| p.cmpge(low).all() && p.cmple(high).all()));
        }
    }

    #[test]
    fn squares_of_known_area() {
        let square = |x: f64, y: f64| -> Vec<DVec2> {
            [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]
                .map(|[a, b]| DVec2::new(x + a, y + b))
                .to_vec()
        };
        let (one, other, far) = (square(0.0, 0.0), square(1.0, 1.0), square(5.0, 0.0));
        let exact = |outlines: &[&[DVec2]], area: f64| {
            assert!((union_area_m2(outlines) - area).abs() < 1e-12, "{area}");
        };
        exact(&[&one], 4.0);
        exact(&[&one, &other], 7.0);
        exact(&[&one, &other, &far], 11.0);
        exact(&[], 0.0);
        assert!(clipped(&one, DVec2::splat(3.0), DVec2::splat(4.0)).is_empty());
    }
}
