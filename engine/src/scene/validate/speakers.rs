//! Speakers: where they stand and where they point.

use super::TAPE_SLACK_M;
use super::context::{RuleContext, called};
use super::directivity::directivity;
use super::materials::Materials;
use super::signal_chain::signal_chain;
use super::solid::solid;
use crate::medium::directivity::Directivity;
use crate::scene::attachments::Attachments;
use crate::scene::ids::ListenerId;
use crate::scene::listener::Listener;
use crate::scene::messages::{list, nearest, quoted};
use crate::scene::model::{Aim, Speaker, SpeakerKind};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawAim, RawSpeaker, Span, Spanned};
use glam::DVec3;

pub(super) fn speakers(
    context: &RuleContext<'_>,
    listeners: &[Option<Listener>],
    attachments: &dyn Attachments,
    materials: &mut Materials<'_>,
) -> Vec<Option<Speaker>> {
    let raw = context.raw.speakers.iter();
    raw.map(|raw| speaker(context, raw, listeners, attachments, materials)).collect()
}

fn speaker(
    context: &RuleContext<'_>,
    raw: &RawSpeaker,
    listeners: &[Option<Listener>],
    attachments: &dyn Attachments,
    materials: &mut Materials<'_>,
) -> Option<Speaker> {
    let what = called("speaker", raw.name.as_ref());
    let kind = raw.kind.as_ref().map_or_else(Default::default, |kind| kind.value);
    let at = raw.at.as_ref().and_then(|point| context.clear_of_walls(&what, point));
    let directivity = match &raw.directivity {
        Some(written) => directivity(context, &what, written, attachments),
        // Small against the wavelengths it plays.
        None if !raw.written.has("directivity") && kind == SpeakerKind::Subwoofer => {
            Some(Directivity::Omni)
        }
        None if !raw.written.has("directivity") => {
            context.add(
                Problem::warning("scene::no-directivity", raw.span.clone(), format!("{what} has no `directivity`; it is taken as \"omni\""))
                    .label("the same in all directions")
                    .help("real speakers beam at high frequencies: kind = \"two-way\" with its driver sizes is a closer start"),
            );
            Some(Directivity::Omni)
        }
        None => None,
    };
    let aim = aim(context, &what, raw.aim.as_ref());
    let axis = match (at, &aim) {
        (Some(at), Some((aim, span))) => axis(context, &what, at, aim, span, listeners),
        _ => None,
    };
    let pair = match (&raw.pair, &raw.side) {
        (Some(pair), Some(side)) => Some((pair.value.clone(), side.value)),
        _ => None,
    };
    let solid = solid(context, &what, raw, directivity.as_ref(), materials);
    let chain = signal_chain(context, &what, raw);
    let speaker = Speaker {
        name: raw.name.as_ref()?.value.clone(),
        kind,
        pair,
        at: at?,
        axis: axis?,
        aim: aim?.0,
        directivity: directivity?,
        chain: chain?,
        solid: solid.ok()?,
    };
    let Some(cabinet) = speaker.solid_box() else { return Some(speaker) };
    let place = raw.at.as_ref()?;
    let help = "move the speaker out, or check the cabinet: [height, width, depth]; a solid one stands upright, its front at the reference point";
    let what = format!("the cabinet of `{}`", speaker.name);
    context.corners_inside(&what, &cabinet.corners(), &place.span, help).then_some(speaker)
}

fn aim(context: &RuleContext<'_>, what: &str, raw: Option<&RawAim>) -> Option<(Aim, Span)> {
    match raw {
        None => Some((Aim::Straight, 0..0)),
        Some(RawAim::Listener(name)) => {
            listener_called(context, what, name).map(|id| (Aim::Listener(id), name.span.clone()))
        }
        Some(RawAim::Point(point)) => {
            let target = context.near_enough(&format!("the point {what} is aimed at"), point)?;
            Some((Aim::Point(target), point.span.clone()))
        }
    }
}

fn listener_called(
    context: &RuleContext<'_>,
    what: &str,
    name: &Spanned<String>,
) -> Option<ListenerId> {
    let names = || context.raw.listeners.iter().map(|listener| listener.name.as_ref());
    let found = names().position(|known| known.is_some_and(|known| known.value == name.value));
    if found.is_none() {
        let known = || names().flatten().map(|name| name.value.as_str());
        let help = match nearest(&name.value, known()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if known().next().is_none() => {
                "add a [[listener]] of that name, or aim at a point".to_owned()
            }
            None => format!(
                "listeners here: {}; or aim at a point such as [\"2.20 m\", \"2.05 m\", \"1.20 m\"]",
                list(known())
            ),
        };
        let message = format!(
            "{what} is aimed at \"{}\", but no listener is called that",
            quoted(&name.value)
        );
        context.add(
            Problem::error("scene::unknown-listener", name.span.clone(), message)
                .label("no such listener")
                .help(help),
        );
    }
    found.map(ListenerId::new)
}

/// The unit vector along the speaker's axis. A speaker on top of its listener is reported elsewhere.
fn axis(
    context: &RuleContext<'_>,
    what: &str,
    at: DVec3,
    aim: &Aim,
    span: &Span,
    listeners: &[Option<Listener>],
) -> Option<DVec3> {
    let target = match aim {
        Aim::Straight => return Some(DVec3::X),
        Aim::Listener(id) => listeners.get(id.index())?.as_ref()?.at,
        Aim::Point(point) => *point,
    };
    if TAPE_SLACK_M < at.distance(target) {
        return (target - at).try_normalize();
    }
    if let Aim::Point(_) = aim {
        context.add(
            Problem::error(
                "scene::aim-at-itself",
                span.clone(),
                format!("{what} is aimed at its own place"),
            )
            .label("the same point as `at`")
            .help("aim at the listener by name, or at a point before the speaker"),
        );
    }
    None
}
