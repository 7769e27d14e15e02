//! Completions and the manual page, from the same definitions as the help.

use crate::args::Cli;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::terminal;
use anyhow::Context;
use clap::CommandFactory;
use clap_complete::Shell;
use earline_engine::scene::list_names;

/// Print the completion script of a shell.
pub(super) fn completions(shell: Shell) -> Result<Done, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "earline", &mut script);
    terminal::answer_bytes(&script)?;
    Ok(Done::Well)
}

/// Print the manual page of the program or of one command.
pub(super) fn manual(command: Option<&str>) -> Result<Done, Failure> {
    let mut program = Cli::command();
    program.build();
    let described = match command {
        None => program,
        Some(name) => {
            let found = program.find_subcommand(name).cloned();
            found.ok_or_else(|| unknown_command(&program, name))?
        }
    };
    let mut page = Vec::new();
    clap_mangen::Man::new(described).render(&mut page).context("cannot write the page")?;
    terminal::answer_bytes(&page)?;
    Ok(Done::Well)
}

fn unknown_command(program: &clap::Command, name: &str) -> Failure {
    let names: Vec<&str> = program.get_subcommands().map(clap::Command::get_name).collect();
    Failure::usage(
        &format!("there is no command `{}`", foreign::quoted(name)),
        &format!("there are {}", list_names(names)),
    )
}
