//! How the sound dies away.

use super::figures::{alternatives, prefix, whole};
use super::gather::{Found, Gathered};
use super::head::section;
use super::html::{Cell, Html};
use crate::content;
use crate::format::{frequency as list, level};
use crate::content::criterion::{evaluate, word};
use crate::plot;
use earline_engine::metrics::criteria::Judgement;
use earline_engine::metrics::decay::Figure;
use earline_engine::whole_decay::PairDecay;

/// Writes the section.
pub(super) fn write(html: &mut Html, gathered: &Gathered<'_>) {
    section(html, "decay");
    let Some(rays) = gathered.rays() else {
        html.paragraph("No rays were followed (--rays 0), so nothing is known of late sound.");
        html.raw("</section>\n");
        return;
    };
    html.paragraph(&format!(
        "How long the sound takes to fall by 60 dB, read from −5 to −25 dB (T20), in every octave band, from \
         the list and {rays} rays from each speaker; ± is one standard error of the rays."
    ));
    alternatives(html, gathered, |html, state, seat| {
        let (Some(found), Some(&listener)) =
            (gathered.states.get(state), gathered.asked.listeners.get(seat))
        else {
            return;
        };
        let Some(decay) = &found.decay else { return };
        times(html, gathered, found, listener);
        let shown = gathered.shown.get(seat).and_then(|states| states.get(state));
        let Some(shown) = shown else { return };
        let told = gathered.told(found);
        let input = shown.input.clone().with_decay(&told, decay, listener);
        whole(html, &plot::reverberation(&input), &prefix("reverberation", state, seat));
        // One state is enough of the curves: they are the bulkiest of all drawings.
        if state + 1 == gathered.states.len() {
            html.raw("<details><summary>The decay itself, band by band</summary>\n");
            whole(html, &plot::decay(&input), &prefix("decay", state, seat));
            html.raw("</details>\n");
        }
    });
    if let Some(found) = gathered.states.last() {
        html.element("h3", "Trace beside formula");
        if gathered.states.len() > 1 {
            html.modest(&format!("In the state {}.", found.name));
        }
        html.raw(crate::render::html::blocks(&content::trace::deviations::document(&gathered.told(found))).into_string());
    }
    html.raw("</section>\n");
}

fn times(html: &mut Html, gathered: &Gathered<'_>, found: &Found<'_>, listener: usize) {
    let Some(decay) = &found.decay else { return };
    let criterion = gathered.asked.criterion;
    let volume_m3 = gathered.scene().room().volume_m3();
    let here: Vec<&PairDecay> = decay.pairs.iter().filter(|p| p.listener == listener).collect();
    let mut heads = vec![Cell::words("Speaker")];
    heads.extend(list::BAND_NAMES.map(|name| Cell::words(name).with("n")));
    let mut rows = Vec::new();
    for pair in here {
        let found = evaluate(criterion, volume_m3, pair);
        let mut row = vec![Cell::words(gathered.speaker(pair.speaker))];
        for (band, figures) in pair.figures.iter().enumerate() {
            let Ok(time) = figures[Figure::T20] else {
                row.push(Cell::figure("–"));
                continue;
            };
            let error = time.standard_error.map_or_else(String::new, |error| {
                format!(" ±{:.2}", (error * 100.0).ceil() / 100.0)
            });
            let judgement = found.bands[band].as_ref().map(|j| j.judgement);
            let (mark, class) = match judgement {
                Some(Judgement::Pass) => (word(Judgement::Pass), "n within"),
                Some(Judgement::Near) => (word(Judgement::Near), "n"),
                Some(Judgement::Miss) => (word(Judgement::Miss), "n over"),
                None => ("", "n"),
            };
            row.push(Cell::figure(format!("{:.2}{error} {mark}", time.value)).with(class));
        }
        rows.push(row);
    }
    let mut row = vec![Cell::words("Eyring's formula")];
    row.extend(
        found
            .formula_comparison
            .statistics
            .eyring_s
            .map(|time| Cell::figure(time.map_or("–".to_owned(), |time| format!("{time:.2}")))),
    );
    rows.push(row);
    for (name, upper) in [("at most", true), ("at least", false)] {
        let mut row = vec![Cell::words(format!("{}: {name}", criterion.document))];
        row.extend((0..list::BAND_NAMES.len()).map(|band| {
            let limits = criterion.band_limits(volume_m3, band);
            let limit = limits.map(|l| if upper { l.upper_s } else { l.lower_s });
            Cell::figure(limit.map_or(String::new(), |limit| format!("{limit:.2}")))
        }));
        rows.push(row);
    }
    html.table("T20 in seconds, octave bands in Hz", &heads, &rows);
}
