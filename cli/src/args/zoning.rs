//! Which zones are looked for: where a panel would work.

use clap::Args;
use earline_engine::analysis::zones::{FREQUENCIES_HZ, MAX_HEAD_HALF_M, ZonePlan};
use earline_engine::scene::{ListenerId, SpeakerId};
use earline_engine::simulate::defaults::{ZONE_HEAD_MM, ZONE_HZ};

/// For which head and which frequency.
#[derive(Debug, Clone, Args)]
pub(crate) struct Zoning {
    /// How far the head moves either way, in millimetres, for the zones where a panel would work.
    #[arg(long, value_name = "MM", default_value_t = ZONE_HEAD_MM, value_parser = head_mm)]
    head: f64,
    /// The frequency of those zones, 50 to 16000 Hz: lower ones are larger.
    #[arg(long, value_name = "HZ", default_value_t = ZONE_HZ, value_parser = zone_hz)]
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

fn head_mm(text: &str) -> Result<f64, String> {
    let mm: f64 = text.trim().parse().map_err(|_| "give a number of millimetres".to_owned())?;
    if (0.0..=MAX_HEAD_HALF_M * 1000.0).contains(&mm) {
        Ok(mm)
    } else {
        Err(format!("give 0 to {} millimetres", MAX_HEAD_HALF_M * 1000.0))
    }
}

fn zone_hz(text: &str) -> Result<f64, String> {
    let hz: f64 = text.trim().parse().map_err(|_| "give a number of hertz".to_owned())?;
    if FREQUENCIES_HZ.contains(&hz) {
        Ok(hz)
    } else {
        Err(format!("give {} to {} hertz", FREQUENCIES_HZ.start(), FREQUENCIES_HZ.end()))
    }
}
