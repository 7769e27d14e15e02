//! A speaker's directivity.

use super::cabinet::{DRIVER_MAX_M, cabinet};
use super::context::RuleContext;
use super::directivity_table;
use super::limits::SMALLEST_SIDE_M;
use crate::medium::directivity::{Directivity, ReferencePoint};
use crate::scene::attachments::Attachments;
use crate::scene::problem::Problem;
use crate::scene::raw::{RawDirectivity, Spanned};

pub(super) fn directivity(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawDirectivity,
    attachments: &dyn Attachments,
) -> Option<Directivity> {
    match raw {
        RawDirectivity::Omni => Some(Directivity::Omni),
        RawDirectivity::Cardioid => Some(Directivity::Cardioid),
        RawDirectivity::Piston { diameter, cabinet: box_ } => {
            let diameter_m = driver(context, &format!("the driver of {what}"), diameter.as_ref());
            let box_checked = cabinet(context, what, box_.as_ref());
            let fits = context.fits_cabinet(what, &[diameter.as_ref()], box_.as_ref());
            let (diameter_m, cabinet) = (diameter_m?, box_checked?);
            fits.then_some(Directivity::Piston { diameter_m, cabinet })
        }
        RawDirectivity::TwoWay {
            woofer,
            tweeter,
            spacing,
            crossover_hz,
            reference,
            cabinet: box_,
        } => {
            let woofer_m = driver(context, &format!("the woofer of {what}"), woofer.as_ref());
            let tweeter_m = driver(context, &format!("the tweeter of {what}"), tweeter.as_ref());
            let spacing_m = spacing.as_ref().and_then(|value| driver_spacing(context, what, value));
            let crossover_hz = crossover_hz.as_ref().and_then(|value| {
                context.number_within(
                    &format!("the crossover of {what}"),
                    value,
                    50.0..=20_000.0,
                    " Hz",
                    "give it in hertz; two-way speakers cross over at about 1500 to 3500 Hz",
                )
            });
            let box_checked = cabinet(context, what, box_.as_ref());
            let fits =
                context.fits_cabinet(what, &[woofer.as_ref(), tweeter.as_ref()], box_.as_ref());
            let two_way = Directivity::TwoWay {
                woofer_m: woofer_m?,
                tweeter_m: tweeter_m?,
                spacing_m: spacing_m?,
                crossover_hz: crossover_hz?,
                reference: reference.as_ref().map_or(ReferencePoint::Between, |word| word.value),
                cabinet: box_checked?,
            };
            fits.then_some(two_way)
        }
        RawDirectivity::Table { file } => {
            let file = file.as_ref()?;
            table(context, what, file, attachments)
        }
    }
}

fn driver(context: &RuleContext<'_>, what: &str, value: Option<&Spanned<f64>>) -> Option<f64> {
    context.length_within(
        &format!("the diameter of {what}"),
        value?,
        SMALLEST_SIDE_M..=DRIVER_MAX_M,
        "give the driver's diameter with its unit, as in \"165 mm\" or \"6 1/2 in\"",
    )
}

/// Distance between the drivers; zero is a coaxial speaker.
fn driver_spacing(context: &RuleContext<'_>, what: &str, value: &Spanned<f64>) -> Option<f64> {
    if value.value == 0.0 {
        return Some(0.0);
    }
    context.length_within(&format!("the driver spacing of {what}"), value, 0.0..=2.0,
        "measure from the middle of the woofer to the middle of the tweeter; 0 for a coaxial speaker")
}

fn table(
    context: &RuleContext<'_>,
    what: &str,
    file: &Spanned<String>,
    attachments: &dyn Attachments,
) -> Option<Directivity> {
    let text = match attachments.read(&file.value) {
        Ok(text) => text,
        Err(reason) => {
            let message = format!("the directivity table of {what} cannot be read");
            context.add(
                Problem::error("scene::directivity-file", file.span.clone(), message)
                    .label(reason)
                    .help(
                        "give the file's place beside the scene file, as in file = \"speaker.csv\"",
                    ),
            );
            return None;
        }
    };
    match directivity_table::read(&file.value, &text) {
        Ok(table) => Some(Directivity::Table(table)),
        Err(slip) => {
            let message =
                format!("the directivity table of {what}, line {}: {}", slip.line, slip.message);
            context.add(
                Problem::error("scene::directivity-table", file.span.clone(), message)
                    .label("in this file")
                    .help(directivity_table::SHAPE),
            );
            None
        }
    }
}
