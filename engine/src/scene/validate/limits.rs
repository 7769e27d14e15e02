//! Numbers within sensible limits.

use super::context::RuleContext;
use crate::scene::length::{format_limits, format_outside};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawPoint, Spanned};
use std::ops::RangeInclusive;

/// Smallest side of a panel, a screen or a box, and smallest driver, in metres.
pub(super) const SMALLEST_SIDE_M: f64 = 0.001;

/// Points to look or aim at may lie outside the room, but not farther than this from its corner.
const FARTHEST_M: f64 = 1000.0;

impl RuleContext<'_> {
    /// A length within limits, in metres. Zero and negative lengths are named as such.
    pub(super) fn length_within(
        &self,
        what: &str,
        value: &Spanned<f64>,
        limits: RangeInclusive<f64>,
        help: &str,
    ) -> Option<f64> {
        let length = value.value;
        if limits.contains(&length) {
            return Some(length);
        }
        let problem = if length <= 0.0 {
            Problem::error(
                "scene::not-positive",
                value.span.clone(),
                format!("{what} must be more than zero"),
            )
            .label(format!("this is {}", self.show(length)))
        } else {
            let shown = format_outside(length, &limits, self.units);
            let [low, high] = format_limits(&limits, self.units);
            Problem::error(
                "scene::out-of-range",
                value.span.clone(),
                format!("{what} cannot be {shown}"),
            )
            .label(format!("from {low} to {high} is taken"))
        };
        self.add(problem.help(help));
        None
    }

    /// A plain number within limits; `unit` is written after it.
    pub(super) fn number_within(
        &self,
        what: &str,
        value: &Spanned<f64>,
        limits: RangeInclusive<f64>,
        unit: &str,
        help: &str,
    ) -> Option<f64> {
        if limits.contains(&value.value) {
            return Some(value.value);
        }
        let message = format!("{what} cannot be {}{unit}", shown(value.value));
        let label = format!("from {} to {}{unit} is taken", limits.start(), limits.end());
        self.add(
            Problem::error("scene::out-of-range", value.span.clone(), message)
                .label(label)
                .help(help),
        );
        None
    }

    /// A side of something, not smaller than a millimetre.
    pub(super) fn side(&self, what: &str, value: &Spanned<f64>) -> Option<f64> {
        self.length_within(
            what,
            value,
            SMALLEST_SIDE_M..=100.0,
            "measure the side again; lengths carry their unit, as in \"1.20 m\"",
        )
    }

    /// A point to look or aim at: anywhere, though not out of this world.
    pub(super) fn near_enough(&self, what: &str, point: &RawPoint) -> Option<glam::DVec3> {
        let far = point.value.iter().find(|coordinate| FARTHEST_M < coordinate.value.abs());
        if let Some(far) = far {
            let problem = Problem::error(
                "scene::out-of-range",
                far.span.clone(),
                format!("{what} is farther than a kilometre away"),
            );
            self.add(problem.label("check the unit").help("give a point in or near the room"));
            return None;
        }
        Some(point.vector())
    }
}

/// A number as written, or in powers of ten where that would be endless.
pub(super) fn shown(number: f64) -> String {
    if number == 0.0 || (1.0e-6..1.0e9).contains(&number.abs()) {
        number.to_string()
    } else {
        format!("{number:e}")
    }
}
