//! What was put up and taken down between two states of the room, and what it costs.

use super::is_equal;
use crate::scene::Variant;
use thiserror::Error;

/// What differs between two states of one room.
#[derive(Debug, Clone, PartialEq)]
pub struct TreatmentDiff<'a> {
    /// In the second and not in the first.
    pub added: Vec<Item<'a>>,
    /// In the first and not in the second.
    pub removed: Vec<Item<'a>>,
}

/// A thing that is in one state and not in the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item<'a> {
    /// Its name.
    pub name: &'a str,
    /// What it is.
    pub kind: ItemKind,
    /// Cost in the scene's currency, where the scene says one.
    pub cost: Option<f64>,
}

/// What kind of thing comes and goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ItemKind {
    /// On a surface.
    Panel,
    /// Clear of the surfaces.
    Screen,
    /// A solid box; scenes give no cost for these.
    Furniture,
}

/// Why a reduction cannot be held against a cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum CostUnavailable {
    /// The strongest early reflection is equal in both states.
    #[error("the strongest early reflection is equal in both")]
    Equal,
    /// Nothing arrives early in one of the states.
    #[error("nothing arrives that early in one of the two")]
    NothingEarly,
    /// Neither state has anything with a cost that the other has not.
    #[error("nothing with a cost differs")]
    NoCost,
    /// Some of what differs has no cost in the scene.
    #[error("not everything that differs has a cost in the scene")]
    Incomplete,
    /// What comes costs as much as what goes.
    #[error("both cost the same")]
    SameCost,
}

impl<'a> TreatmentDiff<'a> {
    /// What is exchanged on the way from one state to another.
    pub fn between(first: &Variant<'a>, second: &Variant<'a>) -> Self {
        let (before, after) = (items(first), items(second));
        let missing = |these: &[Item<'a>], those: &[Item<'a>]| {
            let is_there = |item: &&Item<'a>| {
                those.iter().any(|other| other.name == item.name && other.kind == item.kind)
            };
            these.iter().filter(|item| !is_there(item)).copied().collect()
        };
        Self { added: missing(&after, &before), removed: missing(&before, &after) }
    }

    /// Whether both states hold the same.
    pub fn is_empty(&self) -> bool {
        self.added.is_empty() && self.removed.is_empty()
    }

    /// Sum of the known costs of what is added, in the scene's currency.
    pub fn added_cost(&self) -> f64 {
        known_cost(&self.added)
    }

    /// Sum of the known costs of what is removed, in the scene's currency.
    pub fn removed_cost(&self) -> f64 {
        known_cost(&self.removed)
    }

    /// How many panels and screens that differ have no cost in the scene.
    pub fn without_cost(&self) -> usize {
        self.priced().filter(|item| item.cost.is_none()).count()
    }

    fn priced(&self) -> impl Iterator<Item = &Item<'a>> {
        self.added.iter().chain(&self.removed).filter(|item| item.kind != ItemKind::Furniture)
    }
}

/// Decibels that the strongest early reflection falls for each unit of currency spent: its change
/// the other way round, divided by what is added less what is removed. Swapping the two states
/// gives the same figure. Negative when the dearer state is the louder one.
///
/// # Errors
/// Where there is no such figure, why not.
pub fn db_per_cost(
    change_db: Option<f64>,
    exchange: &TreatmentDiff<'_>,
) -> Result<f64, CostUnavailable> {
    let change_db = change_db.filter(|db| db.is_finite()).ok_or(CostUnavailable::NothingEarly)?;
    if is_equal(change_db) {
        return Err(CostUnavailable::Equal);
    }
    if exchange.priced().all(|item| item.cost.is_none()) {
        return Err(CostUnavailable::NoCost);
    }
    if exchange.without_cost() > 0 {
        return Err(CostUnavailable::Incomplete);
    }
    let spent = exchange.added_cost() - exchange.removed_cost();
    if spent == 0.0 { Err(CostUnavailable::SameCost) } else { Ok(-change_db / spent) }
}

fn items<'a>(variant: &Variant<'a>) -> Vec<Item<'a>> {
    let panels = variant.panels.iter().map(|&panel| Item {
        name: &panel.name,
        kind: ItemKind::Panel,
        cost: panel.cost,
    });
    let screens = variant.screens.iter().map(|&screen| Item {
        name: &screen.name,
        kind: ItemKind::Screen,
        cost: screen.cost,
    });
    let furniture = variant.furniture.iter().map(|&piece| Item {
        name: &piece.name,
        kind: ItemKind::Furniture,
        cost: None,
    });
    panels.chain(screens).chain(furniture).collect()
}

fn known_cost(items: &[Item<'_>]) -> f64 {
    // An empty sum is −0; nought here has no sign.
    items.iter().filter_map(|item| item.cost).fold(0.0, |sum, cost| sum + cost)
}
