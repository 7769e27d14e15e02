//! What the response of arrivals is made of, for those who listen with more than one microphone.

use super::energy_time::RING_S;
use super::impulse::ImpulseResponse;
use super::spectrum::{Placed, Spectrum};
use super::specular::Specular;
use crate::image_source::Arrival;
use crate::medium::bands::FrequencyGrid;

/// The arrivals behind a [`Specular`], lent while they are at hand: thousands of them, each with its
/// direction and whole spectrum.
#[derive(Debug, Clone, Copy)]
pub struct Strands<'a> {
    /// What stands in the response, in order of time.
    pub arrivals: &'a [Arrival],
    /// The frequencies their pressures are at.
    pub grid: &'a FrequencyGrid,
    /// Metres a second.
    pub speed_of_sound_m_s: f64,
    /// The response they make at one microphone.
    pub specular: &'a Specular,
    /// Sums begin so long before emission, seconds: an arrival that changes from octave to octave
    /// rings a little before it comes, and what rings before the beginning is cut off.
    pub lead_s: f64,
}

impl Strands<'_> {
    /// Their sum where each arrival comes `later_s` than at the middle of the head, with a weight on
    /// its pressure; `heard` gives both. They fade out as those of the one microphone do.
    pub fn sum(&self, heard: impl Fn(&Arrival) -> Heard) -> Spectrum {
        let placed = self.arrivals.iter().map(|arrival| {
            let time_s = arrival.distance_m / self.speed_of_sound_m_s;
            let Heard { later_s, weight } = heard(arrival);
            let weight = weight * self.specular.fade.weight(time_s);
            Placed { arrival, time_s: self.lead_s + time_s + later_s, weight }
        });
        Spectrum::sum(placed, self.grid, self.duration_s() + RING_S)
    }

    /// Such a sum as a response, as long as that of the one microphone after the lead.
    pub fn response(&self, sum: &Spectrum) -> ImpulseResponse {
        sum.response(self.duration_s())
    }

    fn duration_s(&self) -> f64 {
        self.lead_s + self.specular.response.duration_s()
    }
}

/// How an arrival is heard at some place of a head, or by some microphone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heard {
    /// How much later than in the middle of the head, seconds.
    pub later_s: f64,
    /// Weight on its pressure.
    pub weight: f64,
}
