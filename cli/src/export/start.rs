//! The document of a first scene, `earline.start/1`.

use super::round;
use crate::content::first_scene::{EARS_SOURCE, FirstScene};
use earline_engine::analysis::setting_out::{Compromise, SEAT_FRACTION, half_angle_deg};
use serde::Serialize;

const SCHEMA: &str = "earline.start/1";

#[derive(Debug, Serialize)]
pub(crate) struct StartDocument<'a> {
    schema: &'static str,
    room: Room,
    ears: Ears,
    seat_m: [f64; 3],
    length_fraction: f64,
    usual_length_fraction: f64,
    left_m: [f64; 3],
    right_m: [f64; 3],
    apex_m: [f64; 3],
    base_m: f64,
    base_angle_deg: f64,
    gave: Vec<&'static str>,
    scene: &'a str,
}

#[expect(clippy::struct_field_names, reason = "keys of a document carry their unit")]
#[derive(Debug, Serialize)]
struct Room {
    length_m: f64,
    width_m: f64,
    height_m: f64,
}

#[derive(Debug, Serialize)]
struct Ears {
    seated_m: f64,
    seated_measured: bool,
    standing_m: Option<f64>,
    standing_measured: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'static str>,
}

impl<'a> StartDocument<'a> {
    /// The document of a first scene and its text.
    pub(crate) fn new(first: &FirstScene<'_>, scene: &'a str) -> Self {
        let (layout, request) = (first.layout, first.request);
        let room = layout.room;
        let place = |point: glam::DVec3| point.to_array().map(round::metres);
        let away_m = layout.seat.x - layout.left.x;
        let measured = request.seated_m.is_some() && request.standing_m.is_some();
        Self {
            schema: SCHEMA,
            room: Room {
                length_m: round::metres(room.length_m),
                width_m: round::metres(room.width_m),
                height_m: round::metres(room.height_m),
            },
            ears: Ears {
                seated_m: round::metres(layout.ears.seated_m),
                seated_measured: request.seated_m.is_some(),
                standing_m: layout.ears.standing_m.map(round::metres),
                standing_measured: request.standing_m.is_some(),
                source: (!measured).then_some(EARS_SOURCE),
            },
            seat_m: place(layout.seat),
            length_fraction: round::ratio(layout.seat.x / room.length_m),
            usual_length_fraction: SEAT_FRACTION,
            left_m: place(layout.left),
            right_m: place(layout.right),
            apex_m: place(layout.apex),
            base_m: round::metres(layout.base_m),
            base_angle_deg: round::degrees(2.0 * half_angle_deg(layout.base_m, away_m)),
            gave: layout.compromises.iter().map(word).collect(),
            scene,
        }
    }
}

fn word(gave: &Compromise) -> &'static str {
    match gave {
        Compromise::Turned => "length and width swapped",
        Compromise::SeatBack { .. } => "seat moved back",
        Compromise::NearWalls { .. } => "speakers near the walls",
        Compromise::BehindMiddle { .. } => "seat behind the middle",
        Compromise::SeatedAsHigh { .. } | Compromise::NoStanding { .. } => "no standing listener",
    }
}
