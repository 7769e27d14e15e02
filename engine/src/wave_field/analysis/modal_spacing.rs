//! Spacing of a room's modes by published rules.

use crate::scene::Room;
use crate::wave_field::modes::{Mode, modes_up_to};
use std::f64::consts::TAU;

/// Spacing of the modes of a room, which says nothing about any seat.
#[derive(Debug, Clone, PartialEq)]
pub struct ModalSpacing {
    /// Number of modes in each third-octave band, from the first that holds one.
    pub thirds: Vec<ThirdOctave>,
    /// Whether the number never falls from one band to the next (Bonello 1981).
    pub monotonic: bool,
    /// Indices in [`ModalSpacing::thirds`] of the bands of fewer than five modes in which two coincide
    /// (Bonello 1981).
    pub coincident: Vec<usize>,
    /// Neighbouring axial modes closer than [`MIN_AXIAL_SPACING_HZ`], hertz.
    pub too_close: Vec<[f64; 2]>,
    /// Neighbouring axial modes farther apart than [`MAX_AXIAL_SPACING_HZ`], hertz.
    pub too_far_apart: Vec<[f64; 2]>,
}

/// Third-octave band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThirdOctave {
    /// Exact mid-band frequency, hertz: 1000·10^(n/10) (IEC 61260-1, base ten).
    pub hz: f64,
    /// Number of modes between its edges, 10^(±0.05) of its mid-band frequency.
    pub modes: usize,
}

/// Least spacing of axial modes, hertz (*Handbook for Sound Engineers*, chapter 6, read).
pub const MIN_AXIAL_SPACING_HZ: f64 = 5.0;
/// Greatest spacing of axial modes, hertz (*Handbook for Sound Engineers*, chapter 6, read).
pub const MAX_AXIAL_SPACING_HZ: f64 = 20.0;
/// Mid-band frequency of the highest third-octave band examined, hertz.
pub const SPACING_LIMIT_HZ: f64 = 200.0;
/// Greatest relative difference of coincident modes: less than a bandwidth in any room.
const COINCIDENCE: f64 = 1e-3;
/// Number of modes from which a band may hold two that coincide (Bonello 1981).
const DENSE_BAND: usize = 5;

/// Spacing of a room's modes.
pub fn modal_spacing(room: &Room, speed_of_sound_m_s: f64) -> ModalSpacing {
    let edge = 10f64.powf(0.05);
    let mid_band_hz = |n: i32| 1000.0 * 10f64.powf(f64::from(n) / 10.0);
    let highest_hz = SPACING_LIMIT_HZ * edge;
    let hz = |mode: &Mode| mode.hz(speed_of_sound_m_s);
    let all = modes_up_to(room, TAU * highest_hz / speed_of_sound_m_s);
    let modes: Vec<Mode> = all.into_iter().filter(|mode| 0 < mode.varying_axes()).collect();
    let within = |mid_band_hz: f64| {
        modes.iter().map(hz).filter(move |hz| {
            let ratio = hz / mid_band_hz;
            1.0 / edge <= ratio && ratio < edge
        })
    };
    // From 10 Hz to 200 Hz.
    let thirds: Vec<ThirdOctave> = (-20..=-7)
        .map(|n| ThirdOctave { hz: mid_band_hz(n), modes: within(mid_band_hz(n)).count() })
        .skip_while(|third| third.modes == 0)
        .collect();
    let has_coincidence = |third: &ThirdOctave| {
        let inside: Vec<f64> = within(third.hz).collect();
        inside.windows(2).any(|two| two[1] - two[0] <= COINCIDENCE * two[0])
    };
    let coincident = thirds
        .iter()
        .enumerate()
        .filter(|(_, third)| third.modes < DENSE_BAND && has_coincidence(third))
        .map(|(index, _)| index)
        .collect();
    let is_axial = |mode: &&Mode| mode.varying_axes() == 1;
    let axial: Vec<f64> =
        modes.iter().filter(is_axial).map(hz).filter(|hz| *hz <= SPACING_LIMIT_HZ).collect();
    let neighbours = |is_named: &dyn Fn(f64) -> bool| {
        let pairs = axial.windows(2).filter(|two| is_named(two[1] - two[0]));
        pairs.map(|two| [two[0], two[1]]).collect()
    };
    ModalSpacing {
        monotonic: thirds.windows(2).all(|two| two[0].modes <= two[1].modes),
        coincident,
        too_close: neighbours(&|spacing_hz| spacing_hz < MIN_AXIAL_SPACING_HZ),
        too_far_apart: neighbours(&|spacing_hz| MAX_AXIAL_SPACING_HZ < spacing_hz),
        thirds,
    }
}
