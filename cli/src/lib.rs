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
#[cfg(test)]
#[path = "../../tests/fuzz/mod.rs"]
mod fuzzing;
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
/// met. The process may end inside, with 130, on Ctrl-C.
pub fn main() -> ExitCode {
    let cli = match args::Cli::try_parse() {
        Ok(cli) => cli,
        Err(other) => return args_refused(other),
    };
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

/// Shows help, the version, or what is wrong with the arguments, which may hold anything.
fn args_refused(other: clap::Error) -> ExitCode {
    let other = args::presentable(other);
    let text = other.render().ansi().to_string();
    let code = u8::try_from(other.exit_code()).unwrap_or(2);
    if other.use_stderr() {
        io::terminal::note(text.trim_end());
    } else if let Err(failure) = io::terminal::answer(&text) {
        return failure.code();
    }
    ExitCode::from(code)
}
