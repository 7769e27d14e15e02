//! What a setting-out sheet says of heights and of care: traced, and the same for terminal, JSON and
//! page.

pub(crate) mod document;

use crate::content::setting_out::SettingOutSheet;
use crate::format::labels;
use crate::format::length;
use earline_engine::analysis::compare::Loudest;
use earline_engine::analysis::setting_out::{Mark, SettingOut};
use earline_engine::analysis::tolerance::{
    Change, Leeway, STEPS_M, Thresholds, Tolerance, TolerancePlan, tolerances,
};
use earline_engine::explore::height::{
    AtHeight, Choice, EarHeight, HeightPlan, Heights, SetAt, heights,
};
use earline_engine::scene::{Attachments, INCH_M, Scene, State, Units};

/// What an imperial tape is read to, metres.
const EIGHTH_M: f64 = INCH_M / 8.0;

/// Heights and tolerances of a sheet.
#[derive(Debug)]
pub(crate) struct PlacementTolerance {
    /// Share of the time spent seated, 0 to 1.
    pub(crate) seated_share: f64,
    /// For each pair of the sheet that has two heights of ears to choose between.
    pub(crate) heights: Vec<PairHeights>,
    /// What counts as a change.
    pub(crate) thresholds: Thresholds,
    /// How far each mark may be off.
    pub(crate) tolerances: Vec<Tolerance>,
}

/// The choices of one pair.
#[derive(Debug)]
pub(crate) struct PairHeights {
    /// The pair, by its place in the sheet.
    pub(crate) pair: usize,
    /// What they give.
    pub(crate) found: Heights,
}

impl PlacementTolerance {
    /// Traces what the sheet of these speakers and listeners has to say.
    ///
    /// # Errors
    /// Why the scene cannot be traced as it stands.
    pub(crate) fn of(
        scene: &Scene,
        attachments: &(dyn Attachments + Sync),
        state: &State<'_>,
        out: &SettingOut,
        (speakers, listeners): (&[usize], &[usize]),
        seated_share: f64,
    ) -> Result<Self, String> {
        let variant = state.name;
        let of_pair = |(pair, set): (usize, &earline_engine::analysis::setting_out::PairSet)| {
            let plan = HeightPlan { variant, pair: [set.left, set.right], listeners, seated_share };
            heights(scene, attachments, &plan).map(|found| PairHeights { pair, found })
        };
        let thresholds = Thresholds::default();
        let plan = TolerancePlan { variant, speakers, listeners, thresholds };
        Ok(Self {
            seated_share,
            heights: out.pairs.iter().enumerate().filter_map(of_pair).collect(),
            thresholds,
            tolerances: tolerances(scene, attachments, &plan)?,
        })
    }
}

impl PairHeights {
    /// The choice whose direct sound is coloured least over the time spent at both heights, as long
    /// as it is better than all others by more than a tenth of a decibel.
    pub(crate) fn evenest(&self, seated_share: f64) -> Option<(&AtHeight, f64)> {
        let mut found: Vec<(&AtHeight, f64)> = Vec::new();
        for choice in &self.found.choices {
            let Some(db) = choice.weighted_direct_db(seated_share) else { continue };
            // A pair that stands level with some ears is in the list twice.
            if found.iter().all(|(_, other)| 1e-6 < (db - other).abs()) {
                found.push((choice, db));
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1));
        let second = found.get(1).map_or(f64::INFINITY, |(_, db)| *db);
        found.first().copied().filter(|(_, db)| 0.1 < second - db)
    }
}

impl SettingOutSheet<'_> {
    /// What a choice is level with: `as it stands`, `level with seated ears`, `half-way`.
    pub(crate) fn choice(&self, choice: &Choice) -> String {
        match choice.set_at {
            SetAt::AsItStands => "as it stands".to_owned(),
            SetAt::SeatedEars => "level with seated ears".to_owned(),
            SetAt::StandingEars => "level with standing ears".to_owned(),
            SetAt::Between if (self.care.seated_share - 0.5).abs() < 1e-9 => "half-way".to_owned(),
            SetAt::Between => format!("between, {} seated", percent(self.care.seated_share)),
        }
    }

    /// Where a height of ears comes from: a listener's name, or published measurements.
    pub(crate) fn ears(&self, ears: &EarHeight) -> String {
        let up = self.mark(ears.at.z);
        match ears.listener {
            Some(index) => format!("{} ({up})", self.listener(index)),
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
    pub(crate) fn leeway(&self, leeway: &Leeway) -> String {
        let [first, .., last] = STEPS_M;
        match leeway.free_m {
            free if free < first => "next to nothing".to_owned(),
            free if free < last => format!("±{}", self.at_most(free)),
            free => format!("±{} or more", self.at_most(free)),
        }
    }

    /// The same of a mark along one of the three ways, in short; empty where it was not moved.
    pub(crate) fn leeway_of(&self, mark: &Mark, way: usize) -> String {
        let [first, .., last] = STEPS_M;
        let found = self.care.tolerances.iter().find(|tolerance| tolerance.of == mark.of);
        match found.and_then(|tolerance| tolerance.ways.get(way)).map(|leeway| leeway.free_m) {
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
        let pair = |left: usize| {
            let found = self.out.pairs.iter().find(|pair| pair.left == left);
            match (found, self.out.pairs.len()) {
                (Some(pair), 2..) => format!(" of {}", pair.name),
                _ => String::new(),
            }
        };
        let path = |speaker: usize, bounce| {
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
        let least = tolerance.ways.iter().min_by(|a, b| a.free_m.total_cmp(&b.free_m));
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
            "{:.0} µs between left and right, {base_angle_deg:.0}° of the angle between them, \
             {direct_db} dB of direct sound, {reflection_db:.0} dB or {:.2} ms of a first reflection \
             stronger than \u{2212}{:.0} dB",
            left_right_s * 1e6,
            reflection_s * 1e3,
            -weakest_db,
        )
    }
}

/// A share of one in per cent.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// A reflection that stands out: `floor, −3.2 dB after 2.1 ms`.
pub(crate) fn loudest(scene: &Scene, found: &Loudest) -> String {
    format!(
        "{}, {} dB after {:.1} ms",
        labels::spoken_path(scene, &found.bounces),
        tenths(found.level_db),
        found.after_direct_s * 1e3,
    )
}

/// Tenths of a decibel with a sign, a true minus, and no sign on nought.
pub(crate) fn tenths(db: f64) -> String {
    let text = format!("{db:+.1}").replace('-', "\u{2212}");
    if db.abs() < 0.05 { "0.0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tenths_have_a_sign_unless_they_are_nought() {
        assert_eq!(tenths(-10.0), "\u{2212}10.0");
        assert_eq!(tenths(20.04), "+20.0");
        assert_eq!(tenths(-0.04), "0.0");
        assert_eq!(tenths(0.06), "+0.1");
    }
}
