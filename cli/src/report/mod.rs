//! The report: one page with everything, from the same pieces as the other commands.
//!
//! [`ReportData`] holds what was computed, [`document()`] is what a script gets (the one within the page,
//! and `--json`), [`html()`] is the page. The page asks for nothing outside of itself.

mod document;
mod figures;
mod gather;
mod html;
mod says;

mod arrives;
mod bass;
mod changes;
mod decay;
mod head;
mod rebuild;
mod room;
mod seats;
mod tape;
mod whole;

#[cfg(test)]
pub(crate) use document::ReportDocument;
pub(crate) use document::document;
pub(crate) use gather::{ReportData, ReportRequest};
pub(crate) use whole::{answer, html};
