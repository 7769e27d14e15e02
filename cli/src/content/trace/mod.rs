//! The report of a trace: what arrives at each seat, how it dies away, and what might be tried.

pub(crate) mod advice;
mod brief;
mod columns;
mod comb_filter;
mod criterion;
pub(crate) mod decay;
pub(crate) mod deviations;
mod formulas;
pub(crate) mod reflections;
pub(crate) mod remedy;
pub(crate) mod seat;
mod speakers;
pub(crate) mod verdict;
pub(crate) mod zones;

pub(crate) use self::brief::brief;
use self::seat::SeatReflections;
use crate::content::criterion::{early_limit, reverberation_criterion};
use crate::content::document::Document;
use crate::content::formula_comparison::FormulaComparison;
use crate::content::numbering::Numbered;
use crate::format::length;
use earline_engine::analysis::zones::{SeatZones, ZonePlan};
use earline_engine::metrics::criteria::{EarlyLimit, ReverberationCriterion, Verdict};
use earline_engine::ray_tracing::DensityFrames;
use earline_engine::scene::{Scene, SpeakerId, Units, Variant};
use earline_engine::simulate::RoomDecay;
use earline_engine::simulate::{Request, Simulation};

/// A trace with all that its report needs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TraceReport<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a Variant<'a>,
    /// The plan of the trace.
    pub(crate) plan: &'a Request,
    /// The trace.
    pub(crate) trace: &'a Simulation,
    /// The whole decay, where rays were followed.
    pub(crate) decay: Option<&'a RoomDecay>,
    /// How the sound of the first speaker spreads, where rays were followed.
    pub(crate) snapshots: Option<&'a DensityFrames>,
    /// The plan of the zones.
    pub(crate) zone_plan: &'a ZonePlan,
    /// The zones of each seat of the plan, in its order.
    pub(crate) zones: &'a [SeatZones],
    /// The limit for early reflections.
    pub(crate) limit: &'static EarlyLimit,
    /// Whether to show every octave band.
    pub(crate) bands: bool,
    /// Statistical formulas for the room.
    pub(crate) formula_comparison: &'a FormulaComparison<'a>,
    /// The recommendation for the decay.
    pub(crate) criterion: &'static ReverberationCriterion,
    /// Whether to show every statistical formula.
    pub(crate) formulas: bool,
    /// Responses and their curves are those of the wave field below this, hertz; `None` where they are
    /// those of images and rays throughout.
    pub(crate) crossover_hz: Option<f64>,
}

impl TraceReport<'_> {
    fn units(&self) -> Units {
        self.scene.units()
    }

    fn verdict(&self, numbered: &Numbered<'_>) -> Verdict {
        self.limit.judge(numbered.reflection.delay_s, numbered.reflection.level_db)
    }

    fn speaker(&self, id: SpeakerId) -> &str {
        &self.scene[id].name
    }
}

/// The whole report.
pub(crate) fn document(report: &TraceReport<'_>) -> Document {
    let mut document = Document::of_scene(report.scene, report.state);
    document.paragraph(room(report));
    for &listener in &report.plan.listeners {
        let seat = &report.scene[listener];
        let reflections = SeatReflections::at(report, listener);
        document.heading(format!("At {}", seat.name));
        document.note(length::position(seat.at, report.units())).pause();
        document.append(speakers::document(report, listener));
        document.append(reflections::document(report, &reflections));
        document.append(advice::document(report, &reflections));
        document.append(zones::document(report, listener, &reflections.numbered));
        document.append(decay::document(report, listener));
    }
    document.append(deviations::document(report));
    if let Some(hz) = report.crossover_hz {
        document.pause().paragraph(format!(
            "Below about {hz:.0} Hz energy-time curves and decays are those of the wave field, which \
             `earline bass` tells more of.",
        ));
    }
    document.pause().paragraph(early_limit(report.limit));
    if report.decay.is_some() {
        document.paragraph(reverberation_criterion(report.criterion));
    }
    document
}

/// The room in a sentence.
fn room(report: &TraceReport<'_>) -> String {
    format!(
        "{}; sound travels {} per millisecond",
        size(report),
        length::offset(report.trace.speed_of_sound_m_s / 1000.0, report.units()),
    )
}

/// The size of the room.
fn size(report: &TraceReport<'_>) -> String {
    let room = report.scene.room();
    let units = report.units();
    let [length, wide, high] = room.size().to_array().map(|m| length::length(m, units));
    let volume = length::volume(room.volume_m3(), units);
    format!("{length} long, {wide} wide, {high} high; {volume} of air")
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;
    use crate::render::terminal;
    use earline_engine::analysis::zones::zones;
    use earline_engine::metrics::criteria::{EARLY_LIMITS, REVERBERATION_CRITERIA};
    use earline_engine::scene::NoAttachments;
    use earline_engine::simulate::{Curve, RayRequest, ResponseRequest, simulate};
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
            let state = scene.variant(None).unwrap();
            let response = ResponseRequest {
                rays: Some(RayRequest::fixed(1024)),
                curve: Curve::Geometrical,
                ..ResponseRequest::early(0.5)
            };
            let plan = Request { response: Some(response), ..Request::everything(&scene) };
            let found = simulate(&scene, &state, &plan, &()).unwrap();
            let zone_plan = ZonePlan {
                speakers: plan.speakers.clone(),
                listeners: plan.listeners.clone(),
                head_half_m: 0.15,
                frequency_hz: 1000.0,
            };
            let seats = zones(&scene, &state, &zone_plan).unwrap();
            let beside = FormulaComparison::new(&scene, &state);
            for is_long in [false, true] {
                let report = TraceReport {
                    scene: &scene,
                    state: &state,
                    plan: &plan,
                    trace: &found,
                    decay: found.decay.as_ref(),
                    snapshots: None,
                    zone_plan: &zone_plan,
                    zones: &seats,
                    limit: &EARLY_LIMITS[0],
                    bands: is_long,
                    formula_comparison: &beside,
                    criterion: &REVERBERATION_CRITERIA[0],
                    formulas: is_long,
                    crossover_hz: is_long.then_some(187.0),
                };
                let document = document(&report);
                for width in 60..=130 {
                    let answer =
                        anstream::adapter::strip_str(&terminal::text(&document, width)).to_string();
                    for line in answer.lines() {
                        assert!(line.width() <= width, "{width}: {line}");
                    }
                }
            }
        }
    }
}
