//! Files a scene refers to. The engine opens none itself; whoever calls it does.

use super::print::quote;
use super::problem::Problems;
use super::raw::{self, RawDirectivity, Spanned};
use std::collections::BTreeMap;
use toml::de::DeTable;

/// Gives the text of a file that a scene names, such as a directivity table.
pub trait Attachments {
    /// The text of the file `name`, as the scene writes it.
    ///
    /// # Errors
    /// In plain words, why the file cannot be had.
    fn read(&self, name: &str) -> Result<String, String>;
}

/// For scenes that stand on their own: every attachment is refused.
#[derive(Debug, Clone, Copy, Default)]
pub struct NoAttachments;

impl Attachments for NoAttachments {
    fn read(&self, _name: &str) -> Result<String, String> {
        Err("this scene is read on its own, without other files".to_owned())
    }
}

/// For scenes whose files are in memory: text by name.
impl Attachments for BTreeMap<String, String> {
    fn read(&self, name: &str) -> Result<String, String> {
        self.get(name).cloned().ok_or_else(|| "it is not among the scene's files".to_owned())
    }
}

/// Names of the files that a scene text refers to, each once, in the order of the text. A text that is
/// no TOML names none.
pub fn attachment_names(text: &str) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for file in references(text) {
        if !names.contains(&file.value) {
            names.push(file.value);
        }
    }
    names
}

/// The scene text with other names for its files, by the names that it has now; a file without another
/// keeps its own. Nothing else is changed, comments included.
///
/// ```
/// use earline_engine::scene::with_attachment_names;
/// let text = "speaker = [{ directivity = { kind = 'table', file = '../a.csv' } }] # mine\n";
/// let names = [("../a.csv".to_owned(), "a.csv".to_owned())].into();
/// let renamed = "speaker = [{ directivity = { kind = 'table', file = \"a.csv\" } }] # mine\n";
/// assert_eq!(with_attachment_names(text, &names), renamed);
/// ```
pub fn with_attachment_names(text: &str, names: &BTreeMap<String, String>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for Spanned { value, span } in references(text) {
        let Some(name) = names.get(&value) else { continue };
        out.push_str(text.get(done..span.start).unwrap_or_default());
        out.push_str(&quote(name));
        done = span.end;
    }
    out.push_str(text.get(done..).unwrap_or_default());
    out
}

/// Every mention of a file, in the order of the text.
fn references(text: &str) -> Vec<Spanned<String>> {
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        return Vec::new();
    }
    let scene = raw::read(document.get_ref(), 0, &Problems::default());
    let mut files: Vec<Spanned<String>> = scene
        .speakers
        .into_iter()
        .filter_map(|speaker| match speaker.directivity? {
            RawDirectivity::Table { file } => file,
            _ => None,
        })
        .collect();
    files.sort_by_key(|file| file.span.start);
    files
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# one.csv\n[[speaker]]\ndirectivity = { kind = \"table\", file = \"one.csv\" }\n\
        [[speaker]]\ndirectivity = { kind = \"omni\" }\n\
        [[speaker]]\n[speaker.directivity]\nfile = '''t/\"two\".csv''' # where it is\nkind = \"table\"\n\
        [[speaker]]\ndirectivity.kind = \"table\"\ndirectivity.file = \"one.csv\"\n";

    #[test]
    fn every_file_is_named_once() {
        assert_eq!(attachment_names(TEXT), ["one.csv", "t/\"two\".csv"]);
        assert!(attachment_names("no = scene").is_empty());
        assert!(attachment_names("speaker = [").is_empty());
    }

    /// Whatever the notation, only the names change; a name that needs quoting is quoted.
    #[test]
    fn names_change_and_nothing_else() {
        assert_eq!(with_attachment_names(TEXT, &BTreeMap::new()), TEXT);
        let names = [("one.csv", "a\\b\".csv"), ("t/\"two\".csv", "two.csv")];
        let names = names.map(|(old, new)| (old.to_owned(), new.to_owned())).into();
        let renamed = TEXT
            .replace("file = \"one.csv\"", "file = \"a\\\\b\\\".csv\"")
            .replace("'''t/\"two\".csv'''", "\"two.csv\"");
        assert_eq!(with_attachment_names(TEXT, &names), renamed);
        assert_eq!(attachment_names(&renamed), ["a\\b\".csv", "two.csv"]);
    }
}
