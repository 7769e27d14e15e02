//! The parts of the surfaces where a panel would work, and their cover in each variant.

use super::{ComparisonView, VariantAtSeat};
use crate::content::document::{Cell, Column, Document, Table};
use crate::content::trace::zones::{self, before, is_screened, loudest_db, percent, tone, word};
use crate::format::{labels, level};
use earline_engine::analysis::zones::{SpeakerZone, SurfaceZone};
use earline_engine::scene::{Scene, Surface, list_names};

/// With more variants than this, single speakers are left to the elevations.
const MOST_BY_SPEAKER: usize = 3;

/// The surfaces with their cover in every variant; where that is too wide, each in a sentence.
pub(super) fn document(view: &ComparisonView<'_>) -> Document {
    let mut document = Document::default();
    let surfaces = loudest_first(view);
    if surfaces.is_empty() {
        return document;
    }
    let names = view.variants.iter().map(|seen| Column::left(seen.at.name.clone()));
    let mut side_by_side =
        Table::new(zones::HEADING, [Column::left("Surface")].into_iter().chain(names).collect());
    let mut spelt_out =
        Table::new(zones::HEADING, vec![Column::left("Surface"), Column::left("Zone")]);
    for surface in surfaces {
        let name = Cell::plain(labels::surface(surface));
        let mut cells = vec![name.clone()];
        cells.extend(view.variants.iter().map(|seen| cell(view.scene, seen, surface)));
        let sentence = Cell::plain(sentence(view, surface));
        let notes: Vec<String> = by_speaker(view, surface).into_iter().collect();
        side_by_side.row(cells).notes.clone_from(&notes);
        spelt_out.row(vec![name, sentence]).notes = notes;
    }
    document.heading(zones::HEADING).note(note(view)).widths([side_by_side, spelt_out]);
    document
}

fn note(view: &ComparisonView<'_>) -> String {
    let mut more = ", and how much of it absorbs. Side by side on the elevations.".to_owned();
    let all = view.variants.iter().flat_map(|seen| &seen.zones).flat_map(|seat| &seat.surfaces);
    if all.into_iter().any(is_partly_screened) {
        more += " A star marks where something stands in front of it for some of the speakers.";
    }
    zones::note(&view.zone_plan, view.scene.units(), &more)
}

/// The surfaces, the one with the strongest first reflection in any state on top.
fn loudest_first(view: &ComparisonView<'_>) -> Vec<Surface> {
    let numbered: Vec<_> = view.variants.iter().map(VariantAtSeat::numbered).collect();
    let loudest =
        |surface| numbered.iter().map(|n| loudest_db(n, surface)).fold(f64::NEG_INFINITY, f64::max);
    let has_zone =
        |surface: &Surface| view.variants.iter().any(|seen| zone(seen, *surface).is_some());
    let mut surfaces: Vec<(f64, Surface)> =
        Surface::ALL.into_iter().filter(has_zone).map(|on| (loudest(on), on)).collect();
    surfaces.sort_by(|(a, _), (b, _)| level::loudest_first(*a, *b));
    surfaces.into_iter().map(|(_, surface)| surface).collect()
}

fn zone<'a>(seen: &'a VariantAtSeat<'_>, surface: Surface) -> Option<&'a SurfaceZone> {
    seen.zones.iter().flat_map(|seat| &seat.surfaces).find(|zone| zone.surface == surface)
}

fn cell(scene: &Scene, seen: &VariantAtSeat<'_>, surface: Surface) -> Cell {
    zone(seen, surface)
        .map_or_else(|| Cell::plain(""), |zone| Cell::toned(cover(scene, zone), tone(zone)))
}

/// `half covered, 35 %`, or `screened by cloud`.
fn cover(scene: &Scene, zone: &SurfaceZone) -> String {
    if is_screened(zone) {
        return format!("{} by {}", word(zone), before(scene, zone).join(" and "));
    }
    let share = zone.together.coverage.absorbing_share;
    let share = if share > 0.0 { format!(", {}", percent(share)) } else { String::new() };
    format!("{}{share}{}", word(zone), if is_partly_screened(zone) { "*" } else { "" })
}

fn is_partly_screened(zone: &SurfaceZone) -> bool {
    !is_screened(zone) && zone.speakers.iter().any(|speaker| speaker.behind.is_some())
}

/// A surface in a sentence, where a table is too wide: variants of which the same is to be said go
/// together.
fn sentence(view: &ComparisonView<'_>, surface: Surface) -> String {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for seen in &view.variants {
        let Some(zone) = zone(seen, surface) else { continue };
        let (cover, name) = (cover(view.scene, zone), seen.at.name.as_str());
        match groups.iter_mut().find(|(known, _)| *known == cover) {
            Some((_, names)) => names.push(name),
            None => groups.push((cover, vec![name])),
        }
    }
    if let [(cover, _)] = groups.as_slice() {
        return format!("{cover} in all of them.");
    }
    let one = |(cover, names): &(String, Vec<&str>)| {
        format!("{cover} in {}", list_names(names.iter().copied()))
    };
    format!("{}.", groups.iter().map(one).collect::<Vec<_>>().join("; "))
}

/// `main left 53 % → 48 %, main right 34 % → 36 %`: the zones of single speakers, where there is more
/// to say of them than of all together.
fn by_speaker(view: &ComparisonView<'_>, surface: Surface) -> Option<String> {
    if MOST_BY_SPEAKER < view.variants.len() {
        return None;
    }
    let zones: Vec<&SurfaceZone> =
        view.variants.iter().filter_map(|seen| zone(seen, surface)).collect();
    let speaker = |place: usize| {
        let own = zones.iter().filter_map(|zone| zone.speakers.get(place));
        let name = &view.scene[own.clone().next()?.speaker].name;
        Some((name, own.map(share).collect::<Vec<_>>()))
    };
    let all: Vec<(&String, Vec<String>)> =
        (0..zones.first()?.speakers.len()).filter_map(speaker).collect();
    let changes = all.iter().any(|(_, shares)| shares.windows(2).any(|pair| pair[0] != pair[1]));
    let differ = all.windows(2).any(|pair| pair[0].1 != pair[1].1);
    let shares = all.iter().map(|(name, own)| format!("{name} {}", own.join(" → ")));
    (changes && differ).then(|| shares.collect::<Vec<_>>().join(", "))
}

fn share(zone: &SpeakerZone) -> String {
    match (zone.behind, zone.extent.coverage.absorbing_share) {
        (Some(_), _) => "screened".to_owned(),
        (None, share) if share > 0.0 => percent(share),
        (None, _) => "0 %".to_owned(),
    }
}
