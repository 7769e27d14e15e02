//! Contours: closed lines about all of a field that is above a number, for filling.
//!
//! Marching squares: every square of four neighbouring places adds the piece of line that parts those
//! above from those below, on straight lines between the places. The field is taken to be lower all
//! round, so that every line closes.
//!
//! Written out here because a field may have places without a number, which count as below
//! everything, and its places lie on the sheet by a function of their own; a general crate takes
//! neither, and would need a copy of the field in its own form.

use crate::canvas::Point;
use glam::DVec2;
use std::collections::BTreeMap;

/// A field over a grid, row by row, with where its places are on the sheet.
pub(crate) struct GridField<'a> {
    /// Figures, `rows` of `columns` each.
    pub(crate) figures: &'a [Vec<f64>],
    /// Position of a row and column, whole or between, on the sheet.
    pub(crate) at: &'a dyn Fn(f64, f64) -> Point,
}

/// A side between two neighbouring places, which a line crosses once at most: the place nearer the
/// first row and column, and whether the other is in the next row.
type EdgeId = (usize, usize, bool);

impl GridField<'_> {
    /// Contours about all that is at least so high.
    pub(crate) fn contours(&self, least: f64) -> Vec<Vec<Point>> {
        let mut next: BTreeMap<EdgeId, EdgeId> = BTreeMap::new();
        let columns = self.figures.first().map_or(0, Vec::len);
        for row in 0..=self.figures.len() {
            for column in 0..=columns {
                for (from, to) in self.segments(row, column, least) {
                    next.insert(from, to);
                }
            }
        }
        let mut rings = Vec::new();
        while let Some((&first, _)) = next.first_key_value() {
            let mut ring = Vec::new();
            let mut side = first;
            while let Some(to) = next.remove(&side) {
                ring.push(self.crossing(side, least));
                side = to;
            }
            if ring.len() > 2 {
                rings.push(ring);
            }
        }
        rings
    }

    /// A figure of the field with one more place all round; nothing is below everything.
    fn figure(&self, row: usize, column: usize) -> Option<f64> {
        let found = self.figures.get(row.checked_sub(1)?)?.get(column.checked_sub(1)?)?;
        Some(*found).filter(|figure| !figure.is_nan())
    }

    /// Pieces of line in a square, what is above on the left of each.
    fn segments(&self, row: usize, column: usize, least: f64) -> Vec<(EdgeId, EdgeId)> {
        let high = |r: usize, c: usize| self.figure(r, c).is_some_and(|figure| least <= figure);
        let corners = [
            high(row, column),
            high(row, column + 1),
            high(row + 1, column + 1),
            high(row + 1, column),
        ];
        let sides: [EdgeId; 4] = [
            (row, column, false),
            (row, column + 1, true),
            (row + 1, column, false),
            (row, column, true),
        ];
        // Round the square: a line comes in where it gets high and goes out where it gets low.
        let turns = |i: usize| (corners[i], corners[(i + 1) % 4]);
        let ins: Vec<usize> = (0..4).filter(|&i| turns(i) == (false, true)).collect();
        let outs: Vec<usize> = (0..4).filter(|&i| turns(i) == (true, false)).collect();
        match (ins.as_slice(), outs.as_slice()) {
            (&[a], &[b]) => vec![(sides[a], sides[b])],
            (&[a, b], &[c, d]) => {
                // Two high corners across: joined where their mean is high.
                let whole: Option<f64> = [(0, 0), (0, 1), (1, 1), (1, 0)]
                    .into_iter()
                    .map(|(r, c)| self.figure(row + r, column + c))
                    .sum();
                let joined = whole.is_some_and(|sum| 4.0 * least <= sum);
                let after = |i: usize| if (i + 1) % 4 == c { c } else { d };
                let before = |i: usize| if (i + 3) % 4 == c { c } else { d };
                let pair = |i: usize| if joined { before(i) } else { after(i) };
                vec![(sides[a], sides[pair(a)]), (sides[b], sides[pair(b)])]
            }
            _ => Vec::new(),
        }
    }

    /// Crossing of a line with a side; at the place itself where the field ends.
    fn crossing(&self, (row, column, down): EdgeId, least: f64) -> Point {
        let (r, c) = if down { (row + 1, column) } else { (row, column + 1) };
        let part = match (self.figure(row, column), self.figure(r, c)) {
            (Some(a), Some(b)) if a.is_finite() && b.is_finite() && (b - a).abs() > 0.0 => {
                ((least - a) / (b - a)).clamp(0.0, 1.0)
            }
            (Some(_), None) => 0.0,
            (None, Some(_)) => 1.0,
            _ => 0.5,
        };
        let way = if down { DVec2::new(part, 0.0) } else { DVec2::new(0.0, part) };
        (self.at)(row as f64 - 1.0 + way.x, column as f64 - 1.0 + way.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(ring: &[Point]) -> f64 {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f64>() / 2.0
    }

    fn rings(figures: &[Vec<f64>], least: f64) -> Vec<Vec<Point>> {
        GridField { figures, at: &|row, column| Point::new(column, row) }.contours(least)
    }

    #[test]
    fn all_of_a_high_field_is_inside() {
        let found = rings(&[vec![1.0; 4], vec![1.0; 4], vec![1.0; 4]], 0.5);
        assert_eq!(found.len(), 1);
        assert!((area(&found[0]).abs() - 6.0).abs() < 1e-12, "{:?}", found[0]);
        assert!(rings(&[vec![0.0; 4], vec![0.0; 4]], 0.5).is_empty() && rings(&[], 0.5).is_empty());
    }

    /// A slope is cut on a straight line where it reaches the figure.
    #[test]
    fn a_slope_is_cut_where_it_is_so_high() {
        let slope: Vec<Vec<f64>> = (0..4).map(|row| vec![f64::from(row); 5]).collect();
        for least in [0.25, 1.0, 2.75] {
            let found = rings(&slope, least);
            assert_eq!(found.len(), 1);
            let expected = 4.0 * (3.0 - least);
            assert!((area(&found[0]).abs() - expected).abs() < 1e-12, "{least}");
        }
    }

    /// A pit in a high field is a ring of its own that turns the other way; a saddle is joined where
    /// its middle is high, and parted where it is low.
    #[test]
    fn pits_and_saddles() {
        let mut pit = vec![vec![1.0; 5]; 5];
        pit[2][2] = 0.0;
        let found = rings(&pit, 0.5);
        let areas: Vec<f64> = found.iter().map(|ring| area(ring)).collect();
        assert_eq!(areas.len(), 2);
        assert!((areas.iter().sum::<f64>().abs() - 15.5).abs() < 1e-12, "{areas:?}");
        let saddle = |high: f64| vec![vec![high, 0.0], vec![0.0, high]];
        assert_eq!(rings(&saddle(1.4), 0.5).len(), 1);
        assert_eq!(rings(&saddle(0.8), 0.5).len(), 2);
    }

    #[test]
    fn missing_figures_are_below_everything() {
        let nothing = f64::NEG_INFINITY;
        let found = rings(&[vec![f64::NAN, 1.0, 1.0], vec![nothing, 1.0, 1.0]], 0.0);
        assert_eq!(found.len(), 1);
        assert!(found[0].iter().all(|p| p.is_finite()));
    }
}
