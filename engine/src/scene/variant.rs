//! Resolution of variants: the items in the room in each of them.

use super::length::TAPE_SLACK_M;
use super::model::{Panel, Scene, Variant, VariantDefinition};
use std::collections::BTreeSet;

impl Scene {
    /// The variant of this name; `None` is the room as it stands: [`Scene::standing_variant`], or where there
    /// are no variants everything.
    ///
    /// An item without a set is in every variant, unless some definition names it by its own name.
    /// Gives `None` when there is no variant of that name.
    pub fn variant(&self, name: Option<&str>) -> Option<Variant<'_>> {
        let definition = match name {
            Some(name) => self.variants.iter().find(|definition| definition.name == name)?,
            None => match self.standing_variant() {
                Some(standing) => standing,
                None => return Some(self.everything()),
            },
        };
        Some(self.resolved(definition))
    }

    /// The variant that is the room as it stands: the one that says so, else the first.
    pub fn standing_variant(&self) -> Option<&VariantDefinition> {
        self.variants.iter().find(|definition| definition.now).or(self.variants.first())
    }

    fn everything(&self) -> Variant<'_> {
        Variant {
            name: None,
            panels: self.panels.iter().collect(),
            screens: self.screens.iter().collect(),
            furniture: self.furniture.iter().collect(),
        }
    }

    fn resolved<'a>(&'a self, definition: &'a VariantDefinition) -> Variant<'a> {
        let membership = Membership::new(definition, &self.variants);
        let is_in = |set: &Option<String>, name: &str| membership.has(set.as_deref(), name);
        Variant {
            name: Some(&definition.name),
            panels: self.panels.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
            screens: self.screens.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
            furniture: self.furniture.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
        }
    }
}

/// Whether two panels share more than a millimetre of a surface.
pub(super) fn overlap(one: &Panel, other: &Panel) -> bool {
    one.on == other.on
        && (0..2).all(|axis| {
            let apart = (one.centre_m[axis] - other.centre_m[axis]).abs();
            apart + TAPE_SLACK_M < f64::midpoint(one.size_m[axis], other.size_m[axis])
        })
}

/// Items in the room in one variant.
#[derive(Debug)]
pub(super) struct Membership<'a> {
    /// Names in the variant.
    with: BTreeSet<&'a str>,
    /// Names in any variant.
    with_in_any: BTreeSet<&'a str>,
}

impl<'a> Membership<'a> {
    pub(super) fn new(variant: &'a VariantDefinition, all: &'a [VariantDefinition]) -> Self {
        let names = |variant: &'a VariantDefinition| variant.with.iter().map(String::as_str);
        Self { with: names(variant).collect(), with_in_any: all.iter().flat_map(names).collect() }
    }

    /// Whether an item is in the room.
    pub(super) fn has(&self, set: Option<&str>, name: &str) -> bool {
        match set {
            Some(set) => self.with.contains(set),
            None => self.with.contains(name) || !self.with_in_any.contains(name),
        }
    }
}
