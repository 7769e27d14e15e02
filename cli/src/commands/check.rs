//! `earline check`.

use crate::answer;
use crate::args;
use crate::exit::{Done, Failure};
use crate::load::load;
use crate::report::check::CheckDocument;
use crate::report::to_json;
use crate::select::{Selection, select};
use crate::terminal;
use earline_engine::lining::lining;
use earline_engine::statistics::statistics;
use earline_engine::survey::{Survey, survey};

pub(super) fn run(args: &args::Check, quiet: bool) -> Result<Done, Failure> {
    let loaded = load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select(scene, &args.choice)?;
    let survey = narrowed(survey(scene, &selection.state), &selection);
    if args.json {
        let document =
            CheckDocument::new(scene, &selection.state, &survey, loaded.warnings_for_machines());
        terminal::answer_bytes(&to_json(&document)?)?;
    } else {
        let air = scene.air();
        let found = statistics(
            scene.room(),
            air.speed_of_sound_m_s(),
            &air.attenuation_db_per_m(),
            &lining(scene, &selection.state),
        );
        let text =
            answer::check::text(scene, &selection.state, &survey, &found, terminal::width());
        terminal::answer(&text)?;
        if !quiet {
            loaded.note_warnings();
        }
    }
    let failed = args.strict && !loaded.warnings.is_empty();
    Ok(if failed { Done::LimitNotMet } else { Done::Well })
}

/// Only the seats and speakers asked for.
fn narrowed(mut survey: Survey, selection: &Selection<'_>) -> Survey {
    let wanted = |speaker: usize| selection.speakers.contains(&speaker);
    survey.speakers.retain(|place| wanted(place.speaker));
    survey.pairs.retain(|pair| wanted(pair.left) && wanted(pair.right));
    survey.seats.retain(|seat| selection.listeners.contains(&seat.listener));
    for seat in &mut survey.seats {
        seat.speakers.retain(|seen| wanted(seen.speaker));
        seat.pairs.retain(|pair| wanted(pair.left) && wanted(pair.right));
    }
    survey
}
