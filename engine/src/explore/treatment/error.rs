//! Wishes that cannot be met, each with what could be.

use crate::analysis::zones::ZoneError;
use crate::scene::Problem;
use crate::trace::RequestError;
use thiserror::Error;

/// Why nothing can be bought or put up as asked for.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum TreatmentError {
    /// Nothing may be spent.
    #[error("nothing can be bought for {budget}")]
    NoMoney {
        /// What was given, in the scene's currency.
        budget: f64,
    },
    /// Not one piece may go up.
    #[error("no pieces, no treatment")]
    NoPieces,
    /// There is nobody to treat for.
    #[error("there is no speaker or no listener to treat for")]
    Nobody,
    /// A budget is given, but not every absorber has a cost.
    #[error("a budget needs the cost of every absorber")]
    NoCost {
        /// The absorber without.
        name: String,
        /// Whether the offer is generic builds, which have none.
        generic: bool,
    },
    /// The budget is less than the least that could go up.
    #[error("the budget of {budget} is less than anything costs")]
    TooDear {
        /// What was given, in the scene's currency.
        budget: f64,
        /// The least that would buy something, in the scene's currency.
        least: f64,
        /// Whether that least is a piece and its mirror image.
        mirror_pair: bool,
    },
    /// No piece may go up alone and only one is allowed, or there is only one of each.
    #[error("nothing on offer can go up as a single piece")]
    OnlyMirrorPairs,
    /// No absorber is small enough for a surface that it may be put on.
    #[error("every absorber is larger than the surfaces it may be put on")]
    TooLarge,
    /// Every place where a piece would work is taken or must stay clear.
    #[error("there is nowhere to put anything")]
    NowhereFree {
        /// Whether pieces go up with their mirror image only.
        mirrored: bool,
    },
    /// The zones cannot be found.
    #[error("cannot find the zones")]
    Zones(#[source] ZoneError),
    /// The room cannot be traced.
    #[error("cannot trace this plan")]
    Trace(#[source] RequestError),
    /// The scene with pieces in it does not hold.
    #[error("the scene with pieces in it does not hold: {}", first(.0))]
    Refused(Vec<Problem>),
    /// The scene has no such state.
    #[error("the scene has no such state")]
    NoSuchVariant,
}

fn first(problems: &[Problem]) -> &str {
    problems.first().map_or("no reason known", |problem| problem.message.as_str())
}
