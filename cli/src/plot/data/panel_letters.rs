//! The letters by which drawings and legends speak of panels and screens.

use crate::plot::data::input::Input;

/// Gives panels, then screens, the letters A, B, … Z, AA, …; what has one name has one letter in
/// all the inputs.
pub(crate) fn assign<'a>(inputs: &mut [&mut Input<'a>]) {
    let mut panels: Vec<&'a str> = Vec::new();
    let mut screens: Vec<&'a str> = Vec::new();
    for input in inputs.iter() {
        add(&mut panels, input.panels.iter().map(|panel| panel.piece.name.as_str()));
        add(&mut screens, input.screens.iter().map(|screen| screen.piece.name.as_str()));
    }
    let letter = |known: &[&str], name: &str, before: usize| {
        known.iter().position(|other| *other == name).map_or_else(String::new, |i| at(before + i))
    };
    for input in inputs.iter_mut() {
        for panel in &mut input.panels {
            panel.letter = letter(&panels, &panel.name, 0);
        }
        for screen in &mut input.screens {
            screen.letter = letter(&screens, &screen.name, panels.len());
        }
    }
}

fn add<'a>(known: &mut Vec<&'a str>, names: impl Iterator<Item = &'a str>) {
    for name in names {
        if !known.contains(&name) {
            known.push(name);
        }
    }
}

fn at(index: usize) -> String {
    let last = ('A'..='Z').nth(index % 26).unwrap_or('Z');
    if index < 26 { last.to_string() } else { format!("{}{last}", at(index / 26 - 1)) }
}
