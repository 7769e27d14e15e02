//! Where a panel would work, and how much of that is covered in each state.

use super::super::zones::{before, is_screened, loudest_db, percent, style, word};
use crate::columns::{Cell, Lean, Table, indented, item};
use crate::compared::{Compared, Seen};
use crate::naming;
use crate::terminal::{HEADING, QUIET};
use earline_engine::scene::{Scene, Surface};
use earline_engine::zone::SurfaceZone;

pub(super) fn lines(compared: &Compared<'_>, width: usize) -> Vec<String> {
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
        let mut cells = vec![Cell::plain(naming::surface(surface))];
        cells.extend(compared.states.iter().map(|seen| cell(compared.scene, seen, surface)));
        table.row(cells, Vec::new());
    }
    if table.width() <= width {
        lines.extend(table.lines(width, QUIET));
    } else {
        lines.extend(surfaces.iter().flat_map(|&surface| spelt_out(compared, surface, width)));
    }
    lines
}

fn note(compared: &Compared<'_>) -> String {
    let mut more = ", and how much of it absorbs. Side by side on the elevations.".to_owned();
    let all = compared.states.iter().flat_map(|seen| &seen.zones).flat_map(|seat| &seat.surfaces);
    if all.into_iter().any(is_partly_screened) {
        more += " Some screened: for some of the speakers something stands before it.";
    }
    super::super::zones::note(&compared.zone_plan, compared.scene.units(), &more)
}

/// The surfaces, the one with the strongest first reflection in any state on top.
fn loudest_first(compared: &Compared<'_>) -> Vec<Surface> {
    let numbered: Vec<_> = compared.states.iter().map(Seen::numbered).collect();
    let loudest =
        |surface| numbered.iter().map(|n| loudest_db(n, surface)).fold(f64::NEG_INFINITY, f64::max);
    let has_zone =
        |surface: &Surface| compared.states.iter().any(|seen| zone(seen, *surface).is_some());
    let mut surfaces: Vec<(f64, Surface)> =
        Surface::ALL.into_iter().filter(has_zone).map(|on| (loudest(on), on)).collect();
    surfaces.sort_by(|(a, _), (b, _)| b.total_cmp(a));
    surfaces.into_iter().map(|(_, surface)| surface).collect()
}

fn zone<'a>(seen: &'a Seen<'_>, surface: Surface) -> Option<&'a SurfaceZone> {
    seen.zones.iter().flat_map(|seat| &seat.surfaces).find(|zone| zone.surface == surface)
}

fn cell(scene: &Scene, seen: &Seen<'_>, surface: Surface) -> Cell {
    zone(seen, surface)
        .map_or_else(|| Cell::plain(""), |zone| Cell::styled(says(scene, zone), style(zone)))
}

/// `half covered, 35 %`, or `screened by cloud`.
fn says(scene: &Scene, zone: &SurfaceZone) -> String {
    if is_screened(zone) {
        return format!("{} by {}", word(zone), before(scene, zone).join(" and "));
    }
    let share = zone.together.covering.absorbing_share;
    let share = if share > 0.0 { format!(", {}", percent(share)) } else { String::new() };
    format!(
        "{}{share}{}",
        word(zone),
        if is_partly_screened(zone) { " (some screened)" } else { "" }
    )
}

fn is_partly_screened(zone: &SurfaceZone) -> bool {
    !is_screened(zone) && zone.speakers.iter().any(|speaker| speaker.behind.is_some())
}

/// A surface in a paragraph, where a table is too wide: states of which the same is to be said go
/// together.
fn spelt_out(compared: &Compared<'_>, surface: Surface, width: usize) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for seen in &compared.states {
        let Some(zone) = zone(seen, surface) else { continue };
        let (says, name) = (says(compared.scene, zone), seen.at.name.as_str());
        match groups.iter_mut().find(|(known, _)| *known == says) {
            Some((_, names)) => names.push(name),
            None => groups.push((says, vec![name])),
        }
    }
    let all = match groups.as_slice() {
        [(says, _)] => format!("{says} in all of them"),
        _ => {
            let one =
                |(says, names): &(String, Vec<&str>)| format!("{says} in {}", names.join(", in "));
            groups.iter().map(one).collect::<Vec<_>>().join("; ")
        }
    };
    item(&format!("  {:<12}", naming::surface(surface)), &format!("{all}."), width)
}
