//! Porous builds of several layers.
//!
//! Layers by the textbook transfer matrix (from memory of the textbooks), here as the plain product
//! of 2×2 matrices with complex sines and cosines, which the engine does not use.

use super::close;
use crate::fixtures::cases;
use earline_engine::medium::air::Air;
use earline_engine::medium::materials::porous::{MAX_LAYERS, miki};
use earline_engine::medium::materials::{AbsorberLayer, PorousAbsorber};
use num_complex::Complex64;
use proptest::prelude::*;

fn porous(thickness_m: f64, flow_resistivity: f64) -> AbsorberLayer {
    AbsorberLayer::Porous { thickness_m, flow_resistivity }
}

fn air(thickness_m: f64) -> AbsorberLayer {
    AbsorberLayer::Air { thickness_m }
}

fn reflection(layers: &[AbsorberLayer], hz: f64, cos: f64) -> Complex64 {
    PorousAbsorber::new(layers).unwrap().reflection(hz, cos, &Air::default())
}

/// [p, v] in front = product of [[cos kd, jZ sin kd], [j/Z sin kd, cos kd]] · [1, 0].
fn by_matrices(layers: &[AbsorberLayer], hz: f64, cos: f64) -> Complex64 {
    let k0 = std::f64::consts::TAU * hz / Air::default().speed_of_sound_m_s();
    let identity = [[Complex64::ONE, Complex64::ZERO], [Complex64::ZERO, Complex64::ONE]];
    let product = layers.iter().fold(identity, |before, layer| {
        let (index, impedance) = match *layer {
            AbsorberLayer::Porous { flow_resistivity, .. } => {
                let medium = miki(hz, flow_resistivity);
                (medium.index, medium.impedance)
            }
            AbsorberLayer::Air { .. } => (Complex64::ONE, Complex64::ONE),
        };
        let across = (index * index - (1.0 - cos * cos)).sqrt();
        let (z, kd) = (impedance * index / across, across * k0 * layer.thickness_m());
        let j = Complex64::I;
        let own = [[kd.cos(), j * z * kd.sin()], [j / z * kd.sin(), kd.cos()]];
        let entry = |row: usize, column: usize| -> Complex64 {
            (0..2).map(|i| before[row][i] * own[i][column]).sum()
        };
        [[entry(0, 0), entry(0, 1)], [entry(1, 0), entry(1, 1)]]
    });
    let impedance = product[0][0] / product[1][0] * cos;
    (impedance - 1.0) / (impedance + 1.0)
}

prop_compose! {
    fn layer()(thickness in 0.002f64..0.2, resistivity in 500.0f64..60_000.0, is_air in any::<bool>()) -> AbsorberLayer {
        if is_air { air(thickness) } else { porous(thickness, resistivity) }
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn agrees_with_the_product_of_matrices(
        layers in prop::collection::vec(layer(), 1..6),
        hz in 30.0f64..2000.0,
        cos in 0.02f64..1.0,
    ) {
        let (ours, theirs) = (reflection(&layers, hz, cos), by_matrices(&layers, hz, cos));
        prop_assert!((ours - theirs).norm() < 1e-9, "{ours} is not {theirs}");
    }

    #[test]
    fn a_layer_cut_in_two_is_the_same_layer(
        thickness in 0.005f64..0.3, share in 0.05f64..0.95, resistivity in 1000.0f64..50_000.0,
        before in layer(), behind in layer(), hz in 30.0f64..10_000.0, cos in 0.0f64..=1.0,
    ) {
        for whole in [porous(thickness, resistivity), air(thickness)] {
            let part = |share: f64| match whole {
                AbsorberLayer::Porous { .. } => porous(share * thickness, resistivity),
                AbsorberLayer::Air { .. } => air(share * thickness),
            };
            let one = reflection(&[before, whole, behind], hz, cos);
            let two = reflection(&[before, part(share), part(1.0 - share), behind], hz, cos);
            prop_assert!((one - two).norm() < 1e-12, "{one} is not {two}");
        }
    }

    #[test]
    fn never_gives_more_than_came(
        layers in prop::collection::vec(layer(), 1..=MAX_LAYERS),
        hz in 20.0f64..12_000.0,
        cos in prop_oneof![Just(0.0), Just(1.0), Just(f64::MIN_POSITIVE), 0.0f64..1e-6, 0.0f64..=1.0],
    ) {
        let factor = reflection(&layers, hz, cos);
        prop_assert!(factor.is_finite() && factor.norm() <= 1.0 + 1e-12, "{factor}");
    }
}

#[test]
fn two_equal_halves_before_the_wall_are_one_layer() {
    for hz in [31.0, 125.0, 1000.0, 8000.0] {
        for cos in [0.0, 1e-9, 0.2, 0.7, 1.0] {
            let one = reflection(&[porous(0.1, 12_000.0)], hz, cos);
            let two = reflection(&[porous(0.05, 12_000.0), porous(0.05, 12_000.0)], hz, cos);
            close((one - two).norm(), 0.0, 1e-12);
        }
    }
}

#[test]
fn air_before_a_layer_only_turns_the_phase() {
    let (hz, depth) = (500.0, 0.07);
    let k0 = std::f64::consts::TAU * hz / Air::default().speed_of_sound_m_s();
    for cos in [0.1, 0.6, 1.0] {
        let bare = reflection(&[porous(0.05, 10_000.0)], hz, cos);
        let moved = reflection(&[air(depth), porous(0.05, 10_000.0)], hz, cos);
        close((moved - bare * Complex64::cis(-2.0 * k0 * depth * cos)).norm(), 0.0, 1e-12);
    }
}

#[test]
fn nearing_grazing_is_smooth_between_layers() {
    // Where a division of travelling waves at the air's own faces would be nothing by nothing.
    let layers = [porous(0.03, 5000.0), air(0.08), porous(0.05, 20_000.0), air(0.05)];
    for hz in [63.0, 500.0, 4000.0] {
        let [at, near] = [0.0, 1e-9].map(|cos| reflection(&layers, hz, cos));
        close((at - near).norm(), 0.0, 1e-7);
        close((at + 1.0).norm(), 0.0, 1e-12);
    }
}

#[test]
fn a_build_has_one_to_twelve_layers() {
    assert!(PorousAbsorber::new(&[]).is_none());
    assert!(PorousAbsorber::new(&[porous(0.01, 8000.0); MAX_LAYERS]).is_some());
    assert!(PorousAbsorber::new(&[porous(0.01, 8000.0); MAX_LAYERS + 1]).is_none());
}
