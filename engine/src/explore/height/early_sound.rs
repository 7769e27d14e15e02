//! Direct sound and early reflections of a pair at given heights of speakers and ears.

use super::ear_positions::EarPosition;
use super::option::HeightOption;
use super::plan::HeightPlan;
use crate::analysis::compare::StrongestReflection;
use crate::medium::bands::{BAND_COUNT, EARLY_BANDS, PerBand, energy_db};
use crate::scene::{Attachments, Listener, ListenerId, Scene};
use crate::simulate::{PairSimulation, Request, simulate};
use std::ops::Range;

/// Reflections up to this long after the direct sound join it, seconds; the longest time that
/// published limits on early reflections speak of.
pub const EARLY_S: f64 = 0.020;

/// Early sound at one height of ears: energy mean of the two speakers of a pair.
#[derive(Debug, Clone, PartialEq)]
pub struct EarlySound {
    /// Direct sound per band relative to the same speaker on its axis at the same distance, decibels:
    /// loss by directivity and occlusion.
    pub direct_db: PerBand<f64>,
    /// Level of the direct sound over 1–8 kHz, decibels.
    pub direct_level_db: f64,
    /// Unevenness of the direct sound over 125 Hz to 8 kHz: root mean square of the band levels about
    /// their mean, decibels. A plain measure of our own; no published scale of audibility.
    pub direct_coloration_db: f64,
    /// Direct sound and reflections up to [`EARLY_S`] added in energy, against the same reference.
    pub early_db: PerBand<f64>,
    /// Level of direct sound and early reflections over 1–8 kHz, decibels.
    pub early_level_db: f64,
    /// Unevenness of [`EarlySound::early_db`], decibels.
    pub early_coloration_db: f64,
    /// The strongest early reflection over 1–8 kHz from either speaker.
    pub strongest: Option<StrongestReflection>,
}

/// Bands of the coloration: 63 Hz lies below most small speakers and is governed by the room's
/// modes.
const COLORATION_BANDS: Range<usize> = 1..BAND_COUNT;

/// Image order of the early reflections.
const ORDER: usize = 2;

/// Early sound of a pair at a height, at each height of ears.
///
/// # Errors
/// Why the pair cannot be there, in the words of the scene's own rules.
pub(super) fn early_sound(
    scene: &Scene,
    attachments: &dyn Attachments,
    plan: &HeightPlan<'_>,
    ears: &[EarPosition; 2],
    option: &HeightOption,
) -> Result<Vec<EarlySound>, String> {
    let mut edit = scene.edit();
    for (id, up_m) in plan.pair.into_iter().zip(option.up_m) {
        option.set(&mut edit.speakers_mut()[id.index()], up_m);
    }
    let mut listeners = Vec::new();
    for ears in ears {
        listeners.push(ears.listener.unwrap_or_else(|| {
            let all = edit.listeners_mut();
            all.push(Listener { name: unused_name(all), at: ears.at, faces: None });
            ListenerId::new(all.len() - 1)
        }));
    }
    let scene = edit.validate_or_message(attachments)?.scene;
    let variant = scene.variant(plan.variant).ok_or("the scene has no such state")?;
    let request =
        Request { order: ORDER, window_s: EARLY_S, ..Request::list(plan.pair.to_vec(), listeners) };
    let lists = simulate(&scene, &variant, &request, &()).map_err(|wrong| wrong.to_string())?.pairs;
    Ok(lists.chunks(plan.pair.len()).map(|pair| EarlySound::of(&scene, pair)).collect())
}

/// A name that no listener has.
fn unused_name(listeners: &[Listener]) -> String {
    let mut name = "standing ears".to_owned();
    while listeners.iter().any(|listener| listener.name == name) {
        name.push('*');
    }
    name
}

impl EarlySound {
    fn of(scene: &Scene, pair: &[PairSimulation]) -> Self {
        let share = 1.0 / pair.len().max(1) as f64;
        let mut direct = [0.0; BAND_COUNT];
        let mut early = [0.0; BAND_COUNT];
        for one in pair {
            let on_axis = on_axis(scene, one.direct.distance_m);
            for band in 0..BAND_COUNT {
                let direct_energy = 10f64.powf(0.1 * one.direct.band_level_db[band]);
                let reflected = one.reflections.iter().map(|found| found.arrival.band_energy[band]);
                direct[band] += share * direct_energy / on_axis[band];
                early[band] += share * (direct_energy + reflected.sum::<f64>()) / on_axis[band];
            }
        }
        Self {
            direct_db: direct.map(energy_db),
            direct_level_db: level_db(&direct),
            direct_coloration_db: coloration_db(&direct),
            early_db: early.map(energy_db),
            early_level_db: level_db(&early),
            early_coloration_db: coloration_db(&early),
            strongest: StrongestReflection::within(pair, EARLY_S),
        }
    }
}

/// Energy of a speaker straight on its axis at a distance, per band, relative to that at 1 m in a
/// free field.
fn on_axis(scene: &Scene, distance_m: f64) -> PerBand<f64> {
    scene.air().energy_after(distance_m).map(|left| left / distance_m.powi(2))
}

fn level_db(energy: &PerBand<f64>) -> f64 {
    energy_db(energy[EARLY_BANDS].iter().sum::<f64>() / EARLY_BANDS.len() as f64)
}

fn coloration_db(energy: &PerBand<f64>) -> f64 {
    let levels = || energy[COLORATION_BANDS].iter().map(|&energy| energy_db(energy));
    let count = COLORATION_BANDS.len() as f64;
    let mean = levels().sum::<f64>() / count;
    (levels().map(|level| (level - mean).powi(2)).sum::<f64>() / count).sqrt()
}
