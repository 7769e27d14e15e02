//! What is in the room in each of its named states.

use super::model::{Scene, State, Variant};

impl Scene {
    /// What is in the room in one of its states; `None` asks for everything.
    ///
    /// An item without a set is in every state, unless some variant names it by its own name.
    /// When everything is asked for and exactly one variant says just that, the state bears its name.
    /// Gives `None` when there is no variant of that name.
    pub fn state(&self, variant: Option<&str>) -> Option<State<'_>> {
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

    fn everything(&self) -> State<'_> {
        let mut full = self.variants.iter().filter(|&variant| self.is_everything(variant));
        let name = match (full.next(), full.next()) {
            (Some(only), None) => Some(only.name.as_str()),
            _ => None,
        };
        State {
            name,
            panels: self.panels.iter().collect(),
            screens: self.screens.iter().collect(),
            furniture: self.furniture.iter().collect(),
        }
    }

    fn in_variant<'a>(&'a self, variant: &'a Variant) -> State<'a> {
        let is_in =
            |set: &Option<String>, name: &str| is_in(set.as_deref(), name, variant, &self.variants);
        State {
            name: Some(&variant.name),
            panels: self.panels.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
            screens: self.screens.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
            furniture: self.furniture.iter().filter(|item| is_in(&item.set, &item.name)).collect(),
        }
    }

    fn is_everything(&self, variant: &Variant) -> bool {
        let state = self.in_variant(variant);
        state.panels.len() == self.panels.len()
            && state.screens.len() == self.screens.len()
            && state.furniture.len() == self.furniture.len()
    }
}

/// Whether an item is in the room in a variant.
pub(super) fn is_in(set: Option<&str>, name: &str, variant: &Variant, all: &[Variant]) -> bool {
    let names = |variant: &Variant, key: &str| variant.with.iter().any(|with| with == key);
    match set {
        Some(set) => names(variant, set),
        None => names(variant, name) || !all.iter().any(|other| names(other, name)),
    }
}
