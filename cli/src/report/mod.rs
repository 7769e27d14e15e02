//! The report: one page with everything, from the same content as the other commands.
//!
//! [`ReportData`] holds what was computed, [`document()`] is what a script gets (the one within the page,
//! and `--json`), [`page()`] is the page. The page asks for nothing outside of itself.

mod document;
mod figures;
mod gather;
mod held;
mod page;

mod bass;
mod care;
mod comparison;
mod decay;
mod early_reflections;
mod head;
mod reproduce;
mod room;
mod seats;
mod setting_out;
mod spreading;
mod summary;

#[cfg(test)]
pub(crate) use document::ReportDocument;
pub(crate) use document::document;
pub(crate) use gather::{ReportData, ReportRequest};
pub(crate) use page::page;
