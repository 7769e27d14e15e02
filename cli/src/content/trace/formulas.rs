//! Statistical formulas beside the traced decay.

use super::TraceReport;
use crate::content::document::{Cell, Table, Tone};
use crate::content::formula_comparison;
use crate::format::number::or_missing;
use crate::format::{length, time};
use earline_engine::metrics::diffuse_field::Formula;

/// Adds Eyring's row to the table of a decay, or a row for every formula.
pub(super) fn add_rows(report: &TraceReport<'_>, table: &mut Table) {
    if !report.formulas {
        return add_row(report, table, Formula::Eyring, "Eyring's formula");
    }
    for formula in Formula::ALL {
        add_row(report, table, formula, formula_comparison::formula(formula));
    }
}

fn add_row(report: &TraceReport<'_>, table: &mut Table, formula: Formula, name: &str) {
    let times = report
        .formula_comparison
        .statistics
        .times_s(formula)
        .map(|time_s| or_missing(time_s, time::decay));
    let texts = [name.to_owned()].into_iter().chain(times);
    table.row(texts.map(|text| Cell::toned(text, Tone::Quiet)).collect());
}

/// The other statistical figures of the room.
pub(super) fn other_figures(report: &TraceReport<'_>) -> String {
    let (found, units) = (&report.formula_comparison.statistics, report.units());
    let mut parts =
        vec![format!("mean free path {}", length::length(found.mean_free_path_m, units))];
    parts.extend(found.schroeder_hz.map(|hz| format!("Schroeder frequency {hz:.0} Hz")));
    let [area, air] =
        [found.absorption_area_m2, found.air_absorption_area_m2].map(|of| of[AT_1_KHZ]);
    parts.push(format!("at 1 kHz {} absorb", length::area(area + air, units)));
    parts.extend(
        found.critical_distance_m[AT_1_KHZ].map(|metres| {
            format!("and the critical distance is {}", length::length(metres, units))
        }),
    );
    format!("By formula: {}.", parts.join(", "))
}

/// Index of the octave band of 1 kHz.
const AT_1_KHZ: usize = 4;
