//! A picture as text, without its typeface and with long paths as a count and a digest.

use super::numbers::digest;
use std::fmt::Write as _;

/// So many characters of an attribute are kept whole.
const WHOLE: usize = 200;
/// So many elements in a row that differ in their numbers and colours only are kept whole.
const ROW: usize = 12;

pub(super) fn shorten(picture: &str) -> String {
    let lines: Vec<String> = picture.lines().map(|line| paths(&embedded(line))).collect();
    let mut kept = String::new();
    // Lines that differ in their numbers and colours only are one group.
    for group in lines.chunk_by(|one, next| shape(one) == shape(next)) {
        let whole = if group.len() > ROW { 3 } else { group.len() };
        for line in &group[..whole] {
            kept += line;
            kept.push('\n');
        }
        if group.len() > whole {
            let rest: Vec<f64> = group[whole..]
                .iter()
                .flat_map(|line| [numbers(line), colours(line)].concat())
                .collect();
            writeln!(kept, "[{} more like this, {}]", group.len() - whole, digest(&rest)).unwrap();
        }
    }
    kept
}

/// A line without the data of the typefaces and bitmaps in it.
fn embedded(line: &str) -> String {
    let Some((before, data)) = line.split_once("base64,") else { return line.to_owned() };
    let end = data.find([')', '"', '\'']).unwrap();
    format!("{before}base64,[cut]{}", &data[end..])
}

/// A line whose long path is a count of its points and a digest of where they are.
fn paths(line: &str) -> String {
    let Some((before, data)) = line.split_once(" d=\"") else { return line.to_owned() };
    let (path, after) = data.split_once('"').unwrap();
    if path.len() <= WHOLE {
        return line.to_owned();
    }
    let points = points(path);
    format!("{before} d=\"[{} points, {}]\"{after}", points.len() / 2, digest(&points))
}

/// The points of a path, one coordinate after the other: `M` is absolute, `l` relative.
fn points(path: &str) -> Vec<f64> {
    let mut points = Vec::new();
    let mut at = [0.0; 2];
    for (start, command) in path.match_indices(|c: char| c.is_ascii_alphabetic()) {
        let rest = &path[start + 1..];
        let end = rest.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(rest.len());
        for pair in numbers(&rest[..end]).chunks_exact(2) {
            match command {
                "M" => at = [pair[0], pair[1]],
                "l" => at = [at[0] + pair[0], at[1] + pair[1]],
                other => panic!("the pictures have no path with {other}"),
            }
            points.extend(at);
        }
    }
    points
}

/// All numbers of a line; a sign or a second point begins a new one.
fn numbers(line: &str) -> Vec<f64> {
    let mut found = Vec::new();
    let mut word = String::new();
    for c in line.chars().chain([' ']) {
        let ends = match c {
            '-' => true,
            '.' => word.contains('.'),
            _ => !c.is_ascii_digit(),
        };
        if ends {
            found.extend(word.parse::<f64>());
            word.clear();
        }
        if c == '-' || c == '.' || c.is_ascii_digit() {
            word.push(c);
        }
    }
    found
}

/// The colours of a line, `#rrggbb`, as numbers.
fn colours(line: &str) -> Vec<f64> {
    let after = line.split('#').skip(1).filter_map(|after| after.get(..6));
    after.filter_map(|hex| u32::from_str_radix(hex, 16).ok()).map(f64::from).collect()
}

/// A line without its numbers and colours.
fn shape(line: &str) -> String {
    let mut parts = line.split('#');
    let mut words = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let is_colour = part.get(..6).is_some_and(|hex| u32::from_str_radix(hex, 16).is_ok());
        words += if is_colour { &part[6..] } else { part };
    }
    words.chars().filter(|c| !(c.is_ascii_digit() || matches!(c, '.' | '-'))).collect()
}
