//! The keys of one table: unknown ones reported at once, known ones fetched by type.

use super::sections::{KEYS, meant};
use super::spanned::{RawPoint, Span, Spanned};
use super::value_reader::{TomlValue, ValueReader};
use crate::scene::messages::{list, nearest, quoted};
use crate::scene::problem::{Problem, Problems};
use toml::de::{DeTable, DeValue};

/// Notation of a point, for messages.
const POINT: &str = "[from front wall, from left wall, above floor]";

/// One table of the scene, such as `[room]` or one `[[speaker]]`.
pub(super) struct TableReader<'t, 'i> {
    table: &'t DeTable<'i>,
    /// Description of the table, for messages: "the room", "the speaker `main left`".
    what: String,
    span: Span,
    /// Known keys that some unknown key seems to mean; not reported as missing again.
    misspelt: Vec<&'static str>,
    problems: &'t Problems,
}

#[expect(
    clippy::redundant_closure_for_method_calls,
    reason = "a method named by its path takes one lifetime only; these readers take any"
)]
impl<'t, 'i> TableReader<'t, 'i> {
    /// Takes a table in hand and reports every key not in `known`.
    pub(super) fn new(
        table: &'t DeTable<'i>,
        what: impl Into<String>,
        span: Span,
        known: &[&'static str],
        problems: &'t Problems,
    ) -> Self {
        let mut fields = Self { table, what: what.into(), span, misspelt: Vec::new(), problems };
        for key in table.keys().filter(|key| !known.contains(&key.get_ref().as_ref())) {
            fields.report_unknown(key.get_ref(), key.span(), known);
        }
        fields
    }

    /// Takes the whole scene in hand and reports every key that is neither a section nor anything else at
    /// its top; `end` is the end of its text.
    pub(super) fn of_scene(table: &'t DeTable<'i>, end: Span, problems: &'t Problems) -> Self {
        let what = "the scene".to_owned();
        let mut fields = Self { table, what, span: end, misspelt: Vec::new(), problems };
        for (key, value) in table.iter().filter(|(key, _)| !KEYS.contains(&key.get_ref().as_ref()))
        {
            fields.report_unknown_section(key.get_ref(), key.span(), value.get_ref());
        }
        fields
    }

    /// The table's place.
    pub(super) fn span(&self) -> Span {
        self.span.clone()
    }

    /// The list of problems.
    pub(super) fn problems(&self) -> &'t Problems {
        self.problems
    }

    /// The value of a key, when it is there.
    pub(super) fn get(&self, key: &str) -> Option<&'t TomlValue<'i>> {
        self.table.get(key)
    }

    /// Description of a key of this table, for messages.
    pub(super) fn name_of(&self, key: &str) -> String {
        format!("`{key}` of {}", self.what)
    }

    /// Reports a key as missing unless a misspelt one stands in for it; always `None`.
    pub(super) fn missing<T>(&self, key: &str, example: &str) -> Option<T> {
        if !self.stands_misspelt(key) {
            let message = format!("{} has no `{key}`", self.what);
            self.problems.add(
                Problem::error("scene::missing-key", self.span(), message)
                    .label(format!("`{key}` belongs here"))
                    .help(format!("add a line such as {key} = {example}")),
            );
        }
        None
    }

    /// Reports that none of several keys is there, unless a misspelt one stands in; always `None`.
    pub(super) fn missing_any<T>(&self, keys: &[&str], example: &str) -> Option<T> {
        if !keys.iter().any(|key| self.stands_misspelt(key)) {
            let message = format!("{} has none of {}", self.what, list(keys.iter().copied()));
            self.problems.add(
                Problem::error("scene::missing-key", self.span(), message)
                    .label("one of them belongs here")
                    .help(format!("add a line such as {example}")),
            );
        }
        None
    }

    /// The table inside a key, as in `directivity = { … }`.
    pub(super) fn inner(&self, key: &str, known: &[&'static str], example: &str) -> Option<Self> {
        let value = self.get(key)?;
        let what = self.name_of(key);
        match value.get_ref() {
            DeValue::Table(table) => {
                Some(Self::new(table, what, value.span(), known, self.problems))
            }
            _ => ValueReader { what: &what, problems: self.problems }.wrong(
                value,
                "a table in braces",
                &format!("write {key} = {example}"),
            ),
        }
    }

    /// Whether some unknown key seems to mean this one.
    pub(super) fn stands_misspelt(&self, key: &str) -> bool {
        self.misspelt.contains(&key)
    }

    pub(super) fn length(&self, key: &str) -> Option<Spanned<f64>> {
        self.read(key, |reader, value| reader.length(value))
    }

    pub(super) fn require_length(&self, key: &str, example: &str) -> Option<Spanned<f64>> {
        self.require(key, example, |reader, value| reader.length(value))
    }

    pub(super) fn number(&self, key: &str) -> Option<Spanned<f64>> {
        self.read(key, |reader, value| reader.number(value))
    }

    pub(super) fn require_number(&self, key: &str, example: &str) -> Option<Spanned<f64>> {
        self.require(key, example, |reader, value| reader.number(value))
    }

    pub(super) fn text(&self, key: &str) -> Option<Spanned<String>> {
        self.read(key, |reader, value| reader.text(value))
    }

    pub(super) fn require_text(&self, key: &str, example: &str) -> Option<Spanned<String>> {
        self.require(key, example, |reader, value| reader.text(value))
    }

    pub(super) fn boolean(&self, key: &str) -> Option<Spanned<bool>> {
        self.read(key, |reader, value| reader.boolean(value))
    }

    pub(super) fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<Spanned<T>> {
        self.read(key, |reader, value| reader.word(value, words))
    }

    pub(super) fn require_word<T: Copy>(
        &self,
        key: &str,
        example: &str,
        words: &[(&str, T)],
    ) -> Option<Spanned<T>> {
        self.require(key, example, |reader, value| reader.word(value, words))
    }

    pub(super) fn point(&self, key: &str) -> Option<RawPoint> {
        self.read(key, |reader, value| reader.exactly(value, POINT, ValueReader::length))
    }

    pub(super) fn require_point(&self, key: &str, example: &str) -> Option<RawPoint> {
        self.require(key, example, |reader, value| {
            reader.exactly(value, POINT, ValueReader::length)
        })
    }

    /// `N` lengths; `shape` names them, as in `[height, width, depth]`.
    pub(super) fn require_lengths<const N: usize>(
        &self,
        key: &str,
        shape: &str,
        example: &str,
    ) -> Option<Spanned<[Spanned<f64>; N]>> {
        self.require(key, example, |reader, value| {
            reader.exactly(value, shape, ValueReader::length)
        })
    }

    /// Reads a key with its own reader, when it is there.
    pub(super) fn read<T>(
        &self,
        key: &str,
        read_value: impl Fn(ValueReader<'_>, &'t TomlValue<'i>) -> Option<T>,
    ) -> Option<T> {
        let value = self.get(key)?;
        let what = self.name_of(key);
        read_value(ValueReader { what: &what, problems: self.problems }, value)
    }

    /// Reads a key with its own reader; reports it when it is missing.
    pub(super) fn require<T>(
        &self,
        key: &str,
        example: &str,
        read_value: impl Fn(ValueReader<'_>, &'t TomlValue<'i>) -> Option<T>,
    ) -> Option<T> {
        if self.get(key).is_none() {
            return self.missing(key, example);
        }
        self.read(key, read_value)
    }

    fn report_unknown_section(&mut self, key: &str, span: Span, value: &DeValue<'_>) {
        let is_section = match value {
            DeValue::Table(_) => true,
            DeValue::Array(items) => {
                items.first().is_some_and(|item| matches!(item.get_ref(), DeValue::Table(_)))
            }
            _ => false,
        };
        let kind = if is_section { "section" } else { "key" };
        let help = match meant(key) {
            Some((meant, how)) => {
                self.misspelt.push(meant);
                how
            }
            None => format!("known here: {}", list(KEYS.iter().copied())),
        };
        let message = format!("the scene has no {kind} `{}`", quoted(key));
        self.problems.add(
            Problem::error("scene::unknown-key", span, message)
                .label(format!("unknown {kind}"))
                .help(help),
        );
    }

    fn report_unknown(&mut self, key: &str, span: Span, known: &[&'static str]) {
        let free = || known.iter().copied().filter(|&word| self.table.get(word).is_none());
        let meant = nearest(key, free());
        let help = match meant {
            Some(word) => {
                format!("did you mean `{word}`? known here: {}", list(known.iter().copied()))
            }
            None => format!("known here: {}", list(known.iter().copied())),
        };
        let message = format!("{} has no key `{}`", self.what, quoted(key));
        self.problems.add(
            Problem::error("scene::unknown-key", span, message).label("unknown key").help(help),
        );
        if let Some(word) = meant.and_then(|meant| known.iter().find(|&&word| word == meant)) {
            self.misspelt.push(word);
        }
    }
}
