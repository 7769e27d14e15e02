//! What a person reads after a film of sound was made.

use super::{heading, title};
use crate::content::wavefront::{Filmed, file_name};
use crate::format::length;
use crate::io::terminal::QUIET;
use crate::plot::Sizes;
use crate::render::columns::{Cell, Lean, Table, indented, paragraph};
use earline_engine::analysis::wavefront::{CutPlane, EventKind};

/// The whole answer, every line within `width`.
pub(crate) fn text(filmed: &Filmed<'_>, reels: &[Sizes], width: usize) -> String {
    let mut lines = title(filmed.scene, filmed.state, width);
    lines.extend(paragraph(&shown(filmed), width));
    lines.extend(heading("What you see, and when"));
    lines.extend(story(filmed).lines(width, QUIET));
    lines.extend(heading("The files"));
    for (shot, reel) in filmed.shots.iter().zip(reels) {
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
        lines.extend(indented(&text, 2, width));
    }
    lines.extend(heading("How to read it"));
    for text in reading(filmed) {
        lines.extend(indented(&text, 2, width));
    }
    lines.push(String::new());
    lines.join("\n")
}

fn shown(filmed: &Filmed<'_>) -> String {
    let film = &filmed.film;
    let until_ms = film.moment_ms(film.pictures());
    let cuts: Vec<String> = filmed.shots.iter().map(|shot| filmed.where_cut(&shot.wave)).collect();
    format!(
        "The sound of {}, cut {}: the first {until_ms:.1} ms, {} times slower than life, in {:.1} s of film.",
        filmed.speaker_name(),
        cuts.join(" and "),
        film.slow,
        film.second(until_ms),
    )
}

fn story(filmed: &Filmed<'_>) -> Table {
    let mut table = Table::new(vec![
        ("After ms", Lean::Right),
        ("Film s", Lean::Right),
        ("Way", Lean::Right),
        ("The sound", Lean::Left),
    ]);
    for happening in &filmed.happenings {
        let time_ms = 1e3 * happening.time_s;
        let says = filmed.says(&happening.kind);
        let says = match &happening.kind {
            EventKind::ReflectionReachesListener { level_db, .. } => {
                format!("{says}, {level_db:.1} dB against the direct sound")
            }
            _ => says,
        };
        let cells = [
            format!("{time_ms:.1}"),
            format!("{:.1}", filmed.film.second(time_ms)),
            length::length(happening.distance_m, filmed.scene.units()),
            says,
        ];
        table.row(cells.into_iter().map(Cell::plain).collect(), Vec::new());
    }
    table
}

fn reading(filmed: &Filmed<'_>) -> [String; 3] {
    let range = filmed.film.range();
    [
        format!(
            "A line is where the sound is at that moment, darker and thicker where it is louder ({range}); \
             orange dots are single rays. Each front grows like a circle about the speaker or about one of its \
             mirror images; those that come by way of floor or ceiling appear in a plan as rings. Sound runs \
             over or under furniture, unless it has a heavy outline: that reaches through the cut."
        ),
        "In the picture is what mirrors make of sound: walls, panels, furniture and screens reflect it as \
         they do in `earline trace` and stand in its way. What bends round edges and what rough things \
         scatter is not; nor are waves so long that the room rings with them, which `earline bass` tells of."
            .to_owned(),
        "A starting point to experiment from: hold it against your ears.".to_owned(),
    ]
}
