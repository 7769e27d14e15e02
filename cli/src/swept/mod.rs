//! A sweep: its plan, the runs that are kept, and the table they make.

pub(crate) mod figures;
mod identity;
mod journal;
mod parquet;
mod part;
mod table;

pub(crate) use figures::Column;
pub(crate) use identity::{Identity, Noting, SCHEMA as IDENTITY_SCHEMA};
pub(crate) use journal::{Journal, Kept, gather};
pub(crate) use parquet::parquet;
pub(crate) use part::Part;
pub(crate) use table::{Field, Head, Kind, Outcome, RowKey, Table, figure_width};
