//! One seat against another: seated against standing, say.

use super::comparison;
use super::gather::ReportData;
use super::head::Section;
use maud::html;

/// The section; nothing where there is one seat.
pub(super) fn section(data: &ReportData<'_>) -> Option<Section> {
    let view = data.between.as_ref()?;
    let names: Vec<&str> = data.request.listeners.iter().map(|&l| data.listener(l)).collect();
    let (first, others) = names.split_first()?;
    let heading = format!("{first} against {}", others.join(" and "));
    let heading = crate::format::sentence::capital(&heading);
    let variant = data.present().map_or("", |found| found.name);
    let of = if data.variants.len() < 2 { String::new() } else { format!(", {variant}") };
    let inside = html! { (comparison::differences(view, &of)) };
    Some(Section::new("seats", heading, inside))
}
