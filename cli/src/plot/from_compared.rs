//! From a comparison to what its pictures show.

use super::from_trace::from_numbered;
use super::input::Input;
use super::letters;
use crate::content::comparison::ComparisonView;

/// A state in the pictures of a comparison. All states show the same speakers, and a path has the
/// same number in all of them, a panel or screen the same letter.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shown {
    /// What tells it from the others.
    pub(crate) name: String,
    /// What is there.
    pub(crate) input: Input,
}

/// The states of a comparison, the first first.
pub(crate) fn from_compared(view: &ComparisonView<'_>) -> Vec<Shown> {
    let shown = |seen: &crate::content::comparison::VariantAtSeat<'_>| {
        let input = from_numbered(
            view.scene,
            &seen.at.state,
            &seen.trace,
            seen.at.listener,
            &seen.numbered(),
            view.limit,
        )?;
        let input = match seen.zones.first() {
            Some(seat) => input.with_zones(view.scene, &seen.at.state, &view.zone_plan, seat),
            None => input,
        };
        Some(Shown { name: seen.at.name.clone(), input })
    };
    let mut states: Vec<Shown> = view.variants.iter().filter_map(shown).collect();
    let mut inputs: Vec<&mut Input> = states.iter_mut().map(|state| &mut state.input).collect();
    letters::deal(&mut inputs);
    states
}

/// What all states have in common, for titles and legends: everything that hangs in any of them,
/// every first-order path of any of them, the name of the state only where all are in it.
pub(super) fn in_common(shown: &[Shown]) -> Option<Input> {
    let mut common = shown.first()?.input.clone();
    for Shown { input, .. } in shown.iter().skip(1) {
        for panel in &input.panels {
            if common.panels.iter().all(|known| known.name != panel.name) {
                common.panels.push(panel.clone());
            }
        }
        for screen in &input.screens {
            if common.screens.iter().all(|known| known.name != screen.name) {
                common.screens.push(screen.clone());
            }
        }
        for path in &input.paths {
            if common.paths.iter().all(|known| known.tag != path.tag) {
                common.paths.push(path.clone());
            }
        }
        if common.variant != input.variant {
            common.variant = None;
        }
        if common.listener.name.split(", ").all(|name| name != input.listener.name) {
            common.listener.name = format!("{}, {}", common.listener.name, input.listener.name);
        }
    }
    common.paths.retain(|path| path.order() == 1);
    Some(common)
}
