//! The text of a directivity table: decibels against the angle off the axis, per octave band.

use crate::medium::bands::{BAND_COUNT, NOMINAL_HZ, PerBand};
use crate::medium::directivity::DirectivityTable;

/// Notation of such a table, for messages.
pub(super) const SHAPE: &str = "the table starts with the line angle_deg,63,125,250,500,1000,2000,4000,8000; then one line \
an angle, rising from 0 to 180, with decibels relative to the axis";

/// Levels outside this are slips, in decibels relative to the axis.
const LEVEL_DB: std::ops::RangeInclusive<f64> = -120.0..=40.0;

/// The axis itself is 0 dB by definition; this much is forgiven to rounding.
const AXIS_SLACK_DB: f64 = 0.05;

/// Angles nearer to each other are a slip, degrees: nobody turns a speaker by less, and the slope
/// between them could leave the range of numbers.
const CLOSEST_DEG: f64 = 0.001;

/// A problem of a table, and its line.
#[derive(Debug, PartialEq)]
pub(super) struct TableProblem {
    pub(super) line: usize,
    pub(super) message: String,
}

/// Reads a table. Empty lines and lines that start with `#` are passed over.
pub(super) fn read(file: &str, text: &str) -> Result<DirectivityTable, TableProblem> {
    let mut table =
        DirectivityTable { file: file.to_owned(), angle_deg: Vec::new(), level_db: Vec::new() };
    let mut last_line = 1;
    let mut headed = false;
    for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.trim();
        last_line = index + 1;
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let at = |message: String| TableProblem { line: index + 1, message };
        if headed {
            let (angle, levels) = row(line).map_err(at)?;
            follow(&table, angle).map_err(at)?;
            table.angle_deg.push(angle);
            table.level_db.push(levels);
        } else {
            header(line).map_err(at)?;
            headed = true;
        }
    }
    match (table.angle_deg.first(), table.angle_deg.last(), table.level_db.first()) {
        (Some(_), Some(&last), Some(axis)) => {
            if last < 180.0 {
                return Err(TableProblem {
                    line: last_line,
                    message: format!("the last angle is {last}°, but it must be 180°"),
                });
            }
            if axis.iter().any(|level| AXIS_SLACK_DB < level.abs()) {
                let message =
                    "the row for 0° must be 0 dB in every band: subtract it from all rows"
                        .to_owned();
                return Err(TableProblem { line: 2, message });
            }
            Ok(table)
        }
        _ => Err(TableProblem { line: last_line, message: "there are no angles in it".to_owned() }),
    }
}

fn header(line: &str) -> Result<(), String> {
    let mut cells = line.split(',').map(str::trim);
    let angle = cells.next() == Some("angle_deg");
    let bands: Vec<Option<f64>> = cells.map(|cell| cell.parse().ok()).collect();
    let expected: Vec<Option<f64>> = NOMINAL_HZ.iter().map(|&hz| Some(hz)).collect();
    if angle && bands == expected {
        Ok(())
    } else {
        Err("the first line does not name the columns".to_owned())
    }
}

fn row(line: &str) -> Result<(f64, PerBand<f64>), String> {
    let numbers: Vec<f64> = line
        .split(',')
        .map(|cell| {
            let cell = cell.trim();
            let number = cell.parse::<f64>().ok().filter(|number| number.is_finite());
            number.ok_or_else(|| {
                format!("`{}` is not a number", crate::scene::messages::quoted(cell))
            })
        })
        .collect::<Result<_, _>>()?;
    let [angle, levels @ ..] = numbers.as_slice() else {
        return Err("the line is empty".to_owned());
    };
    let levels: PerBand<f64> = levels
        .try_into()
        .map_err(|_| format!("there are {} levels, but {BAND_COUNT} bands", levels.len()))?;
    match levels.iter().find(|level| !LEVEL_DB.contains(level)) {
        Some(level) => Err(format!("{level} dB relative to the axis cannot be")),
        None => Ok((*angle, levels)),
    }
}

fn follow(table: &DirectivityTable, angle: f64) -> Result<(), String> {
    match table.angle_deg.last() {
        None if angle == 0.0 => Ok(()),
        None => Err(format!("the first angle is {angle}°, but it must be 0°")),
        Some(_) if 180.0 < angle => Err(format!("{angle}° is more than 180°")),
        Some(&before) if angle <= before => Err(format!("{angle}° does not come after {before}°")),
        // What decimals lose is forgiven.
        Some(&before) if angle - before < CLOSEST_DEG * (1.0 - 1e-9) => Err(format!(
            "{angle}° comes less than {CLOSEST_DEG}° after {before}°, closer than anyone measures"
        )),
        Some(_) => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEAD: &str = "angle_deg,63,125,250,500,1000,2000,4000,8000\n";
    const AXIS: &str = "0,0,0,0,0,0,0,0,0\n";
    const BACK: &str = "180,-1,-2,-4,-8,-12,-16,-20,-24\n";

    #[test]
    fn a_plain_table_is_read() {
        let table = read("a.csv", &format!("# invented\n{HEAD}{AXIS}\n{BACK}"))
            .map_err(|slip| slip.message);
        assert_eq!(table.as_ref().map(|t| t.angle_deg.clone()), Ok(vec![0.0, 180.0]));
        assert_eq!(table.map(|t| t.level_db[1][7]), Ok(-24.0));
    }

    #[test]
    fn slips_are_told_with_their_line() {
        for (text, line, message) in [
            (String::new(), 1, "no angles"),
            (HEAD.to_owned(), 1, "no angles"),
            (format!("{AXIS}{BACK}"), 1, "first line"),
            (format!("{HEAD}{AXIS}"), 2, "last angle"),
            (format!("{HEAD}{BACK}"), 2, "must be 0°"),
            (format!("{HEAD}{AXIS}{AXIS}{BACK}"), 3, "does not come after"),
            (format!("{HEAD}{AXIS}1e-9,0,0,0,0,0,0,0,0\n{BACK}"), 3, "less than 0.001°"),
            (format!("{HEAD}{AXIS}180,1,2\n"), 3, "2 levels"),
            (format!("{HEAD}{AXIS}180,x,0,0,0,0,0,0,0\n"), 3, "not a number"),
            (format!("{HEAD}{AXIS}180,nan,0,0,0,0,0,0,0\n"), 3, "not a number"),
            (format!("{HEAD}{AXIS}180,99,0,0,0,0,0,0,0\n"), 3, "cannot be"),
            (format!("{HEAD}{AXIS}190,0,0,0,0,0,0,0,0\n"), 3, "more than 180"),
            (format!("{HEAD}0,3,0,0,0,0,0,0,0\n{BACK}"), 2, "subtract"),
        ] {
            let slip = read("a.csv", &text).err();
            assert!(
                slip.as_ref().is_some_and(|s| s.line == line && s.message.contains(message)),
                "{text}: {slip:?}"
            );
        }
    }
}
