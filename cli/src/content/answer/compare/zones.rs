//! Where a panel would work, and how much of that is covered in each state.

use super::super::zones::{before, is_screened, loudest_db, percent, style, word};
use crate::content::comparison::{ComparisonView, VariantAtSeat};
use crate::format::labels;
use crate::io::terminal::{HEADING, QUIET};
use crate::render::columns::{Cell, Lean, Table, indented, item};
use earline_engine::analysis::zones::{SpeakerZone, SurfaceZone};
use earline_engine::scene::{Scene, Surface, list_names};

/// With more states than this, single speakers are left to the elevations.
const MOST_BY_SPEAKER: usize = 3;

pub(super) fn lines(compared: &ComparisonView<'_>, width: usize) -> Vec<String> {
    let surfaces = loudest_first(compared);
    if surfaces.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![String::new(), format!("{HEADING}Where a panel would work{HEADING:#}")];
    lines.extend(indented(&note(compared), 2, width));
    let mut heads = vec![("Surface".to_owned(), Lean::Left)];
    heads.extend(compared.states.iter().map(|seen| (seen.at.name.clone(), Lean::Left)));
    let mut table = Table::new(heads);
    for &surface in &surfaces {
        let mut cells = vec![Cell::plain(labels::surface(surface))];
        cells.extend(compared.states.iter().map(|seen| cell(compared.scene, seen, surface)));
        table.row(cells, by_speaker(compared, surface).into_iter().collect());
    }
    if table.width() <= width {
        lines.extend(table.lines(width, QUIET));
    } else {
        lines.extend(surfaces.iter().flat_map(|&surface| spelt_out(compared, surface, width)));
    }
    lines
}

fn note(compared: &ComparisonView<'_>) -> String {
    let mut more = ", and how much of it absorbs. Side by side on the elevations.".to_owned();
    let all = compared.states.iter().flat_map(|seen| &seen.zones).flat_map(|seat| &seat.surfaces);
    if all.into_iter().any(is_partly_screened) {
        more += " Where there is a star, something stands before it for some of the speakers.";
    }
    super::super::zones::note(&compared.zone_plan, compared.scene.units(), &more)
}

/// The surfaces, the one with the strongest first reflection in any state on top.
fn loudest_first(compared: &ComparisonView<'_>) -> Vec<Surface> {
    let numbered: Vec<_> = compared.states.iter().map(VariantAtSeat::numbered).collect();
    let loudest =
        |surface| numbered.iter().map(|n| loudest_db(n, surface)).fold(f64::NEG_INFINITY, f64::max);
    let has_zone =
        |surface: &Surface| compared.states.iter().any(|seen| zone(seen, *surface).is_some());
    let mut surfaces: Vec<(f64, Surface)> =
        Surface::ALL.into_iter().filter(has_zone).map(|on| (loudest(on), on)).collect();
    surfaces.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    surfaces.into_iter().map(|(_, surface)| surface).collect()
}

fn zone<'a>(seen: &'a VariantAtSeat<'_>, surface: Surface) -> Option<&'a SurfaceZone> {
    seen.zones.iter().flat_map(|seat| &seat.surfaces).find(|zone| zone.surface == surface)
}

fn cell(scene: &Scene, seen: &VariantAtSeat<'_>, surface: Surface) -> Cell {
    zone(seen, surface)
        .map_or_else(|| Cell::plain(""), |zone| Cell::styled(says(scene, zone), style(zone)))
}

/// `half covered, 35 %`, or `screened by cloud`.
fn says(scene: &Scene, zone: &SurfaceZone) -> String {
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

/// A surface in a paragraph, where a table is too wide: states of which the same is to be said go
/// together.
fn spelt_out(compared: &ComparisonView<'_>, surface: Surface, width: usize) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for seen in &compared.states {
        let Some(zone) = zone(seen, surface) else { continue };
        let (says, name) = (says(compared.scene, zone), seen.at.name.as_str());
        match groups.iter_mut().find(|(known, _)| *known == says) {
            Some((_, names)) => names.push(name),
            None => groups.push((says, vec![name])),
        }
    }
    let all = if let [(says, _)] = groups.as_slice() {
        format!("{says} in all of them")
    } else {
        let one = |(says, names): &(String, Vec<&str>)| {
            format!("{says} in {}", list_names(names.iter().copied()))
        };
        groups.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    let mut lines = item(&mark(surface), &format!("{all}."), width);
    let more = by_speaker(compared, surface);
    lines.extend(more.iter().flat_map(|more| indented(more, mark(surface).len(), width)));
    lines
}

fn mark(surface: Surface) -> String {
    format!("  {:<12}", labels::surface(surface))
}

/// `main left 53 % → 48 %, main right 34 % → 36 %`: the zones of single speakers, where there is more
/// to say of them than of all together.
fn by_speaker(compared: &ComparisonView<'_>, surface: Surface) -> Option<String> {
    if MOST_BY_SPEAKER < compared.states.len() {
        return None;
    }
    let zones: Vec<&SurfaceZone> =
        compared.states.iter().filter_map(|seen| zone(seen, surface)).collect();
    let speaker = |place: usize| {
        let own = zones.iter().filter_map(|zone| zone.speakers.get(place));
        let name = &compared.scene.speakers().get(own.clone().next()?.speaker)?.name;
        Some((name, own.map(share).collect::<Vec<_>>()))
    };
    let all: Vec<(&String, Vec<String>)> =
        (0..zones.first()?.speakers.len()).filter_map(speaker).collect();
    let changes = all.iter().any(|(_, shares)| shares.windows(2).any(|pair| pair[0] != pair[1]));
    let differ = all.windows(2).any(|pair| pair[0].1 != pair[1].1);
    let says = all.iter().map(|(name, shares)| format!("{name} {}", shares.join(" → ")));
    (changes && differ).then(|| says.collect::<Vec<_>>().join(", "))
}

fn share(zone: &SpeakerZone) -> String {
    match (zone.behind, zone.extent.coverage.absorbing_share) {
        (Some(_), _) => "screened".to_owned(),
        (None, share) if share > 0.0 => percent(share),
        (None, _) => "0 %".to_owned(),
    }
}
