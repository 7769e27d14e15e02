//! What a person reads after a film of sound was made.

use super::{WavefrontView, file_name};
use crate::content::document::{Cell, Column, Document, Table};
use crate::format::{length, level};
use crate::plot::Sizes;
use earline_engine::analysis::wavefront::{CutPlane, EventKind};

/// The whole answer, every line within `width`.
pub(crate) fn document(view: &WavefrontView<'_>, reels: &[Sizes]) -> Document {
    let mut document = Document::of_scene(view.scene, view.state);
    document.paragraph(shown(view));
    document.heading("What you see, and when");
    document.table(story(view));
    document.heading("The files");
    for (shot, reel) in view.shots.iter().zip(reels) {
        let name = file_name(shot.wave.cut());
        let from = match shot.wave.cut() {
            CutPlane::Plan => "from above",
            CutPlane::Section => "from the left",
        };
        let text = format!(
            "{name}.gif: {from}, {} pictures, {:.1} MB; {name}.png: chosen moments for print; {name}/: \
             every picture on its own.",
            reel.pictures,
            reel.film_bytes as f64 / 1e6,
        );
        document.note(text);
    }
    document.heading("How to read it");
    for text in reading(view) {
        document.note(text);
    }
    document
}

fn shown(view: &WavefrontView<'_>) -> String {
    let film = &view.film;
    let until_ms = film.moment_ms(film.pictures());
    let cuts: Vec<String> = view.shots.iter().map(|shot| view.where_cut(&shot.wave)).collect();
    format!(
        "The sound of {}, cut {}: the first {until_ms:.1} ms, {} times slower than life, in {:.1} s of film.",
        view.speaker_name(),
        cuts.join(" and "),
        film.slow,
        film.second(until_ms),
    )
}

fn story(view: &WavefrontView<'_>) -> Table {
    let mut table = Table::new(
        "The sound on its way",
        vec![
            Column::right("After ms"),
            Column::right("Film s"),
            Column::right("Way"),
            Column::left("The sound"),
        ],
    );
    for happening in &view.happenings {
        let time_ms = 1e3 * happening.time_s;
        let says = view.says(&happening.kind);
        let says = match &happening.kind {
            EventKind::ReflectionReachesListener { level_db, .. } => {
                format!("{says}, {} against the direct sound", level::with_unit(*level_db))
            }
            _ => says,
        };
        let cells = [
            format!("{time_ms:.1}"),
            format!("{:.1}", view.film.second(time_ms)),
            length::length(happening.distance_m, view.scene.units()),
            says,
        ];
        table.row(cells.into_iter().map(Cell::plain).collect());
    }
    table
}

fn reading(view: &WavefrontView<'_>) -> [String; 3] {
    let range = view.film.range();
    [
        format!(
            "A line is where the sound is at that moment, darker and thicker where it is louder ({range}); \
             orange dots are single rays. Each front grows like a circle about the speaker or about one of its \
             mirror images; those that come by way of floor or ceiling appear in a plan as rings. Sound runs \
             over or under furniture, unless it has a heavy outline: that reaches through the cut."
        ),
        "The pictures show mirror reflections: walls, panels, furniture and screens reflect and shadow. \
         Sound that bends round edges and sound that rough things scatter are left out, and so are waves \
         so long that they excite room modes: see `earline bass`. Levels in the list above are those of \
         `earline trace`, edges included."
            .to_owned(),
        "A starting point to experiment from: your ears decide.".to_owned(),
    ]
}
