//! A sweep: its plan, the runs that are kept, and the table they make.

pub(crate) mod figures;
mod identity;
mod journal;
mod parquet;
mod part;
mod plan;
mod table;

pub(crate) use journal::{Journal, Kept, gather};
pub(crate) use parquet::parquet;
pub(crate) use part::Part;
pub(crate) use plan::{Sweep, first_error};
pub(crate) use table::{Field, Head, Kind, Outcome, Table, figure_width};
