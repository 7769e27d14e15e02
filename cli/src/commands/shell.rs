//! Completions and the manual page, from the same definitions as the help.

use crate::args::Cli;
use crate::exit::{Done, Failure};
use crate::terminal;
use anyhow::Context;
use clap::CommandFactory;
use clap_complete::Shell;

/// Print the completion script of a shell.
pub(super) fn completions(shell: Shell) -> Result<Done, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "earline", &mut script);
    terminal::answer_bytes(&script)?;
    Ok(Done::Well)
}

/// Print the manual page: the program, then each command.
pub(super) fn manual() -> Result<Done, Failure> {
    let mut page = Vec::new();
    let mut program = Cli::command();
    program.build();
    clap_mangen::Man::new(program.clone()).render(&mut page).context("cannot write the page")?;
    for command in program.get_subcommands().filter(|c| c.get_name() != "help") {
        let man = clap_mangen::Man::new(command.clone());
        // The head of a page belongs there once; a command's sections follow under its name.
        man.render_name_section(&mut page)
            .and_then(|()| man.render_synopsis_section(&mut page))
            .and_then(|()| man.render_description_section(&mut page))
            .and_then(|()| man.render_options_section(&mut page))
            .and_then(|()| man.render_extra_section(&mut page))
            .context("cannot write the page")?;
    }
    terminal::answer_bytes(&page)?;
    Ok(Done::Well)
}
