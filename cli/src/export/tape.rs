//! The setting-out sheet as a document, `earline.tape/1`: everything in metres.

use super::parts::{Head, RoomSize, point};
use super::round::{
    Decibels, Degrees, Hertz, Metres, Milliseconds, decibels, degrees, hertz, metres, milliseconds,
};
use super::tape_tolerances::{HeightsOfPair, Tolerances};
use crate::content::setting_out::SettingOutSheet;
use earline_engine::analysis::setting_out::{
    CentreImage, CheckDistance, Mark, MarkTarget, PairAtSeat, PairDifference, PairLayout, ToeIn,
};
use schemars::JsonSchema;
use serde::Serialize;

/// Sheet for setting out speakers and seats with a tape.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct TapeDocument {
    #[serde(flatten)]
    head: Head,
    room: RoomOnTape,
    /// Name of what the first mark is for; null without marks.
    first_mark: Option<String>,
    /// Marks in the order to make them.
    marks: Vec<MarkRow>,
    /// Half-way between the lowest and the highest ears; null where all are at one height.
    half_way_ears_m: Option<Metres>,
    speakers: Vec<SpeakerTurn>,
    /// Every speaker to every listener.
    distances: Vec<SpeakerToSeat>,
    pairs: Vec<PairOnTape>,
    /// Every other pair against the first at a shared seat.
    between_pairs: Vec<PairContrast>,
    /// Every pair at each of the heights it could stand at.
    heights: Vec<HeightsOfPair>,
    tolerances: Tolerances,
}

/// Another pair against the first at one seat; distance alone makes its level.
#[derive(Debug, Serialize, JsonSchema)]
struct PairContrast {
    listener: String,
    /// Name of the first pair.
    first: String,
    /// Name of the other pair, which the differences are those of.
    other: String,
    farther_m: Metres,
    later_ms: Milliseconds,
    weaker_db: Decibels,
    wider_deg: Degrees,
    higher_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct RoomOnTape {
    #[serde(flatten)]
    size: RoomSize,
    /// Distance of the centre line from the left wall.
    centre_line_from_left_m: Metres,
    /// Either diagonal of the floor.
    floor_diagonal_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct MarkRow {
    /// Letter on the sheet.
    mark: String,
    #[schemars(extend("enum" = ["listener", "speaker"]))]
    kind: &'static str,
    name: String,
    from_front_m: Metres,
    from_left_m: Metres,
    from_right_m: Metres,
    above_floor_m: Metres,
    /// Distance from the centre line; positive toward the right.
    off_centre_m: Metres,
    /// Distance on the floor from the corner of front and left wall.
    left_front_corner_m: Metres,
    /// Distance on the floor from the corner of front and right wall.
    right_front_corner_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerTurn {
    speaker: String,
    /// Turn of its axis from straight at the back wall; positive toward the centre line.
    toe_in_deg: Degrees,
    /// Tilt of its axis; positive upward.
    tilt_deg: Degrees,
    /// Distance of the outer front edge from the front wall less that of the inner one; null without
    /// a cabinet.
    front_edges_differ_m: Option<Metres>,
    /// Distance of a side's front edge from its side wall less that of its back edge; null without a
    /// cabinet.
    side_edges_differ_m: Option<Metres>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edges_reason: Option<&'static str>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct SpeakerToSeat {
    speaker: String,
    listener: String,
    distance_m: Metres,
    /// Distance between the crosses on the floor.
    floor_m: Metres,
    /// Height of the reference point above the ears.
    above_ears_m: Metres,
}

#[derive(Debug, Serialize, JsonSchema)]
struct PairOnTape {
    name: String,
    left: String,
    right: String,
    /// Distance between the two reference points.
    base_m: Metres,
    /// Distance between their crosses on the floor.
    base_floor_m: Metres,
    /// Crossing of the axes seen from above, from front and left wall; null where they do not cross.
    axes_cross_m: Option<[Metres; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    axes_reason: Option<&'static str>,
    listeners: Vec<PairSides>,
}

/// A pair of speakers as one seat has it.
#[derive(Debug, Serialize, JsonSchema)]
struct PairSides {
    listener: String,
    /// Distance of the left speaker from the middle of the head.
    left_m: Metres,
    right_m: Metres,
    /// Distance between the crosses on the floor.
    left_floor_m: Metres,
    right_floor_m: Metres,
    /// Length of the left side less the base of the triangle.
    left_error_m: Metres,
    right_error_m: Metres,
    /// Angle between the two; 60 in an equilateral triangle.
    base_angle_deg: Degrees,
    /// Direction as the listener faces; positive to the left.
    left_azimuth_deg: Degrees,
    right_azimuth_deg: Degrees,
    /// Distance of the crossing of the axes behind the ears; null where they do not cross.
    axes_cross_behind_ears_m: Option<Metres>,
    mismatch: LeftAgainstRight,
    /// Way into the apex of the equilateral triangle; null where there is none.
    lean: Option<LeanIntoApex>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lean_reason: Option<&'static str>,
}

/// Left speaker against the right one; distance alone makes its level.
#[derive(Debug, Serialize, JsonSchema)]
struct LeftAgainstRight {
    left_farther_m: Metres,
    left_later_ms: Milliseconds,
    left_weaker_db: Decibels,
    /// First dip of the sum of both; null where they are equally far.
    first_dip_hz: Option<Hertz>,
    #[schemars(extend("enum" = ["steady", "leans", "pulled", "captured"]))]
    centre_image: &'static str,
}

/// Movement of the head, as the listener faces.
#[derive(Debug, Serialize, JsonSchema)]
struct LeanIntoApex {
    forward_m: Metres,
    left_m: Metres,
    /// Whether leaning is enough.
    within_reach: bool,
    apex_m: [Metres; 3],
}

const NO_CABINET: &str = "the scene gives no cabinet";
const NO_CROSSING: &str = "the axes do not cross before the speakers";
const NO_APEX: &str = "the ears are too far above or below for a triangle of equal sides";

impl TapeDocument {
    /// The document of a sheet.
    pub(crate) fn new(setting: &SettingOutSheet<'_>) -> Self {
        let out = setting.out;
        let marks = out.marks.iter().enumerate();
        Self {
            head: Head::new("earline.tape/1", setting.scene, setting.state.name),
            room: RoomOnTape {
                size: RoomSize::new(setting.scene.room()),
                centre_line_from_left_m: metres(out.centre_line_m),
                floor_diagonal_m: metres(out.floor_diagonal_m),
            },
            first_mark: out.marks.first().map(|mark| setting.name(mark.of).to_owned()),
            marks: marks.map(|(index, mark)| MarkRow::new(setting, index, mark)).collect(),
            half_way_ears_m: out.half_way_up_m.map(metres),
            speakers: out.turns.iter().map(|turn| SpeakerTurn::new(setting, turn)).collect(),
            distances: out
                .check_distances
                .iter()
                .map(|reach| SpeakerToSeat::new(setting, reach))
                .collect(),
            pairs: out.pairs.iter().map(|pair| PairOnTape::new(setting, pair)).collect(),
            between_pairs: out.contrasts.iter().map(|c| PairContrast::new(setting, c)).collect(),
            heights: setting.care.heights.iter().map(|h| HeightsOfPair::new(setting, h)).collect(),
            tolerances: Tolerances::new(setting),
        }
    }
}

impl PairContrast {
    fn new(setting: &SettingOutSheet<'_>, found: &PairDifference) -> Self {
        let name =
            |index: usize| setting.out.pairs.get(index).map_or("", |pair| &pair.name).to_owned();
        Self {
            listener: setting.listener(found.listener).to_owned(),
            first: name(found.first),
            other: name(found.other),
            farther_m: metres(found.farther_m),
            later_ms: milliseconds(found.later_s),
            weaker_db: decibels(found.weaker_db),
            wider_deg: degrees(found.wider_deg),
            higher_m: metres(found.higher_m),
        }
    }
}

impl MarkRow {
    fn new(setting: &SettingOutSheet<'_>, index: usize, mark: &Mark) -> Self {
        Self {
            mark: setting.letter(index),
            kind: match mark.of {
                MarkTarget::Listener(_) => "listener",
                MarkTarget::Speaker(_) => "speaker",
            },
            name: setting.name(mark.of).to_owned(),
            from_front_m: metres(mark.from_front_m),
            from_left_m: metres(mark.from_left_m),
            from_right_m: metres(mark.from_right_m),
            above_floor_m: metres(mark.up_m),
            off_centre_m: metres(mark.off_centre_m),
            left_front_corner_m: metres(mark.left_corner_m),
            right_front_corner_m: metres(mark.right_corner_m),
        }
    }
}

impl SpeakerTurn {
    fn new(setting: &SettingOutSheet<'_>, turn: &ToeIn) -> Self {
        Self {
            speaker: setting.speaker(turn.speaker).to_owned(),
            toe_in_deg: degrees(turn.toe_in_deg),
            tilt_deg: degrees(turn.tilt_deg),
            front_edges_differ_m: turn.front_edges_m.map(metres),
            side_edges_differ_m: turn.side_edges_m.map(metres),
            edges_reason: turn.front_edges_m.is_none().then_some(NO_CABINET),
        }
    }
}

impl SpeakerToSeat {
    fn new(setting: &SettingOutSheet<'_>, reach: &CheckDistance) -> Self {
        Self {
            speaker: setting.speaker(reach.speaker).to_owned(),
            listener: setting.listener(reach.listener).to_owned(),
            distance_m: metres(reach.distance_m),
            floor_m: metres(reach.floor_m),
            above_ears_m: metres(reach.above_ears_m),
        }
    }
}

impl PairOnTape {
    fn new(setting: &SettingOutSheet<'_>, pair: &PairLayout) -> Self {
        Self {
            name: pair.name.clone(),
            left: setting.speaker(pair.left).to_owned(),
            right: setting.speaker(pair.right).to_owned(),
            base_m: metres(pair.base_m),
            base_floor_m: metres(pair.base_floor_m),
            axes_cross_m: pair.axes_cross_m.map(|point| point.map(metres)),
            axes_reason: pair.axes_cross_m.is_none().then_some(NO_CROSSING),
            listeners: pair.seats.iter().map(|seat| PairSides::new(setting, seat)).collect(),
        }
    }
}

impl PairSides {
    fn new(setting: &SettingOutSheet<'_>, seat: &PairAtSeat) -> Self {
        let [left_m, right_m] = seat.to_ears_m.map(metres);
        let [left_floor_m, right_floor_m] = seat.to_cross_m.map(metres);
        let [left_error_m, right_error_m] = seat.error_m.map(metres);
        let [left_azimuth_deg, right_azimuth_deg] = seat.azimuth_deg.map(degrees);
        Self {
            listener: setting.listener(seat.listener).to_owned(),
            left_m,
            right_m,
            left_floor_m,
            right_floor_m,
            left_error_m,
            right_error_m,
            base_angle_deg: degrees(seat.base_angle_deg),
            left_azimuth_deg,
            right_azimuth_deg,
            axes_cross_behind_ears_m: seat.axes_cross_behind_m.map(metres),
            mismatch: LeftAgainstRight {
                left_farther_m: metres(seat.mismatch.left_farther_m),
                left_later_ms: milliseconds(seat.mismatch.left_later_s),
                left_weaker_db: decibels(seat.mismatch.left_weaker_db),
                first_dip_hz: seat.mismatch.first_dip_hz().map(hertz),
                centre_image: match seat.mismatch.image {
                    CentreImage::Steady => "steady",
                    CentreImage::Leans => "leans",
                    CentreImage::Pulled => "pulled",
                    CentreImage::Captured => "captured",
                },
            },
            lean: seat.lean.map(|lean| LeanIntoApex {
                forward_m: metres(lean.forward_m),
                left_m: metres(lean.left_m),
                within_reach: lean.is_within_reach(),
                apex_m: point(lean.apex),
            }),
            lean_reason: seat.lean.is_none().then_some(NO_APEX),
        }
    }
}
