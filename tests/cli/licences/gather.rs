//! The notices, gathered from the lock file and from the packages themselves.

use super::texts::Texts;
use super::top;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

/// Over the packages.
pub(super) const PACKAGES: &str = "\nPackages\n\n";
/// Over what is no package.
pub(super) const ALSO: &str = "\nAlso in the program\n\n";
/// Over the texts.
pub(super) const TEXTS: &str = "\nTexts\n";
/// Before each text.
pub(super) const RULE: &str =
    "\n================================================================\n";

/// What is no package: its name, its licence, and where it comes from.
pub(super) const ALSO_IN_IT: [(&str, &str, &str); 2] = [
    ("Earline Sans (cut from Fira Sans 4.203)", "OFL-1.1", "https://github.com/mozilla/Fira"),
    (
        "the Rust standard library with what is in it",
        "MIT OR Apache-2.0",
        "https://github.com/rust-lang/rust",
    ),
];

const HEAD: &str = "\
What Earline is made of, whose work that is, and under which licences it may be passed on. Each part is
named with its version, its licence and where its source is; below are the texts, each once, with the
parts that carry it. Of several licences joined by OR any one may be chosen.
";

/// What stands for every platform.
const ANYWHERE: [&str; 2] = ["--target", "all"];

/// What cargo answers from the lock file, without a network.
fn cargo(args: &[&str]) -> String {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let mut asked = Command::new(cargo);
    let answer = asked.current_dir(top()).args(args).args(["--locked", "--offline"]).output();
    let answer = answer.unwrap();
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    String::from_utf8(answer.stdout).unwrap()
}

/// Names and versions of the packages whose code is in the program on one platform, or on any: all that
/// it depends on, and not for building or testing alone. Procedural macros run while it is built.
pub(super) fn linked(platforms: &[&str]) -> BTreeSet<String> {
    let tree = ["tree", "--package", "earline", "--edges", "normal,no-proc-macro"];
    let plain = ["--prefix", "none", "--format", "{p}"];
    cargo(&[&tree[..], &plain, platforms].concat())
        .lines()
        .map(|line| {
            let mut words = line.split(' ');
            let (name, version) = (words.next().unwrap(), words.next().unwrap());
            format!("{name} {}", version.trim_start_matches('v'))
        })
        .collect()
}

fn items(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn text<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

/// Name and version.
fn called(package: &Value) -> String {
    format!("{} {}", text(package, "name"), text(package, "version"))
}

/// Names and versions of the lock file.
pub(super) fn packages_of_lock_file() -> BTreeSet<String> {
    let lock = std::fs::read_to_string(top().join("Cargo.lock")).unwrap();
    let value = |of: &str, key: &str| {
        let line = of.lines().find_map(|line| line.strip_prefix(key)).unwrap();
        line.trim_matches('"').to_owned()
    };
    let packages = lock.split("[[package]]\n").skip(1);
    packages.map(|of| format!("{} {}", value(of, "name = "), value(of, "version = "))).collect()
}

/// The list of the packages that are not in the program.
pub(super) fn not_linked() -> String {
    let linked = linked(&ANYWHERE);
    let rest = packages_of_lock_file().into_iter().filter(|package| !linked.contains(package));
    let head = "# Packages of the lock file that only building, tests and benches use.\n";
    rest.fold(head.to_owned(), |all, package| all + &package + "\n")
}

/// The whole file of notices.
pub(super) fn notices() -> String {
    let metadata: Value =
        serde_json::from_str(&cargo(&["metadata", "--format-version", "1"])).unwrap();
    let linked = linked(&ANYWHERE);
    let packages: BTreeMap<String, &Value> = items(&metadata["packages"])
        .map(|package| (called(package), package))
        .filter(|(part, _)| linked.contains(part))
        .collect();
    assert_eq!(packages.len(), linked.len());
    let mut out = format!("{HEAD}{PACKAGES}");
    let (mut texts, mut without) = (Texts::default(), Vec::new());
    for (part, package) in packages {
        let licence = text(package, "license").replace('/', " OR ");
        assert!(!licence.is_empty(), "{part} names no licence");
        let source = match package["repository"].as_str() {
            Some(repository) => repository.to_owned(),
            None if package["source"].is_null() => "this program".to_owned(),
            None => format!("https://crates.io/crates/{}", text(package, "name")),
        };
        writeln!(out, "{part}, {licence}, {source}").unwrap();
        let folder = Path::new(text(package, "manifest_path")).parent().unwrap();
        // Ours are at the top of the tree.
        let own = package["source"].is_null();
        let of_it = texts.add_folder(&part, if own { top() } else { folder.to_owned() }.as_path());
        if !of_it {
            let authors: Vec<String> = items(&package["authors"])
                .filter_map(|author| author.as_str()?.split('<').next())
                .map(|name| name.trim().to_owned())
                .filter(|name| !name.is_empty())
                .collect();
            let by = match authors.as_slice() {
                [] => format!("the authors of {}", text(package, "name")),
                authors => authors.join(", "),
            };
            assert!(licence.contains("MIT"), "{part} has no text of {licence} in its package");
            without.push((part, format!("Copyright (c) {by}")));
        }
    }
    out += ALSO;
    for (part, licence, source) in ALSO_IN_IT {
        writeln!(out, "{part}, {licence}, {source}").unwrap();
    }
    let [font, rust] = ALSO_IN_IT.map(|also| also.0);
    texts.add_file(font, &top().join("cli/assets/earline-sans-OFL.txt"));
    without.push((rust.to_owned(), "Copyright (c) The Rust Project Developers".to_owned()));
    for (part, owner) in without {
        texts.add_mit(&part, &owner);
    }
    out + TEXTS + &texts.written()
}
