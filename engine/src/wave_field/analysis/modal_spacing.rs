//! How the modes of a room are spaced, by published rules.

use crate::scene::Room;
use crate::wave_field::modes::{Mode, modes_up_to};
use std::f64::consts::TAU;

/// How modes are spaced. It says nothing about any seat.
#[derive(Debug, Clone, PartialEq)]
pub struct ModalSpacing {
    /// Modes in each third of an octave, from the first that holds one.
    pub thirds: Vec<ThirdOctave>,
    /// Whether the count never falls from one third to the next (Bonello 1981).
    pub monotonic: bool,
    /// Thirds of fewer than five modes in which two coincide (Bonello 1981), by their place in
    /// [`ModalSpacing::thirds`].
    pub coincident: Vec<usize>,
    /// Neighbouring axial modes closer than [`MIN_AXIAL_SPACING_HZ`], hertz.
    pub too_close: Vec<[f64; 2]>,
    /// Neighbouring axial modes farther apart than [`MAX_AXIAL_SPACING_HZ`], hertz.
    pub too_far_apart: Vec<[f64; 2]>,
}

/// A third of an octave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThirdOctave {
    /// Its middle, hertz: 1000·10^(n/10) (IEC 61260-1, base ten).
    pub hz: f64,
    /// Modes between its edges, 10^(±0.05) of its middle.
    pub modes: usize,
}

/// Axial modes should be farther apart than this, hertz (*Handbook for Sound Engineers*, chapter 6, read).
pub const MIN_AXIAL_SPACING_HZ: f64 = 5.0;
/// And no farther than this, hertz (the same).
pub const MAX_AXIAL_SPACING_HZ: f64 = 20.0;
/// ModalSpacing is looked at up to the third of an octave about this, hertz.
pub const SPACING_LIMIT_HZ: f64 = 200.0;
/// Modes this close coincide, as a share of their frequency: less than a bandwidth in any room.
const COINCIDE: f64 = 1e-3;
/// A third with so many modes may hold two that coincide (Bonello 1981).
const MANY: usize = 5;

/// The spacing of a room's modes.
pub fn modal_spacing(room: &Room, speed_of_sound_m_s: f64) -> ModalSpacing {
    let edge = 10f64.powf(0.05);
    let middle = |n: i32| 1000.0 * 10f64.powf(f64::from(n) / 10.0);
    let highest_hz = SPACING_LIMIT_HZ * edge;
    let hz = |mode: &Mode| mode.hz(speed_of_sound_m_s);
    let all = modes_up_to(room, TAU * highest_hz / speed_of_sound_m_s);
    let modes: Vec<Mode> = all.into_iter().filter(|mode| 0 < mode.varying_axes()).collect();
    let within = |middle_hz: f64| {
        modes.iter().map(hz).filter(move |hz| {
            let share = hz / middle_hz;
            1.0 / edge <= share && share < edge
        })
    };
    // From 10 Hz to 200 Hz.
    let thirds: Vec<ThirdOctave> = (-20..=-7)
        .map(|n| ThirdOctave { hz: middle(n), modes: within(middle(n)).count() })
        .skip_while(|third| third.modes == 0)
        .collect();
    let coincide = |third: &ThirdOctave| {
        let inside: Vec<f64> = within(third.hz).collect();
        inside.windows(2).any(|two| two[1] - two[0] <= COINCIDE * two[0])
    };
    let coincident = thirds
        .iter()
        .enumerate()
        .filter(|(_, third)| third.modes < MANY && coincide(third))
        .map(|(place, _)| place)
        .collect();
    let axial: Vec<f64> = modes
        .iter()
        .filter(|m| m.varying_axes() == 1)
        .map(hz)
        .filter(|hz| *hz <= SPACING_LIMIT_HZ)
        .collect();
    let neighbours = |wanted: &dyn Fn(f64) -> bool| {
        axial.windows(2).filter(|two| wanted(two[1] - two[0])).map(|two| [two[0], two[1]]).collect()
    };
    ModalSpacing {
        monotonic: thirds.windows(2).all(|two| two[0].modes <= two[1].modes),
        coincident,
        too_close: neighbours(&|hz| hz < MIN_AXIAL_SPACING_HZ),
        too_far_apart: neighbours(&|hz| MAX_AXIAL_SPACING_HZ < hz),
        thirds,
    }
}
