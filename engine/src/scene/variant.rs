//! What is in the room in each of its named states.

use super::model::{Panel, Scene, Variant, VariantDefinition};
use super::validate::TAPE_SLACK_M;

impl Scene {
    /// What is in the room in one of its states; `None` asks for everything.
    ///
    /// An item without a set is in every state, unless some variant names it by its own name.
    /// When everything is asked for and exactly one variant says just that, the state bears its name.
    /// Panels that share a place, which no variant has together, cannot all be up: of these the first
    /// is.
    /// Gives `None` when there is no variant of that name.
    pub fn variant(&self, variant: Option<&str>) -> Option<Variant<'_>> {
        let Some(name) = variant else { return Some(self.everything()) };
        let variant = self.variants.iter().find(|variant| variant.name == name)?;
        Some(self.in_variant(variant))
    }

    /// Index of the speaker of this name.
    pub fn speaker_index(&self, name: &str) -> Option<usize> {
        self.speakers.iter().position(|speaker| speaker.name == name)
    }

    /// Index of the listener of this name.
    pub fn listener_index(&self, name: &str) -> Option<usize> {
        self.listeners.iter().position(|listener| listener.name == name)
    }

    fn everything(&self) -> Variant<'_> {
        let mut panels: Vec<&Panel> = Vec::new();
        for panel in &self.panels {
            if !panels.iter().any(|other| overlap(panel, other)) {
                panels.push(panel);
            }
        }
        let says_just_that = |variant: &&VariantDefinition| {
            let state = self.in_variant(variant);
            state.panels == panels
                && state.screens.len() == self.screens.len()
                && state.furniture.len() == self.furniture.len()
        };
        let mut full = self.variants.iter().filter(says_just_that);
        let name = match (full.next(), full.next()) {
            (Some(only), None) => Some(only.name.as_str()),
            _ => None,
        };
        Variant {
            name,
            panels,
            screens: self.screens.iter().collect(),
            furniture: self.furniture.iter().collect(),
        }
    }

    fn in_variant<'a>(&'a self, variant: &'a VariantDefinition) -> Variant<'a> {
        let is_in =
            |set: &Option<String>, name: &str| is_in(set.as_deref(), name, variant, &self.variants);
        Variant {
            name: Some(&variant.name),
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

/// Whether an item is in the room in a variant.
pub(super) fn is_in(
    set: Option<&str>,
    name: &str,
    variant: &VariantDefinition,
    all: &[VariantDefinition],
) -> bool {
    let names =
        |variant: &VariantDefinition, key: &str| variant.with.iter().any(|with| with == key);
    match set {
        Some(set) => names(variant, set),
        None => names(variant, name) || !all.iter().any(|other| names(other, name)),
    }
}
