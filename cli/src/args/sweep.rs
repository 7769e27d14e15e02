//! The flags of `earline sweep`.

use super::number::whole;
use super::{Destination, Listed, Rays};
use crate::study::{Shard, figures};
use clap::Args;
use earline_engine::explore::study::{Levels, MAX_DRAWS, MAX_RUNS};
use earline_engine::scene::parse_length;
use std::path::PathBuf;

/// The flags of `earline sweep`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, after_long_help = long_help())]
pub(crate) struct Sweep {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    /// A number of the scene and the values it takes: a range with its step, as `0.6..1.6:0.05`, a list, as
    /// `1,2,4`, or, with --draws, a range; may be given again. Several numbers joined by & take the same value.
    #[arg(long, value_name = "NUMBER=VALUES", value_parser = varied)]
    #[arg(required_unless_present = "shifts", allow_hyphen_values = true)]
    pub(crate) vary: Vec<Varied>,
    /// Likewise, but the values are added to what the scene has; a number with - before it moves the
    /// other way.
    #[arg(long = "shift", id = "shifts", value_name = "NUMBER=VALUES", value_parser = varied)]
    #[arg(allow_hyphen_values = true)]
    pub(crate) shifts: Vec<Varied>,
    /// Instead of every combination, so many runs spread evenly over all ranges; --seed chooses which.
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    #[arg(value_parser = whole(1..=MAX_DRAWS))]
    pub(crate) draws: Option<u32>,
    /// A figure for the table, as `strongest_db` or `t20_s@1000`; may be given again. `--help` lists them.
    #[arg(long = "figure", value_name = "NAME")]
    pub(crate) figures: Vec<String>,
    /// A state of the room; give it again for several in each run. [default: the room as it stands]
    #[arg(long = "variant", value_name = "NAME")]
    pub(crate) variants: Vec<String>,
    /// Only this listener; may be given again. [default: all]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// Only this speaker; may be given again. [default: all]
    #[arg(long = "speaker", value_name = "NAME")]
    pub(crate) speakers: Vec<String>,
    #[command(flatten)]
    pub(crate) listed: Listed,
    #[command(flatten)]
    pub(crate) rays: Rays,
    /// Do one part of the runs, as 3/8: for a scheduler that starts this several times.
    #[arg(long, value_name = "PART/OF", allow_hyphen_values = true)]
    pub(crate) shard: Option<Shard>,
    /// Compute nothing: put the parts that are all there together.
    #[arg(long, conflicts_with_all = ["shard", "json", "take"])]
    pub(crate) merge: bool,
    /// Compute nothing: write the scene of this run, for every other command.
    #[arg(long, value_name = "RUN", conflicts_with_all = ["shard", "json"])]
    #[arg(value_parser = whole(0..=MAX_RUNS - 1), allow_hyphen_values = true)]
    pub(crate) take: Option<usize>,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

/// Numbers of a scene and the values they take.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Varied {
    /// The numbers, as they were written.
    pub(crate) numbers: String,
    /// The values, as they were written.
    pub(crate) written: String,
    /// The values.
    pub(crate) levels: Levels,
    /// Whether they have a unit of length.
    pub(crate) is_length: bool,
}

/// Reads `speaker.main left.at.x=0.6..1.6:0.05`.
pub(super) fn varied(text: &str) -> Result<Varied, String> {
    // Names may hold an equals sign, values do not.
    let (numbers, values) = text.rsplit_once('=').ok_or(
        "write a number of the scene, an equals sign and its values: room.length=5..6:0.1",
    )?;
    let (levels, is_length) = levels(values.trim())?;
    let (numbers, written) = (numbers.trim().to_owned(), values.trim().to_owned());
    if numbers.is_empty() {
        return Err("name a number of the scene before the equals sign".to_owned());
    }
    Ok(Varied { numbers, written, levels, is_length })
}

fn levels(text: &str) -> Result<(Levels, bool), String> {
    let mut is_length = Vec::new();
    let mut value = |part: &str| -> Result<f64, String> {
        let (value, with_unit) = number(part.trim())?;
        is_length.push(with_unit);
        Ok(value)
    };
    let levels = if let Some((from, rest)) = text.split_once("..") {
        let (to, step) = match rest.split_once(':') {
            Some((to, step)) => (to, Some(step)),
            None => (rest, None),
        };
        let (from, to) = (value(from)?, value(to)?);
        match step {
            Some(step) => Levels::stepped(from, to, value(step)?),
            None => Levels::between(from, to),
        }
        .map_err(|wrong| wrong.to_string())?
    } else {
        Levels::Each(text.split(',').map(value).collect::<Result<_, _>>()?)
    };
    match is_length.iter().filter(|&&with| with).count() {
        0 => Ok((levels, false)),
        all if all == is_length.len() => Ok((levels, true)),
        _ => Err("give every value its unit, or none".to_owned()),
    }
}

/// A bare number, or a length with its unit in metres.
fn number(text: &str) -> Result<(f64, bool), String> {
    if let Ok(number) = text.parse::<f64>() {
        let finite = number.is_finite().then_some((number, false));
        return finite.ok_or_else(|| "that is not a finite number".to_owned());
    }
    match parse_length(text) {
        Ok(metres) => Ok((metres, true)),
        Err(error) => Err(format!("{}; {}", error.message, error.help)),
    }
}

const EXAMPLES: &str = "\
Examples:
  earline sweep scenes/attic.toml --figure bass_dip_hz --vary 'listener.seated.at.x=1.8..2.6:0.05'
      The seat along the room: where the deepest dip of the bass lies at each place.

  earline sweep scenes/garage.toml --vary 'speaker.near left.at.z & speaker.near right.at.z=1.1,1.2'
      Both speakers of a pair at two heights.

  earline sweep scenes/garage.toml --shift '-speaker.near left.at.y & speaker.near right.at.y=0,0.1'
      The pair as it is, and 20 cm wider.

  earline sweep scenes/study.toml --draws 9 --vary 'room.length=4..5' --vary 'room.width=3..4'
      Nine rooms, spread evenly.

  earline sweep scenes/attic.toml --vary 'listener.seated.at.x=1.8..2.6:0.05' --shard 3/8
      The third of eight parts; the same with --merge puts them together.

A run is a starting point to experiment from: `--take RUN` writes its scene.";

fn long_help() -> String {
    format!("{EXAMPLES}\n\n{}", figures::help())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_values_are_told_apart() {
        let Ok(found) = varied("speaker.a = b.at.x = 0.6..0.8:0.1") else { panic!("refused") };
        assert_eq!(found.numbers, "speaker.a = b.at.x");
        assert_eq!(found.levels, Levels::Each(vec![0.6, 0.7, 0.8]));
        assert!(!found.is_length);
        let Ok(found) = varied("room.length=18 ft..19 ft 6 in") else { panic!("refused") };
        assert!(found.is_length && matches!(found.levels, Levels::Between(..)));
        let Ok(found) = varied("a.b=-3,1e3, 7") else { panic!("refused") };
        assert_eq!(found.levels, Levels::Each(vec![-3.0, 1000.0, 7.0]));
    }

    #[test]
    fn values_without_sense_are_refused() {
        for wrong in [
            "a",
            "a=",
            "=1",
            "a=1..",
            "a=2..1",
            "a=1..2:0",
            "a=1..2 m",
            "a=1 m..2 m:5",
            "a=x",
            "a=inf",
            "a=1..2:1e-9",
            "a=1,,2",
            "a=1..2:",
            "a=nan..2",
        ] {
            assert!(varied(wrong).is_err(), "{wrong}");
        }
    }
}
