//! Speakers and heads inside furniture.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::raw::RawPoint;
use crate::scene::validate::TAPE_SLACK_M;
use crate::scene::validate::context::RuleContext;
use glam::DVec3;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        if speaker.solid.is_some() {
            continue; // its whole cabinet has been held against the furniture
        }
        look(
            scene,
            context,
            &format!("the speaker `{}`", speaker.name),
            speaker.at,
            raw.at.as_ref(),
        );
    }
    for (listener, raw) in scene.listeners().iter().zip(&context.raw.listeners) {
        look(
            scene,
            context,
            &format!("the listener `{}`", listener.name),
            listener.at,
            raw.at.as_ref(),
        );
    }
}

fn look(scene: &Scene, context: &RuleContext<'_>, what: &str, at: DVec3, raw: Option<&RawPoint>) {
    let Some(place) = raw else { return };
    for (piece, written) in scene.furniture().iter().zip(&context.raw.furniture) {
        if piece.upright_box().depth_m(at) <= TAPE_SLACK_M {
            continue;
        }
        let mut problem = Problem::warning("scene::inside-furniture", place.span.clone(), format!("{what} is inside `{}`", piece.name))
            .label("no sound gets out of a solid box")
            .help("check the heights: furniture is a solid block, so a desk is best written as its top alone");
        if let Some(corner) = &written.corner {
            problem = problem.related(corner.span.clone(), format!("`{}` starts here", piece.name));
        }
        context.add(problem);
    }
}
