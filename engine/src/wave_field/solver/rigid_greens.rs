//! Green's function of the rigid room at one frequency, between the cosines on its surfaces and from
//! points inside.

use super::modal_remainder::NODES;
use super::sub_band::{BasisAtPoint, SubBand};
use crate::scene::Room;
use crate::wave_field::axial_greens::AxialGreens;
use crate::wave_field::bodies::{LayerGreens, PointLayers};
use crate::wave_field::boundary::BasisFunction;
use crate::wave_field::modes::{Mode, shape_at_surface};
use faer::Mat;
use num_complex::Complex64;
use std::f64::consts::PI;

/// Green's function of the rigid room at one frequency, in the basis of its sub-band.
#[derive(Debug, Clone)]
pub(super) struct RigidGreens<'a> {
    pub(super) sub_band: &'a SubBand,
    /// Wavenumber with loss, rad/m.
    pub(super) k: Complex64,
    /// Axial factor of every basis function.
    axial: Vec<AxialGreens>,
    /// Weights of the nodes of the sub-band.
    pub(super) interpolation: [Complex64; NODES],
    /// Layers on the bodies.
    pub(super) layers: Option<LayerGreens>,
    /// Green's function between the layers and the cosines.
    layers_to_functions: Mat<Complex64>,
}

impl<'a> RigidGreens<'a> {
    /// At a frequency in hertz and its wavenumber with loss, rad/m.
    pub(super) fn new(room: &Room, sub_band: &'a SubBand, hz: f64, k: Complex64) -> Self {
        let axial = |function: &BasisFunction| {
            AxialGreens::new(function.k2 - k * k, room.size()[function.surface.axis()])
        };
        let layers = sub_band.layers.as_ref().map(|layers| layers.at(hz, k, &sub_band.modes));
        let mut layers_to_functions = Mat::zeros(0, 0);
        if let Some(layers) = &layers {
            layers_to_functions = layers.surfaces.clone();
            for coupling in &sub_band.couplings {
                let mode = &sub_band.modes[coupling.mode];
                let factor = coupling.factor / (mode.wavenumber_per_m.powi(2) - k * k);
                for layer in 0..layers.count() {
                    layers_to_functions[(layer, coupling.function)] +=
                        factor * layers.on_modes[(layer, coupling.mode)];
                }
            }
        }
        Self {
            sub_band,
            k,
            axial: sub_band.basis.functions.iter().map(axial).collect(),
            interpolation: sub_band.range().weights(k * k),
            layers,
            layers_to_functions,
        }
    }

    /// Entry of the matrix S between two basis functions, by their indices, and layers, which follow them; S is
    /// symmetric.
    pub(super) fn entry(&self, room: &Room, i: usize, j: usize) -> Complex64 {
        let functions = &self.sub_band.basis.functions;
        let (low, high) = (i.min(j), i.max(j));
        if let (Some(layers), Some(layer)) = (&self.layers, high.checked_sub(functions.len())) {
            return match low.checked_sub(functions.len()) {
                Some(other) => layers.system[(other, layer)],
                None => self.layers_to_functions[(layer, low)],
            };
        }
        greens_entry(room, [&functions[i], &functions[j]], &self.axial[i], self.k)
    }

    /// Projection `(1/4π) ∮ φ_i G(r′, point) dS′` on every basis function.
    pub(super) fn projection(&self, point: &BasisAtPoint) -> Vec<Complex64> {
        let functions = self.sub_band.basis.functions.iter().zip(&self.axial);
        let coefficient = |((function, axial), value): ((&BasisFunction, &AxialGreens), &f64)| {
            let surface = 2 * function.surface.axis() + usize::from(function.surface.is_far());
            axial.at_distance(point.distances_m[surface]) * value
        };
        functions.zip(&point.functions).map(coefficient).collect()
    }

    /// Projections of points on every basis function, and on the layers on bodies where these are given.
    pub(super) fn projections(
        &self,
        points: &[BasisAtPoint],
        layers: Option<&PointLayers>,
    ) -> Vec<Vec<Complex64>> {
        let mut projections: Vec<Vec<Complex64>> =
            points.iter().map(|point| self.projection(point)).collect();
        if let (Some(greens), Some(layers)) = (&self.layers, layers) {
            for (projection, on_layers) in projections.iter_mut().zip(greens.projections(layers)) {
                projection.extend(on_layers);
            }
        }
        projections
    }

    /// Amplitudes `4π·ψ_N(s)/(k_N² − k²)` of the explicit modes in the rigid room.
    pub(super) fn modal_amplitudes(&self, source: &BasisAtPoint) -> Vec<Complex64> {
        let k = self.k;
        let amplitude = |(mode, shape): (&Mode, &f64)| {
            4.0 * PI * shape / (mode.wavenumber_per_m.powi(2) - k * k)
        };
        self.sub_band.modes.iter().zip(&source.modes).map(amplitude).collect()
    }
}

/// Entry `(1/4π) ∮∮ φ_i G φ_j dS dS′` of S, with the axial factor of the first function: the closed form
/// between parallel surfaces, one term of the modal sum between perpendicular ones.
fn greens_entry(
    room: &Room,
    [one, other]: [&BasisFunction; 2],
    axial: &AxialGreens,
    k: Complex64,
) -> Complex64 {
    let (a, b) = (one.surface.axis(), other.surface.axis());
    if a == b {
        if one.n != other.n {
            return Complex64::ZERO;
        }
        let is_same = one.surface == other.surface;
        return if is_same { axial.at_surface() } else { axial.at_opposite_surface() };
    }
    let shared = 3 - a - b;
    if one.n[shared] != other.n[shared] {
        return Complex64::ZERO;
    }
    // The mode has the first function's number along `b`, the second one's along `a`.
    let factors = shape_at_surface(other.n[a], one.surface, room)
        * shape_at_surface(one.n[b], other.surface, room);
    let k_a = PI * other.n[a] as f64 / room.size()[a];
    factors / (one.k2 + k_a * k_a - k * k)
}
