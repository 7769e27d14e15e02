//! A speaker's cabinet, and whether the drivers fit in its front.

use super::TAPE_SLACK_M;
use super::context::RuleContext;
use super::limits::SMALLEST_SIDE_M;
use crate::medium::directivity::Cabinet;
use crate::scene::problem::Problem;
use crate::scene::raw::Spanned;

/// Largest driver taken, in metres.
pub(super) const DRIVER_MAX_M: f64 = 1.0;

/// Largest cabinet dimension taken, in metres.
const CABINET_MAX_M: f64 = 3.0;

type RawSides = Spanned<[Spanned<f64>; 3]>;

pub(super) fn cabinet(
    context: &RuleContext<'_>,
    what: &str,
    raw: Option<&RawSides>,
) -> Option<Cabinet> {
    let names = ["height", "width", "depth"];
    let sides = raw?.value.each_ref();
    let checked: Vec<Option<f64>> = names
        .iter()
        .zip(sides)
        .map(|(name, side)| {
            context.length_within(
                &format!("the cabinet {name} of {what}"),
                side,
                SMALLEST_SIDE_M..=CABINET_MAX_M,
                "give the cabinet as [height, width, depth], each with its unit",
            )
        })
        .collect();
    let [height_m, width_m, depth_m] = checked.try_into().ok()?;
    Some(Cabinet { height_m: height_m?, width_m: width_m?, depth_m: depth_m? })
}

impl RuleContext<'_> {
    /// Whether every driver is smaller than the cabinet's front.
    pub(super) fn fits_cabinet(
        &self,
        what: &str,
        drivers: &[Option<&Spanned<f64>>],
        cabinet: Option<&RawSides>,
    ) -> bool {
        let Some(cabinet) = cabinet else { return true };
        let [height, width, _] = &cabinet.value;
        // A driver above all limits has been reported as such.
        let wide =
            |driver: f64, front: f64| front + TAPE_SLACK_M < driver && driver <= DRIVER_MAX_M;
        let smaller = height.value.min(width.value);
        let mut fits = true;
        for driver in drivers.iter().flatten().filter(|driver| wide(driver.value, smaller)) {
            fits = false;
            let message = format!("a driver of {what} is wider than its cabinet");
            self.add(
                Problem::error("scene::driver-too-wide", driver.span.clone(), message)
                    .label(format!("{} across", self.show(driver.value)))
                    .related(
                        cabinet.span.clone(),
                        format!(
                            "the front is {} high and {} wide",
                            self.show(height.value),
                            self.show(width.value)
                        ),
                    )
                    .help("the cabinet is written [height, width, depth]"),
            );
        }
        fits
    }
}
