//! A hand on Ctrl-C, and one that kills: at any moment a run leaves a whole set of files or nothing, and
//! what a killed run leaves goes with the next.
//!
//! A hundred moments are tried, in the same order each time; `tests/interrupts` tries a thousand.

#![cfg(unix)]

use crate::scene;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

/// Commands with the folder of their files: two that are over at once and two that write more.
const COMMANDS: [(&[&str], &str); 4] = [
    (&["start", "a/b/r.toml", "--length", "5 m", "--width", "4 m", "--height", "2.5 m"], "a/b"),
    (&["sweep", SCENE, "--vary", "room.length=6,6.1", "--take", "1", "--out", "a/b"], "a/b"),
    (&["tape", SCENE], "earline-out/teaching-box"),
    (&["wave", SCENE, "--until", "1", "--slow", "20", "--out", "w"], "w"),
];

/// Which of them is run at each of twenty moments.
const TURNS: [usize; 20] = [0, 1, 0, 1, 0, 1, 0, 1, 0, 2, 1, 0, 1, 0, 1, 0, 1, 0, 1, 3];

/// Stands for the path of a scene.
const SCENE: &str = "SCENE";

/// How many moments are tried.
fn moments() -> usize {
    let asked = std::env::var("EARLINE_INTERRUPTS").ok();
    asked.map_or(100, |asked| asked.parse().unwrap())
}

/// A shell that sends signals without the time it takes to start one.
struct Hand(Child);

impl Hand {
    fn new() -> Self {
        let mut shell = Command::new("sh");
        let shell = shell.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null());
        Self(shell.spawn().unwrap())
    }

    /// Sends a signal to a process, which may be done already.
    fn send(&mut self, signal: &str, to: u32) {
        writeln!(self.0.stdin.as_mut().unwrap(), "kill -s {signal} {to}").unwrap();
    }
}

impl Drop for Hand {
    fn drop(&mut self) {
        drop(self.0.stdin.take());
        self.0.wait().unwrap();
    }
}

/// Shares between 0 and 1, the same in every run of the tests (Steele, Lea and Flood, 2014).
struct Shares(u64);

impl Iterator for Shares {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        Some((mixed ^ (mixed >> 31)) as f64 / u64::MAX as f64)
    }
}

fn started(home: &Path, args: &[&str]) -> Child {
    let path = scene("teaching-box");
    let args = args.iter().map(|arg| if *arg == SCENE { path.as_os_str() } else { arg.as_ref() });
    let mut run = Command::new(assert_cmd::cargo::cargo_bin!("earline"));
    run.current_dir(home).args(args).stdin(Stdio::null());
    run.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

/// All files and folders within a folder.
fn everything(folder: &Path) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            all.insert(path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned());
            if path.is_dir() {
                folders.push(path);
            }
        }
    }
    all
}

/// Waits until a run has something in its folder that is not in place yet, or is over.
fn wait_for_writing(run: &mut Child, folder: &Path) {
    let is_writing = || {
        let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
        entries.map(|entry| entry.file_name()).any(|name| name.to_string_lossy().starts_with('.'))
    };
    while !is_writing() && run.try_wait().unwrap().is_none() {}
}

/// A command, what it leaves undisturbed, and how long that takes.
struct Undisturbed {
    args: &'static [&'static str],
    folder: &'static str,
    files: BTreeSet<String>,
    whole: Duration,
}

fn undisturbed((args, folder): (&'static [&'static str], &'static str)) -> Undisturbed {
    let home = tempfile::tempdir().unwrap();
    let begun = Instant::now();
    assert!(started(home.path(), args).wait().unwrap().success(), "{args:?}");
    Undisturbed { args, folder, files: everything(home.path()), whole: begun.elapsed() }
}

/// When a run is sent a signal.
#[derive(Debug, Clone, Copy)]
enum Moment {
    /// After this share of the time it takes.
    Any(f64),
    /// This share of two milliseconds after it is seen to write, for the first time or, well into its
    /// run, again: first it only tries out whether it can.
    Writing(f64, bool),
}

impl Moment {
    fn new(number: usize, share: f64) -> Self {
        match number % 4 {
            0 | 1 => Self::Any(share),
            // More of them soon after.
            turn => Self::Writing(share * share, turn == 3),
        }
    }
}

/// Lets a command run in a folder and sends it a signal.
fn stopped(
    command: &Undisturbed,
    home: &Path,
    (hand, signal): (&mut Hand, &str),
    moment: Moment,
) -> ExitStatus {
    let mut run = started(home, command.args);
    match moment {
        Moment::Any(share) => std::thread::sleep(command.whole.mul_f64(share)),
        Moment::Writing(share, is_again) => {
            if is_again {
                std::thread::sleep(command.whole.mul_f64(0.6));
            }
            wait_for_writing(&mut run, &home.join(command.folder));
            std::thread::sleep(Duration::from_millis(2).mul_f64(share));
        }
    }
    hand.send(signal, run.id());
    run.wait().unwrap()
}

#[test]
fn an_interrupted_run_leaves_all_or_nothing() {
    let commands = COMMANDS.map(undisturbed);
    let (mut hand, mut shares) = (Hand::new(), Shares(1));
    let mut nothing = 0;
    for number in 0..moments() {
        let command = &commands[TURNS[number % TURNS.len()]];
        let moment = Moment::new(number / TURNS.len() + number, shares.next().unwrap());
        let home = tempfile::tempdir().unwrap();
        let ended = stopped(command, home.path(), (&mut hand, "INT"), moment);
        let left = everything(home.path());
        nothing += usize::from(left.is_empty());
        assert!(
            left.is_empty() || left == command.files,
            "{:?}, {number}, {moment:?}: {ended}, {left:?}",
            command.args
        );
    }
    assert!(0 < nothing && nothing < moments(), "{nothing} of all moments came before the end");
}

/// Killed outright it can leave what it was writing; the same command again leaves its files and nothing
/// else.
#[test]
fn what_a_killed_run_leaves_goes_with_the_next() {
    let commands = [1, 1, 1, 1, 2].map(|index| undisturbed(COMMANDS[index]));
    let (mut hand, mut shares) = (Hand::new(), Shares(2));
    let mut left_over = 0;
    for number in 0..moments().div_ceil(4) {
        let command = &commands[number % commands.len()];
        let home = tempfile::tempdir().unwrap();
        for again in [false, true, true] {
            let share = shares.next().unwrap();
            let moment = Moment::Writing(share * share, again);
            stopped(command, home.path(), (&mut hand, "KILL"), moment);
            let left = everything(home.path());
            left_over += left.iter().filter(|path| path.contains(".earline-")).count();
        }
        assert!(started(home.path(), command.args).wait().unwrap().success());
        assert_eq!(everything(home.path()), command.files, "{:?}, {number}", command.args);
    }
    assert!(0 < left_over, "no run was killed while it wrote");
}

/// A sweep keeps what is done; what it leaves is that, with its folder, or nothing. The second Ctrl-C is
/// close behind the first.
#[test]
fn an_interrupted_sweep_leaves_its_runs_or_nothing() {
    let vary = ["--vary", "listener.listener.at.x=3,4,5", "--figure", "strongest_db"];
    let args = [&["sweep", SCENE, "--rays", "0", "--out", "a/b"][..], &vary].concat();
    let begun = Instant::now();
    let home = tempfile::tempdir().unwrap();
    assert!(started(home.path(), &args).wait().unwrap().success());
    let (whole, table) = (begun.elapsed(), everything(home.path()));
    let (mut hand, mut shares) = (Hand::new(), Shares(3));
    for number in 0..moments().div_ceil(4) {
        let home = tempfile::tempdir().unwrap();
        let mut run = started(home.path(), &args);
        for share in [shares.next().unwrap(), 0.1 * shares.next().unwrap()] {
            std::thread::sleep(whole.mul_f64(share));
            hand.send("INT", run.id());
        }
        let ended = run.wait().unwrap();
        let left = everything(home.path());
        let kept: BTreeSet<String> = ["a", "a/b", "a/b/runs.jsonl"].map(str::to_owned).into();
        let both = &kept | &table;
        assert!(
            left.is_empty() || [&kept, &table, &both].contains(&&left),
            "{number}: {ended}, {left:?}"
        );
    }
}
