//! What the response of arrivals is made of, for those who listen with more than one microphone.

use super::early::EarlyResponse;
use super::energy_time::RING_S;
use super::impulse::ImpulseResponse;
use super::spectrum::{Spectrum, TimedArrival};
use crate::image_source::Arrival;
use crate::medium::bands::FrequencyGrid;

/// The arrivals behind a [`EarlyResponse`], lent while they are at hand: thousands of them, each with its
/// direction and whole spectrum.
#[derive(Debug, Clone, Copy)]
pub struct ArrivalSet<'a> {
    /// What stands in the response, in order of time.
    pub arrivals: &'a [Arrival],
    /// The frequencies their pressures are at.
    pub grid: &'a FrequencyGrid,
    /// Metres a second.
    pub speed_of_sound_m_s: f64,
    /// The response they make at one microphone.
    pub early: &'a EarlyResponse,
    /// Sums begin so long before emission, seconds: an arrival that changes from octave to octave
    /// rings a little before it comes, and what rings before the beginning is cut off.
    pub lead_s: f64,
}

impl ArrivalSet<'_> {
    /// Their sum where each arrival comes `delay_s` than at the middle of the head, with a weight on
    /// its pressure; `heard` gives both. They fade out as those of the one microphone do.
    pub fn sum(&self, heard: impl Fn(&Arrival) -> ReceiverGain) -> Spectrum {
        let timed = self.arrivals.iter().map(|arrival| {
            let time_s = arrival.distance_m / self.speed_of_sound_m_s;
            let ReceiverGain { delay_s, gain } = heard(arrival);
            let weight = gain * self.early.window.weight(time_s);
            TimedArrival { arrival, time_s: self.lead_s + time_s + delay_s, weight }
        });
        Spectrum::sum(timed, self.grid, self.duration_s() + RING_S)
    }

    /// Such a sum as a response, as long as that of the one microphone after the lead.
    pub fn response(&self, sum: &Spectrum) -> ImpulseResponse {
        sum.response(self.duration_s())
    }

    fn duration_s(&self) -> f64 {
        self.lead_s + self.early.response.duration_s()
    }
}

/// How an arrival is heard at some place of a head, or by some microphone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReceiverGain {
    /// How much later than in the middle of the head, seconds.
    pub delay_s: f64,
    /// Weight on its pressure.
    pub gain: f64,
}
