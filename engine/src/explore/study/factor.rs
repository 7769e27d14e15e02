//! Factors of a design, and their levels.

use crate::scene::{Override, SceneParameter};
use thiserror::Error;

/// Numbers of a scene that change together from run to run.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// Its name.
    pub name: String,
    /// The scene parameters it varies.
    pub parameters: Vec<FactorParameter>,
    /// The operation on these parameters.
    pub operation: Operation,
    /// Its values.
    pub levels: Levels,
    /// Whether its values are lengths in metres, given with their unit: then they fit lengths only.
    pub is_length: bool,
}

/// One scene parameter that a factor varies.
#[derive(Debug, Clone, PartialEq)]
pub struct FactorParameter {
    /// The parameter.
    pub parameter: SceneParameter,
    /// With [`Operation::Shift`]: whether it moves the other way.
    pub opposite: bool,
}

/// Operation of a factor on its parameters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operation {
    /// They take its value.
    Set,
    /// Its value is added to what is written there, or taken away from it.
    Shift,
}

/// The values of a factor.
#[derive(Debug, Clone, PartialEq)]
pub enum Levels {
    /// These.
    Each(Vec<f64>),
    /// Anything from the first to the second.
    Between(f64, f64),
}

/// Why a range has no levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum LevelsError {
    /// The first end is above the second.
    #[error("the first end is above the second; write the smaller one first")]
    Falling,
    /// The step is not positive.
    #[error("a step must be more than nought")]
    Step,
    /// So many steps.
    #[error("that are more than {MAX_LEVELS} steps; take larger ones")]
    TooMany,
    /// Something is not a finite number.
    #[error("that is not a finite number")]
    NotFinite,
}

/// Steps in a range, at most.
pub const MAX_LEVELS: usize = 100_000;

/// Levels are whole multiples of one over this, so that 0.6 and two steps of 0.05 are 0.7 and not
/// 0.7000000000000001.
const RASTER: f64 = 1e9;

/// Places of the raster that are told apart: 2^53, as many whole numbers as there are on either side.
const MOST_PLACES: f64 = 9_007_199_254_740_992.0;

impl Levels {
    /// From one value to another in even steps; the end is one of them where the steps lead there.
    ///
    /// # Errors
    /// A range or step that makes no sense.
    pub fn stepped(from: f64, to: f64, step: f64) -> Result<Self, LevelsError> {
        Self::between(from, to)?;
        if !step.is_finite() {
            return Err(LevelsError::NotFinite);
        }
        if step <= 0.0 {
            return Err(LevelsError::Step);
        }
        // Half a thousandth of a step for what the division rounds away.
        let steps = ((to - from) / step + 5e-4).floor();
        if MAX_LEVELS as f64 <= steps {
            return Err(LevelsError::TooMany);
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "just checked")]
        let last = steps as u32;
        Ok(Self::Each((0..=last).map(|i| on_raster(from + f64::from(i) * step)).collect()))
    }

    /// Anything from one value to another.
    ///
    /// # Errors
    /// Ends that make no sense.
    pub fn between(from: f64, to: f64) -> Result<Self, LevelsError> {
        // The way between two finite ends may be none.
        if !(from.is_finite() && to.is_finite() && (to - from).is_finite()) {
            return Err(LevelsError::NotFinite);
        }
        if to < from { Err(LevelsError::Falling) } else { Ok(Self::Between(from, to)) }
    }

    /// The value at a share of the way, 0 to below 1.
    pub(super) fn at(&self, share: f64) -> f64 {
        match self {
            Self::Between(from, to) => on_raster(from + share * (to - from)),
            Self::Each(levels) => {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a share of a small count"
                )]
                let place = (share * levels.len() as f64) as usize;
                levels.get(place).or(levels.last()).copied().unwrap_or(f64::NAN)
            }
        }
    }
}

fn on_raster(value: f64) -> f64 {
    let places = value * RASTER;
    // Numbers so large lie farther apart than the raster, and their product may have no end.
    if places.abs() < MOST_PLACES { places.round() / RASTER } else { value }
}

impl Factor {
    /// Overrides of its parameters for one of its values.
    pub(super) fn overrides(
        &self,
        value: f64,
    ) -> impl Iterator<Item = (&SceneParameter, Override)> {
        self.parameters.iter().map(move |part| {
            let number = match self.operation {
                Operation::Set => value,
                Operation::Shift if part.opposite => on_raster(part.parameter.value() - value),
                Operation::Shift => on_raster(part.parameter.value() + value),
            };
            let turn =
                if self.is_length { Override::Metres(number) } else { Override::Number(number) };
            (&part.parameter, turn)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_numbers_and_reach_the_end() {
        let Ok(Levels::Each(levels)) = Levels::stepped(0.6, 1.6, 0.05) else { panic!("no levels") };
        let said: Vec<String> = levels.iter().map(f64::to_string).collect();
        assert_eq!(said.len(), 21);
        assert_eq!((&*said[2], &*said[20]), ("0.7", "1.6"));
        assert_eq!(Levels::stepped(1.0, 2.0, 0.3), Ok(Levels::Each(vec![1.0, 1.3, 1.6, 1.9])));
        assert_eq!(Levels::stepped(1.0, 1.0, 0.3), Ok(Levels::Each(vec![1.0])));
        assert_eq!(
            Levels::stepped(1e300, 3e300, 1e300),
            Ok(Levels::Each(vec![1e300, 2e300, 3e300]))
        );
    }

    #[test]
    fn ranges_without_sense_are_refused() {
        assert_eq!(Levels::stepped(2.0, 1.0, 0.1), Err(LevelsError::Falling));
        assert_eq!(Levels::stepped(1.0, 2.0, 0.0), Err(LevelsError::Step));
        assert_eq!(Levels::stepped(1.0, 2.0, -0.1), Err(LevelsError::Step));
        assert_eq!(Levels::stepped(0.0, 1.0, 1e-6), Err(LevelsError::TooMany));
        assert_eq!(Levels::between(f64::NAN, 1.0), Err(LevelsError::NotFinite));
        assert_eq!(Levels::between(-1e308, 1e308), Err(LevelsError::NotFinite));
    }
}
