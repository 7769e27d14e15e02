//! The setting-out sheet of a scene.

use super::marks::{self, Mark};
use super::pair::PairLayout;
use super::pair_difference::{PairDifference, contrasts};
use super::toe_in::ToeIn;
use crate::scene::{ListenerId, PairIds, Scene, SpeakerId, SpeakerKind, speaker_pairs};

/// A scene as two people with a tape set it out.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingOut {
    /// The centre line: half the width, metres from the left wall.
    pub centre_line_m: f64,
    /// Either diagonal of the floor, metres; in a room that is square at its corners both are.
    pub floor_diagonal_m: f64,
    /// Marks in the order to make them.
    pub marks: Vec<Mark>,
    /// Orientation of each speaker, in the scene's order.
    pub turns: Vec<ToeIn>,
    /// Every speaker to every seat: lengths to check with.
    pub check_distances: Vec<CheckDistance>,
    /// The pairs of which both speakers are included.
    pub pairs: Vec<PairLayout>,
    /// Differences at each seat between the first pair and every other.
    pub contrasts: Vec<PairDifference>,
    /// Half-way between the lowest and the highest ears, where those differ, metres above the floor:
    /// a height for reference points that serves both (common practice, no source).
    pub half_way_up_m: Option<f64>,
}

/// From a speaker's reference point to the middle of a head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckDistance {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The listener.
    pub listener: ListenerId,
    /// In a straight line, metres.
    pub distance_m: f64,
    /// Between the crosses on the floor, metres.
    pub floor_m: f64,
    /// Height of the reference point above the ears, metres.
    pub above_ears_m: f64,
}

/// The setting-out sheet of these speakers and listeners; others are left out, and one that the
/// scene does not have is passed over.
pub fn setting_out(scene: &Scene, speakers: &[SpeakerId], listeners: &[ListenerId]) -> SettingOut {
    let room = scene.room();
    let wanted = |pair: &PairIds| speakers.contains(&pair.0) && speakers.contains(&pair.1);
    let whole: Vec<PairIds> = speaker_pairs(scene).into_iter().filter(wanted).collect();
    let sets: Vec<PairLayout> =
        whole.iter().map(|&pair| PairLayout::of(scene, pair, listeners)).collect();
    SettingOut {
        centre_line_m: 0.5 * room.width_m,
        floor_diagonal_m: room.length_m.hypot(room.width_m),
        marks: marks::in_order(scene, speakers, listeners, &whole),
        turns: speakers
            .iter()
            .filter(|&&id| is_turned(scene, id))
            .filter_map(|&id| Some(ToeIn::of(scene, id, scene.speaker(id)?)))
            .collect(),
        check_distances: check_distances(scene, speakers, listeners),
        contrasts: contrasts(scene, &sets),
        pairs: sets,
        half_way_up_m: half_way_up_m(scene, listeners),
    }
}

/// A subwoofer may stand as it likes.
fn is_turned(scene: &Scene, id: SpeakerId) -> bool {
    scene.speaker(id).is_some_and(|speaker| speaker.kind == SpeakerKind::FullRange)
}

fn check_distances(
    scene: &Scene,
    speakers: &[SpeakerId],
    listeners: &[ListenerId],
) -> Vec<CheckDistance> {
    let reach = |listener: ListenerId, speaker: SpeakerId| {
        let (head, place) = (scene.listener(listener)?, scene.speaker(speaker)?);
        let apart = place.at - head.at;
        Some(CheckDistance {
            speaker,
            listener,
            distance_m: apart.length(),
            floor_m: apart.x.hypot(apart.y),
            above_ears_m: apart.z,
        })
    };
    listeners
        .iter()
        .flat_map(|&listener| speakers.iter().filter_map(move |&speaker| reach(listener, speaker)))
        .collect()
}

fn half_way_up_m(scene: &Scene, listeners: &[ListenerId]) -> Option<f64> {
    let heights = || listeners.iter().filter_map(|&id| Some(scene.listener(id)?.at.z));
    let lowest = heights().reduce(f64::min)?;
    let highest = heights().reduce(f64::max)?;
    (0.001 < highest - lowest).then(|| f64::midpoint(lowest, highest))
}
