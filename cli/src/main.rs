//! The `earline` command; all of it lives in the library beside.

use std::process::ExitCode;

fn main() -> ExitCode {
    earline_cli::main()
}
