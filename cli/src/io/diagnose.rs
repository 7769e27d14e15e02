//! Problems of a scene drawn under the text they are about.

use crate::format::foreign;
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use earline_engine::scene::{MAX_PROBLEMS, Problem, Severity};
use std::ops::Range;

/// More than this many are counted, not drawn: nobody reads on.
const DRAWN_MAX: usize = 40;

/// Lines longer than this are shown in part, in characters.
const LINE_MAX: usize = 160;

/// How much of a long line is shown before and after the place, in characters.
const AROUND: usize = 50;

/// How messages look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Look {
    /// Whether to colour.
    pub(crate) colour: bool,
    /// Columns of the terminal.
    pub(crate) width: usize,
}

/// All problems of a text, each under its place, then a line that counts them.
pub(crate) fn render(name: &str, text: &str, problems: &[Problem], look: Look) -> String {
    let renderer = renderer(look);
    let text = &foreign::visible_in_place(text);
    let mut out = String::new();
    for problem in problems.iter().take(DRAWN_MAX) {
        out.push_str(renderer.render(&[group(name, text, problem)]).trim_end());
        out.push_str("\n\n");
    }
    out.push_str(&count(name, problems));
    out
}

/// A message about no place in a text.
pub(crate) fn render_plain(message: &str, help: &str, look: Look) -> String {
    let group = Level::ERROR.primary_title(message).element(Level::HELP.message(help));
    let mut out = renderer(look).render(&[group]).trim_end().to_owned();
    out.push('\n');
    out
}

fn renderer(look: Look) -> Renderer {
    let renderer = if look.colour { Renderer::styled() } else { Renderer::plain() };
    renderer.decor_style(DecorStyle::Ascii).term_width(look.width)
}

fn group<'a>(name: &'a str, text: &'a str, problem: &'a Problem) -> Group<'a> {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let mut group =
        Group::with_title(level.primary_title(problem.message.as_str()).id(problem.code));
    let place = within(text, &problem.span);
    if place.is_empty() && problem.label.is_empty() {
        // About the text as a whole, such as a section that is missing.
        group = group.element(Origin::path(name));
    } else if shows_long_line(text, problem) {
        group = long_line(group, name, text, problem);
    } else {
        let primary =
            AnnotationKind::Primary.span(first_line(text, place)).label(label(&problem.label));
        let related = problem.related.iter().map(|(span, words)| -> Annotation<'_> {
            AnnotationKind::Context.span(first_line(text, within(text, span))).label(label(words))
        });
        group = group
            .element(Snippet::source(text).path(name).annotation(primary).annotations(related));
    }
    match &problem.help {
        Some(help) => group.element(Level::HELP.message(help.as_str())),
        None => group,
    }
}

fn label(words: &str) -> Option<&str> {
    (!words.is_empty()).then_some(words)
}

/// A part of a long line around the place; other places are named by their line.
fn long_line<'a>(
    group: Group<'a>,
    name: &'a str,
    text: &'a str,
    problem: &'a Problem,
) -> Group<'a> {
    let place = first_line(text, within(text, &problem.span));
    let line = line_around(text, place.start);
    let before = text.get(line.start..place.start).unwrap_or_default();
    let column = 1 + before.chars().count();
    let number = line_number(text, place.start);
    let mut shown = String::new();
    let kept: Vec<char> = before.chars().rev().take(AROUND).collect();
    if kept.len() < column - 1 {
        shown.push('…');
    }
    shown.extend(kept.iter().rev());
    let start = shown.len();
    shown.extend(text.get(place.clone()).unwrap_or_default().chars().take(AROUND));
    let end = shown.len();
    let after = text.get(place.end..line.end).unwrap_or_default();
    shown.extend(after.chars().take(AROUND));
    shown.push('…');

    let primary = AnnotationKind::Primary.span(start..end).label(label(&problem.label));
    let snippet = Snippet::source(shown).line_start(number).annotation(primary);
    let mut group =
        group.element(Origin::path(name).line(number).char_column(column)).element(snippet);
    for (span, words) in &problem.related {
        let number = line_number(text, within(text, span).start);
        group = group.element(Level::NOTE.message(format!("line {number}: {words}")));
    }
    group
}

fn shows_long_line(text: &str, problem: &Problem) -> bool {
    let spans = problem.related.iter().map(|(span, _)| span).chain([&problem.span]);
    spans.into_iter().any(|span| {
        let line = line_around(text, within(text, span).start);
        LINE_MAX < text.get(line).unwrap_or_default().chars().count()
    })
}

/// The span, kept inside the text and on character borders.
fn within(text: &str, span: &Range<usize>) -> Range<usize> {
    let start = text.floor_char_boundary(span.start);
    let end = text.floor_char_boundary(span.end).max(start);
    start..end
}

/// The part of a span on its first line: a whole section underlined would hide the point.
fn first_line(text: &str, span: Range<usize>) -> Range<usize> {
    let part = text.get(span.clone()).unwrap_or_default();
    let length = part.find(['\n', '\r']).unwrap_or(part.len());
    span.start..span.start + length
}

fn line_around(text: &str, at: usize) -> Range<usize> {
    let (before, after) = (text.get(..at).unwrap_or_default(), text.get(at..).unwrap_or_default());
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    start..after.find('\n').map_or(text.len(), |newline| at + newline)
}

fn line_number(text: &str, at: usize) -> usize {
    1 + text.get(..at).unwrap_or_default().matches('\n').count()
}

fn count(name: &str, problems: &[Problem]) -> String {
    let errors = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    let warnings = problems.len() - errors;
    let counted =
        |count: usize, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    let mut parts = Vec::new();
    if errors > 0 {
        parts.push(counted(errors, "error"));
    }
    if warnings > 0 {
        parts.push(counted(warnings, "warning"));
    }
    if parts.is_empty() {
        return String::new();
    }
    let rest = problems.len().saturating_sub(DRAWN_MAX);
    let rest = if rest > 0 { format!("; {rest} more than shown") } else { String::new() };
    // The rest of a text that is wrong all over is not looked through.
    let least = if problems.len() < MAX_PROBLEMS { "" } else { "at least " };
    format!("{name}: {least}{}{rest}\n", parts.join(" and "))
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;
    use earline_engine::scene::{NoAttachments, Scene};

    const PLAIN: Look = Look { colour: false, width: 100 };

    fn problems(text: &str) -> Vec<Problem> {
        Scene::parse(text, &NoAttachments).unwrap_err()
    }

    #[test]
    fn the_place_is_underlined_and_the_remedy_follows() {
        let text = "title = \"µ ½ room\"   # marks of several bytes\n[room]\nlenght = \"5 m\"\n";
        let drawn = render("room.toml", text, &problems(text), PLAIN);
        let unknown = drawn.split("\n\n").find(|part| part.contains("unknown-key")).unwrap();
        let expected = [
            "error[scene::unknown-key]: the room has no key `lenght`",
            " --> room.toml:3:1",
            "  |",
            "3 | lenght = \"5 m\"",
            "  | ^^^^^^ unknown key",
            "  |",
            "  = help: did you mean `length`? known here: `length`, `width` and `height`",
        ];
        assert_eq!(unknown.lines().collect::<Vec<_>>(), expected);
        assert!(!drawn.contains('\u{1b}'));
    }

    #[test]
    fn colour_comes_only_when_asked_for() {
        let text = "[room]\n";
        assert!(
            render("a", text, &problems(text), Look { colour: true, ..PLAIN }).contains('\u{1b}')
        );
    }

    #[test]
    fn a_line_of_a_million_letters_stays_short_on_the_terminal() {
        let long = "x".repeat(1_000_000);
        for text in [
            format!("title = \"{long}\"\n"),
            format!("[room]\nlength = \"{long}\"\n"),
            format!("[room]\n{long} = 3\n"),
            format!("a = {}\n", "[".repeat(100_000)),
            format!("a = [{}]\n", "1, ".repeat(100_000)),
            format!("{long}\n"),
        ] {
            let drawn = render("room.toml", &text, &problems(&text), PLAIN);
            assert!(drawn.len() < 12_000, "{} bytes: {}", drawn.len(), &drawn[..2000]);
        }
    }

    #[test]
    fn hundreds_of_slips_are_counted() {
        let keys: Vec<String> = (0..500).map(|i| format!("k{i} = 1")).collect();
        let text = keys.join("\n");
        let drawn = render("room.toml", &text, &problems(&text), PLAIN);
        assert!(drawn.contains("more than shown"), "{}", &drawn[drawn.len() - 100..]);
        assert!(drawn.lines().count() < 500);
    }

    #[test]
    fn control_characters_of_the_text_do_not_reach_the_terminal() {
        let text = "title = \"a\\u001b[31m\"\n[room]\n\"\\u001b[2J\" = 1\n# \u{7f}\n";
        let drawn = render("room.toml", text, &problems(text), PLAIN);
        assert!(!drawn.contains('\u{1b}'), "{drawn}");
    }
}
