//! Rooms of one impedance a surface, for checks of the bass.
#![allow(dead_code, reason = "each test file takes what it needs")]

use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::wave_field::{WaveField, WaveFieldRequest, solve_wave_field};
use num_complex::Complex64;

/// Surfaces by name with an impedance each, a speaker, and listeners; still air.
pub(crate) struct Case<'a> {
    pub(crate) size: [f64; 3],
    /// Specific impedance of front, back, left, right, floor, ceiling: real and imaginary part.
    pub(crate) zeta: [[f64; 2]; 6],
    pub(crate) speaker: [f64; 3],
    pub(crate) listeners: &'a [[f64; 3]],
    pub(crate) more: &'a str,
}

/// As good as rigid.
pub(crate) const RIGID: [f64; 2] = [1e7, 0.0];

impl Case<'_> {
    pub(crate) fn scene(&self) -> Scene {
        let names = ["front", "back", "left", "right", "floor", "ceiling"];
        let surfaces: String = names.iter().map(|n| format!("{n} = \"skin {n}\"\n")).collect();
        let skins: String = names
            .iter()
            .zip(self.zeta)
            .map(|(n, z)| {
                let all = vec![format!("{z:?}"); 8].join(", ");
                format!("[[material]]\nname = \"skin {n}\"\nimpedance = [{all}]\n")
            })
            .collect();
        let listeners: String = self
            .listeners
            .iter()
            .enumerate()
            .map(|(i, at)| format!("[[listener]]\nname = \"l{i}\"\nat = {at:?}\n"))
            .collect();
        let [length, width, height] = self.size;
        let text = format!(
            "[room]\nlength = {length:?}\nwidth = {width:?}\nheight = {height:?}\n[air]\nabsorption = false\n\
             [surfaces]\n{surfaces}{skins}[[speaker]]\nname = \"s\"\nat = {:?}\n\
             directivity = {{ kind = \"omni\" }}\n{listeners}{}",
            self.speaker, self.more
        );
        Scene::parse(&text, &NoAttachments).unwrap_or_else(|p| panic!("{p:#?}\n{text}")).scene
    }

    pub(crate) fn solve(&self, hz: &[f64]) -> WaveField {
        solve(&self.scene(), hz)
    }
}

pub(crate) fn solve(scene: &Scene, hz: &[f64]) -> WaveField {
    let plan = WaveFieldRequest {
        speakers: (0..scene.speakers().len()).collect(),
        listeners: (0..scene.listeners().len()).collect(),
        hz: hz.to_vec(),
        head_half_m: 0.0,
    };
    solve_wave_field(scene, &scene.variant(None).unwrap(), &plan).unwrap()
}

/// The speed of sound of scenes at 20 °C.
pub(crate) fn speed() -> f64 {
    let text = include_str!("../../../scenes/teaching-box.toml");
    Scene::parse(text, &NoAttachments).unwrap().scene.air().speed_of_sound_m_s()
}

/// A line between two impedances at its ends: G for γ², from decaying exponentials so that nothing
/// overflows. `u₁(x₍)u₂(x₎)/W` (closed form).
pub(crate) fn line(
    g: Complex64,
    k: f64,
    length: f64,
    ends: [Complex64; 2],
    [source, receiver]: [f64; 2],
) -> Complex64 {
    let (near, far) = (source.min(receiver), source.max(receiver));
    let ratio = ends.map(|admittance| Complex64::new(0.0, k) * admittance / g);
    // u₁ = cosh gx + r₀ sinh gx = ½e^(gx)·[(1 + r₀) + (1 − r₀)e^(−2gx)], and so on.
    let falls = |metres: f64| (-2.0 * g * metres).exp();
    let u1 = (1.0 + ratio[0]) + (1.0 - ratio[0]) * falls(near);
    let u2 = (1.0 + ratio[1]) + (1.0 - ratio[1]) * falls(length - far);
    let wronskian =
        (1.0 + ratio[0]) * (1.0 + ratio[1]) - (1.0 - ratio[0]) * (1.0 - ratio[1]) * falls(length);
    (-g * (far - near)).exp() * u1 * u2 / (2.0 * g * wronskian)
}

/// Air at 20 °C, 50 % and 101.325 kPa that takes nothing.
pub(crate) fn still_air() -> earline_engine::medium::air::Air {
    let case = Case {
        size: [5.0, 4.0, 2.5],
        zeta: [RIGID; 6],
        speaker: [1.0, 1.0, 1.0],
        listeners: &[[3.0, 2.0, 1.2]],
        more: "",
    };
    *case.scene().air()
}
