//! What a first room is made of.

/// Walls, floor and ceiling, by their names in the catalogue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Finishes {
    walls: String,
    floor: String,
    ceiling: String,
    /// Whether all three were told.
    are_known: bool,
}

impl Finishes {
    /// What was told, and ordinary guesses for the rest.
    pub(crate) fn new([walls, floor, ceiling]: [Option<&str>; 3]) -> Self {
        let or = |told: Option<&str>, usual: &str| told.unwrap_or(usual).to_owned();
        Self {
            walls: or(walls, "gypsum board on studs"),
            floor: or(floor, "wood floor on joists"),
            ceiling: or(ceiling, "gypsum board on studs"),
            are_known: [walls, floor, ceiling].iter().all(Option::is_some),
        }
    }

    /// Whether all of it was told.
    pub(super) fn are_known(&self) -> bool {
        self.are_known
    }

    /// The section of the scene.
    pub(super) fn text(&self) -> String {
        let comment = if self.are_known {
            "# `earline materials` lists what else there is."
        } else {
            "# Guesses, to be replaced by what your walls are made of; `earline materials` lists what there is."
        };
        let walls = ["front", "back", "left", "right"]
            .map(|wall| format!("{wall} = \"{}\"\n", self.walls))
            .concat();
        format!(
            "{comment}\n[surfaces]\n{walls}floor = \"{}\"\nceiling = \"{}\"\n",
            self.floor, self.ceiling
        )
    }
}
