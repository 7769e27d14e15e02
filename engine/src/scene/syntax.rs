//! Slips of TOML itself, in plainer words.

use super::problem::{Problem, Problems};

/// At most this many are shown: the first slip often causes the later ones.
const SHOWN_MAX: usize = 12;

/// Reports what the TOML reader could not read.
pub(super) fn report(text: &str, errors: &[toml::de::Error], problems: &Problems) {
    let mut slips: Vec<&toml::de::Error> = errors.iter().collect();
    // Of a number with two slips the first says what to do.
    let start = |slip: &toml::de::Error| slip.span().map(|span| span.start);
    slips.dedup_by(|later, first| start(later) == start(first) && number_slip(first).is_some());
    for error in slips.into_iter().take(SHOWN_MAX) {
        problems.add(problem(text, error));
    }
}

fn problem(text: &str, error: &toml::de::Error) -> Problem {
    let end = text.len();
    let span = error.span().unwrap_or(end..end);
    let span = span.start.min(end)..span.end.min(end);
    if error.message().contains("duplicate key") {
        return Problem::error(
            "scene::duplicate-key",
            span,
            "the same key is written twice in one section",
        )
        .label("second time")
        .help(
            "keep one of the two; for a second speaker, panel and so on start a new [[…]] section",
        );
    }
    if let Some((plain, help)) = number_slip(error) {
        return Problem::error("scene::syntax", span, plain).label("here").help(help);
    }
    let problem =
        Problem::error("scene::syntax", span.clone(), plainly(error.message())).label("here");
    problem.help(remedy(text.get(line_around(text, span.start)).unwrap_or(""), error.message()))
}

/// The TOML reader's words for slips in numbers, plainer words, and what would be right.
const NUMBERS: [(&str, &str, &str); 6] = [
    ("invalid mantissa", "a number has no digit before its point", "write 0.5, not .5"),
    ("invalid fraction", "a number has no digit after its point", "write 5.0 or 5, not 5."),
    ("invalid exponent", "a power of ten has no digits", "write the number out, as in 0.35"),
    ("unexpected leading zero", "a number begins with a nought", "write 5.8, not 05.8"),
    (
        "`_` may only go between digits",
        "an underscore does not stand between two digits",
        "leave the underscore out",
    ),
    (
        "invalid float",
        "a number has something in it that is no digit",
        "a bare number has digits and a point only; with a unit it goes in double quotes: \"2.9 m\"",
    ),
];

/// Plainer words for a slip in a number, and what would be right.
fn number_slip(error: &toml::de::Error) -> Option<(&'static str, &'static str)> {
    let known = NUMBERS.iter().find(|(reason, ..)| error.message().starts_with(reason));
    known.map(|&(_, plain, help)| (plain, help))
}

/// The TOML reader's words, plainer where we know them.
fn plainly(message: &str) -> String {
    let known = [
        ("string values must be quoted", "this value is neither a number nor a text in quotes"),
        ("unexpected key or value", "something follows although the value is complete"),
        ("key with no value", "there is no `=` after the key"),
        ("missing value", "there is nothing after the `=`"),
        ("invalid basic string", "this text is not closed on its line"),
        ("unclosed table", "this section header is not closed"),
        ("unclosed array", "this list is not closed"),
        ("unclosed inline table", "this table in braces is not closed"),
        ("missing comma", "a comma is missing between two values"),
        ("invalid key-value pair", "this line does not read `key = value`"),
        ("cannot recurse further", "brackets are nested too deeply"),
    ];
    match known.iter().find(|(start, _)| message.starts_with(start)) {
        Some((_, plain)) => (*plain).to_owned(),
        None => format!("this line cannot be read: {message}"),
    }
}

/// The byte range of the line that holds `at`.
fn line_around(text: &str, at: usize) -> std::ops::Range<usize> {
    let before = text.get(..at).unwrap_or("");
    let after = text.get(at..).unwrap_or("");
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let end = after.find('\n').map_or(text.len(), |newline| at + newline);
    start..end
}

fn remedy(line: &str, message: &str) -> &'static str {
    let line = line.split('#').next().unwrap_or("").trim();
    let value = line.split_once('=').map_or("", |(_, value)| value.trim());
    if line.starts_with('[') && !line.ends_with(']') {
        return "a section starts with its name in brackets: [room] or [[speaker]]";
    }
    if value.matches('"').count() == 3 && value.ends_with('"') {
        return "an inch mark ends the text too early: write \"9 ft 6 in\" instead of \"9'6\"\"";
    }
    if value.matches('"').count() % 2 == 1 {
        return "a double quote is missing: texts have one at both ends";
    }
    if message.contains("comma") || value.starts_with('[') || value.starts_with('{') {
        return "check the commas between the values, and the closing bracket";
    }
    if value.starts_with(|first: char| first.is_ascii_digit() || first == '.' || first == '-') {
        return "a length with a unit goes in double quotes: \"2.9 m\"; a bare number has digits and a point only";
    }
    if value.is_empty() && !line.is_empty() {
        return "each line reads key = value, as in length = \"5.80 m\"";
    }
    "texts go in double quotes, as in material = \"wood, solid\""
}
