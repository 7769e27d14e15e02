//! What a setting-out sheet says of heights and of care: traced, and the same for terminal, JSON and
//! page.

pub(crate) mod document;
pub(crate) mod result;

use crate::content::setting_out::SettingOutSheet;
use crate::format::labels;
use crate::format::length;
use crate::format::{level, number, time};
use earline_engine::analysis::compare::StrongestReflection;
use earline_engine::analysis::setting_out::Mark;
use earline_engine::analysis::tolerance::{AxisTolerance, Change, STEPS_M, Thresholds, Tolerance};
use earline_engine::explore::height::{EarPosition, HeightOption, HeightRule};
use earline_engine::scene::{INCH_M, Scene, SpeakerId, Units};

/// What an imperial tape is read to, metres.
const EIGHTH_M: f64 = INCH_M / 8.0;

impl SettingOutSheet<'_> {
    /// What a choice is level with: `as it stands`, `level with seated ears`, `half-way`.
    pub(crate) fn choice(&self, choice: &HeightOption) -> String {
        match choice.set_at {
            HeightRule::AsItStands => "as it stands".to_owned(),
            HeightRule::SeatedEars => "level with seated ears".to_owned(),
            HeightRule::StandingEars => "level with standing ears".to_owned(),
            HeightRule::Between if (self.care.seated_share - 0.5).abs() < 1e-9 => {
                "half-way".to_owned()
            }
            HeightRule::Between => {
                format!("between, {} seated", number::percent(self.care.seated_share))
            }
        }
    }

    /// Where a height of ears comes from: a listener's name, or published measurements.
    pub(crate) fn ears(&self, ears: &EarPosition) -> String {
        let up = self.mark(ears.at.z);
        match ears.listener {
            Some(id) => format!("{} ({up})", self.listener(id)),
            None => format!("someone who stands there ({up}, from published body measurements)"),
        }
    }

    /// The mark a tolerance is of, with its letter.
    pub(crate) fn marked(&self, tolerance: &Tolerance) -> Option<(String, &Mark)> {
        let marks = &self.out.marks;
        let index = marks.iter().position(|mark| mark.of == tolerance.of)?;
        Some((self.letter(index), marks.get(index)?))
    }

    /// How far a mark may be off: `±15 mm`, `next to nothing`, `±200 mm or more`.
    pub(crate) fn leeway(&self, leeway: &AxisTolerance) -> String {
        let [first, .., last] = STEPS_M;
        match leeway.allowed_m {
            free if free < first => "next to nothing".to_owned(),
            free if free < last => format!("±{}", self.at_most(free)),
            free => format!("±{} or more", self.at_most(free)),
        }
    }

    /// The same of a mark along one of the three ways, in short; empty where it was not moved.
    pub(crate) fn leeway_of(&self, mark: &Mark, way: usize) -> String {
        let [first, .., last] = STEPS_M;
        let found = self.care.tolerances.iter().find(|tolerance| tolerance.of == mark.of);
        match found.and_then(|tolerance| tolerance.axes.get(way)).map(|leeway| leeway.allowed_m) {
            None => String::new(),
            Some(free) if free < first => "±0".to_owned(),
            Some(free) if free < last => format!("±{}", self.at_most(free)),
            Some(free) => format!("over {}", self.at_most(free)),
        }
    }

    /// A length that what is read off a tape never exceeds: an eighth of an inch is 3 mm.
    fn at_most(&self, metres: f64) -> String {
        let metres = match self.units {
            Units::Metric => metres,
            Units::Imperial => (metres / EIGHTH_M + 1e-9).floor() * EIGHTH_M,
        };
        length::offset(metres, self.units)
    }

    /// What changes first when a mark is off: `left and right come apart at seated`.
    pub(crate) fn change(&self, change: &Change) -> String {
        let pair = |left: SpeakerId| {
            let found = self.out.pairs.iter().find(|pair| pair.left == left);
            match (found, self.out.pairs.len()) {
                (Some(pair), 2..) => format!(" of {}", pair.name),
                _ => String::new(),
            }
        };
        let path = |speaker: SpeakerId, bounce| {
            format!(
                "{} reflection of {}",
                labels::spoken(self.scene, bounce),
                self.speaker(speaker)
            )
        };
        match change {
            Change::LeftRight { left, listener, .. } => {
                format!(
                    "left and right{} come apart in time at {}",
                    pair(*left),
                    self.listener(*listener)
                )
            }
            Change::BaseAngle { left, listener, .. } => {
                format!("the angle{} at {}", pair(*left), self.listener(*listener))
            }
            Change::Direct { speaker, listener, .. } => {
                format!("the level of {} at {}", self.speaker(*speaker), self.listener(*listener))
            }
            Change::ReflectionLevel { speaker, listener, bounce, .. } => {
                format!("level of the {} at {}", path(*speaker, bounce), self.listener(*listener))
            }
            Change::ReflectionDelay { speaker, listener, bounce, .. } => {
                format!("delay of the {} at {}", path(*speaker, bounce), self.listener(*listener))
            }
            Change::NoRoom { why } => format!("there it cannot be: {why}"),
        }
    }

    /// The tightest way of a mark, with what changes first on it.
    pub(crate) fn tightest(&self, tolerance: &Tolerance) -> String {
        let least = tolerance.axes.iter().min_by(|a, b| a.allowed_m.total_cmp(&b.allowed_m));
        least
            .and_then(|leeway| leeway.first.as_ref())
            .map_or_else(|| "nothing, as far as it was moved".to_owned(), |c| self.change(c))
    }

    /// What counts as a change, in a sentence.
    pub(crate) fn thresholds(&self) -> String {
        let Thresholds {
            left_right_s,
            base_angle_deg,
            direct_db,
            reflection_db,
            reflection_s,
            weakest_db,
        } = self.care.thresholds;
        format!(
            "{} between left and right, {base_angle_deg:.0}° of the angle between them, \
             {direct_db} dB of direct sound, {reflection_db:.0} dB or {} of a first reflection \
             stronger than {} dB",
            time::microseconds(left_right_s),
            time::delay(reflection_s),
            number::fixed(weakest_db, 0),
        )
    }
}

/// A reflection that stands out: `floor, −3.2 dB after 2.1 ms`.
pub(crate) fn loudest(scene: &Scene, found: &StrongestReflection) -> String {
    format!(
        "{}, {} dB after {}",
        labels::spoken_path(scene, &found.bounces),
        level::difference(found.level_db),
        time::milliseconds(found.delay_s, 1),
    )
}
