//! The numbers by which the list, the pictures and the tables speak of a reflection.
//!
//! Each seat has its own count: its reflections from all traced speakers, sorted by their delay
//! after the direct sound, are numbered from 1.

use earline_engine::image_source::Reflection;
use earline_engine::scene::ListenerId;
use earline_engine::simulate::{PairSimulation, Simulation};

/// A reflection and its number at its seat.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Numbered<'a> {
    /// Its number, from 1.
    pub(crate) number: usize,
    /// The speaker and listener it belongs to.
    pub(crate) pair: &'a PairSimulation,
    /// The reflection.
    pub(crate) reflection: &'a Reflection,
}

/// All reflections at one seat, in the order of their numbers.
pub(crate) fn at_listener(trace: &Simulation, listener: ListenerId) -> Vec<Numbered<'_>> {
    let mut list: Vec<Numbered<'_>> = trace
        .pairs
        .iter()
        .filter(|pair| pair.listener == listener)
        .flat_map(|pair| {
            pair.reflections.iter().map(move |reflection| Numbered { number: 0, pair, reflection })
        })
        .collect();
    // Stable, and compared to the nanosecond: reflections that a symmetrical room brings at one
    // time keep the order of their speakers, whatever the last bit of the arithmetic says.
    list.sort_by_key(|numbered| nanoseconds(numbered.reflection.delay_s));
    for (index, numbered) in list.iter_mut().enumerate() {
        numbered.number = index + 1;
    }
    list
}

/// The reflections of one speaker at one seat, in their order of time, with their numbers at the seat.
pub(crate) fn of_pair<'a>(trace: &'a Simulation, pair: &PairSimulation) -> Vec<Numbered<'a>> {
    let mut all = at_listener(trace, pair.listener);
    all.retain(|numbered| numbered.pair.speaker == pair.speaker);
    all
}

fn nanoseconds(seconds: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a window is far below 2^63 ns")]
    let whole = (seconds * 1e9).round() as i64;
    whole
}
