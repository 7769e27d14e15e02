//! The flags of `earline place`.

use super::number::whole;
use super::{Destination, Detail, Pictures, limit, measured};
use clap::Args;
use earline_engine::explore::placement::{LengthRange, Weights};
use earline_engine::metrics::criteria::{EARLY_LIMITS, EarlyLimit};
use std::path::PathBuf;

/// The flags of `earline place`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Place {
    /// The scene file (TOML).
    pub(crate) scene: PathBuf,
    /// The state of the room. [default: as it stands: the one with `now`, else the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// The pair that moves. [default: the first]
    #[arg(long, value_name = "NAME")]
    pub(crate) pair: Option<String>,
    /// A listener that moves, the first of them the seat; may be given again. [default: the first,
    /// and all above or below it]
    #[arg(long = "listener", value_name = "NAME")]
    pub(crate) listeners: Vec<String>,
    /// A piece of furniture that moves with the seat, such as the desk; may be given again.
    #[arg(long = "with", value_name = "NAME")]
    pub(crate) along: Vec<String>,
    /// The seat from the front wall: LENGTH..LENGTH to search, one LENGTH to hold.
    /// [default: a quarter to 48 % of the length]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    pub(crate) seat: Option<LengthRange>,
    /// Between the speakers. [default: two thirds to four thirds of now]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    pub(crate) base: Option<LengthRange>,
    /// The speakers from the front wall; for a triangle that need not close.
    /// [default: half of now to half as much again]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    #[arg(requires = "any_triangle")]
    pub(crate) front: Option<LengthRange>,
    /// The speakers above the floor. [default: between seated and standing ears, where both listen]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    pub(crate) up: Option<LengthRange>,
    /// How far behind the ears the axes cross. [default: 0 to 30 cm]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    pub(crate) converge: Option<LengthRange>,
    /// The middle of the pair and the seat from the left wall. [default: held where it is]
    #[arg(long, value_name = "RANGE", value_parser = range, allow_hyphen_values = true)]
    pub(crate) middle: Option<LengthRange>,
    /// Let the triangle be other than equilateral.
    #[arg(long)]
    pub(crate) any_triangle: bool,
    /// How much a term counts: early, sides, bass or start; may be given again.
    /// [default: early=1 sides=1 bass=1 start=0.1]
    #[arg(long, value_name = "TERM=NUMBER", value_parser = weighed)]
    pub(crate) weigh: Vec<Weighed>,
    /// The published early-reflection limit to hold layouts against.
    #[arg(long, value_name = "DOCUMENT", default_value = EARLY_LIMITS[0].key, value_parser = limit())]
    pub(crate) limit: &'static EarlyLimit,
    /// About how many layouts to try.
    #[arg(long, value_name = "N", default_value_t = 1000)]
    #[arg(value_parser = whole(10u32..=1_000_000), allow_hyphen_values = true)]
    pub(crate) layouts: u32,
    /// What the sampling begins from; the same seed gives the same layouts.
    #[arg(long, value_name = "N", default_value_t = 1)]
    #[arg(value_parser = whole(0u32..=u32::MAX), allow_hyphen_values = true)]
    pub(crate) seed: u32,
    #[command(flatten)]
    pub(crate) pictures: Pictures,
    #[command(flatten)]
    pub(crate) detail: Detail,
    #[command(flatten)]
    pub(crate) destination: Destination,
}

/// A term and how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Weighed {
    term: Term,
    weight: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Term {
    Early,
    Sides,
    Bass,
    Start,
}

impl Place {
    /// The weights asked for; of a term given twice the last counts.
    pub(crate) fn weights(&self) -> Weights {
        let mut weights = Weights::default();
        for Weighed { term, weight } in &self.weigh {
            *match term {
                Term::Early => &mut weights.early,
                Term::Sides => &mut weights.sides,
                Term::Bass => &mut weights.bass,
                Term::Start => &mut weights.start,
            } = *weight;
        }
        weights
    }
}

fn weighed(text: &str) -> Result<Weighed, String> {
    let wrong = || "write a term and a number, as in early=2".to_owned();
    let (term, weight) = text.split_once('=').ok_or_else(wrong)?;
    let term = match term.trim() {
        "early" => Term::Early,
        "sides" => Term::Sides,
        "bass" => Term::Bass,
        "start" => Term::Start,
        _ => return Err("the terms are early, sides, bass and start".to_owned()),
    };
    let weight: f64 = weight.trim().parse().map_err(|_| wrong())?;
    if (0.0..=1000.0).contains(&weight) {
        Ok(Weighed { term, weight })
    } else {
        Err("a term counts from 0 to 1000 times".to_owned())
    }
}

/// Reads `1.8 m..2.6 m`, or one length to hold.
fn range(text: &str) -> Result<LengthRange, String> {
    let metres = |part: &str| measured(part).map(|length| length.metres);
    let range = match text.split_once("..") {
        Some((low, high)) => {
            LengthRange { low_m: metres(low.trim())?, high_m: metres(high.trim())? }
        }
        None => LengthRange::held(metres(text)?),
    };
    if range.low_m < 0.0 || 1000.0 < range.high_m {
        return Err("lengths here go from 0 to a kilometre".to_owned());
    }
    if range.high_m < range.low_m {
        return Err("the first length is the larger one; write the smaller one first".to_owned());
    }
    Ok(range)
}

const EXAMPLES: &str = "\
Examples:
  earline place scenes/attic.toml --with desk
      Around the present layout, the desk moving with the seat; scenes and a map in earline-out/attic.

  earline place scenes/attic.toml --with desk --seat '1.8 m..2.6 m' --base '1.4 m..2 m' --up '1.2 m'
      The seat and the base within these, the height held.

  earline place scenes/bedroom.toml --middle '1.3 m..1.8 m' --weigh sides=3 --layouts 300
      The middle free too, and left against right counting three times.

  earline place scenes/garage.toml --pair bigs --listener stool --any-triangle --json
      Another pair and seat, the triangle open; one JSON document on stdout.

All terms are in decibels; `earline-out/…/place.json` has each of them. The best of a search is a
starting point to experiment from.";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_two_lengths_or_one() {
        assert_eq!(range("1.8 m..2.6 m"), Ok(LengthRange { low_m: 1.8, high_m: 2.6 }));
        assert_eq!(range("180 cm .. 2.6"), Ok(LengthRange { low_m: 1.8, high_m: 2.6 }));
        assert_eq!(range("1.2 m"), Ok(LengthRange::held(1.2)));
        for wrong in ["", "..", "1..", "2..1", "1...2", "-1..2", "1 m..2000 m", "a..b"] {
            assert!(range(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn weights_are_a_term_and_a_number() {
        assert_eq!(weighed("bass=0.5"), Ok(Weighed { term: Term::Bass, weight: 0.5 }));
        for wrong in ["bass", "bass=", "treble=1", "early=-1", "early=nan", "=1"] {
            assert!(weighed(wrong).is_err(), "{wrong}");
        }
    }
}
