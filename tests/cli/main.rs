//! The built program, run as a user runs it.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod agree;
mod bass;
mod broken;
mod compare;
mod console;
mod decay;
mod file_names;
mod files;
mod hostile;
mod interrupted;
mod json;
mod lessons;
mod licences;
mod listen;
#[cfg(target_os = "linux")]
mod memory;
#[cfg(unix)]
mod newcomer;
mod outside;
mod patience;
mod place;
#[cfg(unix)]
mod pseudo_terminal;
mod refused_arguments;
mod refused_first;
mod report;
mod same_bytes;
mod schema;
mod shown;
mod snapshot;
mod start;
mod subwoofers;
mod sweep;
mod tape;
#[cfg(unix)]
mod terminal;
mod treat;
mod usage;
mod wave;
mod written;

use assert_cmd::Command;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The program, in a folder of its own, without the colours and width of this terminal.
fn earline(folder: &Path) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("earline"));
    command.current_dir(folder).env_remove("COLUMNS").env_remove("CLICOLOR_FORCE");
    command
}

/// Every `.toml` file of a folder beside the two crates, sorted.
fn scenes_of(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(folder);
    let mut scenes: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    scenes.sort();
    assert!(!scenes.is_empty());
    scenes
}

/// A demo scene by its file stem.
fn scene(stem: &str) -> PathBuf {
    scenes_of("scenes").into_iter().find(|path| path.file_stem().unwrap() == stem).unwrap()
}

/// All files of a folder with their bytes.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            (path.file_name().unwrap().to_str().unwrap().to_owned(), std::fs::read(path).unwrap())
        })
        .collect()
}

/// What a successful command prints.
fn stdout(command: &mut Command) -> String {
    String::from_utf8(command.assert().success().get_output().stdout.clone()).unwrap()
}

/// Waits until a run has had so many seconds of the processor, which does not depend on how busy the
/// machine is, and interrupts it as Ctrl-C does.
#[cfg(unix)]
fn interrupt_after(run: &mut std::process::Child, seconds: u64) {
    let id = run.id().to_string();
    loop {
        assert!(run.try_wait().unwrap().is_none(), "it was done before it could be interrupted");
        let asked = std::process::Command::new("ps").args(["-o", "time=", "-p", &id]).output();
        let clock = String::from_utf8(asked.unwrap().stdout).unwrap();
        // Hours, minutes, seconds; some systems print hundredths and leave the hours out.
        let parts = clock.trim().split(['-', ':']).map(|part| part.parse::<f64>().unwrap_or(0.0));
        if parts.fold(0.0, |sum, part| 60.0 * sum + part) >= seconds as f64 {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    let interrupt = std::process::Command::new("kill").args(["-s", "INT", &id]).status();
    assert!(interrupt.unwrap().success());
}
