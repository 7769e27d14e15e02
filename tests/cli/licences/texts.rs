//! Texts of licences: the same text once, over it the parts that carry it and whose they are.

use super::gather::RULE;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What begins the name of a file with a licence or a notice in it.
const NAMES: [&str; 6] = ["licence", "license", "copying", "copyright", "notice", "unlicense"];

/// How wide lists of parts are.
const WIDTH: usize = 100;

/// The texts so far, by what they say.
#[derive(Default)]
pub(super) struct Texts {
    by_words: BTreeMap<String, Text>,
}

#[derive(Default)]
struct Text {
    parts: Vec<String>,
    /// Lines that say whose it is, each once.
    owners: Vec<String>,
    /// As the most talkative of its kind has it.
    body: String,
}

impl Texts {
    /// Adds every text in the folder of a package; whether there is one.
    pub(super) fn add_folder(&mut self, part: &str, folder: &Path) -> bool {
        let files = licence_files(folder);
        for file in &files {
            self.add_file(part, file);
        }
        !files.is_empty()
    }

    /// Adds the text of a file.
    pub(super) fn add_file(&mut self, part: &str, file: &Path) {
        let bytes = std::fs::read(file).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let (owners, body) = split(&text);
        let known = self.by_words.entry(words(&body)).or_default();
        known.add(part, owners);
        if known.body.len() < body.len() {
            known.body = body;
        }
    }

    /// Adds a part without a text of its own to those under the usual MIT licence: after all that have
    /// one.
    pub(super) fn add_mit(&mut self, part: &str, owner: &str) {
        let is_mit = |words: &&mut Text| {
            let body = words.body.to_lowercase();
            body.contains("permission is hereby granted, free of charge") && body.len() < 1200
        };
        let usual = self.by_words.values_mut().filter(is_mit).max_by_key(|text| text.parts.len());
        usual.unwrap().add(part, vec![owner.to_owned()]);
    }

    /// All of them, those of the most parts first.
    pub(super) fn written(&self) -> String {
        let mut texts: Vec<&Text> = self.by_words.values().collect();
        texts.sort_by(|one, other| {
            let parts = |text: &Text| text.parts.len();
            parts(other).cmp(&parts(one)).then_with(|| one.parts.cmp(&other.parts))
        });
        texts.into_iter().map(Text::written).collect()
    }
}

impl Text {
    fn add(&mut self, part: &str, owners: Vec<String>) {
        if !self.parts.iter().any(|known| known == part) {
            self.parts.push(part.to_owned());
        }
        for owner in owners {
            if !self.owners.contains(&owner) {
                self.owners.push(owner);
            }
        }
    }

    fn written(&self) -> String {
        let owners = self.owners.iter().map(|owner| owner.clone() + "\n").collect::<String>();
        let gap = if owners.is_empty() { "" } else { "\n" };
        let mut parts = self.parts.clone();
        parts.sort();
        format!("{RULE}{}\n\n{owners}{gap}{}\n", list(&parts), self.body)
    }
}

/// Names in lines of a readable width, none of them torn apart.
fn list(parts: &[String]) -> String {
    let mut lines = vec![String::new()];
    for (index, part) in parts.iter().enumerate() {
        let comma = if index + 1 < parts.len() { "," } else { "" };
        let line = lines.last_mut().unwrap();
        if line.is_empty() {
            *line = format!("{part}{comma}");
        } else if line.len() + part.len() + 2 <= WIDTH {
            *line = format!("{line} {part}{comma}");
        } else {
            lines.push(format!("{part}{comma}"));
        }
    }
    lines.join("\n")
}

/// Files of a package that hold licences or notices, those in folders named so too.
fn licence_files(folder: &Path) -> Vec<PathBuf> {
    let inside = |folder: &Path| -> Vec<PathBuf> {
        let mut paths: Vec<PathBuf> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        paths
    };
    let is_named = |path: &Path| {
        let name = path.file_name().unwrap().to_string_lossy().to_lowercase();
        NAMES.iter().any(|begins| name.starts_with(begins))
            && path.extension().is_none_or(|ending| ending != "rs")
    };
    let mut files = Vec::new();
    for path in inside(folder).into_iter().filter(|path| is_named(path)) {
        if path.is_dir() {
            files.extend(inside(&path).into_iter().filter(|path| path.is_file()));
        } else {
            files.push(path);
        }
    }
    files
}

/// Lines that say whose it is, and the rest; without what steers a terminal.
fn split(text: &str) -> (Vec<String>, String) {
    let clean: String = text
        .chars()
        .filter(|c| !c.is_control() || matches!(c, '\n' | '\t'))
        .map(|c| if c == '\t' { ' ' } else { c })
        .collect();
    let (owners, rest): (Vec<&str>, Vec<&str>) =
        clean.lines().map(str::trim_end).partition(|line| says_whose(line.trim_start()));
    let owners = owners
        .into_iter()
        .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
        // How to fill in the form is no owner.
        .filter(|line| !line.contains(['[', '{', '<']) || line.contains('@'))
        .collect();
    let mut body = String::new();
    for line in rest {
        if !(line.is_empty() && (body.is_empty() || body.ends_with("\n\n"))) {
            body += line;
            body += "\n";
        }
    }
    (owners, body.trim_end().to_owned())
}

fn says_whose(line: &str) -> bool {
    let after = line.strip_prefix("Copyright ").unwrap_or(line);
    let is_sign = ["(c) ", "(C) ", "© "].iter().any(|sign| after.starts_with(sign));
    is_sign
        || after.len() < line.len() && after.starts_with(|c: char| c.is_ascii_digit() || c == '[')
}

/// What a text says, apart from its title, how its lines are broken, and how to apply it.
fn words(body: &str) -> String {
    let terms = body.split("END OF TERMS AND CONDITIONS").next().unwrap_or(body);
    let is_title = |line: &&str| {
        let line = line.trim().trim_start_matches(['#', ' ']).to_lowercase();
        ["mit license", "the mit license", "the mit license (mit)", "mit license (mit)"]
            .contains(&line.as_str())
    };
    let lines: Vec<&str> = terms.lines().filter(|line| !is_title(line)).collect();
    let words = lines.join(" ").to_lowercase().replace("https://", "http://");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}
