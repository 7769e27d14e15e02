//! `earline check`.

use crate::args;
use crate::content;
use crate::content::formula_comparison::FormulaComparison;
use crate::export::check::{CheckDocument, Warning};
use crate::export::to_json;
use crate::io::diagnose;
use crate::io::exit::{Done, Failure};
use crate::io::input::Loaded;
use crate::io::select::{Selection, select_with_subwoofers};
use crate::io::terminal;
use crate::render;
use earline_engine::analysis::room_summary::{RoomSummary, room_summary};
use earline_engine::scene::{Problem, SpeakerId};

pub(super) fn run(args: &args::Check, quiet: bool) -> Result<Done, Failure> {
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select_with_subwoofers(scene, &args.choice)?;
    let survey = narrowed(room_summary(scene, &selection.state), &selection);
    let beside = FormulaComparison::new(scene, &selection.state);
    if args.json {
        let document =
            CheckDocument::new(scene, &selection.state, &survey, &beside, warnings(&loaded));
        terminal::answer_bytes(&to_json(&document)?)?;
    } else {
        let found = &beside.statistics;
        let answer = content::check::document(
            scene,
            &selection.state,
            &survey,
            found,
            loaded.warnings.len(),
        );
        terminal::answer(&render::terminal::text(&answer, terminal::width()))?;
        if !quiet && !loaded.warnings.is_empty() {
            let look = terminal::stderr_look();
            let drawn = diagnose::render(&loaded.name, &loaded.text, &loaded.warnings, look);
            terminal::note(drawn.trim_end());
        }
    }
    let failed = args.strict && !loaded.warnings.is_empty();
    Ok(if failed { Done::LimitNotMet } else { Done::Well })
}

/// Only the seats and speakers asked for.
fn narrowed(mut survey: RoomSummary, selection: &Selection<'_>) -> RoomSummary {
    let wanted = |speaker: SpeakerId| selection.speakers.contains(&speaker);
    survey.speakers.retain(|place| wanted(place.speaker));
    survey.pairs.retain(|pair| wanted(pair.left) && wanted(pair.right));
    survey.seats.retain(|seat| selection.listeners.contains(&seat.listener));
    for seat in &mut survey.seats {
        seat.speakers.retain(|seen| wanted(seen.speaker));
        seat.pairs.retain(|pair| wanted(pair.left) && wanted(pair.right));
    }
    survey
}

/// Every warning with its line and column.
fn warnings(loaded: &Loaded) -> Vec<Warning> {
    let warning = |problem: &Problem| {
        let before = loaded.text.get(..problem.span.start).unwrap_or(&loaded.text);
        let line = before.rsplit('\n').next().unwrap_or_default();
        Warning {
            code: problem.code,
            message: problem.message.clone(),
            line: before.matches('\n').count() + 1,
            column: line.chars().count() + 1,
            help: problem.help.clone(),
        }
    };
    loaded.warnings.iter().map(warning).collect()
}
