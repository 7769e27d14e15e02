//! The check document, `earline.check/1`.

use super::parts::{Head, RoomSize, listener_name, point, speaker_name};
use super::round::{Degrees, Metres, Milliseconds, Ratio, degrees, metres, milliseconds, ratio};
use super::statistics::Statistics;
use crate::content::formula_comparison::FormulaComparison;
use crate::content::proportion_rule::RULE_SOURCE;
use earline_engine::analysis::room_summary::{
    self, PairGeometry, ProportionRule, RoomSummary, Seat, SpeakerGeometry, SurfaceDistances,
};
use earline_engine::scene::{Scene, Surface, Variant};
use schemars::JsonSchema;
use serde::Serialize;

/// Summary of a room, its speakers and its seats, without tracing.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CheckDocument {
    #[serde(flatten)]
    head: Head,
    room: RoomRow,
    mirror: RoomSymmetry,
    speakers: Vec<SpeakerDistances>,
    pairs: Vec<PairSymmetry>,
    listeners: Vec<SeatGeometry>,
    statistics: Statistics,
    warnings: Vec<Warning>,
}

/// A warning about the scene's text and its place.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Warning {
    /// Stable name of its kind.
    pub(crate) code: &'static str,
    /// Text of the warning.
    pub(crate) message: String,
    /// Line in the file, from 1.
    pub(crate) line: usize,
    /// Column in the line, in characters from 1.
    pub(crate) column: usize,
    /// Remedy; null where there is none.
    pub(crate) help: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct RoomRow {
    #[serde(flatten)]
    size: RoomSize,
    volume_m3: Ratio,
    /// Area of all six surfaces.
    surface_m2: Ratio,
    floor_m2: Ratio,
    proportions: ProportionsRow,
}

/// Proportions of the room and a published rule on them.
#[derive(Debug, Serialize, JsonSchema)]
struct ProportionsRow {
    length_to_height: Ratio,
    width_to_height: Ratio,
    least_length_to_height: Ratio,
    greatest_length_to_height: Ratio,
    #[schemars(extend("enum" = ["met", "too square", "too long", "too low"]))]
    rule: &'static str,
    rule_source: &'static str,
}

/// Differences between the left and the right half of the room.
#[derive(Debug, Serialize, JsonSchema)]
struct RoomSymmetry {
    /// Whether left and right wall are bare of the same material.
    walls_alike: bool,
    panels_without_twin: usize,
    /// Screens, furniture and solid cabinets without a like one at the mirrored place.
    objects_without_twin: usize,
}

/// A speaker's reference point and its distances from the surfaces of the room.
#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerDistances {
    name: String,
    at_m: [Metres; 3],
    from_front_m: Metres,
    from_back_m: Metres,
    from_left_m: Metres,
    from_right_m: Metres,
    above_floor_m: Metres,
    below_ceiling_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct PairSymmetry {
    name: String,
    left: String,
    right: String,
    /// Distance between the two reference points.
    base_m: Metres,
    /// Distance of the right speaker from the mirror image of the left one.
    off_mirror_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SeatGeometry {
    name: String,
    /// Middle of the head.
    at_m: [Metres; 3],
    /// Distance from the front wall as a share of the length of the room.
    length_fraction: Ratio,
    /// Distance from the centre line; positive toward the right.
    off_centre_m: Metres,
    ear_height_m: Metres,
    speakers: Vec<SpeakerFromSeat>,
    pairs: Vec<PairFromSeat>,
}

/// A speaker as one seat has it; azimuth is positive to the left, elevation upward.
#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerFromSeat {
    speaker: String,
    distance_m: Metres,
    azimuth_deg: Degrees,
    elevation_deg: Degrees,
    above_ears_m: Metres,
    /// Angle between the speaker's axis and the direction to the seat.
    off_axis_deg: Degrees,
}

/// A pair of speakers as one seat has it.
#[derive(Debug, Serialize, JsonSchema)]
struct PairFromSeat {
    name: String,
    /// Angle between the two.
    base_angle_deg: Degrees,
    left_farther_m: Metres,
    left_later_ms: Milliseconds,
    /// Distance from the plane of symmetry of the pair; positive toward the right speaker.
    off_axis_m: Metres,
}

impl CheckDocument {
    /// The document of a survey.
    pub(crate) fn new(
        scene: &Scene,
        state: &Variant<'_>,
        survey: &RoomSummary,
        beside: &FormulaComparison<'_>,
        warnings: Vec<Warning>,
    ) -> Self {
        Self {
            head: Head::new("earline.check/1", scene, state.name),
            room: RoomRow::new(scene, survey),
            mirror: RoomSymmetry {
                walls_alike: survey.mirror.side_walls_match,
                panels_without_twin: survey.mirror.unmatched_panels,
                objects_without_twin: survey.mirror.unmatched_objects,
            },
            speakers: survey.speakers.iter().map(|s| SpeakerDistances::new(scene, s)).collect(),
            pairs: survey.pairs.iter().map(|p| PairSymmetry::new(scene, p)).collect(),
            listeners: survey.seats.iter().map(|s| SeatGeometry::new(scene, s)).collect(),
            statistics: Statistics::new(&beside.statistics),
            warnings,
        }
    }
}

impl RoomRow {
    fn new(scene: &Scene, survey: &RoomSummary) -> Self {
        let found = &survey.proportions;
        Self {
            size: RoomSize::new(scene.room()),
            volume_m3: ratio(survey.volume_m3),
            surface_m2: ratio(survey.surface_m2),
            floor_m2: ratio(survey.floor_m2),
            proportions: ProportionsRow {
                length_to_height: ratio(found.length_to_height),
                width_to_height: ratio(found.width_to_height),
                least_length_to_height: ratio(found.least),
                greatest_length_to_height: ratio(found.greatest),
                rule: match found.rule {
                    ProportionRule::Met => "met",
                    ProportionRule::TooSquare => "too square",
                    ProportionRule::TooLong => "too long",
                    ProportionRule::TooLow => "too low",
                },
                rule_source: RULE_SOURCE,
            },
        }
    }
}

impl SpeakerDistances {
    fn new(scene: &Scene, place: &SurfaceDistances) -> Self {
        let speaker = &scene[place.speaker];
        let from = |surface: Surface| metres(place.from_surfaces_m[surface as usize]);
        Self {
            name: speaker.name.clone(),
            at_m: point(speaker.at),
            from_front_m: from(Surface::Front),
            from_back_m: from(Surface::Back),
            from_left_m: from(Surface::Left),
            from_right_m: from(Surface::Right),
            above_floor_m: from(Surface::Floor),
            below_ceiling_m: from(Surface::Ceiling),
        }
    }
}

impl PairSymmetry {
    fn new(scene: &Scene, pair: &room_summary::PairSymmetry) -> Self {
        Self {
            name: pair.name.clone(),
            left: speaker_name(scene, pair.left),
            right: speaker_name(scene, pair.right),
            base_m: metres(pair.base_m),
            off_mirror_m: metres(pair.off_mirror_m),
        }
    }
}

impl SeatGeometry {
    fn new(scene: &Scene, seat: &Seat) -> Self {
        let speaker = |seen: &SpeakerGeometry| SpeakerFromSeat {
            speaker: speaker_name(scene, seen.speaker),
            distance_m: metres(seen.distance_m),
            azimuth_deg: degrees(seen.azimuth_deg),
            elevation_deg: degrees(seen.elevation_deg),
            above_ears_m: metres(seen.above_ears_m),
            off_axis_deg: degrees(seen.off_axis_deg),
        };
        let pair = |pair: &PairGeometry| PairFromSeat {
            name: pair.name.clone(),
            base_angle_deg: degrees(pair.base_angle_deg),
            left_farther_m: metres(pair.left_farther_m),
            left_later_ms: milliseconds(pair.left_later_s),
            off_axis_m: metres(pair.off_axis_m),
        };
        Self {
            name: listener_name(scene, seat.listener),
            at_m: point(scene[seat.listener].at),
            length_fraction: ratio(seat.length_fraction),
            off_centre_m: metres(seat.off_centre_m),
            ear_height_m: metres(seat.ear_height_m),
            speakers: seat.speakers.iter().map(speaker).collect(),
            pairs: seat.pairs.iter().map(pair).collect(),
        }
    }
}
