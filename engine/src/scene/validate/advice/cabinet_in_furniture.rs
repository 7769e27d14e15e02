//! A cabinet that is no solid body in the scene, and yet cannot stand where a piece of furniture does.

use crate::scene::model::Scene;
use crate::scene::problem::Problem;
use crate::scene::validate::TAPE_SLACK_M;
use crate::scene::validate::context::RuleContext;
use crate::scene::validate::solid::GUESSWORK_M;

pub(super) fn check(scene: &Scene, context: &RuleContext<'_>) {
    for (speaker, raw) in scene.speakers().iter().zip(&context.raw.speakers) {
        let (Some(cabinet), None, Some(at)) = (speaker.cabinet_box(), speaker.solid, &raw.at)
        else {
            continue;
        };
        for (piece, written) in scene.furniture().iter().zip(&context.raw.furniture) {
            let block = piece.upright_box();
            // With its reference point inside it is told as such.
            let is_told = TAPE_SLACK_M < block.depth_m(speaker.at);
            let deep_m = cabinet.overlap_m(&block);
            if is_told || deep_m <= GUESSWORK_M {
                continue;
            }
            let message = format!(
                "the cabinet of `{}` would cut {} deep through `{}`",
                speaker.name,
                context.show(deep_m),
                piece.name
            );
            let mut problem =
                Problem::warning("scene::cabinet-in-furniture", at.span.clone(), message)
                    .label("the reference point, in the middle of the cabinet's front")
                    .help("move one of the two, or check the cabinet: [height, width, depth]");
            if let Some(corner) = &written.corner {
                problem =
                    problem.related(corner.span.clone(), format!("`{}` starts here", piece.name));
            }
            context.add(problem);
        }
    }
}
