//! The check document, `earline.check/1`.

use super::round;
use super::statistics::Statistics;
use crate::content::formula_comparison::FormulaComparison;
use earline_engine::analysis::room_summary::{
    PairMirror, PairSeen, ProportionRule, Seat, SpeakerSeen, Survey,
};
use earline_engine::scene::{Scene, State, Surface};
use serde::Serialize;

const SCHEMA: &str = "earline.check/1";

#[derive(Debug, Serialize)]
pub(crate) struct CheckDocument {
    schema: &'static str,
    scene: String,
    variant: Option<String>,
    room: Room,
    mirror: Mirror,
    speakers: Vec<Speaker>,
    pairs: Vec<Pair>,
    listeners: Vec<Listener>,
    statistics: Statistics,
    warnings: Vec<Warning>,
}

/// A warning of the scene's text and its place.
#[derive(Debug, Serialize)]
pub(crate) struct Warning {
    /// The stable name of its kind.
    pub(crate) code: &'static str,
    /// What it says.
    pub(crate) message: String,
    /// Line in the file, from 1.
    pub(crate) line: usize,
    /// Column in the line, in characters from 1.
    pub(crate) column: usize,
    /// A remedy, if there is one.
    pub(crate) help: Option<String>,
}

#[derive(Debug, Serialize)]
struct Room {
    length_m: f64,
    width_m: f64,
    height_m: f64,
    volume_m3: f64,
    surface_m2: f64,
    floor_m2: f64,
    proportions: Proportions,
}

#[derive(Debug, Serialize)]
struct Proportions {
    length_to_height: f64,
    width_to_height: f64,
    least_length_to_height: f64,
    greatest_length_to_height: f64,
    rule: &'static str,
    rule_source: &'static str,
}

#[derive(Debug, Serialize)]
struct Mirror {
    walls_alike: bool,
    panels_without_twin: usize,
    objects_without_twin: usize,
}

#[derive(Debug, Serialize)]
struct Speaker {
    name: String,
    at_m: [f64; 3],
    from_front_m: f64,
    from_back_m: f64,
    from_left_m: f64,
    from_right_m: f64,
    above_floor_m: f64,
    below_ceiling_m: f64,
}

#[derive(Debug, Serialize)]
struct Pair {
    name: String,
    left: String,
    right: String,
    base_m: f64,
    off_mirror_m: f64,
}

#[derive(Debug, Serialize)]
struct Listener {
    name: String,
    at_m: [f64; 3],
    length_fraction: f64,
    off_centre_m: f64,
    ear_height_m: f64,
    speakers: Vec<Seen>,
    pairs: Vec<PairAt>,
}

#[derive(Debug, Serialize)]
struct Seen {
    speaker: String,
    distance_m: f64,
    azimuth_deg: f64,
    elevation_deg: f64,
    above_ears_m: f64,
    off_axis_deg: f64,
}

#[derive(Debug, Serialize)]
struct PairAt {
    name: String,
    base_angle_deg: f64,
    left_farther_m: f64,
    left_later_ms: f64,
    off_axis_m: f64,
}

/// Where the proportion rule stands, and how our copy was come by.
pub(crate) const RULE_SOURCE: &str =
    "ITU-R BS.1116 and EBU Tech 3276 after Walker, BBC RD 1993/8; from memory";

impl CheckDocument {
    /// The document of a survey.
    pub(crate) fn new(
        scene: &Scene,
        state: &State<'_>,
        survey: &Survey,
        beside: &FormulaComparison<'_>,
        warnings: Vec<Warning>,
    ) -> Self {
        Self {
            schema: SCHEMA,
            scene: scene.title().to_owned(),
            variant: state.name.map(str::to_owned),
            room: Room::new(scene, survey),
            mirror: Mirror {
                walls_alike: survey.mirror.walls_alike,
                panels_without_twin: survey.mirror.panels_without_twin,
                objects_without_twin: survey.mirror.objects_without_twin,
            },
            speakers: survey.speakers.iter().map(|s| Speaker::new(scene, s)).collect(),
            pairs: survey.pairs.iter().map(|p| Pair::new(scene, p)).collect(),
            listeners: survey.seats.iter().map(|s| Listener::new(scene, s)).collect(),
            statistics: Statistics::new(&beside.statistics),
            warnings,
        }
    }
}

impl Room {
    fn new(scene: &Scene, survey: &Survey) -> Self {
        let room = scene.room();
        let found = &survey.proportions;
        Self {
            length_m: round::metres(room.length_m),
            width_m: round::metres(room.width_m),
            height_m: round::metres(room.height_m),
            volume_m3: round::ratio(survey.volume_m3),
            surface_m2: round::ratio(survey.surface_m2),
            floor_m2: round::ratio(survey.floor_m2),
            proportions: Proportions {
                length_to_height: round::ratio(found.length_to_height),
                width_to_height: round::ratio(found.width_to_height),
                least_length_to_height: round::ratio(found.least),
                greatest_length_to_height: round::ratio(found.greatest),
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

impl Speaker {
    fn new(scene: &Scene, place: &earline_engine::analysis::room_summary::SpeakerPlace) -> Self {
        let speaker = &scene.speakers()[place.speaker];
        let from = |surface: Surface| round::metres(place.from_surfaces_m[surface as usize]);
        Self {
            name: speaker.name.clone(),
            at_m: speaker.at.to_array().map(round::metres),
            from_front_m: from(Surface::Front),
            from_back_m: from(Surface::Back),
            from_left_m: from(Surface::Left),
            from_right_m: from(Surface::Right),
            above_floor_m: from(Surface::Floor),
            below_ceiling_m: from(Surface::Ceiling),
        }
    }
}

impl Pair {
    fn new(scene: &Scene, pair: &PairMirror) -> Self {
        Self {
            name: pair.name.clone(),
            left: scene.speakers()[pair.left].name.clone(),
            right: scene.speakers()[pair.right].name.clone(),
            base_m: round::metres(pair.base_m),
            off_mirror_m: round::metres(pair.off_mirror_m),
        }
    }
}

impl Listener {
    fn new(scene: &Scene, seat: &Seat) -> Self {
        let listener = &scene.listeners()[seat.listener];
        Self {
            name: listener.name.clone(),
            at_m: listener.at.to_array().map(round::metres),
            length_fraction: round::ratio(seat.length_fraction),
            off_centre_m: round::metres(seat.off_centre_m),
            ear_height_m: round::metres(seat.ear_height_m),
            speakers: seat.speakers.iter().map(|s| Seen::new(scene, s)).collect(),
            pairs: seat.pairs.iter().map(PairAt::new).collect(),
        }
    }
}

impl Seen {
    fn new(scene: &Scene, seen: &SpeakerSeen) -> Self {
        Self {
            speaker: scene.speakers()[seen.speaker].name.clone(),
            distance_m: round::metres(seen.distance_m),
            azimuth_deg: round::degrees(seen.azimuth_deg),
            elevation_deg: round::degrees(seen.elevation_deg),
            above_ears_m: round::metres(seen.above_ears_m),
            off_axis_deg: round::degrees(seen.off_axis_deg),
        }
    }
}

impl PairAt {
    fn new(pair: &PairSeen) -> Self {
        Self {
            name: pair.name.clone(),
            base_angle_deg: round::degrees(pair.base_angle_deg),
            left_farther_m: round::metres(pair.left_farther_m),
            left_later_ms: round::milliseconds(pair.left_later_s),
            off_axis_m: round::metres(pair.off_axis_m),
        }
    }
}
