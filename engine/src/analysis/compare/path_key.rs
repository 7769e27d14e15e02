//! Which path a reflection took, whatever the surfaces are covered with.

use crate::geometry::{BoxSide, FaceId};
use crate::trace::Reflection;
use std::collections::BTreeMap;

/// The path of a reflection, the same for any seat and any treatment.
///
/// It is the faces in their order; a panel is only the finish of its surface. Two neighbouring
/// bounces on surfaces at right angles may change places: the image of the speaker is one and the
/// same, and which surface is met first hangs on where the head is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PathKey {
    faces: Vec<FaceId>,
    /// Counts paths over the same faces, in the order of time.
    nth: usize,
}

/// The path of each reflection of a list; no two are equal.
pub fn path_keys(reflections: &[Reflection]) -> Vec<PathKey> {
    path_keys_mapped(reflections, |face| face)
}

/// The same with every face taken for another, as a mirror does.
pub(super) fn path_keys_mapped(
    reflections: &[Reflection],
    face: impl Fn(FaceId) -> FaceId,
) -> Vec<PathKey> {
    let mut seen: BTreeMap<Vec<FaceId>, usize> = BTreeMap::new();
    let key = |reflection: &Reflection| {
        let faces = reflection.arrival.bounces.iter().map(|bounce| face(bounce.face));
        let faces = in_fixed_order(faces.collect());
        let count = seen.entry(faces.clone()).or_insert(0);
        *count += 1;
        PathKey { faces, nth: *count - 1 }
    };
    reflections.iter().map(key).collect()
}

/// Sorts each run of faces that lie along the room's axes by axis. Faces across the same axis keep
/// their order: floor then ceiling is another image than ceiling then floor.
fn in_fixed_order(mut faces: Vec<FaceId>) -> Vec<FaceId> {
    for run in faces.chunk_by_mut(|a, b| axis(*a).is_some() && axis(*b).is_some()) {
        run.sort_by_key(|&face| axis(face));
    }
    faces
}

/// The axis a face lies across, if it is sure to lie across one.
fn axis(face: FaceId) -> Option<usize> {
    match face {
        FaceId::Surface(surface) => Some(surface.axis()),
        FaceId::Furniture { side: BoxSide::Top | BoxSide::Bottom, .. }
        | FaceId::Cabinet { side: BoxSide::Top | BoxSide::Bottom, .. } => Some(2),
        // A turned side or a screen may lie anyhow.
        FaceId::Furniture { .. } | FaceId::Cabinet { .. } | FaceId::Screen { .. } => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Surface;

    fn surfaces<const N: usize>(names: [Surface; N]) -> Vec<FaceId> {
        in_fixed_order(names.map(FaceId::Surface).to_vec())
    }

    /// Mirror images in planes at right angles commute, those in parallel planes do not.
    #[test]
    fn only_surfaces_at_right_angles_change_places() {
        use Surface::{Ceiling, Floor, Front, Left};
        assert_eq!(surfaces([Front, Left]), surfaces([Left, Front]));
        assert_eq!(surfaces([Left, Floor, Ceiling]), surfaces([Floor, Left, Ceiling]));
        assert_ne!(surfaces([Floor, Ceiling]), surfaces([Ceiling, Floor]));
        assert_ne!(surfaces([Floor, Left, Ceiling]), surfaces([Ceiling, Left, Floor]));
    }

    #[test]
    fn nothing_passes_a_screen() {
        let screen = FaceId::Screen { index: 0, rear: false };
        let left = FaceId::Surface(Surface::Left);
        let floor = FaceId::Surface(Surface::Floor);
        assert_eq!(in_fixed_order(vec![floor, screen, left]), [floor, screen, left]);
        assert_eq!(in_fixed_order(vec![floor, left, screen]), [left, floor, screen]);
    }
}
