//! Stdout and stderr: how wide they are, in which colours, and who reads them.

use crate::format::foreign;
use crate::io::diagnose::Look;
use crate::io::exit::{Failure, stdout_failure};
use crate::render::columns::paragraph;
use anstyle::{AnsiColor, Style};
use std::io::{self, IsTerminal, Write};

/// Headings.
pub(crate) const HEADING: Style = Style::new().bold();
/// What deserves attention.
pub(crate) const ALERT: Style = AnsiColor::Red.on_default().bold();
/// What is as it should be.
pub(crate) const GOOD: Style = AnsiColor::Green.on_default();
/// What may be passed over.
pub(crate) const QUIET: Style = Style::new().dimmed();

/// Width of an answer when nothing says how wide the reader is.
const USUAL_WIDTH: usize = 100;
/// Narrower than this even numbers do not fit.
const LEAST_WIDTH: usize = 40;
/// Wider than this the eye loses the line.
const GREATEST_WIDTH: usize = 130;

/// Columns to fill on stdout: the terminal's, or what `COLUMNS` says, or a usual page.
pub(crate) fn width() -> usize {
    let terminal = || terminal_size::terminal_size_of(io::stdout()).map(|(w, _)| usize::from(w.0));
    let asked = || std::env::var("COLUMNS").ok()?.parse().ok();
    terminal().or_else(asked).unwrap_or(USUAL_WIDTH).clamp(LEAST_WIDTH, GREATEST_WIDTH)
}

/// Write an answer to stdout; colours fall away where they do not belong.
pub(crate) fn answer(text: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    out.write_all(printable(text).as_bytes()).and_then(|()| out.flush()).map_err(stdout_failure)
}

/// The last gate before a terminal: of all characters that steer one, line breaks and colours pass.
fn printable(text: &str) -> String {
    let mut printable = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let length = colour_length(rest).unwrap_or(c.len_utf8());
        let is_kept = c == '\n' || c.len_utf8() < length || !foreign::is_steering(c);
        let (piece, after) = rest.split_at(length);
        printable.push_str(if is_kept { piece } else { "\u{fffd}" });
        rest = after;
    }
    printable
}

/// Length in bytes of the colour sequence that a text begins with (ECMA-48, SGR).
fn colour_length(text: &str) -> Option<usize> {
    let parameters = text.strip_prefix("\u{1b}[")?;
    let end = parameters.find(|c: char| !c.is_ascii_digit() && c != ';')?;
    parameters[end..].starts_with('m').then_some(2 + end + 1)
}

/// Write bytes to stdout as they are.
pub(crate) fn answer_bytes(bytes: &[u8]) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    out.write_all(bytes).and_then(|()| out.flush()).map_err(stdout_failure)
}

/// Write a note to stderr. A stderr that is gone leaves nobody to tell.
pub(crate) fn note(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{}", printable(text));
}

/// Write notes to stderr after an answer, each on lines of its own and parted from the answer where
/// both stand on one terminal.
pub(crate) fn closing_notes(notes: &[String]) {
    let wide = stderr_look().width.min(GREATEST_WIDTH);
    if io::stdout().is_terminal() && stderr_is_watched() {
        note("");
    }
    for text in notes {
        // A log keeps a note on one line.
        let lines = if stderr_is_watched() { paragraph(text, wide) } else { vec![text.clone()] };
        note(&lines.join("\n"));
    }
}

/// How messages on stderr look.
pub(crate) fn stderr_look() -> Look {
    let colour = anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never;
    let wide = terminal_size::terminal_size_of(io::stderr()).map(|(w, _)| usize::from(w.0));
    Look { colour, width: wide.unwrap_or(USUAL_WIDTH).max(LEAST_WIDTH) }
}

/// Whether a person reads the questions and types the answers.
pub(crate) fn is_conversation() -> bool {
    io::stdin().is_terminal() && stderr_is_watched()
}

/// Whether a person watches stderr.
pub(crate) fn stderr_is_watched() -> bool {
    io::stderr().is_terminal()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_pass_and_nothing_else_that_steers() {
        let kept = "a \u{1b}[1;31mred\u{1b}[0m\nb";
        assert_eq!(printable(kept), kept);
        for steering in
            ["\u{1b}]0;title\u{7}", "\u{1b}[2J", "\u{9b}31m", "\r", "\u{202e}", "\u{1b}"]
        {
            let shown = printable(&format!("a{steering}b"));
            assert!(!shown.chars().any(foreign::is_steering), "{shown:?}");
        }
    }
}
