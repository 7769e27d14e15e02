//! From one TOML value to a typed one, or to a problem that says what was found.

use super::spanned::{Span, Spanned};
use crate::scene::length::parse_length;
use crate::scene::messages::{MAX_TEXT_CHARS, list, nearest, quoted, turns_writing};
use crate::scene::problem::{Problem, Problems};
use toml::de::DeValue;

/// A TOML value with its place.
pub(super) type TomlValue<'t> = toml::Spanned<DeValue<'t>>;

/// Reader of one value, with its description for messages: "`at` of the speaker `main left`".
#[derive(Clone, Copy)]
pub(super) struct ValueReader<'a> {
    pub(super) what: &'a str,
    pub(super) problems: &'a Problems,
}

impl ValueReader<'_> {
    /// A length in metres: a bare number, or text with its unit.
    pub(super) fn length(self, value: &TomlValue<'_>) -> Option<Spanned<f64>> {
        let span = value.span();
        match value.get_ref() {
            DeValue::String(text) => match parse_length(text) {
                Ok(metres) => Some(Spanned::new(metres, span)),
                Err(error) => {
                    let message = format!("{} cannot be read: {}", self.what, error.message);
                    self.problems.add(
                        Problem::error("scene::bad-length", span, message)
                            .label("not a length")
                            .help(error.help),
                    );
                    None
                }
            },
            DeValue::Integer(_) | DeValue::Float(_) => self.number(value),
            _ => self.wrong(
                value,
                "a length",
                "write \"2.9 m\", \"290 cm\", \"9 ft 6 in\" or a bare number of metres",
            ),
        }
    }

    /// A finite number.
    pub(super) fn number(self, value: &TomlValue<'_>) -> Option<Spanned<f64>> {
        let span = value.span();
        let number = match value.get_ref() {
            DeValue::Integer(integer) => {
                i64::from_str_radix(integer.as_str(), integer.radix()).ok().map(|i| {
                    #[expect(
                        clippy::cast_precision_loss,
                        reason = "a length or level is far below 2^53"
                    )]
                    let number = i as f64;
                    number
                })
            }
            DeValue::Float(float) => float.as_str().parse().ok(),
            DeValue::String(_) => {
                return self.wrong(value, "a number", "write it without quotes");
            }
            _ => return self.wrong(value, "a number", "write a plain number such as 20 or 0.35"),
        };
        match number {
            Some(number) if f64::is_finite(number) => Some(Spanned::new(number, span)),
            _ => {
                let message = format!("{} is not a finite number", self.what);
                self.problems.add(
                    Problem::error("scene::not-finite", span, message)
                        .label("this is no number to compute with")
                        .help("write the number you measured"),
                );
                None
            }
        }
    }

    /// A text of printable characters.
    pub(super) fn text(self, value: &TomlValue<'_>) -> Option<Spanned<String>> {
        let span = value.span();
        let DeValue::String(text) = value.get_ref() else {
            return self.wrong(value, "a text", "put it in double quotes");
        };
        let trouble = if text.trim().is_empty() {
            "is empty"
        } else if text.chars().any(char::is_control) {
            "has a line break or another unprintable character in it"
        } else if text.chars().any(turns_writing) {
            "has a character in it that turns the direction of writing"
        } else if MAX_TEXT_CHARS < text.chars().count() {
            "is longer than 200 characters"
        } else {
            return Some(Spanned::new(text.to_string(), span));
        };
        self.problems.add(
            Problem::error("scene::bad-text", span, format!("{} {trouble}", self.what))
                .help("write a short text on one line"),
        );
        None
    }

    /// `true` or `false`.
    pub(super) fn boolean(self, value: &TomlValue<'_>) -> Option<Spanned<bool>> {
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(Spanned::new(*flag, value.span())),
            _ => self.wrong(value, "true or false", "write true or false, without quotes"),
        }
    }

    /// One of a few words.
    pub(super) fn word<T: Copy>(
        self,
        value: &TomlValue<'_>,
        words: &[(&str, T)],
    ) -> Option<Spanned<T>> {
        let allowed = || words.iter().map(|&(word, _)| word);
        let DeValue::String(text) = value.get_ref() else {
            return self.wrong(value, "a word", &format!("choose from {}", list(allowed())));
        };
        if let Some(&(_, meaning)) = words.iter().find(|(word, _)| word == text) {
            return Some(Spanned::new(meaning, value.span()));
        }
        let help = match nearest(text, allowed()) {
            Some(word) => format!("did you mean \"{word}\"? allowed are {}", list(allowed())),
            None => format!("allowed are {}", list(allowed())),
        };
        let message = format!("{} cannot be \"{}\"", self.what, quoted(text));
        self.problems.add(
            Problem::error("scene::unknown-word", value.span(), message)
                .label("not one of the words known here")
                .help(help),
        );
        None
    }

    /// Exactly `N` values of one kind; `shape` says which, as in `[x, y, z]`.
    pub(super) fn exactly<T, const N: usize>(
        self,
        value: &TomlValue<'_>,
        shape: &str,
        each: impl Fn(Self, &TomlValue<'_>) -> Option<T>,
    ) -> Option<Spanned<[T; N]>> {
        let items = self.array(value, shape)?;
        if items.len() != N {
            self.wrong_count(value.span(), items.len(), shape);
            return None;
        }
        // Read all before giving up on one, so that every slip in the row is reported.
        let read: Vec<Option<T>> = items.iter().map(|item| each(self, item)).collect();
        let all: Vec<T> = read.into_iter().collect::<Option<_>>()?;
        all.try_into().ok().map(|array| Spanned::new(array, value.span()))
    }

    /// The elements of an array.
    pub(super) fn array<'v, 't>(
        self,
        value: &'v TomlValue<'t>,
        shape: &str,
    ) -> Option<&'v [TomlValue<'t>]> {
        match value.get_ref() {
            DeValue::Array(items) => Some(items),
            _ => self.wrong(value, &format!("a list {shape}"), &format!("write {shape}")),
        }
    }

    /// Reports a list of the wrong length.
    pub(super) fn wrong_count(self, span: Span, found: usize, shape: &str) {
        let values = if found == 1 { "value" } else { "values" };
        let message = format!("{} has {found} {values}", self.what);
        self.problems.add(
            Problem::error("scene::wrong-count", span, message)
                .label(format!("expected {shape}"))
                .help(format!("write {shape}")),
        );
    }

    /// Reports a value of the wrong type.
    pub(super) fn wrong<T>(self, value: &TomlValue<'_>, expected: &str, help: &str) -> Option<T> {
        let found = kind(value.get_ref());
        let message = format!("{} should be {expected}, but {found} is written", self.what);
        self.problems.add(
            Problem::error("scene::wrong-type", value.span(), message)
                .label(format!("found {found}"))
                .help(help),
        );
        None
    }
}

/// The kind of a TOML value in plain words.
pub(super) fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true/false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
