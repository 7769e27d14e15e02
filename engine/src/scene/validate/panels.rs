//! Panels within the edges of their surface.

use super::TAPE_SLACK_M;
use super::context::{RuleContext, called};
use super::inside::surface_words;
use super::materials::Materials;
use crate::scene::model::{Panel, Surface};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawPanel, Spanned};

/// The edges of a surface along its first and second tape coordinate, near and far.
fn edge_words(surface: Surface, axis: usize, far: bool) -> String {
    let beyond = match (surface.tape_axes()[axis], far) {
        (0, false) => Surface::Front,
        (0, true) => Surface::Back,
        (1, false) => Surface::Left,
        (1, true) => Surface::Right,
        (_, false) => Surface::Floor,
        (_, true) => Surface::Ceiling,
    };
    surface_words(beyond)
}

pub(super) fn panels(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
) -> Vec<Option<Panel>> {
    context.raw.panels.iter().map(|raw| panel(context, materials, raw)).collect()
}

fn panel(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
    raw: &RawPanel,
) -> Option<Panel> {
    let what = called("panel", raw.name.as_ref());
    let material = materials.resolve(raw.material.as_ref());
    let size_m = raw.size.as_ref().and_then(|size| context.two_sides(&what, size));
    let cost = context.cost(&what, raw.cost.as_ref());
    let centre_m = raw.centre.as_ref().map(|centre| [centre.value[0].value, centre.value[1].value]);
    let within = match (raw.on.as_ref(), centre_m, size_m) {
        (Some(on), Some(centre), Some(size)) => {
            within_edges(context, &what, raw.centre.as_ref(), on.value, centre, size)
        }
        _ => true,
    };
    let panel = Panel {
        name: raw.name.as_ref()?.value.clone(),
        set: raw.set.as_ref().map(|set| set.value.clone()),
        on: raw.on.as_ref()?.value,
        centre_m: centre_m?,
        size_m: size_m?,
        material: material?,
        cost: cost?,
    };
    within.then_some(panel)
}

/// Whether a rectangle whose centre is written there lies on its surface; if not, says so.
pub(super) fn within_edges(
    context: &RuleContext<'_>,
    what: &str,
    written: Option<&Spanned<[Spanned<f64>; 2]>>,
    on: Surface,
    centre_m: [f64; 2],
    size_m: [f64; 2],
) -> bool {
    let (Some(room), Some(written)) = (context.room, written) else { return true };
    let mut within = true;
    for (axis, (coordinate, (centre, size))) in
        written.value.iter().zip(centre_m.into_iter().zip(size_m)).enumerate()
    {
        let length = room.size()[on.tape_axes()[axis]];
        let beyond = [size / 2.0 - centre, centre + size / 2.0 - length];
        for (far, beyond) in [false, true].into_iter().zip(beyond) {
            if beyond <= TAPE_SLACK_M {
                continue;
            }
            within = false;
            let edge = edge_words(on, axis, far);
            let help = if length < size {
                format!(
                    "the {} is {} that way: make it smaller",
                    surface_words(on),
                    context.show(length)
                )
            } else {
                format!(
                    "put its middle between {} and {}",
                    context.show(size / 2.0),
                    context.show(length - size / 2.0)
                )
            };
            context.add(
                Problem::error(
                    "scene::panel-past-edge",
                    coordinate.span.clone(),
                    format!("{what} goes past the edge of the {}", surface_words(on)),
                )
                .label(format!("{} too far toward the {edge}", context.show(beyond)))
                .help(help),
            );
        }
    }
    within
}

impl RuleContext<'_> {
    /// The two sides of a panel or a screen.
    pub(super) fn two_sides(
        &self,
        what: &str,
        size: &Spanned<[Spanned<f64>; 2]>,
    ) -> Option<[f64; 2]> {
        let [first, second] = &size.value;
        let first = self.side(&format!("the first side of {what}"), first);
        let second = self.side(&format!("the second side of {what}"), second);
        Some([first?, second?])
    }

    /// What an item costs; `Some(None)` when nothing is said.
    #[expect(clippy::option_option, reason = "outer: could it be read; inner: was it given")]
    pub(super) fn cost(&self, what: &str, raw: Option<&Spanned<f64>>) -> Option<Option<f64>> {
        let Some(cost) = raw else { return Some(None) };
        self.number_within(
            &format!("the cost of {what}"),
            cost,
            0.0..=1.0e9,
            "",
            "leave `cost` out when it is not known",
        )
        .map(Some)
    }
}
