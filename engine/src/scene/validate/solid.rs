//! Speaker cabinets that stand in the room as solid bodies: nothing else can be where they are.

use super::TAPE_SLACK_M;
use super::context::RuleContext;
use super::materials::Materials;
use crate::medium::directivity::Directivity;
use crate::scene::listener::Listener;
use crate::scene::model::{Furniture, Speaker};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawSpeaker, Span, Spanned};

/// Default material of a cabinet.
const USUAL_FINISH: &str = "wood, solid";

/// Deeper than this no slip of the tape and no guess of where the drivers sit puts two boxes, metres.
pub(super) const GUESSWORK_M: f64 = 0.02;

/// Something is wrong and has been reported.
pub(super) struct Reported;

/// The material of a solid cabinet; `None` when it is not solid.
pub(super) fn solid(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawSpeaker,
    directivity: Option<&Directivity>,
    materials: &mut Materials<'_>,
) -> Result<Option<usize>, Reported> {
    let finish = raw.finish.as_ref().map(|name| materials.resolve(Some(name)));
    let Some(solid) = raw.solid.as_ref().filter(|solid| solid.value) else {
        if let (Some(name), None) = (&raw.finish, &raw.solid) {
            context.add(
                Problem::warning(
                    "scene::finish-unused",
                    name.span.clone(),
                    format!("{what} has a `finish` but is not solid"),
                )
                .label("does nothing")
                .help(
                    "add solid = true to let the cabinet reflect and shadow, or leave `finish` out",
                ),
            );
        }
        return if finish == Some(None) { Err(Reported) } else { Ok(None) };
    };
    if directivity.is_some_and(|known| known.cabinet().is_none()) {
        context.add(
            Problem::error("scene::no-cabinet", solid.span.clone(), format!("{what} is solid, but its directivity has no `cabinet`"))
                .label("a solid cabinet needs its measures")
                .help("choose kind = \"piston\" or \"two-way\" with cabinet = [height, width, depth], or leave `solid` out"),
        );
        return Err(Reported);
    }
    if let Some(Directivity::TwoWay { spacing_m, cabinet, .. }) = directivity
        && cabinet.height_m < *spacing_m
    {
        context.add(
            Problem::error(
                "scene::no-cabinet",
                solid.span.clone(),
                format!("the drivers of {what} are farther apart than its cabinet is high"),
            )
            .label(format!("{} apart", context.show(*spacing_m)))
            .help("check `spacing`, and the cabinet: [height, width, depth]"),
        );
        return Err(Reported);
    }
    let found = match finish {
        Some(found) => found,
        None => materials.resolve(Some(&Spanned::new(USUAL_FINISH.to_owned(), solid.span.clone()))),
    };
    found.map(Some).ok_or(Reported)
}

/// Cabinets against furniture, heads and one another.
pub(super) fn check(
    context: &RuleContext<'_>,
    speakers: &[Option<Speaker>],
    listeners: &[Option<Listener>],
    furniture: &[Option<Furniture>],
) {
    let all = || {
        let places = context.raw.speakers.iter();
        speakers.iter().zip(places).filter_map(|(speaker, raw)| {
            let speaker = speaker.as_ref()?;
            Some((speaker, speaker.solid_box()?, raw.at.as_ref()?.span.clone()))
        })
    };
    for (index, (speaker, own, at)) in all().enumerate() {
        for (piece, raw) in furniture.iter().zip(&context.raw.furniture) {
            let (Some(piece), Some(corner)) = (piece, &raw.corner) else { continue };
            let deep = own.overlap_m(&piece.upright_box());
            let other = (format!("`{}`", piece.name), corner.span.clone());
            overlap(context, speaker, &at, deep, other);
        }
        for (other, their, place) in all().take(index) {
            let other = (format!("the cabinet of `{}`", other.name), place);
            overlap(context, speaker, &at, own.overlap_m(&their), other);
        }
        for (listener, raw) in listeners.iter().zip(&context.raw.listeners) {
            let (Some(listener), Some(place)) = (listener, &raw.at) else { continue };
            if own.depth_m(listener.at) <= TAPE_SLACK_M {
                continue;
            }
            let message = format!(
                "the listener `{}` is inside the cabinet of `{}`",
                listener.name, speaker.name
            );
            context.add(
                Problem::error("scene::inside-cabinet", place.span.clone(), message)
                    .label("the middle of the head")
                    .related(
                        at.clone(),
                        "the speaker's reference point, at the front of its cabinet",
                    )
                    .help("move one of them, or check the cabinet: [height, width, depth]"),
            );
        }
    }
}

fn overlap(
    context: &RuleContext<'_>,
    speaker: &Speaker,
    at: &Span,
    deep_m: f64,
    (other, place): (String, Span),
) {
    if deep_m <= TAPE_SLACK_M {
        return;
    }
    let message =
        format!("the cabinet of `{}` reaches {} into {other}", speaker.name, context.show(deep_m));
    let problem = if deep_m <= GUESSWORK_M {
        Problem::warning("scene::cabinet-overlap", at.clone(), message)
    } else {
        Problem::error("scene::cabinet-overlap", at.clone(), message)
    };
    context.add(
        problem
            .label("the reference point, at the front of the cabinet")
            .related(place, format!("{other} is placed here"))
            .help("a solid cabinet is an upright box, half its height below the middle between its drivers: move one of the two, or leave `solid` out"),
    );
}
