//! Columns of the tables by octave bands.

use crate::content::document::Column;
use crate::format::frequency::BAND_NAMES;

/// A column for the speaker, and one for each octave band.
pub(super) fn band_columns() -> Vec<Column> {
    [Column::left("Speaker")].into_iter().chain(BAND_NAMES.map(Column::right)).collect()
}
