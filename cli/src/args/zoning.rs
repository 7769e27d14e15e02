//! Which zones are looked for: where a panel would work.

use super::number::number;
use clap::Args;
use earline_engine::analysis::zones::{FREQUENCIES_HZ, MAX_HEAD_HALF_M, ZonePlan};
use earline_engine::scene::{ListenerId, SpeakerId};
use earline_engine::simulate::defaults::{ZONE_HEAD_MM, ZONE_HZ};

/// For which head and which frequency.
#[derive(Debug, Clone, Args)]
pub(crate) struct Zoning {
    /// How far the head moves either way, in millimetres, for the zones where a panel would work.
    #[arg(long, value_name = "MM", default_value_t = ZONE_HEAD_MM, allow_hyphen_values = true)]
    #[arg(value_parser = number("millimetres", 0.0..=MAX_HEAD_HALF_M * 1000.0))]
    head: f64,
    /// The frequency of those zones, 50 to 16000 Hz: lower ones are larger.
    #[arg(long, value_name = "HZ", default_value_t = ZONE_HZ, allow_hyphen_values = true)]
    #[arg(value_parser = number("hertz", FREQUENCIES_HZ))]
    zone_hz: f64,
}

impl Zoning {
    /// The zones of these speakers for these listeners.
    pub(crate) fn plan(&self, speakers: &[SpeakerId], listeners: &[ListenerId]) -> ZonePlan {
        ZonePlan {
            speakers: speakers.to_vec(),
            listeners: listeners.to_vec(),
            head_half_m: self.head / 1000.0,
            frequency_hz: self.zone_hz,
        }
    }
}
