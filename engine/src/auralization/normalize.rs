//! Several programmes brought to one loudness, without clipping any.

use super::Stereo;
use super::loudness::{Loudness, loudness};

/// The loudness all are brought to, LUFS: that of EBU R 128 (from memory).
pub const TARGET_LUFS: f64 = -23.0;

/// No programme peaks higher than this, decibels of true peak re full scale (EBU R 128, from
/// memory).
pub const CEILING_DB: f64 = -1.0;

/// Loudness is a matter of blocks above a gate, so a gain moves it by its own amount only nearly: it
/// is measured again, at most so often …
const ROUNDS: usize = 4;
/// … and until it is right to this, LU.
const RIGHT_LU: f64 = 1e-3;

/// What was done to a programme, and what it is like now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normalized {
    /// Gain on its pressure, decibels.
    pub gain_db: f64,
    /// As it came.
    pub before: Loudness,
    /// As it is.
    pub after: Loudness,
}

/// Brings programmes to [`TARGET_LUFS`]; where one would then peak above [`CEILING_DB`], all are
/// lowered alike, so that they stay matched. `None` where one has no loudness.
pub fn normalize_loudness(programmes: &mut [Stereo]) -> Option<Vec<Normalized>> {
    let before: Vec<Loudness> = programmes.iter().map(loudness).collect::<Option<_>>()?;
    let mut gains_db = vec![0.0; programmes.len()];
    let mut after = before.clone();
    let mut target_lufs = TARGET_LUFS;
    for _ in 0..ROUNDS {
        // As if all were at the target already.
        let highest_db = after.iter().map(|a| a.true_peak_db - a.integrated_lufs);
        let highest_db = highest_db.fold(f64::NEG_INFINITY, f64::max);
        target_lufs = target_lufs.min(CEILING_DB - highest_db);
        if after.iter().all(|a| (a.integrated_lufs - target_lufs).abs() < RIGHT_LU) {
            break;
        }
        for ((programme, gain_db), after) in
            programmes.iter_mut().zip(&mut gains_db).zip(&mut after)
        {
            let more_db = target_lufs - after.integrated_lufs;
            *gain_db += more_db;
            let factor = 10f64.powf(more_db / 20.0);
            programme.iter_mut().flatten().for_each(|sample| *sample *= factor);
            *after = loudness(programme)?;
        }
    }
    let rows = gains_db.into_iter().zip(before).zip(after);
    Some(rows.map(|((gain_db, before), after)| Normalized { gain_db, before, after }).collect())
}
