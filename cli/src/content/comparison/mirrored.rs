//! Paths that mirror each other, left for right, in two states as one row.

use super::{ComparedPath, ComparisonView, Difference, VariantAtSeat};
use crate::content::mirrored::{mirrored_rows, who};
use crate::format::both_sides::both_sides;
use earline_engine::scene::Side;
use std::collections::BTreeMap;

/// A path, or that of a left speaker with its mirror image of the right one, alike in both states.
#[derive(Debug, Clone, Copy)]
pub(super) struct MirroredPath<'a> {
    /// The only one, or that of the left speaker.
    pub(super) first: ComparedPath<'a>,
    /// That of the right speaker.
    pub(super) mirrored: Option<ComparedPath<'a>>,
}

impl<'a> MirroredPath<'a> {
    /// The only one, or both.
    pub(super) fn each(&self) -> impl Iterator<Item = ComparedPath<'a>> {
        [self.first].into_iter().chain(self.mirrored)
    }

    /// Its numbers: `3`, or `3, 4`.
    pub(super) fn numbers(&self) -> String {
        self.each().map(|path| path.number.to_string()).collect::<Vec<_>>().join(", ")
    }

    /// What one text says of each, together.
    pub(super) fn both(&self, text: impl Fn(&ComparedPath<'a>) -> String) -> String {
        let first = text(&self.first);
        self.mirrored
            .as_ref()
            .map_or_else(|| first.clone(), |other| both_sides(&first, &text(other)))
    }

    /// Who sounds: a speaker, or `both`.
    pub(super) fn speaker(&self, view: &ComparisonView<'_>) -> String {
        who(view.scene, self.first.speaker, self.mirrored.is_some())
    }
}

/// Paths in the order of their numbers, each with its mirror image where that is among them.
pub(super) fn mirrored_paths<'a>(
    view: &ComparisonView<'_>,
    difference: &Difference<'_>,
    paths: &[ComparedPath<'a>],
) -> Vec<MirroredPath<'a>> {
    let [first, second] = view.both(difference).map(|seen| partners(view, seen));
    let partner = |path: &ComparedPath<'_>| {
        let of = |partners: &BTreeMap<usize, usize>| partners.get(&path.number).copied();
        match (path.first, path.second) {
            (Some(_), Some(_)) => of(&first).filter(|other| of(&second) == Some(*other)),
            (Some(_), None) => of(&first),
            _ => of(&second),
        }
    };
    let mut left_over: BTreeMap<usize, ComparedPath<'a>> =
        paths.iter().map(|path| (path.number, *path)).collect();
    let mut rows = Vec::new();
    for path in paths {
        if left_over.remove(&path.number).is_none() {
            continue;
        }
        let alike = |other: &ComparedPath<'_>| other.change() == path.change();
        let other = partner(path).filter(|other| left_over.get(other).is_some_and(alike));
        rows.push(MirroredPath {
            first: *path,
            mirrored: other.and_then(|other| left_over.remove(&other)),
        });
    }
    // The right one may have the lower number.
    for row in &mut rows {
        if let Some(other) = row.mirrored
            && is_right(view, row)
        {
            *row = MirroredPath { first: other, mirrored: Some(row.first) };
        }
    }
    rows
}

fn is_right(view: &ComparisonView<'_>, row: &MirroredPath<'_>) -> bool {
    view.scene[row.first.speaker].pair.as_ref().is_some_and(|(_, side)| *side == Side::Right)
}

/// The number of the mirror image of each path of a state, either way.
fn partners(view: &ComparisonView<'_>, seen: &VariantAtSeat<'_>) -> BTreeMap<usize, usize> {
    let rows = mirrored_rows(view.scene, &seen.at.state, &seen.numbered());
    let numbers = rows.iter().filter_map(|row| Some((row.first.number, row.mirrored?.number)));
    numbers.flat_map(|(left, right)| [(left, right), (right, left)]).collect()
}
