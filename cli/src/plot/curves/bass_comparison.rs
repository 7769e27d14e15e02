//! The response of the bass in several states, over each other: one chart for each thing that sounds.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text, Weight, typeface};
use crate::content::comparison::{ComparisonView, VariantAtSeat};
use crate::plot::curves::bass_response::{SHOWN_DB, axes, grid, points};
use crate::plot::palette;
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::legend;
use earline_engine::wave_field::{LowFrequencyRow, LowFrequencySummary, UNEVENNESS_BAND_HZ};
use glam::DVec2;

/// States that can be told apart.
const STATES: usize = 4;
/// Charts below each other.
const CHARTS: usize = 4;

/// Lays out the charts; `None` where the bass of the first state is not known or nothing sounds.
pub(crate) fn compared_bass(view: &ComparisonView<'_>) -> Option<Drawing> {
    let known = |seen: &'_ VariantAtSeat<'_>| seen.low_end.is_some();
    let states: Vec<&VariantAtSeat<'_>> = view.variants.iter().filter(|seen| known(seen)).collect();
    let first = states.first()?.low_end.as_ref().filter(|found| !found.rows.is_empty())?;
    let mut canvas = Canvas::default();
    let inner = frame::frame(&mut canvas).grown(-4.0);
    let head = Rect { max: DVec2::new(inner.min.x + 150.0, inner.max.y), ..inner };
    let title = view.scene.title();
    let about = [
        "level re one speaker 1 m away in the open, dB".to_owned(),
        "pairs together, at the seat of each state".to_owned(),
    ];
    frame::headline(&mut canvas, head, title, "Bass, compared", "from the wave field", &about);
    legend_of(&mut canvas, &states, inner);
    let charts = first.rows.len().min(CHARTS);
    let high = (inner.max.y - 9.0 - 34.0) / charts.max(1) as f64;
    for row in 0..charts {
        let top = 34.0 + high * row as f64;
        let space = Rect::new(inner.min.x + 9.0, top + 4.5, inner.max.x - 1.0, top + high - 5.0);
        chart(&mut canvas, &states, first, row, space);
    }
    canvas.text(Text::new(CAPTION, Point::new(inner.min.x, inner.max.y), 2.5).secondary());
    let more = match first.rows.len() - charts {
        0 => String::new(),
        more => format!(" {more} more in compare.json."),
    };
    let note = format!("Hertz.{more}");
    canvas.text(
        Text::new(note, Point::new(inner.max.x - 1.0, inner.max.y), 2.3).secondary().anchor_end(),
    );
    Some(Drawing {
        name: "compare-bass",
        title: format!("{title}: the bass, compared"),
        size: frame::SHEET,
        paper: frame::paper(view.scene.units()),
        items: canvas.items,
    })
}

fn legend_of(canvas: &mut Canvas, states: &[&VariantAtSeat<'_>], inner: Rect) {
    let left = inner.min + DVec2::new(158.0, 2.0);
    for (index, state) in states.iter().enumerate().take(STATES) {
        let at = left + DVec2::Y * (legend::ROW * 1.1 * index as f64);
        canvas.sample(at, 12.0, palette::state(index));
        let name = typeface::fit(&state.at.name, 2.5, Weight::Semibold, inner.max.x - at.x - 15.0);
        canvas.text(Text::new(name, at + DVec2::X * 14.0, 2.5).semibold().middle_baseline());
    }
}

fn chart(
    canvas: &mut Canvas,
    states: &[&VariantAtSeat<'_>],
    first: &LowFrequencySummary,
    row: usize,
    space: Rect,
) {
    let axes = axes(space, UNEVENNESS_BAND_HZ, SHOWN_DB);
    grid(canvas, &axes);
    let found = states.iter().take(STATES).filter_map(|seen| seen.low_end.as_ref());
    let rows: Vec<(&LowFrequencySummary, &LowFrequencyRow)> =
        found.filter_map(|found| Some((found, found.rows.get(row)?))).collect();
    for (index, (found, row)) in rows.iter().enumerate() {
        let level = points(&axes, &found.curve_hz, row.curve_db.iter().copied());
        canvas.polyline(level, palette::state(index));
    }
    axes.marks(canvas);
    let Some(own) = first.rows.get(row) else { return };
    let name = typeface::fit(&own.source, 2.8, Weight::Semibold, 60.0);
    let at = Point::new(space.min.x, space.min.y - 1.4);
    let after = at.x + typeface::width(&name, 2.8, Weight::Semibold) + 3.0;
    canvas.text(Text::new(name, at, 2.8).semibold());
    let uneven: Vec<String> = rows
        .iter()
        .map(|(_, row)| row.unevenness_db.map_or("—".to_owned(), |db| format!("{db:.1}")))
        .collect();
    let says = format!(
        "unevenness {} dB from {:.0} to {:.0} Hz",
        uneven.join(" → "),
        UNEVENNESS_BAND_HZ[0],
        UNEVENNESS_BAND_HZ[1]
    );
    canvas.text(Text::new(says, Point::new(after, at.y), 2.4).secondary());
}
