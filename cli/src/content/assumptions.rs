//! Assumptions of a trace: air, directivity, law of reflection, absorption.

use super::document::{Cell, Column, Table};
use crate::format::frequency::BAND_NAMES;
use crate::format::number::fixed;
use crate::format::{labels, length};
use earline_engine::medium::directivity::Directivity;
use earline_engine::medium::materials::ReflectionLaw;
use earline_engine::metrics::absorbing_areas::absorbing_areas_by_object;
use earline_engine::scene::{Scene, SpeakerId, Variant};

/// The assumptions, a sentence each, with the warnings about the scene.
pub(crate) fn sentences(scene: &Scene, speakers: &[SpeakerId], warnings: &[&str]) -> Vec<String> {
    let air = scene.air();
    let mut all = vec![format!(
        "Air at {} °C and {:.0} % humidity: sound travels {:.1} m in a second.",
        fixed(air.temperature_c, 0),
        air.humidity_percent,
        air.speed_of_sound_m_s(),
    )];
    let speakers = speakers.iter().map(|&id| &scene[id]);
    all.extend(speakers.map(|s| format!("{}: {}", s.name, directivity(scene, &s.directivity))));
    let reflection = match scene.model().reflection {
        ReflectionLaw::Angle => "Surfaces reflect more at grazing angles, by their impedance.",
        ReflectionLaw::Constant => "Surfaces reflect the same at every angle.",
    };
    let edges = if scene.model().edges {
        "Panels, screens and furniture are finite: sound bends round their edges."
    } else {
        "Panels, screens and furniture have sharp edges."
    };
    let levels = "Levels of reflections are against the direct sound of the same speaker, over 1 to 8 kHz \
                  unless a band is named; a speaker's on-axis response is taken as flat.";
    all.extend([reflection, edges, levels].map(str::to_owned));
    if !warnings.is_empty() {
        all.push(format!("Worth a second look in the scene: {}.", warnings.join("; ")));
    }
    all
}

fn directivity(scene: &Scene, directivity: &Directivity) -> String {
    match directivity {
        Directivity::Omni => {
            "radiates the same in every direction, as no real speaker does.".to_owned()
        }
        Directivity::Cardioid => "a cardioid, the same at every frequency.".to_owned(),
        Directivity::Piston { diameter_m, .. } => {
            format!("one driver of {} in its cabinet.", length::length(*diameter_m, scene.units()))
        }
        Directivity::TwoWay { crossover_hz, .. } => format!(
            "two-way, crossing at {crossover_hz:.0} Hz, in its cabinet: it beams as such a speaker does."
        ),
        Directivity::Table(table) => format!("a table of levels against angle, {}.", table.file),
    }
}

/// Absorption of every surface and piece of a variant.
pub(crate) fn absorption(scene: &Scene, state: &Variant<'_>) -> Table {
    let words = [Column::left("Surface or piece"), Column::left("Made of")];
    let columns = words.into_iter().chain(BAND_NAMES.map(Column::right)).collect();
    let caption = "Absorption in octave bands, Hz: 0 is a mirror, 1 an open window";
    let mut table = Table::new(caption, columns);
    for (piece, absorber) in absorbing_areas_by_object(scene, state) {
        let words = [labels::piece(&piece), labels::finish(scene, &piece).to_owned()];
        let figures = absorber.absorption.map(|absorption| fixed(absorption, 2));
        table.row(words.into_iter().chain(figures).map(Cell::plain).collect());
    }
    table
}
