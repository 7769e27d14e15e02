//! Heights and tolerances in the document of a setting-out sheet.

use super::loudest::LoudestRow;
use super::round;
use crate::content::placement_tolerance::PairHeights;
use crate::content::setting_out::SettingOutSheet;
use earline_engine::analysis::setting_out::MarkOf;
use earline_engine::analysis::tolerance::{Change, Leeway, Thresholds, Tolerance};
use earline_engine::explore::height::{AtHeight, EarHeight, Heard, SetAt};
use serde::Serialize;

/// A pair at each of the heights it could stand at.
#[derive(Debug, Serialize)]
pub(super) struct HeightsOfPair {
    pair: String,
    seated_share: f64,
    ears: [Ears; 2],
    choices: Vec<ChoiceRow>,
}

#[derive(Debug, Serialize)]
struct Ears {
    listener: Option<String>,
    above_floor_m: f64,
    source: &'static str,
}

#[derive(Debug, Serialize)]
struct ChoiceRow {
    set_at: &'static str,
    left_above_floor_m: f64,
    right_above_floor_m: f64,
    weighted_direct_colour_db: Option<f64>,
    weighted_early_colour_db: Option<f64>,
    heard: Option<Vec<HeardRow>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

#[derive(Debug, Serialize)]
struct HeardRow {
    direct_level_db: Option<f64>,
    direct_colour_db: Option<f64>,
    direct_band_db: Vec<Option<f64>>,
    early_level_db: Option<f64>,
    early_colour_db: Option<f64>,
    early_band_db: Vec<Option<f64>>,
    strongest: Option<LoudestRow>,
}

impl HeightsOfPair {
    pub(super) fn new(setting: &SettingOutSheet<'_>, heights: &PairHeights) -> Self {
        let share = setting.care.seated_share;
        let pair = setting.out.pairs.get(heights.pair);
        Self {
            pair: pair.map_or_else(String::new, |pair| pair.name.clone()),
            seated_share: round::ratio(share),
            ears: heights.found.ears.map(|ears| Ears::new(setting, &ears)),
            choices: heights.found.choices.iter().map(|c| ChoiceRow::new(setting, c)).collect(),
        }
    }
}

impl Ears {
    fn new(setting: &SettingOutSheet<'_>, ears: &EarHeight) -> Self {
        Self {
            listener: ears.listener.map(|index| setting.listener(index).to_owned()),
            above_floor_m: round::metres(ears.at.z),
            source: if ears.listener.is_some() {
                "the scene"
            } else {
                "published body measurements (ANSUR II), in shoes"
            },
        }
    }
}

impl ChoiceRow {
    fn new(setting: &SettingOutSheet<'_>, at: &AtHeight) -> Self {
        let [left_above_floor_m, right_above_floor_m] = at.choice.up_m.map(round::metres);
        let share = setting.care.seated_share;
        let rows = at.heard.as_ref().ok().map(|all| all.iter().map(|h| HeardRow::new(setting, h)));
        Self {
            set_at: match at.choice.set_at {
                SetAt::AsItStands => "as it stands",
                SetAt::SeatedEars => "seated ears",
                SetAt::Between => "between",
                SetAt::StandingEars => "standing ears",
            },
            left_above_floor_m,
            right_above_floor_m,
            weighted_direct_colour_db: at.weighted_direct_db(share).and_then(round::decibels),
            weighted_early_colour_db: at.weighted_early_db(share).and_then(round::decibels),
            heard: rows.map(Iterator::collect),
            reason: at.heard.as_ref().err().cloned(),
        }
    }
}

impl HeardRow {
    fn new(setting: &SettingOutSheet<'_>, heard: &Heard) -> Self {
        Self {
            direct_level_db: round::decibels(heard.direct_level_db),
            direct_colour_db: round::decibels(heard.direct_colour_db),
            direct_band_db: heard.direct_db.iter().copied().map(round::decibels).collect(),
            early_level_db: round::decibels(heard.early_level_db),
            early_colour_db: round::decibels(heard.early_colour_db),
            early_band_db: heard.early_db.iter().copied().map(round::decibels).collect(),
            strongest: heard.strongest.as_ref().map(|found| LoudestRow::new(setting.scene, found)),
        }
    }
}

/// How far marks may be off, and what counted as a change.
#[derive(Debug, Serialize)]
pub(super) struct Tolerances {
    thresholds: Limits,
    marks: Vec<MarkLeeway>,
}

#[derive(Debug, Serialize)]
struct Limits {
    left_right_ms: f64,
    base_angle_deg: f64,
    direct_db: f64,
    reflection_db: f64,
    reflection_ms: f64,
    weakest_reflection_db: f64,
}

#[derive(Debug, Serialize)]
struct MarkLeeway {
    kind: &'static str,
    name: String,
    along_room: LeewayRow,
    across_room: LeewayRow,
    up: LeewayRow,
}

#[derive(Debug, Serialize)]
struct LeewayRow {
    free_m: f64,
    changes_first: Option<&'static str>,
    words: Option<String>,
}

impl Tolerances {
    pub(super) fn new(setting: &SettingOutSheet<'_>) -> Self {
        let Thresholds {
            left_right_s,
            base_angle_deg,
            direct_db,
            reflection_db,
            reflection_s,
            weakest_db,
        } = setting.care.thresholds;
        Self {
            thresholds: Limits {
                left_right_ms: round::milliseconds(left_right_s),
                base_angle_deg,
                direct_db,
                reflection_db,
                reflection_ms: round::milliseconds(reflection_s),
                weakest_reflection_db: weakest_db,
            },
            marks: setting.care.tolerances.iter().map(|t| MarkLeeway::new(setting, t)).collect(),
        }
    }
}

impl MarkLeeway {
    fn new(setting: &SettingOutSheet<'_>, tolerance: &Tolerance) -> Self {
        let [along_room, across_room, up] =
            tolerance.ways.each_ref().map(|leeway| LeewayRow::new(setting, leeway));
        Self {
            kind: match tolerance.of {
                MarkOf::Listener(_) => "listener",
                MarkOf::Speaker(_) => "speaker",
            },
            name: setting.name(tolerance.of).to_owned(),
            along_room,
            across_room,
            up,
        }
    }
}

impl LeewayRow {
    fn new(setting: &SettingOutSheet<'_>, leeway: &Leeway) -> Self {
        Self {
            free_m: round::metres(leeway.free_m),
            changes_first: leeway.first.as_ref().map(|change| match change {
                Change::LeftRight { .. } => "left against right",
                Change::BaseAngle { .. } => "base angle",
                Change::Direct { .. } => "direct level",
                Change::ReflectionLevel { .. } => "reflection level",
                Change::ReflectionDelay { .. } => "reflection delay",
                Change::NoRoom { .. } => "no room",
            }),
            words: leeway.first.as_ref().map(|change| setting.change(change)),
        }
    }
}
