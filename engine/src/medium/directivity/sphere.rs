//! Point source on a rigid sphere.
//!
//! The classic solution in Legendre polynomials and spherical Hankel functions (Morse and Ingard,
//! *Theoretical Acoustics*; from memory), time factor e^{+jωt}. One formula holds the step from full to half
//! space and the sound behind, without a seam at 90°; its limits are the source that is even in all directions
//! (low ka) and, in front, the source on a baffle (high ka).

use num_complex::Complex64;

/// Point source at the pole of a rigid sphere, at one frequency: its far field.
#[derive(Debug, Clone, PartialEq)]
pub struct SphereSource {
    ka: f64,
    /// Share of the field in each Legendre polynomial, relative to the field on the axis.
    coefficients: Vec<Complex64>,
    on_axis_gain: Complex64,
}

impl SphereSource {
    /// A source on a sphere whose radius times the wavenumber is `ka`, above 0.
    pub fn new(ka: f64) -> Self {
        let mut coefficients = Vec::new();
        let mut sum = Complex64::ZERO;
        let mut negligible = 0;
        for (m, radial) in hankel_derivatives(ka).enumerate() {
            // The Legendre series of a source at the pole has 2m + 1 of each.
            let share = 2.0 * m as f64 + 1.0;
            let term = share / radial * Complex64::I.powu(u32::try_from(m).unwrap_or(u32::MAX) % 4);
            // Orders beyond ka leave no far field; an overflowed Hankel function says so too.
            if !term.is_finite() {
                break;
            }
            coefficients.push(term);
            sum += term;
            let small = term.norm_sqr() <= 1e-34 * sum.norm_sqr();
            negligible = if small && m as f64 > ka { negligible + 1 } else { 0 };
            if negligible == 3 {
                break;
            }
        }
        for coefficient in &mut coefficients {
            *coefficient /= sum;
        }
        Self { ka, coefficients, on_axis_gain: sum / (Complex64::I * ka * ka) }
    }

    /// Number of Legendre polynomials in use.
    pub fn len(&self) -> usize {
        self.coefficients.len()
    }

    /// Never true; here because `len` is.
    pub fn is_empty(&self) -> bool {
        self.coefficients.is_empty()
    }

    /// Far-field pressure relative to the axis, from the Legendre polynomials of the cosine of the
    /// angle off the axis ([`legendre`], at least [`SphereSource::len`] of them).
    ///
    /// The phase is referred to the source, not to the middle of the sphere.
    pub fn pressure(&self, cos_off_axis: f64, legendre: &[f64]) -> Complex64 {
        self.field(legendre) * Complex64::cis(self.ka * (1.0 - cos_off_axis))
    }

    /// The first three terms of the field, with their phase referred to the middle of the
    /// sphere and relative to the axis at the source.
    pub fn first_terms(&self) -> [Complex64; 3] {
        let about_middle = Complex64::cis(self.ka);
        [0, 1, 2].map(|m| self.coefficients.get(m).copied().unwrap_or_default() * about_middle)
    }

    /// [`SphereSource::pressure`] with its phase referred to the middle of the sphere.
    pub(super) fn field(&self, legendre: &[f64]) -> Complex64 {
        // Two sums side by side, so that one addition need not wait for the other.
        let (pairs, last) = self.coefficients.as_chunks::<2>();
        let (polynomial_pairs, polynomial_last) =
            legendre.get(..self.len()).unwrap_or(legendre).as_chunks::<2>();
        let (mut even, mut odd) = (Complex64::ZERO, Complex64::ZERO);
        for (c, p) in pairs.iter().zip(polynomial_pairs) {
            even += c[0] * p[0];
            odd += c[1] * p[1];
        }
        for (c, p) in last.iter().zip(polynomial_last) {
            even += c * p;
        }
        even + odd
    }

    /// Pressure on the axis relative to a small source of the same volume velocity in the open:
    /// from 1 at low ka to 2 at high ka, the step that a cabinet causes.
    pub fn on_axis_gain(&self) -> Complex64 {
        self.on_axis_gain
    }
}

/// Legendre polynomials P₀(x) … up to `out.len()` of them.
pub fn legendre(x: f64, out: &mut [f64]) {
    let (mut before, mut here) = (0.0, 1.0);
    for (m, value) in out.iter_mut().enumerate() {
        *value = here;
        let m = m as f64;
        let next = ((2.0 * m + 1.0) * x * here - m * before) / (m + 1.0);
        (before, here) = (here, next);
    }
}

/// Derivatives of the spherical Hankel functions of the second kind, h′₀(x), h′₁(x), …
///
/// Upward recurrence: unstable for the Bessel part alone, but that part is then negligible beside
/// the Neumann part, which dominates upward, so the sum keeps its digits.
fn hankel_derivatives(x: f64) -> impl Iterator<Item = Complex64> {
    let phase = Complex64::cis(-x);
    let mut here = Complex64::I * phase / x;
    let mut next = phase * Complex64::new(-1.0 / x, 1.0 / (x * x));
    let first = -next;
    let later = (1u32..).map(move |m| {
        let m = f64::from(m);
        let derivative = here - (m + 1.0) / x * next;
        let after = (2.0 * m + 1.0) / x * next - here;
        (here, next) = (next, after);
        derivative
    });
    std::iter::once(first).chain(later)
}
