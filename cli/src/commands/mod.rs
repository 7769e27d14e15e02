//! The commands: each a thin path from arguments through the engine to an answer.

mod check;
mod materials;
mod shell;
mod trace;

use crate::args::{Cli, Command};
use crate::exit::{Done, Failure};
use crate::input::{self, Loaded};
use crate::terminal;
use anyhow::Context;
use std::path::Path;

/// Do what the command line asks.
pub(crate) fn run(cli: &Cli) -> Result<Done, Failure> {
    if let Some(threads) = cli.threads {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads.into())
            .build_global()
            .context("cannot start that many threads")?;
    }
    match &cli.command {
        Command::Check(args) => check::run(args, cli.quiet),
        Command::Trace(args) => trace::run(args, cli.quiet),
        Command::Materials(args) => materials::run(args),
        Command::Completions { shell } => shell::completions(*shell),
        Command::Manual { command } => shell::manual(command.as_deref()),
    }
}

/// Read a scene; a refusal is drawn in place.
fn load(path: &Path) -> Result<Loaded, Failure> {
    input::load(path).map_err(|refusal| Failure::Input(refusal.render(terminal::stderr_look())))
}
