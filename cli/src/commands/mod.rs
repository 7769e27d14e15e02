//! The commands: each a thin path from arguments through the engine to an answer.

mod check;
mod materials;
mod shell;
mod trace;

use crate::args::{Cli, Command};
use crate::exit::{Done, Failure};
use anyhow::Context;

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
        Command::Manual => shell::manual(),
    }
}
