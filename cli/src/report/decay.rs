//! The decay of the sound.

use super::figures::{Alternative, by_seat};
use super::gather::ReportData;
use super::head::Section;
use super::held::Held;
use crate::content::trace::{decay, deviations};
use crate::plot::{self, ShownState};
use crate::render::html::{blocks, figure, prose};
use maud::{Markup, html};

/// The section; nothing where no rays were followed.
pub(super) fn section(data: &ReportData<'_>, held: &mut Held) -> Option<Section> {
    let present = data.present()?;
    let traced = present.decay()?;
    let inside = html! {
        p { (prose(&decay::explanation(traced))) }
        (by_seat(data, held, |choice| at_seat(data, choice)))
        details {
            summary { "Formulas beside the rays" }
            (blocks(&deviations::document(&data.trace_report(present))))
        }
    };
    Some(Section::new("decay", "Decay", inside))
}

/// The times of all states over each other, and the curves of the one answered for.
fn at_seat(data: &ReportData<'_>, choice: &Alternative<'_>) -> Markup {
    let Some(traced) = choice.variant.decay() else { return Markup::default() };
    let report = data.trace_report(choice.variant);
    let states = states(data, choice);
    let present = choice.input.clone().with_decay(&report, traced, choice.listener);
    let drawing = match states.as_slice() {
        [_, _, ..] => plot::reverberation_compared(&states),
        _ => plot::reverberation(&present),
    };
    html! {
        (figure(&drawing, &choice.prefix("reverberation")))
        (blocks(&decay::tables(&report, traced, choice.listener)))
        details {
            summary { "The decay itself, band by band" }
            (figure(&plot::decay(&present), &choice.prefix("decay")))
        }
    }
}

/// Every state with its decay at the seat of a choice.
fn states<'a>(data: &'a ReportData<'_>, choice: &Alternative<'_>) -> Vec<ShownState<'a>> {
    let [_, seat] = choice.place;
    let shown = data.shown.get(seat).into_iter().flatten();
    let both = shown.zip(&data.variants);
    both.filter_map(|(shown, found)| {
        let report = data.trace_report(found);
        let input = shown.input.clone().with_decay(&report, found.decay()?, choice.listener);
        Some(ShownState { name: shown.name.clone(), input })
    })
    .collect()
}
