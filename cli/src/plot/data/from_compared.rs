//! From a comparison to what its pictures show.

use crate::content::comparison::ComparisonView;
use crate::plot::data::from_trace::from_numbered;
use crate::plot::data::input::Input;
use crate::plot::data::panel_letters;

/// A state in the pictures of a comparison. All states show the same speakers, and a path has the
/// same number in all of them, a panel or screen the same letter.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShownState<'a> {
    /// Its name among the others.
    pub(crate) name: String,
    /// Its picture.
    pub(crate) input: Input<'a>,
}

/// The states of a comparison, the first first.
pub(crate) fn from_compared<'a>(view: &ComparisonView<'a>) -> Vec<ShownState<'a>> {
    let shown = |seen: &crate::content::comparison::VariantAtSeat<'a>| {
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
        Some(ShownState { name: seen.at.name.clone(), input })
    };
    let mut states: Vec<ShownState<'a>> = view.variants.iter().filter_map(shown).collect();
    let mut inputs: Vec<&mut Input<'a>> = states.iter_mut().map(|state| &mut state.input).collect();
    panel_letters::assign(&mut inputs);
    states
}

/// Common content of all states, for titles and legends: everything that hangs in any of them,
/// every first-order path of any of them, the name of the state only where all are in it.
pub(crate) fn in_common<'a>(shown: &[ShownState<'a>]) -> Option<Input<'a>> {
    let mut common = shown.first()?.input.clone();
    for ShownState { input, .. } in shown.iter().skip(1) {
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
