//! The setting-out sheet as a document, `earline.tape/1`: everything in metres.

use super::round;
use super::tape_care::{HeightsOfPair, Tolerances};
use crate::content::setting_out::SettingOutSheet;
use earline_engine::analysis::setting_out::{
    CentreImage, Contrast, Mark, MarkOf, PairAtSeat, PairSet, Reach, ToeIn,
};
use serde::Serialize;

const SCHEMA: &str = "earline.tape/1";

#[derive(Debug, Serialize)]
pub(crate) struct TapeDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    room: Room,
    first_mark: Option<String>,
    marks: Vec<MarkRow>,
    half_way_ears_m: Option<f64>,
    speakers: Vec<Turn>,
    distances: Vec<Distance>,
    pairs: Vec<Pair>,
    between_pairs: Vec<Between>,
    heights: Vec<HeightsOfPair>,
    tolerances: Tolerances,
}

/// Another pair against the first.
#[derive(Debug, Serialize)]
struct Between {
    listener: String,
    first: String,
    other: String,
    farther_m: f64,
    later_ms: f64,
    weaker_db: Option<f64>,
    wider_deg: f64,
    higher_m: f64,
}

#[expect(clippy::struct_field_names, reason = "keys of a document carry their unit")]
#[derive(Debug, Serialize)]
struct Room {
    length_m: f64,
    width_m: f64,
    height_m: f64,
    centre_line_from_left_m: f64,
    floor_diagonal_m: f64,
}

#[derive(Debug, Serialize)]
struct MarkRow {
    mark: String,
    kind: &'static str,
    name: String,
    from_front_m: f64,
    from_left_m: f64,
    from_right_m: f64,
    above_floor_m: f64,
    off_centre_m: f64,
    left_front_corner_m: f64,
    right_front_corner_m: f64,
}

#[derive(Debug, Serialize)]
struct Turn {
    speaker: String,
    toe_in_deg: f64,
    tilt_deg: f64,
    front_edges_differ_m: Option<f64>,
    side_edges_differ_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    edges_reason: Option<&'static str>,
}

#[expect(clippy::struct_field_names, reason = "the document calls it a distance")]
#[derive(Debug, Serialize)]
struct Distance {
    speaker: String,
    listener: String,
    distance_m: f64,
    floor_m: f64,
    above_ears_m: f64,
}

#[derive(Debug, Serialize)]
struct Pair {
    name: String,
    left: String,
    right: String,
    base_m: f64,
    base_floor_m: f64,
    axes_cross_m: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    axes_reason: Option<&'static str>,
    listeners: Vec<AtSeat>,
}

#[derive(Debug, Serialize)]
struct AtSeat {
    listener: String,
    left_m: f64,
    right_m: f64,
    left_floor_m: f64,
    right_floor_m: f64,
    left_error_m: f64,
    right_error_m: f64,
    base_angle_deg: f64,
    left_azimuth_deg: f64,
    right_azimuth_deg: f64,
    axes_cross_behind_ears_m: Option<f64>,
    mismatch: Mismatch,
    lean: Option<Lean>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lean_reason: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Mismatch {
    left_farther_m: f64,
    left_later_ms: f64,
    left_weaker_db: Option<f64>,
    first_dip_hz: Option<f64>,
    centre_image: &'static str,
}

#[derive(Debug, Serialize)]
struct Lean {
    forward_m: f64,
    left_m: f64,
    within_reach: bool,
    apex_m: [f64; 3],
}

const NO_CABINET: &str = "the scene gives no cabinet";
const NO_CROSSING: &str = "the axes do not cross before the speakers";
const NO_APEX: &str = "the ears are too far above or below for a triangle of equal sides";

impl TapeDocument {
    /// The document of a sheet.
    pub(crate) fn new(setting: &SettingOutSheet<'_>) -> Self {
        let room = setting.scene.room();
        let out = setting.out;
        Self {
            schema: SCHEMA,
            scene: setting.scene.title().to_owned(),
            variant: setting.state.name.map(str::to_owned),
            room: Room {
                length_m: round::metres(room.length_m),
                width_m: round::metres(room.width_m),
                height_m: round::metres(room.height_m),
                centre_line_from_left_m: round::metres(out.centre_line_m),
                floor_diagonal_m: round::metres(out.floor_diagonal_m),
            },
            first_mark: out.marks.first().map(|mark| setting.name(mark.of).to_owned()),
            marks: out
                .marks
                .iter()
                .enumerate()
                .map(|(index, mark)| MarkRow::new(setting, index, mark))
                .collect(),
            half_way_ears_m: out.half_way_up_m.map(round::metres),
            speakers: out.turns.iter().map(|turn| Turn::new(setting, turn)).collect(),
            distances: out.reaches.iter().map(|reach| Distance::new(setting, reach)).collect(),
            pairs: out.pairs.iter().map(|pair| Pair::new(setting, pair)).collect(),
            between_pairs: out.contrasts.iter().map(|c| Between::new(setting, c)).collect(),
            heights: setting.care.heights.iter().map(|h| HeightsOfPair::new(setting, h)).collect(),
            tolerances: Tolerances::new(setting),
        }
    }
}

impl Between {
    fn new(setting: &SettingOutSheet<'_>, found: &Contrast) -> Self {
        let name =
            |index: usize| setting.out.pairs.get(index).map_or("", |pair| &pair.name).to_owned();
        Self {
            listener: setting.listener(found.listener).to_owned(),
            first: name(found.first),
            other: name(found.other),
            farther_m: round::metres(found.farther_m),
            later_ms: round::milliseconds(found.later_s),
            weaker_db: round::decibels(found.weaker_db),
            wider_deg: round::degrees(found.wider_deg),
            higher_m: round::metres(found.higher_m),
        }
    }
}

impl MarkRow {
    fn new(setting: &SettingOutSheet<'_>, index: usize, mark: &Mark) -> Self {
        Self {
            mark: setting.letter(index),
            kind: match mark.of {
                MarkOf::Listener(_) => "listener",
                MarkOf::Speaker(_) => "speaker",
            },
            name: setting.name(mark.of).to_owned(),
            from_front_m: round::metres(mark.from_front_m),
            from_left_m: round::metres(mark.from_left_m),
            from_right_m: round::metres(mark.from_right_m),
            above_floor_m: round::metres(mark.up_m),
            off_centre_m: round::metres(mark.off_centre_m),
            left_front_corner_m: round::metres(mark.left_corner_m),
            right_front_corner_m: round::metres(mark.right_corner_m),
        }
    }
}

impl Turn {
    fn new(setting: &SettingOutSheet<'_>, turn: &ToeIn) -> Self {
        Self {
            speaker: setting.speaker(turn.speaker).to_owned(),
            toe_in_deg: round::degrees(turn.toe_in_deg),
            tilt_deg: round::degrees(turn.tilt_deg),
            front_edges_differ_m: turn.front_edges_m.map(round::metres),
            side_edges_differ_m: turn.side_edges_m.map(round::metres),
            edges_reason: turn.front_edges_m.is_none().then_some(NO_CABINET),
        }
    }
}

impl Distance {
    fn new(setting: &SettingOutSheet<'_>, reach: &Reach) -> Self {
        Self {
            speaker: setting.speaker(reach.speaker).to_owned(),
            listener: setting.listener(reach.listener).to_owned(),
            distance_m: round::metres(reach.distance_m),
            floor_m: round::metres(reach.floor_m),
            above_ears_m: round::metres(reach.above_ears_m),
        }
    }
}

impl Pair {
    fn new(setting: &SettingOutSheet<'_>, pair: &PairSet) -> Self {
        Self {
            name: pair.name.clone(),
            left: setting.speaker(pair.left).to_owned(),
            right: setting.speaker(pair.right).to_owned(),
            base_m: round::metres(pair.base_m),
            base_floor_m: round::metres(pair.base_floor_m),
            axes_cross_m: pair.axes_cross_m.map(|point| point.map(round::metres)),
            axes_reason: pair.axes_cross_m.is_none().then_some(NO_CROSSING),
            listeners: pair.seats.iter().map(|seat| AtSeat::new(setting, seat)).collect(),
        }
    }
}

impl AtSeat {
    fn new(setting: &SettingOutSheet<'_>, seat: &PairAtSeat) -> Self {
        let [left_m, right_m] = seat.to_ears_m.map(round::metres);
        let [left_floor_m, right_floor_m] = seat.to_cross_m.map(round::metres);
        let [left_error_m, right_error_m] = seat.error_m.map(round::metres);
        let [left_azimuth_deg, right_azimuth_deg] = seat.azimuth_deg.map(round::degrees);
        Self {
            listener: setting.listener(seat.listener).to_owned(),
            left_m,
            right_m,
            left_floor_m,
            right_floor_m,
            left_error_m,
            right_error_m,
            base_angle_deg: round::degrees(seat.base_angle_deg),
            left_azimuth_deg,
            right_azimuth_deg,
            axes_cross_behind_ears_m: seat.axes_cross_behind_m.map(round::metres),
            mismatch: Mismatch {
                left_farther_m: round::metres(seat.mismatch.left_farther_m),
                left_later_ms: round::milliseconds(seat.mismatch.left_later_s),
                left_weaker_db: round::decibels(seat.mismatch.left_weaker_db),
                first_dip_hz: seat.mismatch.first_dip_hz().map(round::hertz),
                centre_image: match seat.mismatch.image {
                    CentreImage::Steady => "steady",
                    CentreImage::Leans => "leans",
                    CentreImage::Pulled => "pulled",
                    CentreImage::Captured => "captured",
                },
            },
            lean: seat.lean.map(|lean| Lean {
                forward_m: round::metres(lean.forward_m),
                left_m: round::metres(lean.left_m),
                within_reach: lean.is_within_reach(),
                apex_m: lean.apex.to_array().map(round::metres),
            }),
            lean_reason: seat.lean.is_none().then_some(NO_APEX),
        }
    }
}
