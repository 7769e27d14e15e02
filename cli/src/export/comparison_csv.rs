//! Every path of the states compared, as a table for spreadsheets.

use super::csv_table::CsvTable;
use super::parts::surfaces;
use super::round::{decibels, milliseconds};
use crate::content::comparison::{ComparedPath, ComparisonView, Difference, PathChange};
use anyhow::Result;
use earline_engine::image_source::Reflection;
use earline_engine::medium::bands::{NOMINAL_HZ, PerBand};

/// Every path of the states compared, one row each: the first state against each of the others.
/// Fields of a state that has no such path are empty.
pub(crate) fn comparison_csv(view: &ComparisonView<'_>) -> Result<Vec<u8>> {
    let mut head = ["first", "second", "speaker", "number", "order", "became"].to_vec();
    head.extend(["surfaces_first", "surfaces_second", "after_direct_first_ms"]);
    head.extend(["after_direct_second_ms", "level_first_db", "level_second_db", "change_db"]);
    let mut head: Vec<String> = head.into_iter().map(str::to_owned).collect();
    for what in ["level_first", "level_second", "change"] {
        head.extend(NOMINAL_HZ.map(|hz| format!("{what}_{hz}_hz_db")));
    }
    let mut table = CsvTable::new("comparison.csv", &head)?;
    for difference in &view.differences {
        for row in difference.rows(view) {
            table.row(fields(view, difference, &row))?;
        }
    }
    table.finish()
}

fn fields(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
    row: &ComparedPath<'_>,
) -> Vec<String> {
    let scene = view.scene;
    let [first, second] = view.both(difference);
    let both = [row.first, row.second];
    let in_both = |field: &dyn Fn(&Reflection) -> String| {
        both.map(|reflection| reflection.map_or_else(String::new, field))
    };
    let level = |db: f64| decibels::<3>(db).to_string();
    let levels = |levels: Option<&PerBand<f64>>| {
        levels.map_or_else(|| [const { String::new() }; NOMINAL_HZ.len()], |all| all.map(level))
    };
    let mut fields = vec![
        first.at.name.clone(),
        second.at.name.clone(),
        scene[row.speaker].name.clone(),
        row.number.to_string(),
        row.order().to_string(),
        change_word(row.change()).to_owned(),
    ];
    fields.extend(in_both(&|r| surfaces(scene, &r.arrival.bounces).join("; ")));
    fields.extend(in_both(&|r| milliseconds(r.delay_s).to_string()));
    fields.extend(in_both(&|r| level(r.level_db)));
    fields.push(row.matched.map_or_else(String::new, |m| level(m.change_db)));
    fields.extend(levels(row.first.map(|r| &r.band_level_db)));
    fields.extend(levels(row.second.map(|r| &r.band_level_db)));
    fields.extend(levels(row.matched.map(|m| &m.band_change_db)));
    fields
}

/// Change of a path between two states, in a word.
pub(super) fn change_word(became: PathChange) -> &'static str {
    match became {
        PathChange::Equal => "equal",
        PathChange::Changed => "changed",
        PathChange::Vanished => "vanished",
        PathChange::New => "new",
    }
}
