//! A table of decibels against angle, made smooth.

use super::model::DirectivityTable;
use crate::medium::bands::{BAND_COUNT, PerBand};

/// Curves through a directivity table, one a band.
///
/// Cubic pieces whose slopes are the harmonic means of the neighbouring chords, so nothing
/// overshoots: between two angles the level stays between their two levels (Fritsch and Butland
/// 1984, from memory). The slope is 0 at 0° and 180°, where the curve meets its mirror image.
/// Levels are taken relative to the one at 0°. Each band's curve holds over the whole band, so a
/// band's level is just what the table says.
#[derive(Debug, Clone)]
pub(super) struct TableCurves {
    angle_deg: Vec<f64>,
    level_db: Vec<PerBand<f64>>,
    slope_db_per_deg: Vec<PerBand<f64>>,
}

impl TableCurves {
    pub(super) fn new(table: &DirectivityTable) -> Self {
        let (angle_deg, level_db): (Vec<f64>, Vec<PerBand<f64>>) = table
            .angle_deg
            .iter()
            .zip(&table.level_db)
            .map(|(&angle, row)| {
                (angle, std::array::from_fn(|band| row[band] - table.level_db[0][band]))
            })
            .unzip();
        let mut slope_db_per_deg = vec![[0.0; BAND_COUNT]; angle_deg.len()];
        for (index, slope) in slope_db_per_deg.iter_mut().enumerate().skip(1) {
            let (Some(next), Some(next_level)) =
                (angle_deg.get(index + 1), level_db.get(index + 1))
            else {
                break;
            };
            let left = angle_deg[index] - angle_deg[index - 1];
            let right = next - angle_deg[index];
            *slope = std::array::from_fn(|band| {
                let before = (level_db[index][band] - level_db[index - 1][band]) / left;
                let after = (next_level[band] - level_db[index][band]) / right;
                harmonic_mean(before, after, left, right)
            });
        }
        Self { angle_deg, level_db, slope_db_per_deg }
    }

    /// Level relative to the axis in decibels at an angle off it, 0° to 180°. Beyond the table's
    /// ends, which validation keeps at 0° and 180°, the end's own level holds.
    pub(super) fn level_db(&self, angle_deg: f64) -> PerBand<f64> {
        let after = self.angle_deg.partition_point(|&a| a <= angle_deg);
        let (Some(right), Some(left)) = (self.angle_deg.get(after), after.checked_sub(1)) else {
            let end = if after == 0 { self.level_db.first() } else { self.level_db.last() };
            return end.copied().unwrap_or_default();
        };
        let width = right - self.angle_deg[left];
        let t = (angle_deg - self.angle_deg[left]) / width;
        let (t2, t3) = (t * t, t * t * t);
        std::array::from_fn(|band| {
            let (from, to) = (self.level_db[left][band], self.level_db[after][band]);
            let rise_from = self.slope_db_per_deg[left][band] * width;
            let rise_to = self.slope_db_per_deg[after][band] * width;
            from + (3.0 * t2 - 2.0 * t3) * (to - from)
                + (t3 - 2.0 * t2 + t) * rise_from
                + (t3 - t2) * rise_to
        })
    }
}

/// Weighted harmonic mean of two chords' slopes, 0 where they point opposite ways.
fn harmonic_mean(before: f64, after: f64, left: f64, right: f64) -> f64 {
    if before * after <= 0.0 {
        return 0.0;
    }
    let (near, far) = (2.0 * right + left, right + 2.0 * left);
    (near + far) / (near / before + far / after)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curves(rows: &[(f64, f64)]) -> TableCurves {
        TableCurves::new(&DirectivityTable {
            file: String::new(),
            angle_deg: rows.iter().map(|r| r.0).collect(),
            level_db: rows.iter().map(|r| [r.1; 8]).collect(),
        })
    }

    #[test]
    fn a_curve_passes_its_points_and_stays_between_them() {
        let rows =
            [(0.0, 0.0), (30.0, -1.0), (60.0, -6.0), (90.0, -6.0), (150.0, -20.0), (180.0, -8.0)];
        let curves = curves(&rows);
        for (angle, level) in rows {
            assert!((curves.level_db(angle)[3] - level).abs() < 1e-12);
        }
        for pair in rows.windows(2) {
            let (low, high) = (pair[0].1.min(pair[1].1), pair[0].1.max(pair[1].1));
            for step in 0..=50 {
                let angle = pair[0].0 + (pair[1].0 - pair[0].0) * f64::from(step) / 50.0;
                let level = curves.level_db(angle)[0];
                assert!(level >= low - 1e-12 && level <= high + 1e-12, "{angle}: {level}");
            }
        }
    }

    #[test]
    fn a_curve_has_no_corners() {
        let curves = curves(&[(0.0, 0.0), (20.0, -2.0), (90.0, -9.0), (180.0, -12.0)]);
        for angle in [20.0, 90.0] {
            let before = curves.level_db(angle)[0] - curves.level_db(angle - 1e-4)[0];
            let after = curves.level_db(angle + 1e-4)[0] - curves.level_db(angle)[0];
            assert!((before - after).abs() < 1e-8, "{angle}: {before} {after}");
        }
    }

    #[test]
    fn levels_are_relative_to_the_axis() {
        let curves = curves(&[(0.0, 3.0), (180.0, -9.0)]);
        assert!(curves.level_db(0.0)[0].abs() < 1e-12);
        assert!((curves.level_db(180.0)[0] + 12.0).abs() < 1e-12);
    }
}
