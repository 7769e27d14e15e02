//! The costs of what goes up from the first variant to each other one.

use super::ComparisonView;
use crate::content::document::{Cell, Column, Table};
use crate::format::number::shortest;

/// Every piece that goes up with its price; `None` where nothing does.
pub(crate) fn table(view: &ComparisonView<'_>) -> Option<Table> {
    let columns = vec![Column::left("Put up"), Column::left("From, to"), Column::right("Cost")];
    let mut table = Table::new("What goes up, in the scene's currency", columns);
    for difference in &view.differences {
        let [first, second] = view.both(difference).map(|seen| &seen.at.name);
        let added = &difference.exchange.added;
        let mut row = |what: &str, cost: String| {
            let cells = [what.to_owned(), format!("{first} → {second}"), cost];
            table.row(cells.map(Cell::plain).into());
        };
        for item in added {
            row(item.name, item.cost.map_or_else(|| "not said".to_owned(), shortest));
        }
        let sum = difference.exchange.added_cost();
        if added.len() > 1 && sum > 0.0 {
            row("Together", shortest(sum));
        }
    }
    (!table.rows.is_empty()).then_some(table)
}
