//! The arrivals at the ears and at a first-order microphone, each from its direction.

use super::head::{ear_delay_s, head_filter_parts, shadow_alpha};
use crate::response::{ArrivalSet, ImpulseResponse, ReceiverGain};
use crate::scene::Listener;
use glam::DVec3;

/// The arrivals of a pair where direction counts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct EarlyDirectional {
    /// At a microphone that hears all directions alike.
    pub(super) omni: ImpulseResponse,
    /// At the left and the right ear.
    pub(super) ears: [ImpulseResponse; 2],
    /// Weighted with how much they come from the left, from above and from ahead.
    pub(super) first_order: [ImpulseResponse; 3],
}

impl EarlyDirectional {
    /// All of them begin `lead_s` before emission.
    pub(super) fn new(arrival_set: &ArrivalSet, head: &Listener, lead_s: f64) -> Self {
        let [ahead, left, up] = head.frame();
        let arrival_set = &ArrivalSet { lead_s, ..*arrival_set };
        let everywhere = arrival_set.sum(|_| ReceiverGain { delay_s: 0.0, gain: 1.0 });
        Self {
            omni: arrival_set.response(&everywhere),
            ears: [left, -left].map(|ear| at_ear(arrival_set, ear)),
            first_order: [left, up, ahead].map(|axis| along(arrival_set, axis)),
        }
    }
}

/// The response at an ear that looks along `ear`: see [`head_filter_parts`] for the two sums.
fn at_ear(arrival_set: &ArrivalSet, ear: DVec3) -> ImpulseResponse {
    let speed = arrival_set.speed_of_sound_m_s;
    let sum = |weight: fn(f64) -> f64| {
        arrival_set.sum(|arrival| {
            let incidence = arrival.arrival_direction.dot(ear).clamp(-1.0, 1.0).acos();
            ReceiverGain { delay_s: ear_delay_s(incidence, speed), gain: weight(incidence) }
        })
    };
    let around = sum(|_| 1.0).filtered(|hz| head_filter_parts(hz, speed)[0]);
    let shadowed = sum(shadow_alpha).filtered(|hz| head_filter_parts(hz, speed)[1]);
    arrival_set.response(&around.plus(&shadowed))
}

/// The response of a figure of eight along `axis`: the cosine, which is the first order of spherical
/// harmonics at the scale of SN3D.
fn along(arrival_set: &ArrivalSet, axis: DVec3) -> ImpulseResponse {
    let sum = arrival_set
        .sum(|arrival| ReceiverGain { delay_s: 0.0, gain: arrival.arrival_direction.dot(axis) });
    arrival_set.response(&sum)
}
