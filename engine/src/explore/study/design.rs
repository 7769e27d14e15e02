//! Design of experiments: the factor values of each run.

use super::factor::{Factor, Levels};
use crate::scene::{Attachments, Override, Parsed, Problem, Scene, shortened, with_overrides};
use thiserror::Error;

/// A plan of runs, numbered from 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    factors: Vec<Factor>,
    /// Number of draws and their seed; `None` for every combination of levels.
    draws: Option<(u32, u64)>,
}

/// Why factors make no design.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DesignError {
    /// The design has no factor.
    #[error("nothing is varied")]
    Nothing,
    /// More factors than draws can be made for.
    #[error("{MAX_FACTORS} factors can be drawn for at most")]
    Factors,
    /// A factor without steps, and all combinations requested.
    #[error("`{0}` has a range without a step")]
    NoStep(String),
    /// Two factors vary the same parameter.
    #[error("`{0}` and `{1}` vary the same number of the scene")]
    Same(String, String),
    /// More combinations than anyone waits for.
    #[error("that are more than {MAX_RUNS} runs")]
    Runs,
    /// More draws than the sequence has, or none.
    #[error("draws go from 1 to {MAX_DRAWS}")]
    Draws,
}

/// Runs of a design, at most.
pub const MAX_RUNS: usize = 1_000_000;
/// Draws of a design, at most: as many as the sequence has.
pub const MAX_DRAWS: u32 = 65_536;
/// Factors of drawn designs, at most: dimensions of the sequence.
pub const MAX_FACTORS: usize = sobol_burley::NUM_DIMENSIONS as usize;

impl Design {
    /// Every combination of the factors' levels; those of the last factor change from run to run.
    ///
    /// # Errors
    /// Factors that do not go together, a range without a step, or too many runs.
    pub fn grid(factors: Vec<Factor>) -> Result<Self, DesignError> {
        check(&factors)?;
        let mut runs = 1usize;
        for factor in &factors {
            let Levels::Each(levels) = &factor.levels else {
                return Err(DesignError::NoStep(shortened(&factor.name)));
            };
            runs = runs.saturating_mul(levels.len());
        }
        if MAX_RUNS < runs {
            return Err(DesignError::Runs);
        }
        Ok(Self { factors, draws: None })
    }

    /// So many draws, spread evenly over all factors at once: a Sobol sequence with Owen's scrambling
    /// (Burley 2020), which the seed chooses. The first draws of a longer design are those of a shorter
    /// one.
    ///
    /// # Errors
    /// Factors that do not go together, or too many of them or of draws.
    pub fn drawn(factors: Vec<Factor>, draws: u32, seed: u64) -> Result<Self, DesignError> {
        check(&factors)?;
        if MAX_FACTORS < factors.len() {
            return Err(DesignError::Factors);
        }
        if !(1..=MAX_DRAWS).contains(&draws) {
            return Err(DesignError::Draws);
        }
        Ok(Self { factors, draws: Some((draws, seed)) })
    }

    /// The factors.
    pub fn factors(&self) -> &[Factor] {
        &self.factors
    }

    /// Number of draws and their seed; `None` for every combination of levels.
    pub fn draws(&self) -> Option<(u32, u64)> {
        self.draws
    }

    /// Number of runs.
    pub fn runs(&self) -> usize {
        match self.draws {
            Some((draws, _)) => draws as usize,
            None => self.factors.iter().map(level_count).product(),
        }
    }

    /// The value of each factor in a run. Beyond the last run they begin anew.
    pub fn values(&self, run: usize) -> Vec<f64> {
        match self.draws {
            Some((draws, seed)) => self.draw(run % draws as usize, seed),
            None => self.combination(run),
        }
    }

    fn draw(&self, run: usize, seed: u64) -> Vec<f64> {
        #[expect(clippy::cast_possible_truncation, reason = "below the most draws")]
        let index = run as u32;
        #[expect(clippy::cast_possible_truncation, reason = "both halves count")]
        let seed = (seed ^ (seed >> 32)) as u32;
        let share = |dimension| f64::from(sobol_burley::sample(index, dimension, seed));
        (0..).zip(&self.factors).map(|(i, factor)| factor.levels.at(share(i))).collect()
    }

    fn combination(&self, run: usize) -> Vec<f64> {
        let mut rest = run;
        let value = |factor: &Factor| {
            let Levels::Each(levels) = &factor.levels else { return f64::NAN };
            let value = levels.get(rest % levels.len().max(1)).copied();
            rest /= levels.len().max(1);
            value.unwrap_or(f64::NAN)
        };
        let mut values: Vec<f64> = self.factors.iter().rev().map(value).collect();
        values.reverse();
        values
    }

    /// The text of a run's scene.
    pub fn text(&self, text: &str, run: usize) -> String {
        self.text_with(text, &self.values(run))
    }

    fn text_with(&self, text: &str, values: &[f64]) -> String {
        let overrides: Vec<_> =
            self.factors.iter().zip(values).flat_map(|(f, &value)| f.overrides(value)).collect();
        with_overrides(text, &overrides)
    }

    /// The scene of a run.
    ///
    /// # Errors
    /// All that is wrong with it, with places in [`Design::text`].
    pub fn scene(
        &self,
        text: &str,
        attachments: &dyn Attachments,
        run: usize,
    ) -> Result<Parsed, Vec<Problem>> {
        Scene::parse(&self.text(text, run), attachments)
    }

    /// The factors whose values are of the wrong kind for their parameters: lengths where a bare number
    /// belongs.
    pub fn mismatched_units(&self, text: &str, attachments: &dyn Attachments) -> Vec<&Factor> {
        let misfits = |factor: &&Factor| {
            factor.is_length
                && factor.parameters.iter().any(|part| {
                    let same = Override::Metres(part.parameter.value());
                    let tried = with_overrides(text, &[(&part.parameter, same)]);
                    let problems = Scene::parse(&tried, attachments).err().unwrap_or_default();
                    problems.iter().any(|problem| problem.code == "scene::wrong-type")
                })
        };
        self.factors.iter().filter(misfits).collect()
    }
}

fn level_count(factor: &Factor) -> usize {
    match &factor.levels {
        Levels::Each(levels) => levels.len(),
        Levels::Between(..) => 0,
    }
}

fn check(factors: &[Factor]) -> Result<(), DesignError> {
    if factors.is_empty() {
        return Err(DesignError::Nothing);
    }
    let parameters: Vec<_> =
        factors.iter().flat_map(|f| f.parameters.iter().map(move |p| (f, p))).collect();
    for (place, (factor, part)) in parameters.iter().enumerate() {
        if let Some((other, _)) =
            parameters[..place].iter().find(|(_, p)| p.parameter.is_same_as(&part.parameter))
        {
            return Err(DesignError::Same(shortened(&other.name), shortened(&factor.name)));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a design that is refused fails the test")]

    use super::super::factor::{FactorParameter, Operation};
    use super::*;
    use crate::scene::{NoAttachments, SceneParameter};

    const ATTIC: &str = include_str!("../../../../scenes/attic.toml");

    fn factor(name: &str, levels: Levels) -> Factor {
        let parameters = vec![FactorParameter {
            parameter: SceneParameter::find(ATTIC, name).unwrap(),
            opposite: false,
        }];
        Factor {
            name: name.to_owned(),
            parameters,
            operation: Operation::Set,
            levels,
            is_length: false,
        }
    }

    #[test]
    fn a_grid_has_every_combination_once() {
        let x = factor("listener.seated.at.x", Levels::stepped(2.0, 2.4, 0.2).unwrap());
        let z = factor("listener.seated.at.z", Levels::Each(vec![1.1, 1.2]));
        let grid = Design::grid(vec![x, z]).unwrap();
        let all: Vec<Vec<f64>> = (0..grid.runs()).map(|run| grid.values(run)).collect();
        let expected = [[2.0, 1.1], [2.0, 1.2], [2.2, 1.1], [2.2, 1.2], [2.4, 1.1], [2.4, 1.2]];
        assert_eq!(all, expected.map(Vec::from));
        let scene = grid.scene(ATTIC, &NoAttachments, 3).unwrap().scene;
        assert_eq!((scene.listeners()[0].at.x, scene.listeners()[0].at.z), (2.2, 1.2));
    }

    /// A scrambled Sobol sequence puts one of every 2ᵏ draws in each 2ᵏth of a range (Owen 1995, from
    /// memory).
    #[test]
    fn draws_are_even_and_those_of_their_seed() {
        let x = || factor("listener.seated.at.x", Levels::between(2.0, 3.0).unwrap());
        let z = || factor("listener.seated.at.z", Levels::between(1.0, 1.5).unwrap());
        let drawn = |draws, seed| Design::drawn(vec![x(), z()], draws, seed).unwrap();
        let values = |design: &Design| -> Vec<Vec<f64>> {
            (0..design.runs()).map(|run| design.values(run)).collect()
        };
        let one = values(&drawn(64, 5));
        assert_eq!(one, values(&drawn(64, 5)));
        assert_ne!(one, values(&drawn(64, 6)));
        assert_eq!(one[..], values(&drawn(128, 5))[..64]);
        for (place, low, width) in [(0, 2.0, 1.0 / 64.0), (1, 1.0, 0.5 / 64.0)] {
            let mut sixty_fourths: Vec<f64> =
                one.iter().map(|run| ((run[place] - low) / width).floor()).collect();
            sixty_fourths.sort_by(f64::total_cmp);
            assert!(
                sixty_fourths.iter().zip(0..).all(|(&found, i)| (found - f64::from(i)).abs() < 0.5)
            );
        }
    }

    #[test]
    fn a_shift_moves_two_apart() {
        let part = |name, opposite| FactorParameter {
            parameter: SceneParameter::find(ATTIC, name).unwrap(),
            opposite,
        };
        let apart = Factor {
            name: "apart".to_owned(),
            parameters: vec![
                part("speaker.main left.at.y", true),
                part("speaker.main right.at.y", false),
            ],
            operation: Operation::Shift,
            levels: Levels::Each(vec![0.0, 0.1]),
            is_length: true,
        };
        let design = Design::grid(vec![apart]).unwrap();
        let scene = design.scene(ATTIC, &NoAttachments, 1).unwrap().scene;
        assert_eq!((scene.speakers()[0].at.y, scene.speakers()[1].at.y), (1.15, 2.95));
    }

    #[test]
    fn what_makes_no_design_is_refused() {
        let x = || factor("listener.seated.at.x", Levels::between(2.0, 3.0).unwrap());
        let many = || {
            let mut factor = factor("room.length", Levels::Each(vec![5.0; 2000]));
            factor.name = "many".to_owned();
            factor
        };
        let width = factor("room.width", Levels::Each(vec![4.0; 2000]));
        assert_eq!(Design::grid(vec![]), Err(DesignError::Nothing));
        assert!(matches!(Design::grid(vec![x()]), Err(DesignError::NoStep(_))));
        assert!(matches!(Design::grid(vec![many(), many()]), Err(DesignError::Same(..))));
        assert_eq!(Design::grid(vec![many(), width]), Err(DesignError::Runs));
        assert_eq!(Design::drawn(vec![x()], 0, 1), Err(DesignError::Draws));
        assert_eq!(Design::drawn(vec![x()], MAX_DRAWS + 1, 1), Err(DesignError::Draws));
    }

    #[test]
    fn lengths_that_fit_nothing_are_found() {
        let mut warmth = factor("air.temperature_c", Levels::Each(vec![20.0]));
        warmth.is_length = true;
        let mut length = factor("room.length", Levels::Each(vec![6.0]));
        length.is_length = true;
        let design = Design::grid(vec![length, warmth]).unwrap();
        let names: Vec<&str> =
            design.mismatched_units(ATTIC, &NoAttachments).iter().map(|f| &*f.name).collect();
        assert_eq!(names, ["air.temperature_c"]);
    }
}
