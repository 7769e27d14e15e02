//! What the room and its panels do to the bass, whatever the seat: spacing of modes, reach of builds.

use super::{Reach, WaveFieldView};
use crate::content::document::Document;
use crate::format::length;
use earline_engine::wave_field::{
    MAX_AXIAL_SPACING_HZ, MIN_ABSORPTION, MIN_AXIAL_SPACING_HZ, ModalSpacing, SPACING_LIMIT_HZ,
};

/// How the modes are spaced, by rules that know no seat.
pub(crate) fn spacing(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    let found = view.spacing();
    document.heading("How the modes are spaced");
    document.list([thirds(&found), coinciding(&found), axial(&found)]);
    let last = format!(
        "Rules for the size of a room, up to {SPACING_LIMIT_HZ:.0} Hz; none of them knows where you sit."
    );
    document.note(last);
    document
}

fn thirds(found: &ModalSpacing) -> String {
    let fall = found.thirds.windows(2).find(|two| two[1].modes < two[0].modes);
    match fall {
        None => {
            "Bonello (1981): no third of an octave holds fewer modes than the one below it. Kept."
                .to_owned()
        }
        Some([low, high]) => format!(
            "Bonello (1981): no third of an octave should hold fewer modes than the one below it. Broken \
             first at {:.0} Hz, which holds {} after {}.",
            high.hz, high.modes, low.modes,
        ),
        Some(_) => String::new(),
    }
}

fn coinciding(found: &ModalSpacing) -> String {
    let hz: Vec<String> = found
        .coincident
        .iter()
        .filter_map(|&place| found.thirds.get(place))
        .map(|third| format!("{:.0}", third.hz))
        .collect();
    if hz.is_empty() {
        "Bonello's other rule: modes may coincide only among five or more in a third. Kept."
            .to_owned()
    } else {
        format!(
            "Bonello's other rule: modes may coincide only among five or more in a third. Broken at \
             {} Hz.",
            hz.join(", ")
        )
    }
}

fn axial(found: &ModalSpacing) -> String {
    let listed = |all: &[[f64; 2]]| {
        let one = |[a, b]: &[f64; 2]| format!("{a:.0} and {b:.0}");
        all.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let rule = format!(
        "Modes between two surfaces should lie {MIN_AXIAL_SPACING_HZ:.0} to {MAX_AXIAL_SPACING_HZ:.0} Hz apart (a handbook)"
    );
    match (found.too_close.as_slice(), found.too_far_apart.as_slice()) {
        ([], []) => format!("{rule}. Kept."),
        (close, []) => format!("{rule}. Closer are {} Hz.", listed(close)),
        ([], gaps) => format!("{rule}. Farther apart are {} Hz.", listed(gaps)),
        (close, gaps) => {
            format!("{rule}. Closer are {} Hz; farther apart {} Hz.", listed(close), listed(gaps))
        }
    }
}

/// How far down each build on the surfaces reaches, and what would reach farther.
pub(crate) fn reach(view: &WaveFieldView<'_>) -> Document {
    let mut document = Document::default();
    let builds = view.reach();
    if builds.is_empty() {
        return document;
    }
    document.heading("How far down the panels reach");
    document.list(builds.iter().map(|build| reaches(view, build)));
    let text = format!(
        "Next to nothing means less than {MIN_ABSORPTION} of what falls straight on it. A limp wall, a membrane \
         or a resonator reaches deeper for its depth; none of them is computed here."
    );
    document.note(text);
    document
}

fn reaches(view: &WaveFieldView<'_>, build: &Reach<'_>) -> String {
    let Some(down_to_hz) = build.down_to_hz else {
        return format!("{}: absorbs down to the lowest notes.", build.name);
    };
    let says = format!("{}: next to nothing below {down_to_hz:.0} Hz.", build.name);
    let Some((target_hz, farther)) = build.farther else { return says };
    let length = |metres: f64| length::length(metres, view.scene.units());
    let ways: Vec<String> = [
        farther.thickness_m.map(|metres| format!("{} of it right on the surface", length(metres))),
        farther.gap_m.map(|metres| format!("a gap of {} behind it", length(metres))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if ways.is_empty() {
        format!("{says} No depth of it to 1.5 m reaches {target_hz:.0} Hz.")
    } else {
        format!("{says} To reach {target_hz:.0} Hz it would take {}.", ways.join(", or "))
    }
}

/// What would reach farther, in short; `None` where nothing does, or where the build reaches everything.
pub(super) fn deeper(view: &WaveFieldView<'_>, build: &Reach<'_>) -> Option<String> {
    let (target_hz, farther) = build.farther?;
    let length = |metres: f64| length::length(metres, view.scene.units());
    let ways = [
        farther.thickness_m.map(|metres| format!("{} of it", length(metres))),
        farther.gap_m.map(|metres| format!("{} of air behind it", length(metres))),
    ];
    let ways: Vec<String> = ways.into_iter().flatten().collect();
    (!ways.is_empty()).then(|| {
        format!(
            "{} does next to nothing below {:.0} Hz; {} would reach {target_hz:.0} Hz",
            build.name,
            build.down_to_hz.unwrap_or_default(),
            ways.join(" or "),
        )
    })
}
