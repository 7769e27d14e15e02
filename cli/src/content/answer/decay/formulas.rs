//! Statistical formulas beside the traced decay.

use super::super::TraceReport;
use crate::content::formula_comparison;
use crate::format::length;
use crate::io::terminal::QUIET;
use crate::render::columns::{Cell, Table, indented};
use earline_engine::metrics::diffuse_field::Formula;

/// Adds Eyring's row to the table of a decay, or a row for every formula.
pub(super) fn rows(told: &TraceReport<'_>, table: &mut Table) {
    if !told.formulas {
        return row(told, table, Formula::Eyring, "Eyring's formula");
    }
    for formula in Formula::ALL {
        row(told, table, formula, formula_comparison::formula(formula));
    }
}

fn row(told: &TraceReport<'_>, table: &mut Table, formula: Formula, name: &str) {
    let times = told.beside.statistics.times_s(formula);
    let time = |time: &Option<f64>| time.map_or("–".to_owned(), |time| format!("{time:.2}"));
    let mut cells = vec![Cell::styled(name, QUIET)];
    cells.extend(times.iter().map(|found| Cell::styled(time(found), QUIET)));
    table.row(cells, Vec::new());
}

/// The other figures of the room.
pub(super) fn lines(told: &TraceReport<'_>, width: usize) -> Vec<String> {
    let (found, units) = (&told.beside.statistics, told.units());
    let mut says =
        vec![format!("mean free path {}", length::length(found.mean_free_path_m, units))];
    says.extend(found.schroeder_hz.map(|hz| format!("Schroeder frequency {hz:.0} Hz")));
    let [area, air] = [found.absorption_area_m2, found.air_absorption_area_m2].map(|of| of[AT]);
    says.push(format!("at 1 kHz {} absorb", length::area(area + air, units)));
    says.extend(
        found.critical_distance_m[AT].map(|metres| {
            format!("and the critical distance is {}", length::length(metres, units))
        }),
    );
    let text = format!("By formula: {}.", says.join(", "));
    indented(&text, 2, width)
}

/// 1 kHz.
const AT: usize = 4;
