//! The document of a first scene, `earline.start/1`.

use super::parts::{RoomSize, point};
use super::round::{Degrees, Metres, Ratio, degrees, metres, ratio};
use crate::content::first_scene::{EARS_SOURCE, FirstScene, PlacedPiece};
use earline_engine::analysis::setting_out::{Compromise, SEAT_FRACTION, half_angle_deg};
use schemars::JsonSchema;
use serde::Serialize;

/// Layout and text of a first scene.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct StartDocument<'a> {
    /// Name and version of the document.
    schema: &'static str,
    room: RoomSize,
    ears: EarHeights,
    /// Middle of the head, from front wall, left wall and floor.
    seat_m: [Metres; 3],
    /// Distance of the seat from the front wall as a share of the length.
    length_fraction: Ratio,
    usual_length_fraction: f64,
    left_m: [Metres; 3],
    right_m: [Metres; 3],
    /// Point that both speakers are aimed at.
    apex_m: [Metres; 3],
    base_m: Metres,
    base_angle_deg: Degrees,
    /// Second pair at the same seat; absent without one.
    #[serde(skip_serializing_if = "Option::is_none")]
    second_pair: Option<SecondPairPlaces>,
    /// Windows, doors and furniture at the walls.
    pieces: Vec<PieceRow<'a>>,
    /// Wishes that gave way, in words.
    gave: Vec<&'static str>,
    /// Text of the scene file.
    scene: &'a str,
}

/// Reference points of a second pair.
#[derive(Debug, Serialize, JsonSchema)]
#[expect(clippy::struct_field_names, reason = "keys of a document carry their unit")]
struct SecondPairPlaces {
    left_m: [Metres; 3],
    right_m: [Metres; 3],
    base_m: Metres,
}

/// A window, a door or a piece of furniture at a wall.
#[derive(Debug, Serialize, JsonSchema)]
struct PieceRow<'a> {
    name: &'a str,
    /// The wall.
    #[schemars(extend("enum" = ["front", "back", "left", "right"]))]
    on: &'static str,
    /// Middle in the two tape coordinates of the wall.
    centre_m: [Metres; 2],
    /// Along the wall and upward.
    size_m: [Metres; 2],
    /// Away from the wall; 0 for what is in it.
    depth_m: Metres,
}

impl<'a> PieceRow<'a> {
    fn new(piece: &'a PlacedPiece) -> Self {
        Self {
            name: &piece.name,
            on: piece.on.name(),
            centre_m: piece.centre_m().map(metres),
            size_m: [piece.width_m, piece.height_m].map(metres),
            depth_m: metres(piece.depth_m),
        }
    }
}

/// Heights of the ears above the floor.
#[derive(Debug, Serialize, JsonSchema)]
struct EarHeights {
    seated_m: Metres,
    /// Whether the user measured it.
    seated_measured: bool,
    /// Null without a standing listener.
    standing_m: Option<Metres>,
    standing_measured: bool,
    /// Source of what was not measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'static str>,
}

impl<'a> StartDocument<'a> {
    /// The document of a first scene and its text.
    pub(crate) fn new(first: &'a FirstScene, scene: &'a str) -> Self {
        let (layout, request) = (&first.layout, &first.request);
        let second_pair = first.second.map(|pair| SecondPairPlaces {
            left_m: point(pair.left),
            right_m: point(pair.right),
            base_m: metres(pair.base_m),
        });
        let room = layout.room;
        let away_m = layout.seat.x - layout.left.x;
        let measured = request.seated_m.is_some() && request.standing_m.is_some();
        Self {
            schema: "earline.start/1",
            room: RoomSize::new(&room),
            ears: EarHeights {
                seated_m: metres(layout.ears.seated_m),
                seated_measured: request.seated_m.is_some(),
                standing_m: layout.ears.standing_m.map(metres),
                standing_measured: request.standing_m.is_some(),
                source: (!measured).then_some(EARS_SOURCE),
            },
            seat_m: point(layout.seat),
            length_fraction: ratio(layout.seat.x / room.length_m),
            usual_length_fraction: SEAT_FRACTION,
            left_m: point(layout.left),
            right_m: point(layout.right),
            apex_m: point(layout.apex),
            base_m: metres(layout.base_m),
            base_angle_deg: degrees(2.0 * half_angle_deg(layout.base_m, away_m)),
            second_pair,
            pieces: first.pieces.iter().map(PieceRow::new).collect(),
            gave: layout.compromises.iter().map(gave_word).collect(),
            scene,
        }
    }
}

fn gave_word(gave: &Compromise) -> &'static str {
    match gave {
        Compromise::Turned => "length and width swapped",
        Compromise::SeatBack { .. } => "seat moved back",
        Compromise::NearWalls { .. } => "speakers near the walls",
        Compromise::BehindMiddle { .. } => "seat behind the middle",
        Compromise::SeatedAsHigh { .. } | Compromise::NoStanding { .. } => "no standing listener",
    }
}
