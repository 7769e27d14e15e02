//! Which states of the room at which seats are compared.

use crate::args;
use crate::io::exit::Failure;
use crate::io::select;
use earline_engine::scene::{ListenerId, Scene, Variant};

/// A state of the room at a seat.
#[derive(Debug, Clone)]
pub(crate) struct VariantSeat<'a> {
    /// What is told apart: the variant's name, the listener's, or both.
    pub(crate) name: String,
    /// The state of the room.
    pub(crate) state: Variant<'a>,
    /// The listener.
    pub(crate) listener: ListenerId,
}

/// What the command line asks to compare, the first being what the others are held against.
///
/// # Errors
/// Names that are not in the scene, or nothing to compare.
pub(crate) fn choose<'a>(
    scene: &'a Scene,
    args: &args::Compare,
) -> Result<Vec<VariantSeat<'a>>, Failure> {
    let mut variants = select::variants(scene, &args.variants)?;
    let mut listeners = select::listeners(scene, &args.listeners)?;
    let count = scene.variants().len();
    if variants.len() < 2 && listeners.len() < 2 {
        if variants.is_empty() && 2 <= count {
            variants = (0..count).collect();
        } else if listeners.is_empty() {
            listeners = scene.listener_ids().collect();
        }
    }
    if listeners.is_empty() {
        listeners.extend(scene.listener_ids().next());
    }
    let states: Vec<Variant<'a>> = if variants.is_empty() {
        scene.variant(None).into_iter().collect()
    } else {
        let name = |&index: &usize| scene.variants().get(index).map(|v| v.name.as_str());
        variants.iter().filter_map(|index| scene.variant(Some(name(index)?))).collect()
    };
    if states.len() * listeners.len() < 2 {
        return Err(nothing_to_compare(scene));
    }
    let [tell_states, tell_seats] = [1 < states.len(), 1 < listeners.len()];
    let at = |state: &Variant<'a>, listener: ListenerId| {
        let variant = state.name.unwrap_or("everything in");
        let seat = &scene[listener].name;
        let name = match (tell_states, tell_seats) {
            (true, true) => format!("{variant}, {seat}"),
            (false, true) => seat.to_owned(),
            _ => variant.to_owned(),
        };
        VariantSeat { name, state: state.clone(), listener }
    };
    Ok(states.iter().flat_map(|s| listeners.iter().map(move |&l| at(s, l))).collect())
}

fn nothing_to_compare(scene: &Scene) -> Failure {
    let listed = |what: &str, names: Vec<&str>| match names.as_slice() {
        [] => format!("no {what}s"),
        [only] => format!("one {what}, `{only}`"),
        _ => format!("the {what}s {}", earline_engine::scene::list_names(names.iter().copied())),
    };
    let variants = listed("variant", scene.variants().iter().map(|v| v.name.as_str()).collect());
    let listeners = listed("listener", scene.listeners().iter().map(|l| l.name.as_str()).collect());
    Failure::usage(
        "there is nothing to compare with",
        &format!(
            "give two states of the room (--variant twice) or two seats (--listener twice); the \
             scene has {variants} and {listeners}"
        ),
    )
}
