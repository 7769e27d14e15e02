//! A porous build: each layer within limits, and layers in an order that makes sense.

use super::context::RuleContext;
use crate::medium::materials::porous::MAX_LAYERS;
use crate::medium::materials::{AbsorberLayer, PorousAbsorber};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawLayer, RawLayerKind, RawPorous, Spanned};

/// Thinnest layer taken, in metres.
const THINNEST_M: f64 = 0.001;

/// Deepest gap of air taken, in metres.
const DEEPEST_GAP_M: f64 = 5.0;

/// `what` is the material, for messages.
pub(super) fn porous(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawPorous,
) -> Option<PorousAbsorber> {
    match raw {
        RawPorous::Single { thickness, flow_resistivity, gap } => {
            let thickness = thickness.as_ref().and_then(|it| thickness_m(context, what, it));
            let resistivity =
                flow_resistivity.as_ref().and_then(|it| resistivity(context, what, it));
            let gap_m = gap.as_ref().map_or(Some(0.0), |value| {
                let help = "leave `gap` out when the layer lies on the wall";
                if value.value == 0.0 {
                    Some(0.0)
                } else {
                    let limits = 0.0..=DEEPEST_GAP_M;
                    context.length_within(&format!("the air gap of {what}"), value, limits, help)
                }
            });
            Some(PorousAbsorber::single(thickness?, resistivity?, gap_m?))
        }
        RawPorous::Layers(layers) => {
            let sound = order_makes_sense(context, what, layers);
            let checked: Vec<Option<AbsorberLayer>> = layers
                .value
                .iter()
                .enumerate()
                .map(|(index, raw)| {
                    layer(context, &format!("layer {} of {what}", index + 1), raw.kind.as_ref()?)
                })
                .collect();
            let checked: Vec<AbsorberLayer> = checked.into_iter().collect::<Option<_>>()?;
            if sound { PorousAbsorber::new(&checked) } else { None }
        }
    }
}

fn layer(context: &RuleContext<'_>, what: &str, raw: &RawLayerKind) -> Option<AbsorberLayer> {
    match raw {
        RawLayerKind::Porous { thickness, flow_resistivity } => {
            let thickness = thickness_m(context, what, thickness);
            let resistivity = resistivity(context, what, flow_resistivity);
            Some(AbsorberLayer::Porous { thickness_m: thickness?, flow_resistivity: resistivity? })
        }
        RawLayerKind::Air(depth) => {
            let limits = THINNEST_M..=DEEPEST_GAP_M;
            let help = "leave the layer out when there is no air there";
            let depth =
                context.length_within(&format!("the air of {what}"), depth, limits, help)?;
            Some(AbsorberLayer::Air { thickness_m: depth })
        }
    }
}

fn thickness_m(context: &RuleContext<'_>, what: &str, raw: &Spanned<f64>) -> Option<f64> {
    context.length_within(
        &format!("the thickness of {what}"),
        raw,
        THINNEST_M..=2.0,
        "give the thickness of the porous layer alone, as in \"100 mm\"",
    )
}

fn resistivity(context: &RuleContext<'_>, what: &str, raw: &Spanned<f64>) -> Option<f64> {
    context.number_within(
        &format!("the flow resistivity of {what}"),
        raw,
        100.0..=1.0e6,
        " Pa·s/m²",
        "mineral wools lie between about 5000 and 50000 Pa·s/m²",
    )
}

/// Not none, not too many, and something porous toward the room.
fn order_makes_sense(
    context: &RuleContext<'_>,
    what: &str,
    layers: &Spanned<Vec<RawLayer>>,
) -> bool {
    let count = layers.value.len();
    let is_air = |layer: &RawLayer| matches!(layer.kind, Some(RawLayerKind::Air(_)));
    let problem = if count == 0 {
        Problem::error("scene::wrong-count", layers.span.clone(), format!("{what} has no layers"))
            .label("an empty list")
            .help("write layers = [{ thickness = \"50 mm\", flow_resistivity = 8000 }, …], from the room side to the wall")
    } else if MAX_LAYERS < count {
        let message = format!("{what} has {count} layers");
        Problem::error("scene::wrong-count", layers.span.clone(), message)
            .label(format!("up to {MAX_LAYERS} are taken"))
            .help("layers of one kind in a row are one layer of their common thickness")
    } else if layers.value.iter().all(is_air) {
        let message = format!("{what} is all air");
        Problem::error("scene::material-build", layers.span.clone(), message)
            .label("no porous layer in it")
            .help("add a layer such as { thickness = \"50 mm\", flow_resistivity = 8000 }")
    } else if let Some(first) = layers.value.first().filter(|first| is_air(first)) {
        let message = format!("{what} has air as its first layer, on the room side");
        Problem::error("scene::material-build", first.span.clone(), message)
            .label("nothing porous before it")
            .help(
                "list the layers from the room side to the wall; a gap behind the build comes last",
            )
    } else {
        return true;
    };
    context.add(problem);
    false
}
