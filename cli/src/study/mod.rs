//! A sweep: its plan, the runs that are kept, and the table they make.

pub(crate) mod figures;
mod identity;
mod journal;
mod parquet;
mod plan;
mod shard;
mod sweep_table;

pub(crate) use journal::{CompletedRuns, Journal};
pub(crate) use parquet::parquet;
pub(crate) use plan::SweepPlan;
pub(crate) use shard::Shard;
pub(crate) use sweep_table::{
    ColumnKind, Outcome, SweepField, SweepTable, TableColumn, figure_width,
};
