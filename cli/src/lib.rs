//! The `earline` command as a library, so that benches can link what the binary runs.
//!
//! Its public face is small on purpose: [`main`] is the whole program, and [`seat_drawings`] are the
//! pictures of a trace without files or terminal. A program that wants the acoustics takes
//! `earline-engine` instead.

mod answer;
mod args;
mod ask;
mod beside;
mod columns;
mod commands;
mod compared;
mod diagnose;
mod direction;
mod exit;
mod filmed;
mod first_scene;
mod fixings;
mod input;
mod judged;
mod listened;
mod mapped;
mod naming;
mod numbering;
mod page;
mod picture;
mod placed;
mod progress;
mod recording;
mod report;
mod select;
mod setting;
mod setting_care;
mod sheet;
mod sounded;
mod swept;
mod tape;
mod terminal;
mod treated;
mod write;

pub use picture::Drawing;
pub use sheet::seat_drawings;

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
                terminal::note(&message);
            }
            failure.code()
        }
    }
}
