//! The legend beside elevations.

use crate::canvas::{Canvas, Dash, Outline, Point, Rect, Text, Weight, typeface};
use crate::format::length;
use crate::plot::data::input::Lettered;
use crate::plot::elevation::layout::FacePanel;
use crate::plot::elevation::{before, face, mounting};
use crate::plot::palette::{self, dashed, line};
use crate::plot::room::elements;
use crate::plot::sheet::lengths;
use earline_engine::analysis::zones::{COVERED_FROM, HALF_FROM};
use earline_engine::scene::Panel;
use glam::DVec2;

/// Speakers whose zones are named.
const SPEAKERS: usize = 4;
/// Height of a row.
pub(crate) const ROW: f64 = 3.9;

/// A row of the legend.
pub(crate) enum LegendRow {
    /// A sample and what it is.
    Swatch(Swatch, String),
    /// A line of words.
    Words(String),
}

/// A sample of what is drawn.
pub(crate) enum Swatch {
    /// A zone that lies open or behind something.
    Zone {
        /// Whether something stands before it.
        is_behind: bool,
    },
    /// A panel that absorbs.
    Absorbs,
    /// A panel that reflects.
    Reflects,
    /// A screen.
    Clear,
    /// The edge of a speaker's zone, by the speaker's place.
    Zoned(usize),
    /// The cross in the middle of a new piece.
    Middle,
}

/// The rows that these parts need.
pub(crate) fn rows(parts: &[FacePanel<'_>]) -> Vec<LegendRow> {
    let mut rows = Vec::new();
    let Some((input, zones)) =
        parts.first().and_then(|part| Some((part.input, part.input.zones.as_ref()?)))
    else {
        return rows;
    };
    let behind = |is_behind: bool| {
        let mut all = parts.iter().flat_map(|part| &part.face.zones);
        all.any(|zone| zone.behind.is_some() == is_behind)
    };
    for (is_behind, words) in [
        (false, "makes the reflection and is not covered"),
        (true, "would make it, but something stands before it"),
    ] {
        if behind(is_behind) {
            rows.push(LegendRow::Swatch(Swatch::Zone { is_behind }, words.to_owned()));
        }
    }
    let is_seen = |part: &FacePanel<'_>, absorbs: bool| {
        let here = |(index, panel): (usize, &Lettered<'_, Panel>)| {
            let absorbing = part.input.zones.iter().any(|zones| zones.absorbing.contains(&index));
            panel.on == part.face.on && absorbing == absorbs
        };
        part.input.panels.iter().enumerate().any(here)
    };
    if parts.iter().any(|part| is_seen(part, true)) {
        rows.push(LegendRow::Swatch(Swatch::Absorbs, "panel that absorbs".to_owned()));
    }
    if parts.iter().any(|part| is_seen(part, false)) {
        rows.push(LegendRow::Swatch(Swatch::Reflects, "panel that reflects".to_owned()));
    }
    if parts.iter().any(|part| !before::screens_before(part.input, part.face).is_empty()) {
        rows.push(LegendRow::Swatch(Swatch::Clear, "hung or standing clear".to_owned()));
    }
    if !input.hung.is_empty() {
        rows.push(LegendRow::Swatch(
            Swatch::Middle,
            "middle of a new piece: tapes at the top and left".to_owned(),
        ));
        rows.push(LegendRow::Words("Tapes at the bottom and right: its edges.".to_owned()));
        for (index, speaker) in input.speakers.iter().enumerate().take(SPEAKERS) {
            rows.push(LegendRow::Swatch(Swatch::Zoned(index), format!("zone of {}", speaker.name)));
        }
    }
    let head = length::offset(zones.head_half_m, input.units);
    rows.extend(
        [
            format!(
                "Zones at {} Hz, for a head that moves either way by {}:",
                zones.frequency_hz,
                lengths::with_fractions(&head)
            ),
            "the part of the surface that makes each reflection.".to_owned(),
            format!(
                "Covered: {} or more of it absorbs; half covered: {}.",
                percent(COVERED_FROM),
                percent(HALF_FROM)
            ),
        ]
        .map(LegendRow::Words),
    );
    rows
}

impl LegendRow {
    /// Draws it from the middle of its left edge, as far as a right edge.
    pub(crate) fn draw(&self, canvas: &mut Canvas, left: Point, right: f64) {
        let (start, content) = match self {
            Self::Swatch(swatch, content) => {
                let area = Rect::around(left + DVec2::X * 4.0, DVec2::new(8.0, 2.2));
                swatch.draw(canvas, area);
                (left + DVec2::X * 9.8, content)
            }
            Self::Words(content) => (left, content),
        };
        let shown = typeface::fit(content, 2.3, Weight::Regular, right - start.x);
        canvas.text(Text::new(shown, start, 2.3).middle_baseline());
    }
}

impl Swatch {
    fn draw(&self, canvas: &mut Canvas, area: Rect) {
        match self {
            Self::Zone { is_behind } => {
                let edge = line(palette::INK, 0.25);
                canvas.rect(area, Some(face::tint(*is_behind)), Some(edge));
            }
            Self::Absorbs => elements::hatched(canvas, area),
            Self::Reflects => {
                canvas.rect(area, None, Some(dashed(palette::PANEL_EDGE, 0.25, Dash::Short)));
            }
            Self::Zoned(speaker) => {
                let style = palette::speaker(*speaker);
                let left = Point::new(area.min.x, area.middle().y);
                canvas.sample(left, area.size().x, dashed(style.colour, 0.45, style.dash));
            }
            Self::Middle => mounting::cross(canvas, area.middle()),
            Self::Clear => {
                let outline = Outline::Rect { rect: area, corner: 0.0 };
                canvas.shape(outline, None, Some(dashed(palette::PANEL_EDGE, 0.32, Dash::Long)));
            }
        }
    }
}

/// A share in print.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
