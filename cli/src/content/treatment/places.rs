//! Where each piece goes, and what its build does and does not.

use super::{TreatmentView, band, edges, middle, weight, weight_in_short};
use crate::content::document::{Document, MarkedItem};
use crate::format::both_sides::both_sides;
use crate::format::labels;
use crate::format::length;
use crate::format::sentence::capital;
use earline_engine::explore::treatment::{EffectiveRange, PlacedAbsorber, Product, Suggestion};
use earline_engine::scene::Units;

/// Heading over the places.
pub(super) const HEADING: &str = "Where each goes";

/// The pieces of the first steps with their middle and size; what mirrors is one point.
pub(super) fn in_brief(view: &TreatmentView<'_>, steps: usize) -> Vec<MarkedItem> {
    let mut items = Vec::new();
    for (index, step) in view.treatment.steps.iter().take(steps).enumerate() {
        let told: Vec<[String; 3]> = step
            .pieces
            .iter()
            .filter_map(|(name, piece)| {
                let weight = weight_in_short(view.offer(piece)?.weight, view.units());
                let about = format!("{}, {weight}", size(piece, view.units()));
                Some([name.clone(), place(view, piece), about])
            })
            .collect();
        // A step of two pieces is a piece and its mirror image.
        let told = match told.as_slice() {
            [left, right] => vec![[0, 1, 2].map(|part| both_sides(&left[part], &right[part]))],
            _ => told,
        };
        items.extend(told.into_iter().map(|[name, at, about]| MarkedItem {
            mark: format!("{}.", index + 1),
            lines: vec![format!("{name}: {at}."), about],
        }));
    }
    items
}

/// Every piece with its middle and edges off two walls.
pub(super) fn places(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    document.heading(HEADING);
    let mut items = Vec::new();
    for (index, step) in view.treatment.steps.iter().enumerate() {
        for (name, piece) in &step.pieces {
            let Some(offer) = view.offer(piece) else { continue };
            let at = format!("{name}: {}.", place(view, piece));
            let edges = format!("edges {}", edges(piece, view.units()));
            let about =
                format!("{}, {}", size(piece, view.units()), weight(offer.weight, view.units()));
            items.push(MarkedItem {
                mark: format!("{}.", index + 1),
                lines: vec![at, edges, about],
            });
        }
    }
    document.items(items);
    document
}

fn place(view: &TreatmentView<'_>, piece: &PlacedAbsorber) -> String {
    let units = view.units();
    let middle = middle(piece, units);
    match piece.hang_m {
        Some(hang_m) => {
            let up = view.asked.room().height_m - hang_m;
            format!(
                "hung level, its middle {middle}, {} below the ceiling ({} up)",
                length::mark(hang_m, units),
                length::mark(up, units)
            )
        }
        None => format!("{}, middle {middle}", labels::surface(piece.on)),
    }
}

fn size(piece: &PlacedAbsorber, units: Units) -> String {
    let [a, b] = piece.size_m.map(|metres| length::mark(metres, units));
    match piece.on.axis() {
        2 => format!("{a} front to back, {b} left to right"),
        _ => format!("{a} along, {b} up"),
    }
}

/// What each build that is bought does, octave by octave.
pub(super) fn builds(view: &TreatmentView<'_>) -> Document {
    let mut document = Document::default();
    document.heading("What these builds do");
    let mut points = Vec::new();
    for index in view.bought() {
        let offer = view.treatment.products.all.get(index).zip(view.works.get(index));
        let Some((offer, works)) = offer else { continue };
        points.push(does(offer, works, view.units()));
    }
    document.list(points);
    document
}

fn does(offer: &Product, works: &EffectiveRange, units: Units) -> String {
    let acts = match works.acts_from {
        Some(0) => "absorbs half or more in every band".to_owned(),
        Some(from) => format!("absorbs half or more from {} up", band(from)),
        None => "absorbs half in no band up to the top".to_owned(),
    };
    let barely = match works.barely_up_to {
        Some(up_to) => format!(", and barely anything (under 0.2) at {} and below", band(up_to)),
        None => String::new(),
    };
    let lower: Vec<String> = works
        .suggestions
        .iter()
        .map(|remedy| match *remedy {
            Suggestion::Thicker { thickness_m, acts_from } => {
                format!(
                    "{} of it would from {} up",
                    length::offset(thickness_m, units),
                    band(acts_from)
                )
            }
            Suggestion::Gap { gap_m, acts_from } => {
                format!(
                    "a gap of {} behind it from {} up",
                    length::offset(gap_m, units),
                    band(acts_from)
                )
            }
        })
        .collect();
    let lower =
        if lower.is_empty() { String::new() } else { format!(" {}.", capital(&lower.join("; "))) };
    format!("{} ({}): {acts}{barely}.{lower}", offer.name, offer.material.name)
}
