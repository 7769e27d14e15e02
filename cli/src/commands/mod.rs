//! The commands: each a thin path from arguments through the engine to an answer.

mod bass;
mod check;
mod compare;
mod licences;
mod listen;
mod materials;
mod place;
mod report;
mod shell;
mod start;
mod sweep;
mod tape;
mod trace;
mod treat;
mod wave;

use crate::args::{Cli, Command, Destination};
use crate::content::document::Document;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::input::{self, Loaded};
use crate::io::progress::Waiting;
use crate::io::terminal;
use crate::io::write::{OutputFile, OutputSet, Stop};
use crate::render;
use anyhow::Context;
use std::path::Path;

/// Do what the command line asks.
pub(crate) fn run(cli: &Cli) -> Result<Done, Failure> {
    if let Some(threads) = cli.threads {
        rayon::ThreadPoolBuilder::new()
            .num_threads(usize::from(threads).min(most_threads()))
            .build_global()
            .context("cannot start that many threads")?;
    }
    let waiting = Waiting { quiet: cli.quiet, patient: cli.patient };
    match &cli.command {
        Command::Start(args) => start::run(args, cli.quiet),
        Command::Tape(args) => tape::run(args, cli.quiet),
        Command::Check(args) => check::run(args, cli.quiet),
        Command::Trace(args) => trace::run(args, waiting),
        Command::Compare(args) => compare::run(args, waiting),
        Command::Bass(args) => bass::run(args, waiting),
        Command::Treat(args) => treat::run(args, waiting),
        Command::Place(args) => place::run(args, waiting),
        Command::Report(args) => report::run(args, waiting),
        Command::Wave(args) => wave::run(args, waiting),
        Command::Listen(args) => listen::run(args, waiting),
        Command::Sweep(args) => sweep::run(args, waiting),
        Command::Materials(args) => materials::run(args),
        Command::Licences => licences::run(),
        Command::Completions { shell } => shell::completions(*shell),
        Command::Manual { command } => shell::manual(command.as_deref()),
    }
}

/// More threads than this help nobody: processors, or enough to try another number than there are.
fn most_threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from).max(16)
}

/// Shows an answer on stdout, as wide as the terminal.
fn show(document: &Document) -> Result<(), Failure> {
    terminal::answer(&render::terminal::text(document, terminal::width()))
}

/// Read a scene; a refusal is drawn in place.
fn load(path: &Path) -> Result<Loaded, Failure> {
    input::load(path).map_err(|refusal| Failure::Input(refusal.render(terminal::stderr_look())))
}

/// What a command writes, none of it yet, into `earline-out/<scene file stem>` beside where the program is
/// run, unless another place is asked for. Whether it can be written there is found out now.
fn outputs(destination: &Destination, scene: &Path, stop: &Stop) -> Result<OutputSet, Failure> {
    let stem = scene.file_stem().unwrap_or_default();
    // A file called `...toml` has a stem that is the way out of the folder.
    let is_name = stem.as_encoded_bytes().iter().any(|&byte| byte != b'.');
    let stem = if is_name { stem } else { "scene".as_ref() };
    let usual = || Path::new("earline-out").join(stem);
    let outputs = OutputSet::new(destination.out.clone().unwrap_or_else(usual));
    if !destination.json {
        outputs.try_out("name another folder with --out", stop)?;
    }
    Ok(outputs)
}

/// What was written, and whether the scene deserves a look. Of many files only the one is named that is to be
/// opened first, by its stem.
fn notes(loaded: &Loaded, outputs: &OutputSet, first: Option<&str>) {
    let folder = foreign::path(outputs.folder());
    let files = outputs.files();
    let opened = first.and_then(|stem| {
        let named = |ending: &str| files.iter().find(|file| file.name == format!("{stem}{ending}"));
        [".png", ".svg"].into_iter().find_map(named)
    });
    let written = match opened {
        Some(file) => {
            format!("Wrote {} files to {folder}; open {} first.", files.len(), file.name)
        }
        None => format!("Wrote to {folder}: {}", names(files).join(", ")),
    };
    let mut notes = vec![written];
    let warnings = match loaded.warnings.len() {
        0 => None,
        1 => Some("a warning".to_owned()),
        many => Some(format!("{many} warnings")),
    };
    notes.extend(warnings.map(|warnings| {
        format!("The scene has {warnings}; `earline check {}` says more.", loaded.name)
    }));
    terminal::closing_notes(&notes);
}

/// The names of files; those in a folder of their own from the first to the last.
fn names(outputs: &[OutputFile]) -> Vec<String> {
    let folder_of =
        |output: &OutputFile| output.name.split_once('/').map(|(folder, _)| folder.to_owned());
    outputs
        .chunk_by(|one, next| folder_of(one).is_some() && folder_of(one) == folder_of(next))
        .map(|some| match some {
            [first, .., last] => {
                let last = last.name.rsplit('/').next().unwrap_or_default();
                format!("{} to {last}", first.name)
            }
            some => some.iter().map(|output| output.name.as_str()).collect(),
        })
        .collect()
}
