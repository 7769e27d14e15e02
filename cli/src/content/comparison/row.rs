//! One path in two states.

use super::{ComparisonView, Difference};
use crate::format::level;
use earline_engine::analysis::compare::{MatchedReflection, QUIET_DB, is_equal};
use earline_engine::image_source::Reflection;
use earline_engine::scene::SpeakerId;

/// A path in two states; at least one of the two reflections is there.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ComparedPath<'a> {
    /// Its number in the comparison.
    pub(crate) number: usize,
    /// Its speaker.
    pub(crate) speaker: SpeakerId,
    /// In the first state.
    pub(crate) first: Option<&'a Reflection>,
    /// In the second state.
    pub(crate) second: Option<&'a Reflection>,
    /// How the two differ, where both are there.
    pub(crate) matched: Option<&'a MatchedReflection>,
}

/// What became of a path from the first state to the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PathChange {
    /// Equal within what the model can vouch for, in every band.
    Equal,
    /// Louder or quieter.
    Changed,
    /// Only in the first.
    Vanished,
    /// Only in the second.
    New,
}

/// Those of rows that became the same and can be heard in one state at least.
pub(crate) fn with_change<'a>(
    rows: &[ComparedPath<'a>],
    became: PathChange,
) -> Vec<ComparedPath<'a>> {
    rows.iter().filter(|row| row.change() == became && !row.is_quiet()).copied().collect()
}

impl Difference<'_> {
    /// Every path of both states, in the order of the numbers.
    pub(crate) fn rows<'a>(&'a self, view: &'a ComparisonView<'_>) -> Vec<ComparedPath<'a>> {
        let mut rows = Vec::new();
        for pair in 0..self.pairs.len() {
            rows.extend(self.rows_of(view, pair));
        }
        rows.sort_by_key(|row| row.number);
        rows
    }

    /// The same of one speaker, by the index of its pair in the traces.
    pub(crate) fn rows_of<'a>(
        &'a self,
        view: &'a ComparisonView<'_>,
        pair: usize,
    ) -> Vec<ComparedPath<'a>> {
        let [first, second] = [&view.variants[0], &view.variants[self.second]];
        let (a, b) = (&first.trace.pairs[pair], &second.trace.pairs[pair]);
        let (numbers, new_numbers) = (&first.numbers[pair], &second.numbers[pair]);
        let comparison = &self.pairs[pair];
        let empty = ComparedPath {
            number: 0,
            speaker: a.speaker,
            first: None,
            second: None,
            matched: None,
        };
        let matched = comparison.matched.iter().map(|m| ComparedPath {
            number: numbers[m.first],
            first: Some(&a.reflections[m.first]),
            second: Some(&b.reflections[m.second]),
            matched: Some(m),
            ..empty
        });
        let vanished = comparison.vanished.iter().map(|&index| ComparedPath {
            number: numbers[index],
            first: Some(&a.reflections[index]),
            ..empty
        });
        let new = comparison.new.iter().map(|&index| ComparedPath {
            number: new_numbers[index],
            second: Some(&b.reflections[index]),
            ..empty
        });
        let mut rows: Vec<ComparedPath<'a>> = matched.chain(vanished).chain(new).collect();
        rows.sort_by_key(|row| row.number);
        rows
    }
}

impl<'a> ComparedPath<'a> {
    /// What became of it.
    pub(crate) fn change(&self) -> PathChange {
        match (self.matched, self.first) {
            (Some(matched), _) if matched.is_equal() => PathChange::Equal,
            (Some(_), _) => PathChange::Changed,
            (None, Some(_)) => PathChange::Vanished,
            (None, None) => PathChange::New,
        }
    }

    /// The reflection, in the second state where it is only there.
    pub(crate) fn any(&self) -> Option<&'a Reflection> {
        self.first.or(self.second)
    }

    /// Its number of bounces.
    pub(crate) fn order(&self) -> usize {
        self.any().map_or(0, |r| r.arrival.order())
    }

    /// Its level over 1–8 kHz where it is louder, decibels.
    pub(crate) fn louder_db(&self) -> f64 {
        let levels = [self.first, self.second].into_iter().flatten().map(|r| r.level_db);
        levels.fold(f64::NEG_INFINITY, f64::max)
    }

    /// Whether it is too quiet in both states to decide anything.
    pub(crate) fn is_quiet(&self) -> bool {
        self.louder_db() < QUIET_DB
    }
}

/// A change: `+2.3 dB`, `−6.0 dB`, `equal`.
pub(crate) fn change(decibels: f64) -> String {
    if is_equal(decibels) {
        "equal".to_owned()
    } else if decibels.is_finite() {
        format!("{} dB", level::difference(decibels))
    } else {
        if decibels > 0.0 { "from silence" } else { "to silence" }.to_owned()
    }
}

/// The number of rows with this change.
pub(super) fn count(rows: &[ComparedPath<'_>], became: PathChange) -> usize {
    rows.iter().filter(|row| row.change() == became).count()
}
