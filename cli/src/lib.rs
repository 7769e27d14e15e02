//! The `earline` command as a library, so that benches can link what the binary runs.
//!
//! Its public face is small on purpose: [`main`] is the whole program, and [`seat_drawings`] are the
//! pictures of a trace without files or terminal. A program that wants the acoustics takes
//! `earline-engine` instead.

mod args;
mod canvas;
mod commands;
mod content;
mod export;
mod format;
mod io;
mod plot;
mod render;
mod report;
mod study;

pub use canvas::Drawing;
pub use plot::figures::seat_drawings;

use clap::Parser;
use std::process::ExitCode;

/// The program: does what the command line of this process asks and says how that ended.
///
/// Exit codes: 0 done, 1 failed, 2 the input or the command line is wrong, 3 an asked limit is not
/// met. The process may end inside, with 2 or 0, when the command line is wrong or asks for help,
/// and with 130 on Ctrl-C.
pub fn main() -> ExitCode {
    let cli = args::Cli::parse();
    match commands::run(&cli) {
        Ok(done) => done.code(),
        Err(failure) => {
            if let Some(message) = failure.message() {
                io::terminal::note(&message);
            }
            failure.code()
        }
    }
}
