//! The answers of every command in every demo room, held against files.
//!
//! A change that is meant to change an answer renews them:
//! `INSTA_UPDATE=always cargo test --workspace --test cli snapshot`. Long data is shortened to what
//! a reader can compare; see the modules of the four kinds of file.

mod csv;
mod json;
mod numbers;
mod runs;
mod svg;
mod text;
mod wav;

use crate::schema::is_valid;
use crate::{earline, scene};
use std::collections::{BTreeMap, BTreeSet};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use unicode_width::UnicodeWidthStr;

/// Where the snapshots are: one folder a scene, in it one a command.
fn snapshots() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/cli/snapshots")
}

/// Commands whose answer fits on one screen without `--full`.
const ONE_SCREEN: [&str; 6] = ["trace", "compare", "bass", "tape", "treat", "place"];
/// Lines of such an answer at 80 columns.
const LINES_OF_ONE_SEAT: usize = 45;
/// The same for two seats.
const LINES_OF_TWO_SEATS: usize = 60;
/// The first thing to try stands within so many lines.
const FIRST_POINT_WITHIN: usize = 15;

/// The answers of one command in one room, by the name of their snapshot.
struct Answers {
    /// Where the program runs: with the scene alone, so that no path of this machine is printed.
    folder: tempfile::TempDir,
    by_name: BTreeMap<String, String>,
}

impl Answers {
    fn new(stem: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        if stem != "no-scene" {
            std::fs::copy(scene(stem), folder.path().join("room.toml")).unwrap();
        }
        Self { folder, by_name: BTreeMap::new() }
    }

    /// Runs the program at a width of the terminal, which no line exceeds, and keeps both of its
    /// streams.
    fn terminal(&mut self, name: &str, columns: &str, args: &str) -> &mut Self {
        let mut command = earline(self.folder.path());
        command.env("COLUMNS", columns).env("NO_COLOR", "1").args(args.split_whitespace());
        let output = command.output().unwrap();
        let width = columns.parse().unwrap();
        for line in String::from_utf8_lossy(&output.stdout).lines() {
            assert!(line.width() <= width, "{args} at {columns}: {line}");
        }
        let printed = [output.stdout, output.stderr].map(|text| String::from_utf8(text).unwrap());
        let is_brief =
            ONE_SCREEN.iter().any(|command| args.starts_with(&format!("{command} room.toml")));
        let is_answer = output.status.success();
        if is_answer && is_brief && width == 80 && !args.contains("--full") {
            self.is_one_screen(args, &printed[0]);
        }
        let code = output.status.code().unwrap();
        let whole = format!("{}\n── exit {code}, on stderr\n{}", printed[0], printed[1]);
        self.keep(name, text::stable(&whole));
        self
    }

    /// Holds an answer against the budget of its lines. What to try first is never far down.
    fn is_one_screen(&self, args: &str, answer: &str) {
        let room = std::fs::read_to_string(self.folder.path().join("room.toml")).unwrap();
        let seats = room.matches("[[listener]]").count();
        let most = if seats == 1 { LINES_OF_ONE_SEAT } else { LINES_OF_TWO_SEATS };
        let lines: Vec<&str> = answer.lines().collect();
        assert!(lines.len() <= most, "{args}: {} lines, {most} at most\n{answer}", lines.len());
        let heading = lines.iter().position(|line| *line == "Try first");
        assert!(heading.is_some_and(|line| line + 1 < FIRST_POINT_WITHIN), "{args}\n{answer}");
    }

    /// Runs the program for its document on stdout.
    fn document(&mut self, name: &str, args: &str) -> &mut Self {
        let mut command = earline(self.folder.path());
        let output = command.args(args.split_whitespace()).arg("--json").assert().success();
        let text = String::from_utf8(output.get_output().stdout.clone()).unwrap();
        self.keep_document(name, &text);
        self
    }

    /// Keeps a document that is valid by its schema.
    fn keep_document(&mut self, name: &str, text: &str) {
        let document: serde_json::Value = serde_json::from_str(text).unwrap();
        let schema = document["schema"].as_str().unwrap();
        is_valid(schema.strip_prefix("earline.").unwrap().strip_suffix("/1").unwrap(), text);
        self.keep(name, json::shorten(text));
    }

    /// Keeps what a run has left in `out`: documents, tables and recordings, and of the pictures
    /// those that are `wanted` by their stem.
    fn files(&mut self, wanted: fn(&str) -> bool) -> &mut Self {
        let out = self.folder.path().join("out");
        // A room without a pair has no layouts, one without states no comparison.
        if !out.exists() {
            return self;
        }
        for entry in std::fs::read_dir(out).unwrap() {
            let path = entry.unwrap().path();
            // The pictures of a film have a folder of their own.
            if path.is_dir() {
                continue;
            }
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let (stem, ending) = name.rsplit_once('.').unwrap();
            let text = || std::fs::read_to_string(&path).unwrap();
            match ending {
                "json" => self.keep_document(&name, &text()),
                "csv" => self.keep(&name, csv::shorten(&text())),
                "svg" if wanted(stem) => self.keep(&name, svg::shorten(&text())),
                "html" => self.keep(&name, text::of_page(&text())),
                "toml" => self.keep(&name, text()),
                "wav" => self.keep(&name, wav::summary(&std::fs::read(&path).unwrap())),
                // The same pictures in pixels, and the same tables in Parquet.
                "svg" | "png" | "gif" | "parquet" => {}
                other => panic!("{name}: say how a .{other} file is held"),
            }
        }
        self
    }

    fn keep(&mut self, name: &str, text: String) {
        assert!(self.by_name.insert(name.to_owned(), text).is_none(), "two answers named {name}");
    }

    /// Holds every answer against its snapshot, and every snapshot against the answers.
    fn hold(self, stem: &str, command: &str) {
        let folder = snapshots().join(stem).join(command);
        let mut settings = insta::Settings::new();
        settings.set_snapshot_path(&folder);
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        let differing: Vec<&String> = settings.bind(|| {
            let held = |(name, text): &(&String, &String)| {
                catch_unwind(AssertUnwindSafe(|| {
                    insta::assert_snapshot!(name.as_str(), text.as_str());
                }))
            };
            let all = self.by_name.iter();
            all.filter(|answer| held(answer).is_err()).map(|(name, _)| name).collect()
        });
        let answered: BTreeSet<String> = self.by_name.keys().cloned().collect();
        for name in names_in(&folder, ".snap").difference(&answered) {
            let stale = folder.join(format!("{name}.snap"));
            if std::env::var("INSTA_UPDATE").is_ok_and(|update| update == "always") {
                std::fs::remove_file(stale).unwrap();
            } else {
                panic!("nothing answers to {}", stale.display());
            }
        }
        assert!(differing.is_empty(), "{stem}, {command}: {differing:?} differ");
    }
}

/// The entries of a folder with this ending, without it.
fn names_in(folder: &Path, ending: &str) -> BTreeSet<String> {
    std::fs::read_dir(folder)
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(ending).map(str::to_owned))
        .collect()
}
