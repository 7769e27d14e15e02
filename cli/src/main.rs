//! The `earline` command.

mod answer;
mod args;
mod columns;
mod commands;
mod compared;
mod diagnose;
mod direction;
mod exit;
mod input;
mod naming;
mod numbering;
mod picture;
mod progress;
mod report;
mod select;
mod sheet;
mod tape;
mod terminal;
mod write;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = args::Cli::parse();
    match commands::run(&cli) {
        Ok(done) => done.code(),
        Err(failure) => {
            if let Some(message) = failure.message() {
                terminal::note(&message);
            }
            failure.code()
        }
    }
}
