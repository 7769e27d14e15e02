//! Screens: clear of the surfaces and inside the room.

use super::TAPE_SLACK_M;
use super::context::{RuleContext, called};
use super::inside::surface_words;
use super::materials::Materials;
use crate::scene::model::{Screen, Surface};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawScreen, Spanned};
use glam::DVec3;

pub(super) fn screens(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
) -> Vec<Option<Screen>> {
    context.raw.screens.iter().map(|raw| screen(context, materials, raw)).collect()
}

fn screen(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
    raw: &RawScreen,
) -> Option<Screen> {
    let what = called("screen", raw.name.as_ref());
    let material = materials.resolve(raw.material.as_ref());
    let centre = raw.centre.as_ref().and_then(|point| context.inside(&what, point));
    let size_m = raw.size.as_ref().and_then(|size| context.two_sides(&what, size));
    let facing = raw.facing.as_ref().and_then(|facing| direction(context, &what, facing));
    let cost = context.cost(&what, raw.cost.as_ref());
    let facing = facing?;
    let screen = Screen {
        name: raw.name.as_ref()?.value.clone(),
        set: raw.set.as_ref().map(|set| set.value.clone()),
        centre: centre?,
        facing,
        along: first_side(facing),
        size_m: size_m?,
        material: material?,
        cost: cost?,
    };
    stands_clear(context, &what, raw, &screen).then_some(screen)
}

/// The facing direction with unit length. One that has it already is kept to the last digit.
fn direction(context: &RuleContext<'_>, what: &str, raw: &Spanned<[f64; 3]>) -> Option<DVec3> {
    let vector = DVec3::from_array(raw.value);
    let largest = vector.abs().max_element();
    if largest < 1.0e-9 {
        context.add(
            Problem::error(
                "scene::not-positive",
                raw.span.clone(),
                format!("{what} faces nowhere: its direction has no length"),
            )
            .label("all three numbers are zero, or nearly")
            .help("write facing = \"down\", or a direction such as [0.3, 0.0, -1.0]"),
        );
        return None;
    }
    if (vector.length_squared() - 1.0).abs() < 1.0e-12 {
        return Some(vector);
    }
    // Scaled first, so that no square overflows.
    (vector / largest).try_normalize()
}

/// The direction along which a screen's first side is measured: level for an upright screen;
/// front to back for one that faces up or down more than sideways.
fn first_side(facing: DVec3) -> DVec3 {
    let lying = std::f64::consts::FRAC_1_SQRT_2 < facing.z.abs();
    if lying {
        (DVec3::X - facing * facing.x).normalize_or(DVec3::X)
    } else {
        DVec3::Z.cross(facing).normalize_or(DVec3::Y)
    }
}

/// The four corners of a screen.
fn corners(screen: &Screen) -> [DVec3; 4] {
    let across = screen.facing.cross(screen.along);
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(a, b)| {
        screen.centre + screen.along * (a * screen.size_m[0]) + across * (b * screen.size_m[1])
    })
}

fn stands_clear(context: &RuleContext<'_>, what: &str, raw: &RawScreen, screen: &Screen) -> bool {
    let (Some(room), Some(place)) = (context.room, raw.centre.as_ref()) else { return true };
    let corners = corners(screen);
    if !context.corners_inside(
        what,
        &corners,
        &place.span,
        "move it, make it smaller, or check which side comes first in `size`",
    ) {
        return false;
    }
    let lies_in = Surface::ALL.into_iter().find(|surface| {
        let axis = surface.axis();
        let plane = if surface.is_far() { room.size()[axis] } else { 0.0 };
        corners.iter().all(|corner| (corner[axis] - plane).abs() <= TAPE_SLACK_M)
    });
    if let Some(surface) = lies_in {
        context.add(
            Problem::error(
                "scene::screen-on-surface",
                place.span.clone(),
                format!("{what} lies on the {}", surface_words(surface)),
            )
            .label("a screen stands clear of the surfaces")
            .help(format!("make it a [[panel]] with on = \"{}\"", surface.name())),
        );
    }
    lies_in.is_none()
}
