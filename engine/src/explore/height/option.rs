//! Heights at which a pair can be set.

use super::ear_positions::EarPosition;
use super::plan::HeightPlan;
use crate::scene::{Aim, Scene, Speaker};

/// A height for the reference points of a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightOption {
    /// The rule it follows from.
    pub set_at: HeightRule,
    /// Heights of the left and the right reference point above the floor, metres.
    pub up_m: [f64; 2],
}

/// Rule for the height of a pair's reference points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeightRule {
    /// The pair stands, and tilts, as the scene has it.
    AsItStands,
    /// The seated ears, cabinets upright.
    SeatedEars,
    /// Between both by the time spent at each, cabinets upright; half-way at equal shares (common
    /// practice, no source).
    Between,
    /// The standing ears, cabinets upright.
    StandingEars,
}

impl HeightOption {
    pub(super) fn all(scene: &Scene, plan: &HeightPlan<'_>, ears: &[EarPosition; 2]) -> Vec<Self> {
        let [seated_m, standing_m] = ears.map(|ears| ears.at.z);
        let between_m = plan.seated_share * seated_m + (1.0 - plan.seated_share) * standing_m;
        let level = |set_at, up_m| Self { set_at, up_m: [up_m; 2] };
        vec![
            Self { set_at: HeightRule::AsItStands, up_m: plan.pair.map(|id| scene[id].at.z) },
            level(HeightRule::SeatedEars, seated_m),
            level(HeightRule::Between, between_m),
            level(HeightRule::StandingEars, standing_m),
        ]
    }

    /// Sets a speaker at a height, upright, turned as it was.
    pub(super) fn set(&self, speaker: &mut Speaker, up_m: f64) {
        if self.set_at == HeightRule::AsItStands {
            return;
        }
        speaker.at.z = up_m;
        let level = speaker.axis.with_z(0.0).normalize_or_zero();
        // Straight up or down it points nowhere along the floor; then it keeps its axis.
        let axis = if level.length_squared() < 0.5 { speaker.axis } else { level };
        speaker.aim = Aim::Point(speaker.at + axis);
    }
}
