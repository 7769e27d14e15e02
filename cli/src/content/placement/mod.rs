//! What a search found, with what its words need: the same for terminal, JSON and map.

pub(crate) mod brief;
pub(crate) mod document;

use crate::content::wave_field::group_name::subwoofers;
use crate::format::length;
use crate::format::number::fixed;
use crate::format::sentence::capital;
use earline_engine::explore::placement::{
    EvaluatedLayout, Layout, ObjectiveMap, Parameter, PlacementPlan, SearchResult,
};
use earline_engine::scene::{Scene, SpeakerId, Units, Variant};

/// A search and what came of it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlacementView<'a> {
    /// The scene as it was.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a Variant<'a>,
    /// What was asked for.
    pub(crate) plan: &'a PlacementPlan<'a>,
    /// Name of the pair.
    pub(crate) pair: &'a str,
    /// What was found.
    pub(crate) found: &'a SearchResult,
    /// The best layout moved over the floor.
    pub(crate) map: &'a ObjectiveMap,
}

/// A term of the objective.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ObjectiveTerm {
    /// Its name.
    pub(crate) name: &'static str,
    /// Its heads in a table that has room for words, and in one that has less.
    heads: [&'static str; 2],
    /// A change for the better and one for the worse; what stands for `_` are the decibels.
    changes: [&'static str; 2],
    /// Its value, decibels.
    pub(crate) of: fn(&EvaluatedLayout) -> f64,
}

/// The terms, in their order everywhere.
pub(crate) const TERMS: [ObjectiveTerm; 4] = {
    let [early, sides, bass] = LAYOUT_TERMS;
    [early, sides, bass, START]
};

/// The terms that are heard.
const LAYOUT_TERMS: [ObjectiveTerm; 3] = [
    ObjectiveTerm {
        name: "early",
        heads: ["Early over limit", "Early over"],
        changes: [
            "early reflections _ dB less over the limit",
            "early reflections _ dB more over the limit",
        ],
        of: |one| one.objective.early_db(),
    },
    ObjectiveTerm {
        name: "sides",
        heads: ["Left against right", "Left/right"],
        changes: ["left and right differ by _ dB less", "left and right differ by _ dB more"],
        of: |one| one.objective.asymmetry_db(),
    },
    ObjectiveTerm {
        name: "bass",
        heads: ["Bass unevenness", "Bass uneven"],
        changes: ["bass _ dB more even", "bass _ dB less even"],
        of: |one| one.objective.bass_db(),
    },
];

const START: ObjectiveTerm = ObjectiveTerm {
    name: "start",
    heads: ["From usual start", "Usual start"],
    changes: ["_ dB nearer to the usual start", "_ dB farther from the usual start"],
    of: |one| one.objective.prior_db,
};

/// Less than this is no way worth a word, metres.
const OFF_M: f64 = 0.005;
/// Less than this is no change worth a word, decibels.
const ALIKE_DB: f64 = 0.1;

impl PlacementView<'_> {
    /// How lengths are written.
    pub(crate) fn units(&self) -> Units {
        self.scene.units()
    }

    /// How much each term counts, in the order of [`TERMS`].
    pub(crate) fn weights(&self) -> [f64; 4] {
        let weights = self.plan.weights;
        [weights.early, weights.sides, weights.bass, weights.start]
    }

    /// A parameter of a layout, off the tape.
    pub(crate) fn mark(&self, layout: &Layout, parameter: Parameter) -> String {
        length::mark(layout.get(parameter), self.units())
    }

    /// What the layouts are symmetric about, and how far what stands there now is from it.
    pub(crate) fn symmetry(&self) -> String {
        let range = self.plan.bounds.get(Parameter::Axis);
        let axis_m = range.at(0.5);
        let off_m = axis_m - 0.5 * self.scene.room().width_m;
        let about = if range.is_free() {
            "Pair and seat are symmetric about a line down the room, which is searched for too."
                .to_owned()
        } else if off_m.abs() < OFF_M {
            "Pair and seat are symmetric about the middle of the room.".to_owned()
        } else {
            format!(
                "Pair and seat are symmetric about a line {} from the left wall, {} {} of the middle of \
                 the room; `--middle` searches for another.",
                length::mark(axis_m, self.units()),
                length::offset(off_m.abs(), self.units()),
                if off_m < 0.0 { "left" } else { "right" },
            )
        };
        match self.start_off_m() {
            Some(off_m) if OFF_M <= off_m => format!(
                "{about} What is there now is up to {} off symmetric, and judged as it stands.",
                length::offset(off_m, self.units())
            ),
            _ => about,
        }
    }

    /// How far the farthest of pair and seat stands from symmetric now, metres.
    pub(crate) fn start_off_m(&self) -> Option<f64> {
        let seat = self.plan.listeners.first().copied()?;
        let layout = Layout::of(self.scene, self.plan.pair, seat)?;
        layout.off_m(self.scene, self.plan.pair, seat)
    }

    /// What some terms of a layout gain and lose against the present one, each in words.
    pub(crate) fn changes(
        &self,
        one: &EvaluatedLayout,
        terms: &[ObjectiveTerm],
    ) -> Option<[Vec<String>; 2]> {
        let start = self.found.start.as_ref().ok()?;
        let mut sides = [Vec::new(), Vec::new()];
        for term in terms {
            let change_db = (term.of)(one) - (term.of)(start);
            if ALIKE_DB <= change_db.abs() {
                let is_worse = usize::from(0.0 < change_db);
                let words = term.changes[is_worse].replace('_', &fixed(change_db.abs(), 1));
                sides[is_worse].push(words);
            }
        }
        Some(sides)
    }

    /// How much was searched.
    pub(crate) fn searched(&self) -> String {
        let found = self.found;
        let stopped =
            if found.interrupted { "Stopped early; this is the best so far. " } else { "" };
        let rejected = match found.rejected {
            0 => String::new(),
            rejected => format!(
                "; {rejected} more did not fit, because something was in the way or they left the room"
            ),
        };
        let all: Vec<SpeakerId> = self.scene.subwoofer_ids().collect();
        let stay = subwoofers(self.scene, &all).map_or_else(String::new, |words| {
            let verb = if all.len() == 1 { ("stays", "plays") } else { ("stay", "play") };
            format!(" {} {} in place and {} along.", capital(&words), verb.0, verb.1)
        });
        format!("{stopped}{} layouts of {} were traced{rejected}.{stay}", found.traced, self.pair)
    }

    /// The name of the scene file of a layout, by its place from 0.
    pub(crate) fn file(index: usize) -> String {
        format!("place-{}.toml", index + 1)
    }

    /// The share of the room's length at which a layout has its seat, per cent.
    pub(crate) fn share(&self, layout: &Layout) -> f64 {
        100.0 * layout.seat_m / self.scene.room().length_m
    }
}
