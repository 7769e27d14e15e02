//! Listeners.

use super::TAPE_SLACK_M;
use super::context::{RuleContext, called};
use crate::scene::model::Listener;
use crate::scene::problem::Problem;
use crate::scene::raw::RawListener;

pub(super) fn listeners(context: &RuleContext<'_>) -> Vec<Option<Listener>> {
    context.raw.listeners.iter().map(|raw| listener(context, raw)).collect()
}

fn listener(context: &RuleContext<'_>, raw: &RawListener) -> Option<Listener> {
    let what = called("listener", raw.name.as_ref());
    let at = raw.at.as_ref().and_then(|point| context.clear_of_walls(&what, point));
    let faces = match &raw.faces {
        None => Some(None),
        Some(point) => {
            let target = context.near_enough(&format!("the point {what} faces"), point);
            match (at, target) {
                (Some(at), Some(target)) if at.distance(target) <= TAPE_SLACK_M => {
                    context.add(
                        Problem::error("scene::aim-at-itself", point.span.clone(), format!("{what} faces its own place"))
                            .label("the same point as `at`")
                            .help("give the point it looks at, or leave `faces` out to face the front wall"),
                    );
                    None
                }
                (_, target) => target.map(Some),
            }
        }
    };
    Some(Listener { name: raw.name.as_ref()?.value.clone(), at: at?, faces: faces? })
}
