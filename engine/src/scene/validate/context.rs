//! What every rule needs to know: the scene as written, the room, and where problems go.

use crate::scene::length::format_length;
use crate::scene::messages::quoted;
use crate::scene::model::{Room, Units};
use crate::scene::problem::{Problem, Problems};
use crate::scene::raw::{RawScene, Spanned};

/// The surroundings of a rule.
pub(super) struct RuleContext<'a> {
    pub(super) raw: &'a RawScene,
    pub(super) units: Units,
    /// `None` when the room's own dimensions are wrong; rules about places then hold back.
    pub(super) room: Option<Room>,
    pub(super) problems: &'a Problems,
}

impl RuleContext<'_> {
    /// A length as this scene's user reads it.
    pub(super) fn show(&self, length_m: f64) -> String {
        format_length(length_m, self.units)
    }

    /// Adds a problem.
    pub(super) fn add(&self, problem: Problem) {
        self.problems.add(problem);
    }
}

/// An item's kind and name for messages.
pub(super) fn called(kind: &str, name: Option<&Spanned<String>>) -> String {
    name.map_or_else(
        || format!("this {kind}"),
        |name| format!("the {kind} `{}`", quoted(&name.value)),
    )
}
