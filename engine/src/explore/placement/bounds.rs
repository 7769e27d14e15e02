//! Bounds of a placement search.

use super::layout::{Layout, PARAMETERS, Parameter};
use crate::analysis::setting_out::SEAT_FRACTION;
use crate::explore::height::ear_positions;
use crate::scene::{ListenerId, Scene};
use crate::wave_field::WaveFieldError;
use thiserror::Error;

/// Range of a length, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthRange {
    /// The least.
    pub low_m: f64,
    /// The most; equal to the least where the parameter is held.
    pub high_m: f64,
}

/// A range for each parameter, in the order of [`PARAMETERS`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds([LengthRange; 6]);

/// Reason why a placement search gives no result.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum PlacementError {
    /// Not one of the layouts within the bounds can be.
    #[error("of {tried} layouts within the bounds not one can be; the first: {why}")]
    NothingFits {
        /// Number of layouts tried.
        tried: usize,
        /// Reason why the first of them is infeasible.
        why: String,
    },
    /// Stopped before one layout was found.
    #[error("stopped before one layout was found")]
    Stopped,
    /// Every parameter is held.
    #[error("every length is held, so there is only one layout and nothing to search")]
    NothingFree,
    /// The scene has no such variant.
    #[error("the scene has no such variant")]
    NoSuchVariant,
    /// The bass of this room cannot be solved.
    #[error("the bass cannot be judged: {0}")]
    Bass(WaveFieldError),
}

impl LengthRange {
    /// Held at one length.
    pub fn held(metres: f64) -> Self {
        Self { low_m: metres, high_m: metres }
    }

    /// Whether it leaves anything to choose; less than a millimetre does not.
    pub fn is_free(&self) -> bool {
        0.001 <= self.high_m - self.low_m
    }

    /// The length at a share of the way from the least to the most, 0 to 1.
    pub fn at(&self, share: f64) -> f64 {
        self.low_m + share * (self.high_m - self.low_m)
    }

    /// The nearest multiple of a step that is within; the length itself where there is none.
    pub(super) fn to_step(self, metres: f64, steps_in_a_metre: f64) -> f64 {
        let steps = metres * steps_in_a_metre;
        let near =
            [steps.round(), steps.floor(), steps.ceil()].map(|count| count / steps_in_a_metre);
        near.into_iter().find(|near| self.holds(*near)).unwrap_or(metres)
    }

    /// Whether a length is within, to rounding.
    pub fn holds(&self, metres: f64) -> bool {
        (self.low_m - 1e-9..=self.high_m + 1e-9).contains(&metres)
    }
}

impl Bounds {
    /// Default bounds around the layout of a scene: the seat from a
    /// quarter to under half of the length, or as far as it stands; the base from two thirds to four
    /// thirds of what it is; heights between the ears at the seat, where there are two; the axes
    /// crossing up to 0.3 m behind the ears. Distance from the front wall, for a triangle that need not
    /// close, half of what it is to half as much again. The line of symmetry is held. All of it is a
    /// choice of ours, to begin from.
    pub fn around(scene: &Scene, layout: &Layout, listeners: &[ListenerId]) -> Self {
        let length_m = scene.room().length_m;
        let within = |low_m: f64, high_m: f64, held: f64| LengthRange {
            low_m: low_m.min(held),
            high_m: high_m.max(held),
        };
        let ears = ear_positions(scene, listeners);
        let up = ears.filter(|ears| ears.iter().all(|ears| ears.listener.is_some()));
        let up = up
            .map(|[seated, standing]| within(seated.at.z, standing.at.z, layout.speaker_height_m));
        Self([
            within(0.25 * length_m, 0.48 * length_m, layout.seat_m),
            LengthRange { low_m: layout.base_m / 1.5, high_m: layout.base_m * 4.0 / 3.0 },
            LengthRange {
                low_m: 0.5 * layout.speaker_distance_m,
                high_m: 1.5 * layout.speaker_distance_m,
            },
            up.unwrap_or(LengthRange::held(layout.speaker_height_m)),
            converge(layout.converge_m),
            LengthRange::held(layout.axis_m),
        ])
    }

    /// The range of a parameter.
    pub fn get(&self, parameter: Parameter) -> LengthRange {
        self.0[parameter as usize]
    }

    /// Sets the range of a parameter.
    pub fn set(&mut self, parameter: Parameter, range: LengthRange) {
        self.0[parameter as usize] = range;
    }

    /// The parameters with something to choose; the distance from the front wall follows from a
    /// triangle that closes.
    pub(super) fn free(&self, equilateral: bool) -> Vec<Parameter> {
        let follows = |parameter: &Parameter| equilateral && *parameter == Parameter::Front;
        PARAMETERS
            .into_iter()
            .filter(|parameter| self.get(*parameter).is_free() && !follows(parameter))
            .collect()
    }

    /// A layout at shares of the free ranges, 0 to 1; all else at the middle of what it is held to.
    pub(super) fn layout(&self, free: &[Parameter], shares: &[f64], equilateral: bool) -> Layout {
        let middle = |parameter: Parameter| self.get(parameter).at(0.5);
        let mut layout = Layout {
            seat_m: middle(Parameter::Seat),
            base_m: middle(Parameter::Base),
            speaker_distance_m: middle(Parameter::Front),
            speaker_height_m: middle(Parameter::Up),
            converge_m: middle(Parameter::Converge),
            axis_m: middle(Parameter::Axis),
        };
        for (&parameter, &share) in free.iter().zip(shares) {
            layout.set(parameter, self.get(parameter).at(share));
        }
        if equilateral {
            layout.close_triangle();
        }
        layout
    }

    /// The free parameters of which a layout has the least or the most that is allowed, to 2 mm: there
    /// a wider range may hold a better one.
    pub fn at_ends(&self, layout: &Layout, equilateral: bool) -> Vec<Parameter> {
        let is_at_end = |parameter: &Parameter| {
            let (LengthRange { low_m, high_m }, at_m) =
                (self.get(*parameter), layout.get(*parameter));
            at_m - low_m < 0.002 || high_m - at_m < 0.002
        };
        self.free(equilateral).into_iter().filter(is_at_end).collect()
    }

    /// The shares of the free ranges at which a layout lies, held within 0 to 1.
    pub(super) fn shares(&self, free: &[Parameter], layout: &Layout) -> Vec<f64> {
        let share = |&parameter: &Parameter| {
            let LengthRange { low_m, high_m } = self.get(parameter);
            ((layout.get(parameter) - low_m) / (high_m - low_m)).clamp(0.0, 1.0)
        };
        free.iter().map(share).collect()
    }
}

/// From the ears to 0.3 m behind them, and as far as the axes cross now where that is not far off: a
/// pair that is aimed at another seat begins anew.
fn converge(now_m: f64) -> LengthRange {
    let now_m = if (-0.3..=0.6).contains(&now_m) { now_m } else { 0.0 };
    LengthRange { low_m: now_m.min(0.0), high_m: now_m.max(0.3) }
}

/// Rule-of-thumb seat, metres from the front wall: 38 % of the length (common practice).
pub(super) fn usual_seat_m(scene: &Scene) -> f64 {
    SEAT_FRACTION * scene.room().length_m
}
