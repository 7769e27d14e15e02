//! Heights and tolerances in the document of a setting-out sheet.

use super::parts::{LoudReflection, loud_reflection};
use super::round::{Decibels, Metres, Milliseconds, Ratio, decibels, metres, milliseconds, ratio};
use crate::content::placement_tolerance::result::PairHeights;
use crate::content::setting_out::SettingOutSheet;
use earline_engine::analysis::setting_out::MarkTarget;
use earline_engine::analysis::tolerance::{AxisTolerance, Change, Thresholds, Tolerance};
use earline_engine::explore::height::{self, EarlySound, HeightResult, HeightRule};
use schemars::JsonSchema;
use serde::Serialize;

/// A pair at each of the heights it could stand at.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct HeightsOfPair {
    pair: String,
    /// Share of the time spent seated.
    seated_share: Ratio,
    /// Seated and standing ears.
    ears: [EarPosition; 2],
    choices: Vec<HeightChoice>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct EarPosition {
    /// Null for ears by body measurements.
    listener: Option<String>,
    above_floor_m: Metres,
    source: &'static str,
}

#[derive(Debug, Serialize, JsonSchema)]
struct HeightChoice {
    #[schemars(extend("enum" = ["as it stands", "seated ears", "between", "standing ears"]))]
    set_at: &'static str,
    left_above_floor_m: Metres,
    right_above_floor_m: Metres,
    /// Coloration of the direct sound, weighted by time seated and standing; null where either is.
    weighted_direct_colour_db: Option<Decibels>,
    /// Coloration with early reflections, weighted likewise.
    weighted_early_colour_db: Option<Decibels>,
    /// At seated, then at standing ears; null with the reason where the pair cannot stand there.
    heard: Option<Vec<HeardAtHeight>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct HeardAtHeight {
    direct_level_db: Decibels,
    /// Spread of the direct sound over frequency.
    direct_colour_db: Decibels,
    /// Direct sound per fine band.
    direct_band_db: Vec<Decibels>,
    early_level_db: Decibels,
    /// Spread of direct sound with early reflections over frequency.
    early_colour_db: Decibels,
    early_band_db: Vec<Decibels>,
    /// Strongest early reflection; null where none arrives.
    strongest: Option<LoudReflection>,
}

impl HeightsOfPair {
    pub(super) fn new(setting: &SettingOutSheet<'_>, heights: &PairHeights) -> Self {
        let share = setting.care.seated_share;
        let pair = setting.out.pairs.get(heights.pair);
        Self {
            pair: pair.map_or_else(String::new, |pair| pair.name.clone()),
            seated_share: ratio(share),
            ears: heights.found.ears.map(|ears| EarPosition::new(setting, &ears)),
            choices: heights.found.choices.iter().map(|c| HeightChoice::new(setting, c)).collect(),
        }
    }
}

impl EarPosition {
    fn new(setting: &SettingOutSheet<'_>, ears: &height::EarPosition) -> Self {
        Self {
            listener: ears.listener.map(|index| setting.listener(index).to_owned()),
            above_floor_m: metres(ears.at.z),
            source: if ears.listener.is_some() {
                "the scene"
            } else {
                "published body measurements (ANSUR II), in shoes"
            },
        }
    }
}

impl HeightChoice {
    fn new(setting: &SettingOutSheet<'_>, at: &HeightResult) -> Self {
        let [left_above_floor_m, right_above_floor_m] = at.choice.up_m.map(metres);
        let share = setting.care.seated_share;
        let rows =
            at.early.as_ref().ok().map(|all| all.iter().map(|h| HeardAtHeight::new(setting, h)));
        Self {
            set_at: match at.choice.set_at {
                HeightRule::AsItStands => "as it stands",
                HeightRule::SeatedEars => "seated ears",
                HeightRule::Between => "between",
                HeightRule::StandingEars => "standing ears",
            },
            left_above_floor_m,
            right_above_floor_m,
            weighted_direct_colour_db: at.weighted_direct_db(share).map(decibels),
            weighted_early_colour_db: at.weighted_early_db(share).map(decibels),
            heard: rows.map(Iterator::collect),
            reason: at.early.as_ref().err().cloned(),
        }
    }
}

impl HeardAtHeight {
    fn new(setting: &SettingOutSheet<'_>, heard: &EarlySound) -> Self {
        Self {
            direct_level_db: decibels(heard.direct_level_db),
            direct_colour_db: decibels(heard.direct_coloration_db),
            direct_band_db: heard.direct_db.iter().copied().map(decibels).collect(),
            early_level_db: decibels(heard.early_level_db),
            early_colour_db: decibels(heard.early_coloration_db),
            early_band_db: heard.early_db.iter().copied().map(decibels).collect(),
            strongest: heard.strongest.as_ref().map(|found| loud_reflection(setting.scene, found)),
        }
    }
}

/// Tolerances of the marks, and the changes that end them.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Tolerances {
    thresholds: ToleranceThresholds,
    marks: Vec<MarkTolerance>,
}

/// Least changes that count.
#[derive(Debug, Serialize, JsonSchema)]
struct ToleranceThresholds {
    left_right_ms: Milliseconds,
    base_angle_deg: f64,
    direct_db: f64,
    reflection_db: f64,
    reflection_ms: Milliseconds,
    weakest_reflection_db: f64,
}

#[derive(Debug, Serialize, JsonSchema)]
struct MarkTolerance {
    #[schemars(extend("enum" = ["listener", "speaker"]))]
    kind: &'static str,
    name: String,
    along_room: WayTolerance,
    across_room: WayTolerance,
    up: WayTolerance,
}

#[derive(Debug, Serialize, JsonSchema)]
struct WayTolerance {
    /// Distance it may be off, either way.
    free_m: Metres,
    #[schemars(extend("enum" = ["left against right", "base angle", "direct level",
        "reflection level", "reflection delay", "no room", null]))]
    /// What changes first; null where nothing does as far as it was moved.
    changes_first: Option<&'static str>,
    /// The same as a clause.
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
            thresholds: ToleranceThresholds {
                left_right_ms: milliseconds(left_right_s),
                base_angle_deg,
                direct_db,
                reflection_db,
                reflection_ms: milliseconds(reflection_s),
                weakest_reflection_db: weakest_db,
            },
            marks: setting.care.tolerances.iter().map(|t| MarkTolerance::new(setting, t)).collect(),
        }
    }
}

impl MarkTolerance {
    fn new(setting: &SettingOutSheet<'_>, tolerance: &Tolerance) -> Self {
        let [along_room, across_room, up] =
            tolerance.axes.each_ref().map(|leeway| WayTolerance::new(setting, leeway));
        Self {
            kind: match tolerance.of {
                MarkTarget::Listener(_) => "listener",
                MarkTarget::Speaker(_) => "speaker",
            },
            name: setting.name(tolerance.of).to_owned(),
            along_room,
            across_room,
            up,
        }
    }
}

impl WayTolerance {
    fn new(setting: &SettingOutSheet<'_>, leeway: &AxisTolerance) -> Self {
        Self {
            free_m: metres(leeway.allowed_m),
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
