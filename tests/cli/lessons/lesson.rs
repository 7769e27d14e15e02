//! A lesson under test: its commands run, its quotes, pictures and figures held against them.

use super::figures::{figures_with_units, numbers};
use super::picture;
use crate::shown::{Block, command, lay_out_scenes, parts, text_of};
use crate::{earline, stdout};
use serde_json::Value;
use std::collections::BTreeSet;
use tempfile::TempDir;

/// The sections of every lesson, in their order.
const SECTIONS: [&str; 6] =
    ["The scene", "Run it", "What to look for", "The answer", "Try next", "Where it stops"];
/// With this in the environment the pictures are drawn anew before they are compared.
const RENEW: &str = "EARLINE_RENEW_PICTURES";
/// A lesson is short.
const MOST_LINES: usize = 95;

/// A lesson whose commands have been run.
pub(super) struct Lesson {
    name: String,
    folder: TempDir,
    prose: String,
    /// Figures that stand in the scenes, in what was quoted, or were worked out.
    known: BTreeSet<String>,
}

impl Lesson {
    /// Reads a lesson, runs every command, and checks its form, its quotes and its pictures.
    pub(super) fn run(name: &str) -> Self {
        let document = text_of(&format!("docs/lessons/{name}.md"));
        has_its_sections(name, &document);
        let folder = tempfile::tempdir().unwrap();
        lay_out_scenes(folder.path());
        let mut lesson =
            Self { name: name.to_owned(), folder, prose: String::new(), known: BTreeSet::new() };
        let mut answer = None;
        for part in parts(&document) {
            match part {
                Err(prose) => lesson.prose += &prose,
                Ok(block) if block.kind == "console" => answer = Some(lesson.answer(&block)),
                Ok(block) if block.kind == "text" => {
                    lesson.is_said(&block, answer.as_deref().unwrap());
                }
                Ok(block) => panic!("{name}: nothing holds a block of `{}`", block.kind),
            }
        }
        assert!(answer.is_some(), "{name} shows no command");
        lesson.pictures_are_as_drawn();
        lesson
    }

    /// Runs a block of commands; what they say, one after the other.
    fn answer(&mut self, block: &Block) -> String {
        let mut answer = String::new();
        for line in block.text.lines() {
            let args = command(line).unwrap_or_else(|| panic!("{}: `{line}`", self.name));
            answer += &stdout(earline(self.folder.path()).args(&args));
            self.known.extend(numbers(line));
            for scene in args.iter().filter(|arg| arg.starts_with("scenes/")) {
                assert!(scene.starts_with("scenes/lessons/"), "{}: {scene}", self.name);
                self.known.extend(numbers(&text_of(scene)));
            }
        }
        answer
    }

    /// Every quoted line stands in the answer, in this order; `…` stands for lines left out.
    fn is_said(&mut self, quote: &Block, answer: &str) {
        let plain = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut said = answer.lines().map(plain);
        for line in quote.text.lines().map(plain).filter(|line| !line.is_empty() && line != "…") {
            assert!(
                said.any(|other| other == line),
                "{}: no answer says, or no longer at this place: {line}",
                self.name
            );
            self.known.extend(numbers(&line));
        }
    }

    /// Every picture of the lesson is the one that its commands draw.
    fn pictures_are_as_drawn(&self) {
        let links = self.prose.split("](pictures/").skip(1);
        let pictures: Vec<&str> = links.map(|link| link.split(')').next().unwrap()).collect();
        assert!(!pictures.is_empty(), "{} has no picture", self.name);
        for name in pictures {
            let drawn = picture::of_that_name(self.folder.path(), name);
            let shown = crate::shown::project(&format!("docs/lessons/pictures/{name}"));
            if std::env::var_os(RENEW).is_some() {
                picture::renew(&shown, &drawn);
            }
            picture::same(&shown, &drawn);
        }
    }

    /// A document of the program, to hold a formula against.
    pub(super) fn json(&self, args: &[&str]) -> Value {
        serde_json::from_str(&stdout(earline(self.folder.path()).args(args).arg("--json"))).unwrap()
    }

    /// Where a file of that name is in the lesson's folder.
    pub(super) fn place(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join(name)
    }

    /// A table that one of the lesson's commands wrote, without its heading.
    pub(super) fn rows_of(&self, table: &str) -> usize {
        std::fs::read_to_string(self.place(table)).unwrap().lines().count() - 1
    }

    /// The lesson says this figure, and the formula of the test gives it: `5.00 m` is any value that
    /// rounds to 5.00.
    #[track_caller]
    pub(super) fn works_out(&mut self, value: f64, figure: &str) {
        let digits = |c: char| !c.is_ascii_digit() && c != '.';
        let number = figure.split(digits).next().unwrap();
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let rounded = format!("{value:.decimals$}");
        assert_eq!(rounded.trim_start_matches('-'), number, "{figure} is {value}");
        self.published(&[figure]);
    }

    /// Figures of a document or of common practice: the lesson says them as they stand here.
    #[track_caller]
    pub(super) fn published(&mut self, figures: &[&str]) {
        let prose = self.prose.split_whitespace().collect::<Vec<_>>().join(" ");
        for figure in figures {
            assert!(prose.contains(figure), "{} does not say {figure}", self.name);
            self.known.extend(numbers(figure));
        }
    }

    /// No figure with a unit stands in the lesson that nothing holds.
    pub(super) fn leaves_no_figure_loose(&self) {
        let loose: Vec<String> = figures_with_units(&self.prose)
            .into_iter()
            .filter(|figure| !numbers(figure).iter().all(|number| self.known.contains(number)))
            .collect();
        assert!(loose.is_empty(), "{}: held by nothing: {loose:?}", self.name);
    }
}

fn has_its_sections(name: &str, document: &str) {
    let sections: Vec<&str> =
        document.lines().filter_map(|line| line.strip_prefix("## ")).collect();
    assert_eq!(sections, SECTIONS, "{name}");
    assert!(document.starts_with("# "), "{name} has no title");
    let lines = document.lines().count();
    assert!(lines <= MOST_LINES, "{name} is {lines} lines long");
}
