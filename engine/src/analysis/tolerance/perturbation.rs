//! The figures of a scene with one mark moved.

use super::change::{Change, Thresholds};
use super::plan::{AxisTolerance, STEPS_M, TolerancePlan};
use crate::analysis::compare::path_keys;
use crate::analysis::setting_out::{MarkTarget, PairLayout, setting_out};
use crate::image_source::{Direct, Reflection};
use crate::medium::bands::EARLY_BANDS;
use crate::scene::{Aim, Attachments, ListenerId, Scene, SceneEdit, SpeakerId};
use crate::simulate::{PairSimulation, Request, simulate};
use glam::DVec3;

/// One mark of a scene, to be perturbed.
pub(super) struct MarkPerturbation<'a> {
    pub(super) scene: &'a Scene,
    pub(super) attachments: &'a (dyn Attachments + Sync),
    pub(super) plan: &'a TolerancePlan<'a>,
    pub(super) of: MarkTarget,
}

/// The reported figures of a scene that depend on a mark.
pub(super) struct MarkMetrics {
    pairs: Vec<PairLayout>,
    lists: Vec<PairSimulation>,
}

/// First reflections within this time after the direct sound count, seconds: the longest that
/// published limits speak of.
const WINDOW_S: f64 = 0.020;

impl MarkPerturbation<'_> {
    /// Moves the mark along a direction, either way, until something changes.
    pub(super) fn axis_tolerance(&self, way: DVec3, as_set: &MarkMetrics) -> AxisTolerance {
        let mut allowed_m = 0.0;
        for step_m in STEPS_M {
            let change =
                [step_m, -step_m].into_iter().find_map(|metres| match self.figures(metres * way) {
                    Ok(moved) => moved.change_from(as_set, &self.plan.thresholds),
                    Err(why) => Some(Change::NoRoom { why }),
                });
            if change.is_some() {
                return AxisTolerance { allowed_m, first: change };
            }
            allowed_m = step_m;
        }
        AxisTolerance { allowed_m, first: None }
    }

    /// The figures with the mark moved by a vector, metres.
    ///
    /// # Errors
    /// Why it cannot be there.
    pub(super) fn figures(&self, by: DVec3) -> Result<MarkMetrics, String> {
        let mut edit = self.scene.edit();
        self.hold_axes(&mut edit);
        match self.of {
            MarkTarget::Speaker(id) => {
                let speaker = &mut edit.speakers_mut()[id.index()];
                speaker.at += by;
                speaker.aim = Aim::Point(speaker.at + speaker.axis);
            }
            MarkTarget::Listener(id) => edit.listeners_mut()[id.index()].at += by,
        }
        let parsed = edit.validate_or_message(self.attachments)?;
        let scene = parsed.scene;
        let variant = scene.variant(self.plan.variant).ok_or("the scene has no such state")?;
        let TolerancePlan { speakers, listeners, .. } = *self.plan;
        let plan = match self.of {
            MarkTarget::Speaker(id) => first_order(&[id], listeners),
            MarkTarget::Listener(id) => first_order(speakers, &[id]),
        };
        let lists =
            simulate(&scene, &variant, &plan, &()).map_err(|wrong| wrong.to_string())?.pairs;
        Ok(MarkMetrics { pairs: setting_out(&scene, speakers, listeners).pairs, lists })
    }

    /// A mark that is off takes no cabinet along: speakers keep the axes they were set out with.
    fn hold_axes(&self, edit: &mut SceneEdit) {
        for speaker in edit.speakers_mut() {
            if let Aim::Listener(id) = speaker.aim {
                speaker.aim = Aim::Point(self.scene[id].at);
            }
        }
    }
}

fn first_order(speakers: &[SpeakerId], listeners: &[ListenerId]) -> Request {
    Request { order: 1, window_s: WINDOW_S, ..Request::list(speakers.to_vec(), listeners.to_vec()) }
}

impl MarkMetrics {
    /// The first figure that differs by more than its threshold.
    fn change_from(&self, as_set: &Self, thresholds: &Thresholds) -> Option<Change> {
        self.triangle(as_set, thresholds).or_else(|| {
            let mut pairs = self.lists.iter().zip(&as_set.lists);
            pairs.find_map(|(moved, as_set)| {
                direct(moved, as_set, thresholds).or_else(|| reflections(moved, as_set, thresholds))
            })
        })
    }

    fn triangle(&self, as_set: &Self, thresholds: &Thresholds) -> Option<Change> {
        let seats = |figures: &Self| -> Vec<_> {
            let of_pair = |pair: &PairLayout| {
                let left = pair.left;
                pair.seats.clone().into_iter().map(move |seat| (left, seat))
            };
            figures.pairs.iter().flat_map(of_pair).collect()
        };
        seats(self).iter().zip(&seats(as_set)).find_map(|((left, moved), (_, as_set))| {
            let (left, listener) = (*left, moved.listener);
            let by_s = moved.mismatch.left_later_s - as_set.mismatch.left_later_s;
            let by_deg = moved.base_angle_deg - as_set.base_angle_deg;
            if thresholds.left_right_s < by_s.abs() {
                Some(Change::LeftRight { left, listener, by_s })
            } else if thresholds.base_angle_deg < by_deg.abs() {
                Some(Change::BaseAngle { left, listener, by_deg })
            } else {
                None
            }
        })
    }
}

fn direct(
    moved: &PairSimulation,
    as_set: &PairSimulation,
    thresholds: &Thresholds,
) -> Option<Change> {
    let by_db = level_db(&moved.direct) - level_db(&as_set.direct);
    let (speaker, listener) = (moved.speaker, moved.listener);
    // Not written as `>`: a level that is lost altogether has changed.
    let holds = by_db.abs() <= thresholds.direct_db;
    (!holds).then_some(Change::Direct { speaker, listener, by_db })
}

/// Level over 1–8 kHz relative to 1 m on axis.
fn level_db(direct: &Direct) -> f64 {
    let bands = &direct.band_level_db[EARLY_BANDS];
    let mean = bands.iter().map(|db| 10f64.powf(0.1 * db)).sum::<f64>() / bands.len() as f64;
    10.0 * mean.log10()
}

fn reflections(
    moved: &PairSimulation,
    as_set: &PairSimulation,
    thresholds: &Thresholds,
) -> Option<Change> {
    let found: Vec<_> = path_keys(&moved.reflections).into_iter().zip(&moved.reflections).collect();
    let (speaker, listener) = (moved.speaker, moved.listener);
    path_keys(&as_set.reflections).iter().zip(&as_set.reflections).find_map(|(key, before)| {
        let bounce = *before.arrival.bounces.first()?;
        if before.level_db < thresholds.weakest_db {
            return None;
        }
        let after: Option<&Reflection> =
            found.iter().find(|(other, _)| other == key).map(|(_, after)| *after);
        let by_db = after.map_or(f64::NEG_INFINITY, |after| after.level_db) - before.level_db;
        let by_s = after.map_or(0.0, |after| after.delay_s - before.delay_s);
        if thresholds.reflection_db < by_db.abs() {
            Some(Change::ReflectionLevel { speaker, listener, bounce, by_db })
        } else if thresholds.reflection_s < by_s.abs() {
            Some(Change::ReflectionDelay { speaker, listener, bounce, by_s })
        } else {
            None
        }
    })
}
