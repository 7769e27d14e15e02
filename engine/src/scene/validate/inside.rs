//! Things stand inside the room.

use super::TAPE_SLACK_M;
use super::context::RuleContext;
use crate::scene::model::{Room, Surface};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawPoint, Span};
use glam::DVec3;

const FROM: [&str; 3] = ["from the front wall", "from the left wall", "above the floor"];
const BEYOND: [&str; 3] = ["behind the wall", "behind the wall", "below the floor"];
const SIDE: [&str; 3] = ["long", "wide", "high"];

impl RuleContext<'_> {
    /// A point inside the room and clear of its surfaces. With a room that could not be read,
    /// any finite point passes.
    pub(super) fn clear_of_walls(&self, what: &str, point: &RawPoint) -> Option<DVec3> {
        let at = self.inside(what, point)?;
        let Some(room) = self.room else { return Some(at) };
        let mut clear = true;
        for (axis, coordinate) in point.value.iter().enumerate() {
            let size = room.size()[axis];
            let near = [coordinate.value, size - coordinate.value].map(|gap| gap <= TAPE_SLACK_M);
            for (surface, near) in Surface::ALL[axis * 2..].iter().zip(near) {
                if near {
                    clear = false;
                    let message = format!("{what} is in the {}", surface_words(*surface));
                    self.add(
                        Problem::error("scene::in-wall", coordinate.span.clone(), message)
                            .label(format!("{} {}", self.show(coordinate.value), FROM[axis]))
                            .help("move it clear; for a speaker built into the wall give a point 10 mm before it"),
                    );
                }
            }
        }
        clear.then_some(at)
    }

    /// A point inside the room, its surfaces included.
    pub(super) fn inside(&self, what: &str, point: &RawPoint) -> Option<DVec3> {
        let Some(room) = self.room else { return Some(point.vector()) };
        let mut inside = true;
        for (axis, coordinate) in point.value.iter().enumerate() {
            let size = room.size()[axis];
            if (-TAPE_SLACK_M..=size + TAPE_SLACK_M).contains(&coordinate.value) {
                continue;
            }
            inside = false;
            let label = if coordinate.value < 0.0 {
                format!("{} {}: that is {}", self.show(coordinate.value), FROM[axis], BEYOND[axis])
            } else {
                format!(
                    "{} {}, but the room is {} {}",
                    self.show(coordinate.value),
                    FROM[axis],
                    self.show(size),
                    SIDE[axis]
                )
            };
            let problem = Problem::error(
                "scene::outside-room",
                coordinate.span.clone(),
                format!("{what} is outside the room"),
            )
            .label(label)
            .help(format!("measure {}: between 0 and {}", FROM[axis], self.show(size)));
            self.add(self.with_room_side(problem, axis));
        }
        inside.then(|| point.vector())
    }

    /// Whether corners computed from what is written all lie in the room; if not, says so at `span`.
    pub(super) fn corners_inside(
        &self,
        what: &str,
        corners: &[DVec3],
        span: &Span,
        help: &str,
    ) -> bool {
        let Some(room) = self.room else { return true };
        let Some((axis, far, beyond)) = farthest_out(&room, corners) else { return true };
        let surface =
            Surface::ALL.get(axis * 2 + usize::from(far)).copied().unwrap_or(Surface::Front);
        let message = format!("{what} goes through the {}", surface_words(surface));
        let problem = Problem::error("scene::outside-room", span.clone(), message)
            .label(format!("{} too far", self.show(beyond)))
            .help(help);
        self.add(self.with_room_side(problem, axis));
        false
    }

    fn with_room_side(&self, problem: Problem, axis: usize) -> Problem {
        let side =
            self.raw.room.as_ref().and_then(|room| room.size.get(axis)).and_then(Option::as_ref);
        match side {
            Some(side) => problem.related(side.span.clone(), "the room's own measure"),
            None => problem,
        }
    }
}

/// A surface in a sentence.
pub(super) fn surface_words(surface: Surface) -> String {
    match surface {
        Surface::Floor | Surface::Ceiling => surface.name().to_owned(),
        _ => format!("{} wall", surface.name()),
    }
}

/// The axis, end and distance by which corners lie farthest outside; `None` when all are inside.
pub(super) fn farthest_out(room: &Room, corners: &[DVec3]) -> Option<(usize, bool, f64)> {
    let mut worst: Option<(usize, bool, f64)> = None;
    for corner in corners {
        for axis in 0..3 {
            for (far, beyond) in [(false, -corner[axis]), (true, corner[axis] - room.size()[axis])]
            {
                if TAPE_SLACK_M < beyond && worst.is_none_or(|(_, _, most)| most < beyond) {
                    worst = Some((axis, far, beyond));
                }
            }
        }
    }
    worst
}
