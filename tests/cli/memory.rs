//! The largest scene files that are read, made to be as dear as they can be: `check` stays small.

use crate::hostile::room;
use crate::scene;
use std::fmt::Write as _;

/// Largest file that is read, bytes.
const LARGEST: usize = 1024 * 1024;

/// Most memory that `check` may take, KiB: 200 MB.
const MOST_KIB: u32 = 200_000_000 / 1024;

/// A room with as many things of a kind as fit, or as may be.
fn filled(most: usize, thing: impl Fn(usize) -> String) -> String {
    let (mut things, bare) = (String::new(), room("").len());
    for thing in (0..most).map(thing) {
        if LARGEST < bare + things.len() + thing.len() {
            break;
        }
        things += &thing;
    }
    room(&things)
}

/// A panel or screen with a place of its own or one that others have.
fn piece(kind: &str, i: usize, place: &str) -> String {
    format!(
        "[[{kind}]]\nname = \"{kind} {i}\"\n{place}\nsize = [0.05, 0.05]\nmaterial = \"painted brick\"\n"
    )
}

/// In rows on the left wall, none over another.
fn apart(i: usize) -> String {
    format!(
        "on = \"left\"\ncentre = [{:.2}, {:.2}]",
        0.05 + 0.06 * (i % 95) as f64,
        0.05 + 0.06 * (i / 95) as f64
    )
}

/// In rows under the ceiling, none in another.
fn hung(i: usize) -> String {
    format!(
        "facing = \"down\"\ncentre = [{:.2}, {:.2}, 2.3]",
        0.05 + 0.06 * (i % 95) as f64,
        0.05 + 0.06 * (i / 95) as f64
    )
}

/// Names for the `with` of variants, so many each.
fn variants(each: usize) -> impl Fn(usize) -> String {
    move |i| {
        let mut names = String::new();
        for set in 0..each {
            write!(names, "\"set {i} {set}\", ").unwrap();
        }
        format!("[[variant]]\nname = \"v{i}\"\nwith = [{names}]\n")
    }
}

/// Rooms full of things, with what they are full of.
fn rooms() -> Vec<(&'static str, String)> {
    let endless = usize::MAX;
    let desk = |i: usize| {
        format!(
            "[[furniture]]\nname = \"f{i}\"\ncorner = [4, 3, 0]\nsize = [0.1, 0.1, 0.1]\n\
             material = \"wood, solid\"\n"
        )
    };
    let skin = |i: usize| format!("[[material]]\nname = \"m{i}\"\nabsorption = 0.1\n");
    // Near enough to every one of a thousand names to be compared with each.
    let unknown = |i: usize| {
        let long = |i: usize| format!("{i:04}{}", "m".repeat(54));
        match i {
            0..1000 => skin(i).replace(&format!("m{i}"), &long(i)),
            _ => desk(i).replace("wood, solid", &long(i)),
        }
    };
    let same = "on = \"left\"\ncentre = [2, 1]";
    vec![
        ("panels that are taken", filled(2000, |i| piece("panel", i, &apart(i)))),
        ("panels in one place", filled(2000, |i| piece("panel", i, same))),
        ("panels without end", filled(endless, |i| piece("panel", i, same))),
        ("screens that are taken", filled(1000, |i| piece("screen", i, &hung(i)))),
        ("screens in one place", filled(endless, |i| piece("screen", i, &hung(0)))),
        ("furniture that is taken", filled(5000, desk)),
        ("names in one `with`", filled(1, variants(70_000))),
        ("names in many variants", filled(endless, variants(10))),
        ("materials", filled(endless, skin)),
        ("materials nobody has", filled(6000, unknown)),
    ]
}

/// Texts that are no rooms, of one piece over and over or one inside the other.
fn patterns() -> Vec<(&'static str, String)> {
    let full = |piece: &str| piece.repeat(LARGEST / piece.len());
    // With room for what stands about it.
    let nearly = |piece: &str| piece.repeat((LARGEST - 40) / piece.len());
    let nested = |open: &str, middle: &str, close: &str| {
        let depth = (LARGEST - 40) / (open.len() + close.len());
        format!("a = {}{middle}{}\n", open.repeat(depth), close.repeat(depth))
    };
    let steps = ".a".repeat(75);
    let dotted = (0..6500).fold(String::new(), |keys, i| keys + &format!("k{i}{steps} = 1\n"));
    let keys = (0..87_000).fold(String::new(), |keys, i| keys + &format!("k{i}=1\n"));
    vec![
        ("heads of panels with errors", full("[[panel]]\nx=1\n")),
        ("bare heads of panels", full("[[panel]]\n")),
        ("panels with errors on one line", format!("panel = [{}]\n", nearly("{x=1},"))),
        ("keys nobody knows", keys),
        ("sections nobody knows", "[[p]]\nx=1\n".repeat(59_000)),
        ("dotted keys", dotted),
        ("arrays in one array", format!("a = [{}]\n", nearly("[0],"))),
        ("one long line", format!("title = \"{}\"\n", nearly("x"))),
        ("one long line of bad TOML", full("x ")),
        ("one long array", format!("a = [{}]\n", nearly("1,"))),
        ("one long array of tables", format!("panel = [{}]\n", nearly("{},"))),
        ("arrays in arrays", nested("[", "", "]")),
        ("arrays that never end", format!("a = {}", nearly("["))),
        ("tables in tables", nested("{a=", "1", "}")),
        ("one long dotted key", format!("a{} = 1\n", nearly(".a"))),
        ("one long head", format!("[a{}]\n", nearly(".a"))),
        ("quotes", full("\"")),
        ("line breaks", full("\n")),
    ]
}

/// How `check` ends with so much memory: its exit code, or none where a signal ended it.
fn check_within(kib: u32, text: &str) -> Option<i32> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("room.toml"), text).unwrap();
    let mut shell = std::process::Command::new("sh");
    // What the program may write to of its own: unlike the whole address space, this leaves out what an
    // allocator only sets aside.
    shell.arg("-c").arg(format!("ulimit -d {kib} && exec \"$0\" check room.toml"));
    shell.arg(assert_cmd::cargo::cargo_bin!("earline")).current_dir(folder.path());
    shell.output().unwrap().status.code()
}

#[test]
fn a_mebibyte_is_checked_in_two_hundred_megabytes() {
    for (of, text) in rooms().into_iter().chain(patterns()) {
        assert!(text.len() <= LARGEST, "{of}: {} bytes", text.len());
        let code = check_within(MOST_KIB, &text);
        // What the limits allow is taken, the rest refused; nothing ends for want of memory.
        let expected = if of.ends_with("taken") { 0 } else { 2 };
        assert_eq!(code, Some(expected), "{of}");
    }
}

/// The limit is one: with a thousandth of it not even a demo scene is read.
#[test]
fn less_memory_is_not_enough() {
    let text = std::fs::read_to_string(scene("attic")).unwrap();
    assert_eq!(check_within(MOST_KIB, &text), Some(0));
    assert_ne!(check_within(MOST_KIB / 1000, &text), Some(0));
}
