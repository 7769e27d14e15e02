//! What the room is, and what was taken for granted.

use super::gather::Gathered;
use super::head::section;
use super::html::{Cell, Html};
use super::says::length;
use crate::content;
use crate::format::{frequency as list, level};
use crate::format::labels;
use earline_engine::medium::directivity::Directivity;
use earline_engine::medium::materials::ReflectionLaw;
use earline_engine::metrics::absorbing_areas::pieces;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
    section(html, "room");
    let scene = gathered.scene();
    if let Some(found) = gathered.states.last() {
        let about =
            content::check::about(scene, &gathered.survey, &found.formula_comparison.statistics);
        html.raw(crate::render::html::blocks(&about).into_string());
        if gathered.states.len() > 1 {
            html.modest(&format!("These figures are of the state {}.", found.name));
        }
    }
    html.element("h3", "Assumed");
    html.list("ul", &assumed(gathered));
    absorption(html, gathered);
    html.raw("</section>\n");
}

fn assumed(gathered: &Gathered<'_>) -> Vec<String> {
    let scene = gathered.scene();
    let air = scene.air();
    let mut all = vec![format!(
        "Air at {:.0} °C and {:.0} % humidity: sound travels {:.1} m in a second.",
        air.temperature_c,
        air.humidity_percent,
        air.speed_of_sound_m_s(),
    )];
    for &index in &gathered.asked.speakers {
        let Some(speaker) = scene.speakers().get(index) else { continue };
        all.push(format!("{}: {}", speaker.name, kind(gathered, &speaker.directivity)));
    }
    all.push(match scene.model().reflection {
        ReflectionLaw::Angle => {
            "Surfaces reflect more at grazing angles, as their impedance says.".to_owned()
        }
        ReflectionLaw::Constant => "Surfaces reflect alike at every angle.".to_owned(),
    });
    all.push(if scene.model().edges {
        "Panels, screens and furniture reflect as finite things, edges and all.".to_owned()
    } else {
        "Panels, screens and furniture have sharp edges.".to_owned()
    });
    all.push(
        "Levels of reflections are against the direct sound of the same speaker, over 1 to 8 kHz unless \
         a band is named; a speaker's on-axis response is taken as flat."
            .to_owned(),
    );
    if !gathered.loaded.warnings.is_empty() {
        let texts: Vec<String> =
            gathered.loaded.warnings.iter().map(|warning| warning.message.clone()).collect();
        all.push(format!("A careful reader of the scene would ask: {}.", texts.join("; ")));
    }
    all
}

fn kind(gathered: &Gathered<'_>, directivity: &Directivity) -> String {
    match directivity {
        Directivity::Omni => "sounds alike in every direction; no real speaker does.".to_owned(),
        Directivity::Cardioid => "a cardioid, the same at every frequency.".to_owned(),
        Directivity::Piston { diameter_m, .. } => {
            format!("one driver of {} in its cabinet.", length(gathered, *diameter_m))
        }
        Directivity::TwoWay { crossover_hz, .. } => format!(
            "two-way, crossing at {crossover_hz:.0} Hz, in its cabinet: it beams as such a speaker does."
        ),
        Directivity::Table(table) => format!("a table of levels against angle, {}.", table.file),
    }
}

/// What every surface and panel of the last state is made of.
fn absorption(html: &mut Html, gathered: &Gathered<'_>) {
    let scene = gathered.scene();
    let Some(found) = gathered.states.last() else { return };
    let mut heads = vec![Cell::words("Surface or piece"), Cell::words("Made of")];
    heads.extend(list::BAND_NAMES.map(|name| Cell::words(name).with("n")));
    let rows: Vec<Vec<Cell>> = pieces(scene, &found.state)
        .into_iter()
        .map(|(piece, absorber)| {
            let mut row = vec![
                Cell::words(labels::piece(&piece)),
                Cell::words(labels::finish(scene, &piece)),
            ];
            row.extend(absorber.absorption.map(|a| Cell::figure(format!("{a:.2}"))));
            row
        })
        .collect();
    html.table("Absorption in octave bands, Hz: 0 is a mirror, 1 an open window", &heads, &rows);
    html.modest("Random incidence, laboratory values or computed builds; `earline materials` names the source of each.");
}
