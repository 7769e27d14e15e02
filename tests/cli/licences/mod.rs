//! The notices that the program carries, held against what it is made of.
//!
//! They are made of what the packages say of themselves, without a network once those of every platform
//! are there (`cargo fetch`): `EARLINE_RENEW_LICENCES=1 cargo test -p earline --test cli licences`

mod gather;
mod texts;

use crate::{earline, stdout};
use gather::{linked, packages_of_lock_file};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

const RENEW: &str = "EARLINE_RENEW_LICENCES=1 cargo test -p earline --test cli licences";

/// The top of the tree.
fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Whether the notices are to be written anew.
fn renews() -> bool {
    std::env::var_os("EARLINE_RENEW_LICENCES").is_some()
}

/// The notices as they are kept, and the rest of the lock file: packages that only building, tests and
/// benches use. Written anew before the first look where that is asked for.
static KEPT: LazyLock<[String; 2]> = LazyLock::new(|| {
    let files = ["notices.txt", "not-linked.txt"].map(|name| top().join("cli/licences").join(name));
    if renews() {
        std::fs::write(&files[0], gather::notices()).unwrap();
        std::fs::write(&files[1], gather::not_linked()).unwrap();
    }
    files.map(|file| std::fs::read_to_string(file).unwrap())
});

/// Names and versions in the list of packages of the notices.
fn listed(notices: &str) -> BTreeSet<String> {
    let (_, list) = notices.split_once(gather::PACKAGES).unwrap();
    let (list, _) = list.split_once(gather::ALSO).unwrap();
    let named = |line: &str| line.split_once(", ").unwrap().0.to_owned();
    list.lines().filter(|line| !line.is_empty()).map(named).collect()
}

/// Every package of the lock file is either in the notices or known not to be in the program, and what is
/// in the program on this platform has its notice.
#[test]
fn the_notices_are_those_of_the_lock_file() {
    let [notices, others] = &*KEPT;
    let listed = listed(notices);
    let others: BTreeSet<String> =
        others.lines().filter(|line| !line.starts_with('#')).map(str::to_owned).collect();
    let both: Vec<_> = listed.intersection(&others).collect();
    assert!(both.is_empty(), "{both:?}; {RENEW}");
    let locked = packages_of_lock_file();
    let known: BTreeSet<String> = listed.union(&others).cloned().collect();
    let apart: Vec<_> = locked.symmetric_difference(&known).collect();
    assert!(apart.is_empty(), "{apart:?}; {RENEW}");
    let without: Vec<_> =
        linked(&[]).into_iter().filter(|package| !listed.contains(package)).collect();
    assert!(without.is_empty(), "{without:?}; {RENEW}");
    assert!(listed.len() > 150 && others.len() > 50);
}

/// Each part named in the list stands over a text, and each text is there once.
#[test]
fn every_part_has_its_text() {
    let [notices, _] = &*KEPT;
    let (_, texts) = notices.split_once(gather::TEXTS).unwrap();
    let mut of: BTreeSet<String> = BTreeSet::new();
    let mut bodies: BTreeSet<&str> = BTreeSet::new();
    for text in texts.split(gather::RULE).skip(1) {
        let (parts, body) = text.trim_start().split_once("\n\n").unwrap();
        let parts = parts.split_whitespace().collect::<Vec<_>>().join(" ");
        of.extend(parts.split(", ").map(str::to_owned));
        assert!(!body.trim().is_empty() && bodies.insert(body), "{parts}");
    }
    let without: Vec<_> = listed(notices).into_iter().filter(|part| !of.contains(part)).collect();
    assert!(without.is_empty(), "{without:?}");
    for also in gather::ALSO_IN_IT {
        assert!(of.contains(also.0), "{}", also.0);
    }
}

/// The program prints what is kept, and nothing in it steers a terminal.
#[test]
fn the_program_prints_its_notices() {
    let folder = tempfile::tempdir().unwrap();
    let printed = stdout(earline(folder.path()).arg("licences"));
    // New ones are in the program once it is built again.
    assert!(renews() || printed == KEPT[0]);
    assert!(!printed.contains(|c: char| c.is_control() && c != '\n'));
    for of in ["SIL OPEN FONT LICENSE", "Apache License", "Mozilla Public License", "Zlib", "BSD-2"]
    {
        assert!(printed.contains(of), "{of}");
    }
}
