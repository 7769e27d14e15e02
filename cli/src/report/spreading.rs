//! How the sound of a speaker spreads, as the sheet of `earline wave`.

use super::gather::ReportData;
use super::held::Held;
use crate::content::wavefront::{Film, Shot, WavefrontView};
use crate::plot;
use crate::render::html::figure;
use earline_engine::analysis::wavefront::CutPlane;
use maud::{Markup, html};

/// The sound is followed through the times that the published limits for early reflections speak of.
const FILM: Film = Film { slow: 500, until_ms: 15.0, band: None };

/// The sheet of the first speaker in the room that the page answers for, folded; nothing without a speaker.
pub(super) fn part(data: &ReportData<'_>, held: &mut Held) -> Markup {
    let (Some(present), Some(&speaker)) = (data.present(), data.request.speakers.first()) else {
        return Markup::default();
    };
    let name = data.speaker(speaker);
    let inside = match Shot::new(data.scene(), &present.state, speaker, CutPlane::Plan, &FILM) {
        Ok(shot) => {
            let view = WavefrontView {
                scene: data.scene(),
                state: &present.state,
                speaker,
                listeners: &data.request.listeners,
                film: FILM,
                happenings: shot.wave.events(&data.request.listeners),
                shots: Vec::new(),
            };
            let sheet = figure(&plot::poster(&view, &shot), "spreading-");
            let place = held.keep(&sheet);
            html! {
                div data-held=(place) { p.modest { "Only a browser with scripts shows this drawing." } }
                p { code { "earline wave" } " makes a film of it, from above or from the side." }
            }
        }
        Err(why) => html! { p { "This could not be drawn: " (why) "." } },
    };
    html! {
        details #spreading {
            summary { "How the sound of " (name) " spreads, " (present.name) }
            (inside)
        }
    }
}
