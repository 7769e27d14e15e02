//! A table for spreadsheets, in memory.

use anyhow::{Context, Result, anyhow};

/// A table that grows row by row.
pub(crate) struct CsvTable {
    /// Name of its file, for messages.
    file: &'static str,
    writer: csv::Writer<Vec<u8>>,
}

impl CsvTable {
    /// A table with the names of its columns.
    pub(crate) fn new<T: AsRef<[u8]>>(
        file: &'static str,
        head: impl IntoIterator<Item = T>,
    ) -> Result<Self> {
        let mut table = Self { file, writer: csv::Writer::from_writer(Vec::new()) };
        table.row(head)?;
        Ok(table)
    }

    /// Adds a row with a field for every column.
    pub(crate) fn row<T: AsRef<[u8]>>(
        &mut self,
        fields: impl IntoIterator<Item = T>,
    ) -> Result<()> {
        self.writer.write_record(fields).with_context(|| format!("cannot write {}", self.file))
    }

    /// The bytes of the file.
    pub(crate) fn finish(self) -> Result<Vec<u8>> {
        let Self { file, writer } = self;
        writer.into_inner().map_err(|failed| anyhow!("cannot finish {file}: {}", failed.error()))
    }
}
