//! The command line as the user types it. Help, completions and the man page come from here.

mod bass;
mod choice;
mod compare;
mod decay;
mod destination;
mod detail;
#[cfg(test)]
mod fuzz;
mod lengths;
mod listen;
mod listing;
mod number;
mod pictures;
mod place;
mod rays;
mod refusal;
mod report;
mod start;
mod sweep;
mod tape;
mod trace;
mod treat;
mod wall_piece;
mod wave;
mod zoning;

pub(crate) use bass::Bass;
pub(crate) use choice::Choice;
pub(crate) use compare::Compare;
pub(crate) use decay::DecayOptions;
pub(crate) use destination::Destination;
pub(crate) use detail::Detail;
pub(crate) use lengths::{AskedUnits, Measured, measured};
pub(crate) use listen::Listen;
pub(crate) use listing::{Listed, Listing, limit};
pub(crate) use pictures::Pictures;
pub(crate) use place::Place;
pub(crate) use rays::Rays;
pub(crate) use refusal::presentable;
pub(crate) use report::Report;
pub(crate) use start::{Level, Start, finish};
pub(crate) use sweep::{Sweep, Varied};
pub(crate) use tape::Tape;
pub(crate) use trace::Trace;
pub(crate) use treat::Treat;
pub(crate) use wall_piece::{WallPiece, wall};
pub(crate) use wave::Wave;
pub(crate) use zoning::Zoning;

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;
use std::path::PathBuf;

/// What arrives at your ears in your room.
///
/// Earline reads a scene file that says what stands where in a rectangular room, and computes
/// what arrives at each seat from each speaker: early reflections with the spot to put the tape,
/// their delay, level and direction, the energy-time curve, and pictures to pin to the wall.
#[derive(Debug, Parser)]
#[command(name = "earline", version, after_help = EXAMPLES, after_long_help = LONG_EXAMPLES)]
#[command(max_term_width = 100, subcommand_required = true, arg_required_else_help = true)]
pub(crate) struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
    /// Say nothing on stderr but errors.
    #[arg(long, short, global = true, display_order = 90)]
    pub(crate) quiet: bool,
    /// Work on this many threads; the answer is the same at any number. [default: all]
    #[arg(long, value_name = "N", global = true, display_order = 91)]
    #[arg(value_parser = number::whole(1u16..=1024), allow_hyphen_values = true)]
    pub(crate) threads: Option<u16>,
    /// Wait also for what is predicted to take more than a minute.
    #[arg(long, global = true, display_order = 92)]
    pub(crate) patient: bool,
}

const EXAMPLES: &str = "\
Examples:
  earline start                       a first scene from room dimensions
  earline check scenes/attic.toml     is the scene right, and what is this room?
  earline tape scenes/attic.toml      where to put the tape: the setting-out sheet
  earline trace scenes/attic.toml     early reflections, curve and pictures
  earline compare scenes/attic.toml   what a treatment or another seat changes
  earline bass scenes/attic.toml      what the room does to the bass
  earline treat scenes/attic.toml     what to buy first, and where it goes
  earline place scenes/attic.toml     where to sit and where to put the speakers
  earline report scenes/attic.toml    all of it on one page
  earline listen scenes/attic.toml    how it sounds: impulse responses and your recording
  earline wave scenes/attic.toml      sound spreading, as a moving picture
  earline sweep --help                many runs, one table
  earline materials                   what the walls can be made of

`earline help trace` says more.";

const LONG_EXAMPLES: &str = "\
Examples:
  earline start --length '5.8 m' --width '4.1 m' --height '2.45 m'
      A first scene for a room of this size, in room.toml.

  earline check scenes/attic.toml
      Is the scene right, and what is this room?

  earline tape scenes/attic.toml
      Where every speaker and every ear goes, for two people with a tape.

  earline trace scenes/attic.toml
      Early reflections, energy-time curve and pictures, in earline-out/attic.

  earline trace scenes/attic.toml --variant bare --json
      The bare room as one JSON document on stdout; writes nothing.

  earline compare scenes/attic.toml
      What the treatment changes at the first seat, and what it costs.

  earline treat scenes/attic.toml --variant bare
      What to buy first, and where it goes.

  earline report scenes/attic.toml
      All of it on one page, for any browser and for paper.

  earline listen scenes/attic.toml --variant bare --against treated --dry voice.wav
      Your own recording in both states, at one loudness, for headphones.

  earline wave scenes/attic.toml --variant bare
      How the sound of the first speaker spreads, as a moving picture.

  earline sweep scenes/attic.toml --vary 'listener.seated.at.x=1.8..2.6:0.05'
      Seventeen seats along the room, one table.

  earline materials
      What the walls can be made of.

Exit codes:
  0  done
  1  something failed that is not the scene's fault
  2  the scene or the command line is wrong; nothing was written
  3  an asked-for limit was not met (check --strict)
  130  stopped with Ctrl-C; no half-written file is left";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a first scene from room dimensions.
    ///
    /// Speakers firing down the long side, the seat at 38 % of the length, an equilateral triangle,
    /// reference points at ear height: where many people begin. It fits into the room, runs with
    /// every other command, and says what had to give. On a terminal it asks for what is missing.
    Start(Start),
    /// Make the setting-out sheet: where to put the tape.
    ///
    /// Every speaker and every ear as distances from two walls and a height, lengths and diagonals
    /// to check with, how far each cabinet is turned in, and how well left and right match; in
    /// words, as JSON, and as a drawing on one page.
    Tape(Tape),
    /// Check a scene and say what room it is.
    ///
    /// Volume, proportions, distances, symmetry, and every warning a careful colleague would
    /// raise. Writes nothing.
    Check(Check),
    /// Trace a scene: what arrives at the ears, in numbers and pictures.
    ///
    /// Each speaker's direct sound and early reflections at each seat, what they hit and where to
    /// put the tape, the energy-time curve, and plan, section and curve as pictures.
    Trace(Trace),
    /// Compare states of the room, or seats: what changes at the ears.
    ///
    /// Reflections matched by their path: which vanish, which are new, which become louder or
    /// quieter and in which bands; how well panels cover where they would work; left against
    /// right; cost. With curves, plans and all six surfaces side by side.
    Compare(Compare),
    /// Solve the bass: what the room does below the frequency where modes overlap.
    ///
    /// The response of every speaker at every seat and over the movement of the head, as a sum of modes
    /// tied together by every surface and panel; peaks and dips with what makes them, the modes and how
    /// long they ring, and how uneven it all is.
    Bass(Bass),
    /// Search what to put where, and what to buy first.
    ///
    /// Tries absorbers that could be bought at every place where one would work, traces the room
    /// with each, and gives the order to buy in with the proof of every step, where each piece goes,
    /// elevations to hang from, and the resulting scene.
    Treat(Treat),
    /// Search for a better seat and better places for the speakers.
    ///
    /// Many layouts of a pair and a seat around the present one, each of them traced: early
    /// reflections over the limit, left against right, unevenness of the bass from the nearest
    /// boundaries, and the way from where the trade begins. The best that really differ come out as
    /// scene files, with what they gain and what they lose, and a map of the floor.
    Place(Place),
    /// Put everything on one page: for the wall, the phone, or whoever was not there.
    ///
    /// One file that needs no network: the room, where to put the tape, what arrives early, what a
    /// treatment changes and costs, bass, decay, seats side by side, what to try next and how sure all
    /// that is. Paths light up in plan, section, elevations and curve together, and the room can be
    /// turned; on paper and without a script the story is all there.
    Report(Report),
    /// Make the room audible: impulse responses, and your own recording played in it.
    ///
    /// Every speaker at every listener as WAV files at 48 kHz: one microphone, the two ears of a
    /// spherical head, a first-order microphone. With a dry recording, what you would hear of it on
    /// headphones, in two states at the same loudness, and both in turns in one file.
    Listen(Listen),
    /// Watch sound spread: a moving picture of wavefronts and rays.
    ///
    /// The sound of one speaker from above or from the side, millisecond by millisecond: where it is,
    /// how loud it still is, what it meets and when it passes whom. A film for a slide, every picture
    /// of it, and a sheet of the most telling moments for print.
    Wave(Wave),
    /// Vary numbers of a scene over many runs, and write any figures of each into one table.
    ///
    /// Every combination of values, or evenly spread draws; a row for each run, state, speaker and
    /// listener, as CSV and as a Parquet file for notebooks. A run that is done is kept: what is killed
    /// goes on where it was, and parts done on several machines go together into the same table.
    Sweep(Box<Sweep>),
    /// List the materials a scene can name, with their sources.
    ///
    /// Absorption in eight octave bands, what of it was filled in, and where it comes from. With a
    /// scene, its own materials come first.
    Materials(Materials),
    /// Print the licences of everything the program is made of.
    #[command(after_help = "\
Example:
  earline licences | less")]
    Licences,
    /// Print a completion script for a shell.
    #[command(after_help = "\
Example:
  earline completions bash > ~/.local/share/bash-completion/completions/earline")]
    Completions {
        /// Which shell.
        shell: Shell,
    },
    /// Print a manual page (roff).
    #[command(after_help = "\
Examples:
  earline manual > earline.1 && man ./earline.1
  earline manual trace > earline-trace.1")]
    Manual {
        /// The command to print the page of. [default: the program]
        command: Option<String>,
    },
}

/// The flags of `earline check`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  earline check scenes/attic.toml
  earline check scenes/attic.toml --variant treated --strict && echo ready")]
pub(crate) struct Check {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// End with exit code 3 if there is any warning.
    #[arg(long)]
    pub(crate) strict: bool,
    /// One JSON document on stdout.
    #[arg(long)]
    pub(crate) json: bool,
}

/// The flags of `earline materials`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  earline materials
  earline materials scenes/attic.toml --json")]
pub(crate) struct Materials {
    /// A scene file whose own materials to list too.
    pub(crate) scene: Option<PathBuf>,
    /// One JSON document on stdout.
    #[arg(long)]
    pub(crate) json: bool,
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;
    use clap::CommandFactory;
    use clap::error::ErrorKind;

    /// The words of a command as a shell splits them; what is in quotes is one word.
    fn words(line: &str) -> Vec<&str> {
        let pieces = line.split('\'').enumerate();
        pieces
            .flat_map(
                |(index, piece)| {
                    if index % 2 == 1 { vec![piece] } else { piece.split_whitespace().collect() }
                },
            )
            .collect()
    }

    /// Every worked example of every help text is a command line that this program takes.
    #[test]
    fn examples_in_the_help_are_right() {
        let mut program = Cli::command();
        program.build();
        let mut helps = vec![program.render_help(), program.render_long_help()];
        helps.extend(program.get_subcommands_mut().map(clap::Command::render_long_help));
        let mut examples = 0;
        for help in helps {
            for line in help.to_string().lines().filter(|line| line.starts_with("  earline ")) {
                // What belongs to the shell, and the words beside a short example.
                let ends = [" | ", " > ", " && ", "   "].map(|end| line.trim().find(end));
                let end = ends.into_iter().flatten().min().unwrap_or(usize::MAX);
                let own = line.trim().get(..end).unwrap_or(line.trim());
                match Cli::try_parse_from(words(own)) {
                    Err(wrong) if wrong.kind() != ErrorKind::DisplayHelp => {
                        panic!("{own}: {wrong}")
                    }
                    _ => {}
                }
                examples += 1;
            }
        }
        assert!(examples >= 12, "{examples}");
    }

    /// A number with a minus is the value of its option, so that the option's own words answer it.
    #[test]
    fn every_option_with_a_number_takes_a_minus() {
        let counted = [
            "N",
            "RUN",
            "PART/OF",
            "MS",
            "HZ",
            "BAND",
            "DB",
            "MM",
            "SHARE",
            "PERCENT",
            "FACTOR",
            "AMOUNT",
            "LENGTH",
            "RANGE",
            "NUMBER=VALUES",
            "WALL",
        ];
        let words =
            ["NAME", "MATERIAL", "FILE", "DIR", "VARIANT", "DOCUMENT", "CUT", "TERM=NUMBER"];
        let mut program = Cli::command();
        program.build();
        for command in program.get_subcommands() {
            for option in command.get_arguments().filter(|option| !option.is_positional()) {
                if !option.get_action().takes_values() || !option.get_possible_values().is_empty() {
                    continue;
                }
                let of = option.get_value_names().unwrap_or_default().first().unwrap();
                assert!(counted.contains(&of.as_str()) || words.contains(&of.as_str()), "{of}");
                let takes = option.is_allow_hyphen_values_set();
                assert_eq!(
                    takes,
                    counted.contains(&of.as_str()),
                    "{} {option}",
                    command.get_name()
                );
            }
        }
    }
}
