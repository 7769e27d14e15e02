//! A table for spreadsheets, in memory.

use crate::io::write::TABLES;
use anyhow::{Context, Result, anyhow};

/// A table that grows row by row.
pub(crate) struct CsvTable {
    /// Name of its file, for messages.
    file: &'static str,
    writer: csv::Writer<Vec<u8>>,
}

impl CsvTable {
    /// A table, one of [`TABLES`], with the names of its columns.
    pub(crate) fn new<T: AsRef<[u8]>>(
        file: &'static str,
        head: impl IntoIterator<Item = T>,
    ) -> Result<Self> {
        debug_assert!(TABLES.contains(&file), "{file} is not among the tables");
        let mut table = Self { file, writer: csv::Writer::from_writer(Vec::new()) };
        table.row(head)?;
        Ok(table)
    }

    /// Adds a row with a field for every column. A text that a spreadsheet would take for a formula gets
    /// an apostrophe before it (OWASP, CSV Injection; from memory).
    pub(crate) fn row<T: AsRef<[u8]>>(
        &mut self,
        fields: impl IntoIterator<Item = T>,
    ) -> Result<()> {
        for field in fields {
            let field = field.as_ref();
            let inert: &[u8] = if is_formula(field) { b"'" } else { b"" };
            self.writer
                .write_field([inert, field].concat())
                .with_context(|| format!("cannot write {}", self.file))?;
        }
        self.writer
            .write_record(None::<&[u8]>)
            .with_context(|| format!("cannot write {}", self.file))
    }

    /// The bytes of the file.
    pub(crate) fn finish(self) -> Result<Vec<u8>> {
        let Self { file, writer } = self;
        writer.into_inner().map_err(|failed| anyhow!("cannot finish {file}: {}", failed.error()))
    }
}

/// Whether a spreadsheet would compute a field instead of showing it; a number is no formula.
fn is_formula(field: &[u8]) -> bool {
    let begins = matches!(field.first(), Some(b'=' | b'+' | b'-' | b'@' | b'\t' | b'\r'));
    begins && str::from_utf8(field).map_or(true, |text| text.parse::<f64>().is_err())
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;

    #[test]
    fn formulas_are_put_out_of_action_and_numbers_are_not() {
        let mut table = CsvTable::new("bass.csv", ["a", "b"]).unwrap();
        table.row(["=cmd|' /C calc'!A0", "-3.2"]).unwrap();
        table.row(["@x", "+1e-3"]).unwrap();
        table.row(["-main", "left, or right"]).unwrap();
        let text = String::from_utf8(table.finish().unwrap()).unwrap();
        let expected = "a,b\n'=cmd|' /C calc'!A0,-3.2\n'@x,+1e-3\n'-main,\"left, or right\"\n";
        assert_eq!(text, expected);
    }
}
