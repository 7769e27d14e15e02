//! The table as a Parquet file (Apache Parquet format 2, an open standard), for notebooks.

use super::sweep_table::{ColumnKind, SweepField, SweepTable};
use anyhow::{Context, Result};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::Type;
use std::sync::Arc;

/// The whole file, in memory: one row group, plain and dictionary pages, nothing compressed, the same
/// bytes from run to run.
///
/// # Errors
/// None that can be named: it is written to memory.
pub(crate) fn parquet(table: &SweepTable<'_>) -> Result<Vec<u8>> {
    written(table).context("cannot write sweep.parquet")
}

fn written(table: &SweepTable<'_>) -> Result<Vec<u8>> {
    let heads = table.columns();
    let fields: Result<Vec<_>> =
        heads.iter().map(|head| Ok(Arc::new(field(&head.name, head.kind)?))).collect();
    let schema = Arc::new(Type::group_type_builder("sweep").with_fields(fields?).build()?);
    let properties = Arc::new(WriterProperties::builder().build());
    let rows: Vec<Vec<SweepField<'_>>> = table.rows().collect();
    let mut bytes = Vec::new();
    let mut file = SerializedFileWriter::new(&mut bytes, schema, properties)?;
    let mut group = file.next_row_group()?;
    let mut place = 0;
    while let Some(mut column) = group.next_column()? {
        let of_row = rows.iter().filter_map(|row| row.get(place).copied());
        write_column(&mut column, of_row)?;
        column.close()?;
        place += 1;
    }
    group.close()?;
    file.close()?;
    Ok(bytes)
}

fn field(name: &str, kind: ColumnKind) -> Result<Type> {
    let (physical, repetition) = match kind {
        ColumnKind::Count => (Physical::INT64, Repetition::REQUIRED),
        ColumnKind::Number | ColumnKind::Error => (Physical::DOUBLE, Repetition::OPTIONAL),
        ColumnKind::Text => (Physical::BYTE_ARRAY, Repetition::REQUIRED),
    };
    let mut field = Type::primitive_type_builder(name, physical).with_repetition(repetition);
    if kind == ColumnKind::Text {
        field = field.with_logical_type(Some(LogicalType::String));
    }
    Ok(field.build()?)
}

/// All fields of a column are of one kind.
fn write_column<'a>(
    column: &mut SerializedColumnWriter<'_>,
    fields: impl Iterator<Item = SweepField<'a>>,
) -> Result<()> {
    let (mut counts, mut numbers, mut present, mut texts) = (vec![], vec![], vec![], vec![]);
    for field in fields {
        match field {
            SweepField::Count(count) => counts.push(i64::try_from(count)?),
            SweepField::Number(number) => {
                present.push(i16::from(number.is_some()));
                numbers.extend(number);
            }
            SweepField::Text(text) => texts.push(ByteArray::from(text)),
        }
    }
    if !counts.is_empty() {
        column.typed::<Int64Type>().write_batch(&counts, None, None)?;
    } else if !present.is_empty() {
        column.typed::<DoubleType>().write_batch(&numbers, Some(&present), None)?;
    } else {
        column.typed::<ByteArrayType>().write_batch(&texts, None, None)?;
    }
    Ok(())
}
