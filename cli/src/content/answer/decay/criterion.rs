//! A decay held against a published recommendation.

use super::super::TraceReport;
use crate::content::criterion::{FROM_MEMORY, judged, word};
use crate::format::length;
use crate::io::terminal::{ALERT, GOOD, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented, paragraph};
use anstyle::Style;
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::criteria::{BandJudgement, Judgement, NEAR_S};
use earline_engine::simulate::PairDecay;

/// What the recommendation says of every speaker at a listener.
pub(super) fn lines(told: &TraceReport<'_>, here: &[&PairDecay], width: usize) -> Vec<String> {
    let criterion = told.criterion;
    let volume_m3 = told.scene.room().volume_m3();
    let memory =
        if criterion.is_from_memory() { format!(" ({FROM_MEMORY})") } else { String::new() };
    let text = format!(
        "Against {}{memory}: {:.2} s for {} of air, as the mean of 250 Hz to 4 kHz.",
        criterion.document,
        criterion.nominal_s(volume_m3),
        length::volume(volume_m3, told.units()),
    );
    let mut lines = indented(&text, 2, width);
    let roomy = table(told, here, true);
    let fitting = if roomy.width() <= width { roomy } else { table(told, here, false) };
    lines.extend(fitting.lines(width, QUIET));
    lines
}

/// With how far outside a time lies where there is room.
fn table(told: &TraceReport<'_>, here: &[&PairDecay], is_roomy: bool) -> Table {
    let volume_m3 = told.scene.room().volume_m3();
    let mut heads = super::heads();
    heads.push(("Mean", Lean::Right));
    let mut table = Table::new(heads);
    for pair in here {
        let found = judged(told.criterion, volume_m3, pair);
        let mut cells = vec![Cell::plain(&told.scene.speakers()[pair.speaker].name)];
        cells.extend(found.bands.iter().map(|band| cell(band.as_ref(), is_roomy)));
        let mean = found.mean_s.map_or("–".to_owned(), |mean| format!("{mean:.2}"));
        cells.push(Cell::plain(mean));
        table.row(cells, Vec::new());
    }
    let limits = |name: &str, of: &dyn Fn(usize) -> Option<f64>| {
        let limit = |band| of(band).map_or(String::new(), |limit| format!("{limit:.2}"));
        let mut cells = vec![Cell::styled(name, QUIET)];
        cells.extend((0..BAND_COUNT).map(|band| Cell::styled(limit(band), QUIET)));
        cells.push(Cell::plain(""));
        cells
    };
    let criterion = told.criterion;
    let upper = |band: usize| Some(criterion.band_limits(volume_m3, band)?.upper_s);
    let lower = |band: usize| Some(criterion.band_limits(volume_m3, band)?.lower_s);
    table.row(limits("at most", &upper), Vec::new());
    table.row(limits("at least", &lower), Vec::new());
    table
}

fn cell(found: Option<&BandJudgement>, is_roomy: bool) -> Cell {
    let Some(found) = found else { return Cell::plain("–") };
    let word = word(found.judgement);
    let text = match found.judgement {
        Judgement::Near | Judgement::Miss if is_roomy => {
            format!("{word} {:+.2}", found.outside_s).replace('-', "−")
        }
        _ => word.to_owned(),
    };
    Cell::styled(text, style(found.judgement))
}

fn style(judgement: Judgement) -> Style {
    match judgement {
        Judgement::Pass => GOOD,
        Judgement::Near => Style::new(),
        Judgement::Miss => ALERT,
    }
}

/// How our copy of the recommendation was come by; nothing where no rays were followed.
pub(in super::super) fn closing(told: &TraceReport<'_>, width: usize) -> Vec<String> {
    if told.decay.is_none() {
        return Vec::new();
    }
    let criterion = told.criterion;
    let text = format!(
        "Reverberation: {}; pass is within its tolerance, near is outside by less than {NEAR_S} s or \
         than the error, miss is further out (our copy: nominal time: {}; tolerance: {}). A \
         published starting point, not a law; --criterion chooses another.",
        criterion.document, criterion.nominal_provenance, criterion.mask_provenance,
    );
    paragraph(&text, width)
}
