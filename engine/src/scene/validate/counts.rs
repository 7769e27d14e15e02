//! How many things of each kind a scene may have.

use crate::scene::problem::{Problem, Problems};
use crate::scene::raw::{RawScene, Span};

/// Most speakers and most listeners: each of one is traced to each of the other.
const MAX_SPEAKERS: usize = 32;
/// Most listeners.
const MAX_LISTENERS: usize = 32;
/// Most panels.
const MAX_PANELS: usize = 2000;
/// Most screens, and most of each kind of constraint.
const MAX_SCREENS: usize = 1000;
/// Most pieces of furniture.
const MAX_FURNITURE: usize = 5000;
/// Most materials of the scene's own.
const MAX_MATERIALS: usize = 1000;
/// Most variants.
const MAX_VARIANTS: usize = 100;
/// Most names in the `with` of all variants together.
const MAX_NAMES_IN_VARIANTS: usize = 1000;

/// Whether every kind keeps to its limit; one that does not is reported.
pub(super) fn check(raw: &RawScene, problems: &Problems) -> bool {
    macro_rules! places {
        ($items:ident) => {
            raw.$items.iter().map(|item| item.name.as_ref().map(|name| name.span.clone())).collect()
        };
    }
    let in_variants = raw.variants.iter().flat_map(|variant| variant.with.iter().flatten());
    let kinds: [(&str, usize, Vec<Option<Span>>); 11] = [
        ("speakers", MAX_SPEAKERS, places!(speakers)),
        ("listeners", MAX_LISTENERS, places!(listeners)),
        ("panels", MAX_PANELS, places!(panels)),
        ("screens", MAX_SCREENS, places!(screens)),
        ("pieces of furniture", MAX_FURNITURE, places!(furniture)),
        ("materials", MAX_MATERIALS, places!(materials)),
        ("variants", MAX_VARIANTS, places!(variants)),
        ("keep-outs", MAX_SCREENS, places!(keep_outs)),
        ("keep-clears", MAX_SCREENS, places!(keep_clears)),
        ("absorbers", MAX_SCREENS, places!(absorbers)),
        (
            "names in the variants",
            MAX_NAMES_IN_VARIANTS,
            in_variants.map(|name| Some(name.span.clone())).collect(),
        ),
    ];
    let mut is_within = true;
    for (kind, limit, places) in kinds {
        let Some(first_over) = places.get(limit) else { continue };
        is_within = false;
        let span = first_over.clone().unwrap_or(0..0);
        let message = format!("the scene has {} {kind}; at most {limit} are taken", places.len());
        problems.add(
            Problem::error("scene::too-many", span, message)
                .label("the first one too many")
                .help("leave some out, or make a scene file of each part"),
        );
    }
    is_within
}
