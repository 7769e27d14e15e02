//! Furniture inside the room.

use super::context::{RuleContext, called};
use super::materials::Materials;
use crate::scene::model::Furniture;
use crate::scene::raw::RawFurniture;
use glam::DVec3;

pub(super) fn furniture(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
) -> Vec<Option<Furniture>> {
    context.raw.furniture.iter().map(|raw| piece(context, materials, raw)).collect()
}

fn piece(
    context: &RuleContext<'_>,
    materials: &mut Materials<'_>,
    raw: &RawFurniture,
) -> Option<Furniture> {
    let what = called("piece of furniture", raw.name.as_ref());
    let material = materials.resolve(raw.material.as_ref());
    let size = raw.size.as_ref().and_then(|size| {
        let [x, y, z] =
            size.value.each_ref().map(|side| context.side(&format!("a side of {what}"), side));
        Some(DVec3::new(x?, y?, z?))
    });
    let turn_deg = raw.turn_deg.as_ref().map_or(Some(0.0), |turn| {
        context.number_within(
            &format!("the turn of {what}"),
            turn,
            -360.0..=360.0,
            "°",
            "give it in degrees, 45 for half a right angle",
        )
    });
    // Before turning a corner may well lie outside, so only the turned box is held against the walls.
    let corner = raw
        .corner
        .as_ref()
        .and_then(|corner| context.near_enough(&format!("the corner of {what}"), corner));
    let piece = Furniture {
        name: raw.name.as_ref()?.value.clone(),
        set: raw.set.as_ref().map(|set| set.value.clone()),
        corner: corner?,
        size: size?,
        turn_deg: turn_deg?,
        material: material?,
    };
    let place = raw.corner.as_ref()?;
    let help = "move its corner or check its size: [along x, along y, along z] before turning";
    context
        .corners_inside(&what, &piece.upright_box().corners(), &place.span, help)
        .then_some(piece)
}
