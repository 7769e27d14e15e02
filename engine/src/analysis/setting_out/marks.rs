//! Marks on the floor and heights above them.

use crate::scene::{ListenerId, PairIds, Room, Scene, SpeakerId};
use glam::{DVec2, DVec3};

/// Target of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkTarget {
    /// A listener: the middle of the head at ear height.
    Listener(ListenerId),
    /// A speaker: its acoustic reference point.
    Speaker(SpeakerId),
}

/// A point to set out: a cross on the floor, and a height above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Its target.
    pub of: MarkTarget,
    /// From the front wall, metres.
    pub from_front_m: f64,
    /// From the left wall, metres.
    pub from_left_m: f64,
    /// From the right wall, metres: the same mark from the other side, to check with.
    pub from_right_m: f64,
    /// Above the floor, metres.
    pub up_m: f64,
    /// From the centre line between left and right wall, metres; positive toward the right.
    pub off_centre_m: f64,
    /// On the floor from the corner of front and left wall, metres: a diagonal to check with.
    pub left_corner_m: f64,
    /// On the floor from the corner of front and right wall, metres: the other diagonal.
    pub right_corner_m: f64,
    /// An earlier mark of the sheet, by index, whose cross on the floor is this one's too.
    pub shares_floor_with: Option<usize>,
}

/// Crosses nearer than this are one cross: what a tape and a pencil hold to, metres.
const ONE_CROSS_M: f64 = 0.0005;

impl Mark {
    fn new(of: MarkTarget, at: DVec3, room: &Room) -> Self {
        let from_right_m = room.width_m - at.y;
        Self {
            of,
            from_front_m: at.x,
            from_left_m: at.y,
            from_right_m,
            up_m: at.z,
            off_centre_m: at.y - 0.5 * room.width_m,
            left_corner_m: at.x.hypot(at.y),
            right_corner_m: at.x.hypot(from_right_m),
            shares_floor_with: None,
        }
    }

    /// The point itself, metres.
    pub fn at(&self) -> DVec3 {
        DVec3::new(self.from_front_m, self.from_left_m, self.up_m)
    }

    /// Its cross on the floor, metres from front and left wall.
    pub fn floor(&self) -> DVec2 {
        DVec2::new(self.from_front_m, self.from_left_m)
    }
}

/// Marks of these listeners and speakers in the order to make them: the seat that the first speaker
/// is aimed at or else the first one, the pairs, left before right, the other speakers, the other
/// listeners.
pub(super) fn in_order(
    scene: &Scene,
    speakers: &[SpeakerId],
    listeners: &[ListenerId],
    pairs: &[PairIds],
) -> Vec<Mark> {
    let mut order: Vec<MarkTarget> = Vec::new();
    let mut add = |of: MarkTarget| {
        if !order.contains(&of) {
            order.push(of);
        }
    };
    let aimed_at = speakers.first().and_then(|&speaker| match scene.speaker(speaker)?.aim {
        crate::scene::Aim::Listener(id) => Some(id),
        _ => None,
    });
    let first = aimed_at.filter(|seat| listeners.contains(seat)).or(listeners.first().copied());
    first.into_iter().map(MarkTarget::Listener).for_each(&mut add);
    for &(left, right) in pairs {
        add(MarkTarget::Speaker(left));
        add(MarkTarget::Speaker(right));
    }
    speakers.iter().copied().map(MarkTarget::Speaker).for_each(&mut add);
    listeners.iter().copied().map(MarkTarget::Listener).for_each(&mut add);
    placed(scene, &order)
}

fn placed(scene: &Scene, order: &[MarkTarget]) -> Vec<Mark> {
    let mut marks: Vec<Mark> = Vec::new();
    for &of in order {
        let at = match of {
            MarkTarget::Listener(id) => scene.listener(id).map(|listener| listener.at),
            MarkTarget::Speaker(id) => scene.speaker(id).map(|speaker| speaker.at),
        };
        let Some(at) = at else { continue };
        let mut mark = Mark::new(of, at, scene.room());
        mark.shares_floor_with = marks.iter().position(|earlier| {
            earlier.shares_floor_with.is_none()
                && earlier.floor().distance(mark.floor()) < ONE_CROSS_M
        });
        marks.push(mark);
    }
    marks
}
