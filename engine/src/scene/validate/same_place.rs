//! A speaker and a listener cannot be at the same place.

use super::TAPE_SLACK_M;
use super::context::RuleContext;
use crate::scene::model::{Listener, Speaker};
use crate::scene::problem::Problem;

pub(super) fn check(
    context: &RuleContext<'_>,
    speakers: &[Option<Speaker>],
    listeners: &[Option<Listener>],
) {
    let raw = context.raw;
    // The speaker's own place is taken from the text: one on top of the listener it is aimed at
    // has no axis and so could not be finished.
    debug_assert_eq!(speakers.len(), raw.speakers.len());
    for speaker in &raw.speakers {
        let Some(at) = &speaker.at else { continue };
        for (listener, written) in listeners.iter().zip(&raw.listeners) {
            let (Some(listener), Some(place)) = (listener, &written.at) else { continue };
            if listener.at.distance(at.vector()) <= TAPE_SLACK_M {
                let message = format!(
                    "a speaker stands where the head of the listener `{}` is",
                    listener.name
                );
                context.add(
                    Problem::error("scene::same-place", at.span.clone(), message)
                        .label("the speaker")
                        .related(place.span.clone(), "the listener")
                        .help("move one of them: sound needs some way to go"),
                );
            }
        }
    }
}
