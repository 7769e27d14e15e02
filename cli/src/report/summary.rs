//! The summary of a report: the gist, things to try, uncertainty and cautions in sentences. Each comes
//! from a figure on the page.

use super::gather::{ReportData, VariantResult};
use crate::content::comparison::{ComparisonView, document::uncertainty};
use crate::content::criterion::{cited, early_limit, evaluate, reverberation_criterion};
use crate::content::document::Document;
use crate::content::formula_comparison;
use crate::content::safety_notes;
use crate::content::setting_out::CAUTIONS;
use crate::content::trace::advice::{ONE_AT_A_TIME, against_reflections};
use crate::content::trace::seat::SeatReflections;
use crate::format::number::{fixed, percent, shortest};
use crate::format::{foreign, labels, level, time};
use earline_engine::analysis::setting_out::PairLayout;
use earline_engine::medium::materials::{ReflectionLaw, SurfaceModel};
use earline_engine::metrics::criteria::Judgement;
use earline_engine::metrics::decay::Metric;
use earline_engine::scene::{ListenerId, SpeakerId, Surface};
use earline_engine::simulate::PairDecay;
use earline_engine::wave_field::Extremum;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// The summary by purpose.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Summary {
    /// A heading and a sentence or two each.
    pub(crate) in_short: Vec<[String; 2]>,
    /// Starting points to experiment from.
    pub(crate) to_try: Vec<String>,
    /// The uncertainty of the figures.
    pub(crate) how_sure: Vec<String>,
    /// Safety advice.
    pub(crate) cautions: Vec<String>,
}

impl Summary {
    /// The summary of a report.
    pub(super) fn new(data: &ReportData<'_>) -> Self {
        Self {
            in_short: in_short(data),
            to_try: to_try(data),
            how_sure: how_sure(data),
            cautions: cautions(data),
        }
    }

    /// The answer in the terminal, which points to the page.
    pub(crate) fn document(&self, title: &str, page: &Path) -> Document {
        let mut document = Document::default();
        document.title(title);
        for [what, text] in &self.in_short {
            document.note(format!("{what}: {text}"));
        }
        document.pause().paragraph(format!(
            "The whole story is on one page, {}: open it in a browser, print it, or hand it on. A \
             starting point to experiment from.",
            foreign::path(page)
        ));
        document
    }
}

/// The first things to know.
fn in_short(data: &ReportData<'_>) -> Vec<[String; 2]> {
    let mut all = early(data);
    all.extend(sides(data).map(|text| ["Left and right".to_owned(), text]));
    all.extend(cost(data).map(|text| ["Treatment".to_owned(), text]));
    all.extend(dip(data).map(|text| ["Bass".to_owned(), text]));
    all.extend(decay(data).map(|text| ["Decay".to_owned(), text]));
    all
}

/// For each seat how many reflections are over the limit in every state, and the strongest in the
/// last.
fn early(data: &ReportData<'_>) -> Vec<[String; 2]> {
    let limit = data.request.limit;
    let window = time::milliseconds(limit.window_s(), 0);
    let of_seat = |view: &ComparisonView<'_>| {
        let counts: Vec<String> = view
            .variants
            .iter()
            .map(|seen| match view.variants.len() {
                1 => view.over_limit(seen).to_string(),
                _ => format!("{} {}", seen.at.name, view.over_limit(seen)),
            })
            .collect();
        let last = view.variants.last()?;
        let of =
            if view.variants.len() > 1 { format!(" in {}", last.at.name) } else { String::new() };
        let strongest = last.strongest(limit.window_s()).map_or_else(
            || format!("Nothing arrives in the first {window}"),
            |found| {
                format!(
                    "The strongest{of} is {}, {} after the direct sound, off {}",
                    level::with_unit(found.reflection.level_db),
                    time::milliseconds(found.reflection.delay_s, 1),
                    labels::spoken_path(data.scene(), &found.reflection.arrival.bounces),
                )
            },
        );
        let what = format!("Early sound, {}", data.listener(last.at.listener));
        let text = format!(
            "Reflections over the limit ({} dB within {window}): {}. {strongest}.",
            fixed(limit.level_db(), 0),
            counts.join(" → "),
        );
        Some([what, text])
    };
    data.seats.iter().filter_map(of_seat).collect()
}

/// Whether left and right match at the first seat.
fn sides(data: &ReportData<'_>) -> Option<String> {
    let setting = data.setting()?;
    let of_pair = |pair: &PairLayout| {
        let at = pair.seats.first()?;
        let name = data.listener(at.listener);
        Some(match setting.differ(&at.mismatch) {
            None => format!("{} match at {name}, as far as a tape tells", pair.name),
            Some(differ) => format!("{} at {name}: {differ}", pair.name),
        })
    };
    let all: Vec<String> = data.out.pairs.iter().filter_map(of_pair).collect();
    (!all.is_empty()).then(|| format!("{}.", all.join("; ")))
}

/// What the last state costs against the first.
fn cost(data: &ReportData<'_>) -> Option<String> {
    let view = data.seats.first()?;
    let difference = view.differences.last()?;
    let [first, second] = view.both(difference).map(|seen| &seen.at.name);
    let exchange = &difference.exchange;
    let pieces = exchange.added.len();
    if pieces == 0 {
        return None;
    }
    let priced = exchange.added_cost();
    let price = if priced > 0.0 {
        let unpriced = match exchange.without_cost() {
            0 => String::new(),
            n => format!(" and {n} without a price"),
        };
        format!(", {} in the scene's currency{unpriced}", shortest(priced))
    } else {
        "; no prices in the scene".to_owned()
    };
    let things = if pieces == 1 { "1 piece".to_owned() } else { format!("{pieces} pieces") };
    Some(format!("{first} → {second}: {things} put up{price}."))
}

/// The deepest dip of any speaker at the first seat in the last state.
fn dip(data: &ReportData<'_>) -> Option<String> {
    let (found, extreme, speaker) = deepest(data)?;
    let listener = *data.request.listeners.first()?;
    let sounded = data.wave_field(found)?;
    let cause = sounded.causes(extreme, 1);
    let cause = if cause.is_empty() { String::new() } else { format!(": {cause}") };
    Some(format!(
        "Deepest dip under {:.0} Hz at {}: {} dB at {:.0} Hz from {}{cause}.",
        DIP_HZ[1],
        data.listener(listener),
        level::difference(extreme.prominence_db),
        extreme.hz,
        data.speaker(speaker),
    ))
}

/// Dips are looked for between these, hertz: the range the unevenness is taken over.
const DIP_HZ: [f64; 2] = earline_engine::wave_field::UNEVENNESS_BAND_HZ;

/// The deepest dip of any speaker at the first seat in the last state.
fn deepest<'b>(
    data: &'b ReportData<'_>,
) -> Option<(&'b VariantResult<'b>, &'b Extremum, SpeakerId)> {
    let found = data.variants.last()?;
    let listener = *data.request.listeners.first()?;
    let bass = found.bass.as_ref().ok()?;
    let here = bass.pairs.iter().filter(|pair| pair.listener == listener);
    let dips = here.flat_map(|pair| pair.extrema.iter().map(|extreme| (extreme, pair.speaker)));
    let inside = dips.filter(|(extreme, _)| {
        extreme.prominence_db < 0.0 && DIP_HZ[0] <= extreme.hz && extreme.hz <= DIP_HZ[1]
    });
    // To a hundredth, so that mirrored speakers keep their order.
    let depth = |extreme: &Extremum| (extreme.prominence_db * 100.0).round();
    let (extreme, speaker) = inside.min_by(|a, b| depth(a.0).total_cmp(&depth(b.0)))?;
    Some((found, extreme, speaker))
}

/// The reverberation time in every state against the recommendation, at the first seat.
fn decay(data: &ReportData<'_>) -> Option<String> {
    let volume_m3 = data.scene().room().volume_m3();
    let criterion = data.request.criterion;
    let listener = *data.request.listeners.first()?;
    let of_state = |found: &VariantResult<'_>| {
        let pair = first_pair(found, listener)?;
        let mean = evaluate(criterion, volume_m3, pair).mean_s?;
        Some(format!("{} {} s", found.name, time::decay(mean)))
    };
    let times: Vec<String> = data.variants.iter().filter_map(of_state).collect();
    if times.is_empty() {
        return None;
    }
    Some(format!(
        "Reverberation time, mean of 250 Hz to 4 kHz: {}; {} asks for about {} s.",
        times.join(" → "),
        cited(criterion),
        time::decay(criterion.nominal_s(volume_m3)),
    ))
}

fn first_pair<'b>(found: &'b VariantResult<'_>, listener: ListenerId) -> Option<&'b PairDecay> {
    found.decay()?.pairs.iter().find(|pair| pair.listener == listener)
}

/// Things to try, from what the last state leaves.
fn to_try(data: &ReportData<'_>) -> Vec<String> {
    let mut all = Vec::new();
    let scene_file = &data.loaded.name;
    if let Some(found) = data.variants.last() {
        let report = data.trace_report(found);
        let seats: Vec<SeatReflections<'_>> = data
            .seats
            .iter()
            .filter_map(|view| view.variants.last())
            .map(|seen| SeatReflections::new(&report, seen.at.listener, seen.numbered()))
            .collect();
        all.extend(against_reflections(&report, &seats).into_iter().map(|one| one.text));
        all.extend(mismatch(data));
        all.extend(too_live(data, found));
        let dip = deepest(data).filter(|(_, extreme, _)| extreme.prominence_db < DEEP_DB);
        all.extend(dip.and_then(|(found, extreme, speaker)| {
            let cause = data.wave_field(found)?.causes(extreme, 1);
            Some(format!(
                "Bass: the dip of {} dB at {:.0} Hz from {} ({cause}) moves with seat and speakers, \
                 not with thin panels: try other places first.",
                level::difference(extreme.prominence_db),
                extreme.hz,
                data.speaker(speaker),
            ))
        }));
        let variant =
            found.state.name.map_or_else(String::new, |name| format!(" --variant \"{name}\""));
        all.push(format!(
            "Let the program look for more: `earline treat \"{scene_file}\"{variant}` says what to buy \
             first and where it goes; `earline place \"{scene_file}\"` looks for a better seat and better \
             places for the speakers."
        ));
    }
    all.push(ONE_AT_A_TIME.to_owned());
    all
}

/// A dip this deep is worth moving for, decibels: our choice.
const DEEP_DB: f64 = -10.0;

fn mismatch(data: &ReportData<'_>) -> Option<String> {
    let setting = data.setting()?;
    data.out.pairs.iter().find_map(|pair| {
        let at = pair.seats.first()?;
        let differ = setting.differ(&at.mismatch)?;
        Some(format!(
            "Left against right: {} at {}: {differ}. Move the speakers, or the chair, until the tape \
             finds no difference; the setting-out sheet has the marks.",
            pair.name,
            data.listener(at.listener),
        ))
    })
}

/// A room that misses the recommendation on the long side.
fn too_live(data: &ReportData<'_>, found: &VariantResult<'_>) -> Option<String> {
    let listener = *data.request.listeners.first()?;
    let volume_m3 = data.scene().room().volume_m3();
    let result = evaluate(data.request.criterion, volume_m3, first_pair(found, listener)?);
    let outside: Vec<usize> = (0..result.bands.len())
        .filter(|&band| {
            result.bands[band]
                .as_ref()
                .is_some_and(|j| j.judgement == Judgement::Miss && j.outside_s > 0.0)
        })
        .collect();
    if outside.is_empty() {
        return None;
    }
    let bands = formula_comparison::bands(&outside);
    Some(format!(
        "Decay: longer {bands} than {} asks for. More absorbing area helps wherever it hangs; thick or \
         with a gap behind it, so that it works in the low bands too. The document speaks of reference \
         listening rooms: a room at home that misses it is not thereby a bad room.",
        data.request.criterion.document,
    ))
}

/// What the figures are worth.
fn how_sure(data: &ReportData<'_>) -> Vec<String> {
    let scene = data.scene();
    let mut all = vec![
        "Delays and places are geometry: as good as the tape that went into the scene.".to_owned(),
        uncertainty(),
    ];
    all.extend(rays_error(data));
    all.push(match scene.model().reflection {
        ReflectionLaw::Angle => "Surfaces reflect by an impedance found from their laboratory absorption, so that \
             more is reflected at grazing angles. It is an average of laboratories, and these differ by \
             0.1 and more.".to_owned(),
        ReflectionLaw::Constant => "The scene asks for the same reflection at every angle: a textbook form, \
             for checks.".to_owned(),
    });
    if !scene.model().edges {
        all.push(
            "The scene asks for sharp edges: panels act fully inside their outline and not at all \
             outside. Real ones fade over their edges."
                .to_owned(),
        );
    }
    all.push(
        "The room is a box with flat surfaces. Sloping ceilings, bays, open doors and thin walls that \
         sound goes through are not in it."
            .to_owned(),
    );
    all.push(
        "Below a few hundred hertz the list tells what arrives when, not how the bass sounds; that is \
         the section on bass, which knows walls and panels but not furniture."
            .to_owned(),
    );
    let last = data.variants.last();
    if let Some(found) = last {
        all.push(early_limit(data.request.limit));
        if found.decay().is_some() {
            all.push(reverberation_criterion(data.request.criterion));
        }
    }
    all.push("All of it is a starting point to experiment from. The ear and a measurement in the finished \
         room decide.".to_owned());
    all
}

/// How far more rays could move the decay.
fn rays_error(data: &ReportData<'_>) -> Option<String> {
    let rays = data.rays()?;
    let figures = data.variants.iter().filter_map(|found| found.decay());
    let errors = figures
        .flat_map(|decay| &decay.pairs)
        .flat_map(|pair| &pair.metrics)
        .filter_map(|figures| figures[Metric::T20].ok()?.relative_error());
    let most = errors.fold(0.0, f64::max);
    Some(format!(
        "Decay: {rays} rays from each speaker; one standard error of T20 is at most {} of it in any \
         band. Single late peaks of the energy-time curve are those of one draw (seed {}), not of your \
         room.",
        percent((most * 100.0).ceil() / 100.0),
        data.request.rays.seed,
    ))
}

/// What to take care of with what hangs, stands and sounds.
fn cautions(data: &ReportData<'_>) -> Vec<String> {
    let scene = data.scene();
    let states = || data.variants.iter().map(|found| &found.state);
    let overhead = states().any(|state| {
        !state.screens.is_empty() || state.panels.iter().any(|panel| panel.on == Surface::Ceiling)
    });
    let hangs = states().any(|state| !state.panels.is_empty() || !state.screens.is_empty());
    let is_porous = |material: usize| {
        scene
            .materials()
            .get(material)
            .is_some_and(|m| matches!(m.surface_model, SurfaceModel::Porous(_)))
    };
    let porous = states().any(|state| {
        state.panels.iter().any(|panel| is_porous(panel.material))
            || state.screens.iter().any(|screen| is_porous(screen.material))
    });
    let mut all = safety_notes::for_room(overhead, hangs, porous);
    all.extend(CAUTIONS.map(str::to_owned));
    all.push("Keep test signals quiet; 85 dBA is already a working day's limit.".to_owned());
    all
}
