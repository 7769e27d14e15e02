//! Text as HTML: the one place where it is made safe.

pub(super) use crate::canvas::svg::escaped;
use std::fmt::{Display, Write as _};

/// A growing piece of a page.
#[derive(Debug, Default)]
pub(crate) struct Html(String);

/// A cell of a table.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    inside: String,
    class: &'static str,
}

impl Html {
    /// The page so far.
    pub(crate) fn into_string(self) -> String {
        self.0
    }

    /// Markup as it stands; text from outside never comes here.
    pub(crate) fn raw(&mut self, markup: impl Display) -> &mut Self {
        // Writing into a string does not fail.
        let _ = write!(self.0, "{markup}");
        self
    }

    /// An element with text.
    pub(crate) fn element(&mut self, tag: &str, text: &str) -> &mut Self {
        let name = tag.split(' ').next().unwrap_or(tag);
        let text = escaped(text);
        self.raw(format_args!("<{tag}>{text}</{name}>\n"))
    }

    /// A paragraph.
    pub(crate) fn paragraph(&mut self, text: &str) -> &mut Self {
        self.raw(format_args!("<p>{}</p>\n", prose(text)))
    }

    /// A paragraph each.
    pub(crate) fn paragraphs<T: AsRef<str>>(&mut self, texts: &[T]) -> &mut Self {
        for text in texts {
            self.paragraph(text.as_ref());
        }
        self
    }

    /// A paragraph of second rank.
    pub(crate) fn modest(&mut self, text: &str) -> &mut Self {
        self.raw(format_args!("<p class=\"modest\">{}</p>\n", prose(text)))
    }

    /// A list; `tag` is `ul` or `ol`.
    pub(crate) fn list<T: AsRef<str>>(&mut self, tag: &str, texts: &[T]) -> &mut Self {
        self.raw(format_args!("<{tag}>\n"));
        for text in texts {
            self.raw(format_args!("<li>{}</li>\n", prose(text.as_ref())));
        }
        self.raw(format_args!("</{tag}>\n"))
    }

    /// A table that scrolls aside where the page is narrow.
    pub(crate) fn table(&mut self, caption: &str, heads: &[Cell], rows: &[Vec<Cell>]) -> &mut Self {
        let name = escaped(caption);
        self.raw(format_args!(
            "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{name}\">\n"
        ));
        self.raw(format_args!("<table><caption>{name}</caption>\n<thead><tr>"));
        for head in heads {
            self.raw(format_args!("<th scope=\"col\"{}>{}</th>", head.class(), head.inside));
        }
        self.raw("</tr></thead>\n<tbody>\n");
        for row in rows {
            self.raw("<tr>");
            for (index, cell) in row.iter().enumerate() {
                let (class, inside) = (cell.class(), &cell.inside);
                if index == 0 {
                    self.raw(format_args!("<th scope=\"row\"{class}>{inside}</th>"));
                } else {
                    self.raw(format_args!("<td{class}>{inside}</td>"));
                }
            }
            self.raw("</tr>\n");
        }
        self.raw("</tbody></table></div>\n")
    }
}

impl Cell {
    /// Words.
    pub(crate) fn words(text: impl AsRef<str>) -> Self {
        Self { inside: escaped(text.as_ref()), class: "" }
    }

    /// A figure, at the right.
    pub(crate) fn figure(text: impl AsRef<str>) -> Self {
        Self { class: "n", ..Self::words(minus(text.as_ref())) }
    }

    /// Words that say whether something holds, marked by a class.
    pub(crate) fn verdict(text: impl AsRef<str>, class: &'static str) -> Self {
        Self { class, ..Self::words(text) }
    }

    /// The same with another class.
    pub(crate) fn with(self, class: &'static str) -> Self {
        Self { class, ..self }
    }

    fn class(&self) -> String {
        if self.class.is_empty() { String::new() } else { format!(" class=\"{}\"", self.class) }
    }
}

/// JSON for within a script element, which a `<` could end.
pub(crate) fn island(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

/// A sentence with what stands between backticks as code, and true minuses before figures elsewhere.
pub(crate) fn prose(text: &str) -> String {
    let parts: Vec<&str> = text.split('`').collect();
    // A backtick without its twin is one.
    if parts.len().is_multiple_of(2) {
        return escaped(&set(text));
    }
    let part = |(index, part): (usize, &&str)| {
        if index % 2 == 1 { format!("<code>{}</code>", escaped(part)) } else { escaped(&set(part)) }
    };
    parts.iter().enumerate().map(part).collect()
}

/// A sentence with true minuses before its figures.
pub(crate) fn set(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    let mut before = ' ';
    while let Some(letter) = letters.next() {
        let is_sign = letter == '-'
            && (before.is_whitespace() || before == '(')
            && letters.peek().is_some_and(char::is_ascii_digit);
        out.push(if is_sign { '\u{2212}' } else { letter });
        before = letter;
    }
    out
}

/// A figure with a true minus.
pub(crate) fn minus(text: &str) -> String {
    text.replace('-', "\u{2212}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_the_page() {
        assert_eq!(escaped("</p>\"'&\u{0}\n"), "&lt;/p&gt;&quot;&#39;&amp; \n");
        assert_eq!(set("-3.2 dB (-1), 15-20, --seed -x"), "−3.2 dB (−1), 15-20, --seed -x");
        assert_eq!(prose("do `a <b>` at -3"), "do <code>a &lt;b&gt;</code> at −3");
        assert_eq!(prose("one ` only"), "one ` only");
        assert_eq!(island("{\"a\":\"</script>\"}"), "{\"a\":\"\\u003c/script\\u003e\"}");
    }
}
