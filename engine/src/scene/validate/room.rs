//! The room's inside dimensions.

use crate::scene::length::{format_length, format_limits, format_outside};
use crate::scene::model::Units;
use crate::scene::problem::{Problem, Problems};
use crate::scene::raw::RawScene;
use crate::scene::room::{ROOM_SIDE_M, Room};

pub(super) fn room(raw: &RawScene, units: Units, problems: &Problems) -> Option<Room> {
    let written = raw.room.as_ref()?;
    let mut sides = [None; 3];
    for ((name, side), checked) in
        ["length", "width", "height"].into_iter().zip(&written.size).zip(&mut sides)
    {
        let Some(side) = side else { continue };
        if ROOM_SIDE_M.contains(&side.value) {
            *checked = Some(side.value);
            continue;
        }
        let problem = if side.value <= 0.0 {
            Problem::error(
                "scene::not-positive",
                side.span.clone(),
                format!("the room's {name} must be more than zero"),
            )
            .label(format!("this is {}", format_length(side.value, units)))
            .help("measure from wall to wall inside the room")
        } else {
            let shown = format_outside(side.value, &ROOM_SIDE_M, units);
            let [low, high] = format_limits(&ROOM_SIDE_M, units);
            Problem::error(
                "scene::out-of-range",
                side.span.clone(),
                format!("the room's {name} cannot be {shown}"),
            )
            .label(format!("from {low} to {high} is taken"))
            .help("check the unit: a bare number means metres")
        };
        problems.add(problem);
    }
    let [length_m, width_m, height_m] = sides;
    Some(Room { length_m: length_m?, width_m: width_m?, height_m: height_m? })
}
