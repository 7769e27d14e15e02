//! The strongest reflection among those of several speakers.

use crate::image_source::Bounce;
use crate::image_source::Reflection;
use crate::metrics::criteria::is_within;
use crate::scene::SpeakerId;
use crate::simulate::PairSimulation;

/// A reflection among several speakers' traces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrongestTraced<'a> {
    /// The speaker and listener it belongs to.
    pub pair: &'a PairSimulation,
    /// Its index among that pair's reflections.
    pub index: usize,
    /// The reflection.
    pub reflection: &'a Reflection,
}

/// The strongest reflection among several speakers' early reflections.
#[derive(Debug, Clone, PartialEq)]
pub struct StrongestReflection {
    /// Its speaker.
    pub speaker: SpeakerId,
    /// Its reflection points, from the speaker on.
    pub bounces: Vec<Bounce>,
    /// Delay after the direct sound, seconds.
    pub delay_s: f64,
    /// Level over 1–8 kHz against the direct sound, decibels.
    pub level_db: f64,
}

/// The strongest reflection within a time after the direct sound over 1–8 kHz, among several
/// speakers at one seat; of equals the earliest, then the first. `None` when nothing arrives within
/// that time.
///
/// Levels are compared in steps of a hundredth of a decibel: what a symmetrical room makes equal is
/// not decided by rounding.
pub fn strongest_within<'a>(
    pairs: &[&'a PairSimulation],
    window_s: f64,
) -> Option<StrongestTraced<'a>> {
    let all = pairs.iter().flat_map(|&pair| {
        pair.reflections.iter().enumerate().map(move |(index, found)| ((pair, index), found))
    });
    let ((pair, index), reflection) = strongest(all, window_s)?;
    Some(StrongestTraced { pair, index, reflection })
}

impl StrongestReflection {
    /// The same among lists.
    pub fn within(lists: &[PairSimulation], window_s: f64) -> Option<Self> {
        let all = lists.iter().flat_map(|list| {
            list.reflections.iter().map(move |reflection| (list.speaker, reflection))
        });
        let (speaker, reflection) = strongest(all, window_s)?;
        Some(Self {
            speaker,
            bounces: reflection.arrival.bounces.clone(),
            delay_s: reflection.delay_s,
            level_db: reflection.level_db,
        })
    }
}

fn strongest<'a, T>(
    all: impl Iterator<Item = (T, &'a Reflection)>,
    window_s: f64,
) -> Option<(T, &'a Reflection)> {
    let level_step = |found: &Reflection| (found.level_db * 100.0).round();
    // A microsecond: mirrored paths differ by rounding in their length, too.
    let delay_step = |found: &Reflection| (found.delay_s * 1e6).round();
    all.filter(|(_, found)| is_within(found.delay_s, window_s))
        .filter(|(_, found)| found.level_db.is_finite())
        .reduce(|best, next| {
            let louder = level_step(next.1).total_cmp(&level_step(best.1));
            let earlier = delay_step(next.1) < delay_step(best.1);
            if louder.is_gt() || (louder.is_eq() && earlier) { next } else { best }
        })
}
