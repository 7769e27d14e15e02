//! What a person reads in the terminal after a trace.

pub(crate) mod advice;
pub(crate) mod check;
pub(crate) mod compare;
mod decay;
pub(crate) mod list;
pub(crate) mod plain;
mod remedy;
mod ripple;
mod speakers;
pub(crate) mod zones;

use crate::content::formula_comparison::Beside;
use crate::content::numbering::{Numbered, at_listener};
use crate::format::length;
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, paragraph};
use earline_engine::analysis::zones::{SeatZones, ZonePlan};
use earline_engine::metrics::criteria::{EarlyLimit, ReverberationCriterion, Verdict};
use earline_engine::ray_tracing::Snapshots;
use earline_engine::scene::{Scene, State, Units};
use earline_engine::trace::{Plan, Trace};
use earline_engine::whole_decay::WholeDecay;

/// All that the answer speaks of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Told<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a State<'a>,
    /// What was asked.
    pub(crate) plan: &'a Plan,
    /// What was found.
    pub(crate) trace: &'a Trace,
    /// The whole decay, where rays were followed.
    pub(crate) decay: Option<&'a WholeDecay>,
    /// How the sound of the first speaker spreads, where rays were followed.
    pub(crate) snapshots: Option<&'a Snapshots>,
    /// Whose zones were asked for, and how.
    pub(crate) zone_plan: &'a ZonePlan,
    /// The zones of each seat of the plan, in its order.
    pub(crate) zones: &'a [SeatZones],
    /// The limit the list is held against.
    pub(crate) limit: &'static EarlyLimit,
    /// Whether to show every octave band.
    pub(crate) bands: bool,
    /// What statistics make of the room.
    pub(crate) beside: &'a Beside<'a>,
    /// The recommendation the decay is held against.
    pub(crate) criterion: &'static ReverberationCriterion,
    /// Whether to show every statistical formula.
    pub(crate) formulas: bool,
    /// Responses and their curves are those of the wave field below this, hertz; `None` where they are
    /// those of images and rays throughout.
    pub(crate) crossover_hz: Option<f64>,
}

impl Told<'_> {
    fn units(&self) -> Units {
        self.scene.units()
    }

    fn verdict(&self, numbered: &Numbered<'_>) -> Verdict {
        self.limit.judge(numbered.reflection.after_direct_s, numbered.reflection.level_db)
    }

    fn speaker(&self, numbered: &Numbered<'_>) -> &str {
        &self.scene.speakers()[numbered.pair.speaker].name
    }
}

/// The whole answer, every line within `width`.
pub(crate) fn text(told: &Told<'_>, width: usize) -> String {
    let mut lines = room(told, width);
    for &listener in &told.plan.listeners {
        let seat = &told.scene.listeners()[listener];
        let numbered = at_listener(told.trace, listener);
        lines.push(String::new());
        let heading = format!("At {}", seat.name);
        lines.push(format!("{HEADING}{heading}{HEADING:#}"));
        lines.extend(indented(&length::position(seat.at, told.units()), 2, width));
        lines.push(String::new());
        lines.extend(speakers::lines(told, listener, width));
        lines.push(String::new());
        lines.extend(list::lines(told, &numbered, width));
        lines.push(String::new());
        lines.extend(advice::lines(told, &numbered, width));
        lines.extend(zones::lines(told, listener, &numbered, width));
        lines.extend(decay::lines(told, listener, width));
    }
    lines.extend(decay::parted(told, width));
    if let Some(hz) = told.crossover_hz {
        let text = format!(
            "Below about {hz:.0} Hz energy-time curves are those of the wave field, which `earline bass` \
             tells of; decay times are those of the rays in every band.",
        );
        lines.push(String::new());
        lines.extend(paragraph(&text, width));
    }
    lines.push(String::new());
    lines.extend(limit(told.limit, width));
    lines.extend(decay::criterion(told, width));
    lines.push(String::new());
    lines.join("\n")
}

/// The room in one line, on paper that is wide enough.
fn room(told: &Told<'_>, width: usize) -> Vec<String> {
    let room = told.scene.room();
    let units = told.units();
    let [length, wide, high] = room.size().to_array().map(|m| length::length(m, units));
    let figures = format!(
        "{length} long, {wide} wide, {high} high; {} of air; sound travels {} per millisecond",
        length::volume(room.volume_m3(), units),
        length::offset(told.trace.speed_of_sound_m_s / 1000.0, units),
    );
    let mut lines = title(told.scene, told.state, width);
    lines.extend(paragraph(&figures, width));
    lines
}

/// An empty line and a heading.
fn heading(text: &str) -> [String; 2] {
    [String::new(), format!("{HEADING}{text}{HEADING:#}")]
}

/// What the scene is called, with the state of the room.
fn title(scene: &Scene, state: &State<'_>, width: usize) -> Vec<String> {
    let name = match state.name {
        Some(variant) => format!("{} ({variant})", scene.title()),
        None => scene.title().to_owned(),
    };
    paragraph(&name, width).iter().map(|line| format!("{HEADING}{line}{HEADING:#}")).collect()
}

/// How much farther and later the left speaker of a pair is; `None` where a tape cannot tell.
fn side_behind(left_farther_m: f64, left_later_s: f64, units: Units) -> Option<String> {
    if left_farther_m.abs() < ALIKE_M {
        return None;
    }
    let side = if left_farther_m > 0.0 { "left" } else { "right" };
    let farther = length::offset(left_farther_m.abs(), units);
    Some(format!("{side} is {farther} farther and {:.0} µs later", left_later_s.abs() * 1e6))
}

/// Less than a tape can tell, metres.
const ALIKE_M: f64 = 0.0005;

/// The limit in words, with how our copy of it was come by.
fn limit(limit: &EarlyLimit, width: usize) -> Vec<String> {
    let text = format!(
        "Limit: {}, {:.0} dB below the direct sound in the first {:.0} ms, 1 to 8 kHz \
         (our copy: {}). A published starting point, not a law; --limit chooses another.",
        limit.document,
        -limit.level_db(),
        limit.window_s() * 1000.0,
        limit.provenance,
    );
    paragraph(&text, width)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;
    use earline_engine::analysis::zones::zones;
    use earline_engine::metrics::criteria::{EARLY_LIMITS, REVERBERATION_CRITERIA};
    use earline_engine::ray_tracing::RayCount;
    use earline_engine::scene::NoAttachments;
    use earline_engine::trace::trace;
    use earline_engine::whole_decay::{FLOOR_DB, ray_plan, whole_decay};
    use unicode_width::UnicodeWidthStr;

    /// Every demo room, in metres and in feet, at every width from a narrow window to a wide one.
    #[test]
    fn every_line_keeps_to_the_width() {
        for text_of_scene in [
            include_str!("../../../../scenes/attic.toml"),
            include_str!("../../../../scenes/bedroom.toml"),
            include_str!("../../../../scenes/garage.toml"),
            include_str!("../../../../scenes/study.toml"),
            include_str!("../../../../scenes/teaching-box.toml"),
        ] {
            let scene = Scene::parse(text_of_scene, &NoAttachments).unwrap().scene;
            let state = scene.state(None).unwrap();
            let plan = Plan::everything(&scene);
            let found = trace(&scene, &state, &plan).unwrap();
            let zone_plan = ZonePlan {
                speakers: plan.speakers.clone(),
                listeners: plan.listeners.clone(),
                head_half_m: 0.15,
                frequency_hz: 1000.0,
            };
            let seats = zones(&scene, &state, &zone_plan).unwrap();
            let beside = Beside::new(&scene, &state);
            let rays = ray_plan(RayCount::Fixed(1024), 1, FLOOR_DB);
            let decay = whole_decay(&scene, &state, &found, &rays, &|_| {});
            for is_long in [false, true] {
                let told = Told {
                    scene: &scene,
                    state: &state,
                    plan: &plan,
                    trace: &found,
                    decay: Some(&decay),
                    snapshots: None,
                    zone_plan: &zone_plan,
                    zones: &seats,
                    limit: &EARLY_LIMITS[0],
                    bands: is_long,
                    beside: &beside,
                    criterion: &REVERBERATION_CRITERIA[0],
                    formulas: is_long,
                    crossover_hz: is_long.then_some(187.0),
                };
                for width in 60..=130 {
                    let answer = anstream::adapter::strip_str(&text(&told, width)).to_string();
                    for line in answer.lines() {
                        assert!(line.width() <= width, "{width}: {line}");
                    }
                }
            }
        }
    }
}
