//! Random-incidence absorption of a locally reacting surface, and the way back to an impedance.
//!
//! Paris's integral α = 2∫α(θ) sin θ cos θ dθ over a hemisphere, in closed form for a normalised
//! surface impedance ζ that does not depend on the angle (Vigran, *Building Acoustics*, eq. 3.79
//! and 3.80; read).

use crate::numerics::quadrature::gauss_legendre;
use num_complex::Complex64;

/// The largest random-incidence absorption a locally reacting surface can have
/// (computed from the closed form; "about 0.95" in Vigran, read).
pub const MAX_ALPHA: f64 = 0.951_222_013_844_418_4;

/// The real normalised impedance at which [`MAX_ALPHA`] is reached.
pub const MAX_ALPHA_ZETA: f64 = 1.566_924_169_034_844_5;

/// Random-incidence absorption coefficient of a locally reacting surface of normalised impedance
/// ζ = Z/(ρc), 0 to 0.951. A rigid surface (infinite ζ) and a purely reactive one give 0.
pub fn random_incidence(zeta: Complex64) -> f64 {
    let (r, x) = (zeta.re, zeta.im);
    let square = zeta.norm_sqr();
    if !square.is_finite() || r <= 0.0 {
        return 0.0;
    }
    // Below this the closed form loses digits by cancellation while the integrand is a smooth
    // curve that a few points integrate exactly.
    if square < 0.04 {
        let sum: f64 = gauss_legendre(20)
            .iter()
            .map(|(mu, w)| w * mu * mu / (1.0 + 2.0 * r * mu + square * mu * mu))
            .sum();
        return 8.0 * r * sum;
    }
    let turn = x / (1.0 + r);
    let arc = if turn.abs() < 1e-5 { 1.0 - turn * turn / 3.0 } else { turn.atan() / turn };
    let bracket =
        1.0 - r / square * (2.0 * r + square).ln_1p() + (r * r - x * x) / square * arc / (1.0 + r);
    8.0 * r / square * bracket
}

/// [`random_incidence`] of a real normalised impedance.
pub fn random_incidence_real(zeta: f64) -> f64 {
    random_incidence(Complex64::new(zeta, 0.0))
}

/// The real normalised admittance 1/ζ whose random-incidence absorption is `alpha`, on the hard
/// branch ζ ≥ [`MAX_ALPHA_ZETA`]: 0 for `alpha` ≤ 0, and the end of the branch for every
/// `alpha` from [`MAX_ALPHA`] up.
///
/// An admittance rather than an impedance because the rigid wall is then an ordinary number.
pub fn admittance_for(alpha: f64) -> f64 {
    let (mut low, mut high) = (0.0, MAX_ALPHA_ZETA.recip());
    if alpha >= MAX_ALPHA {
        return high;
    }
    if alpha <= 0.0 || alpha.is_nan() {
        return 0.0;
    }
    // α rises with the admittance all along the branch, from α ≈ 8/ζ at the hard end.
    let mut guess = (alpha / 8.0).min(0.5 * high);
    for _ in 0..200 {
        let error = random_incidence_real(guess.recip()) - alpha;
        if error > 0.0 {
            high = guess;
        } else {
            low = guess;
        }
        let step = 1e-6 * guess;
        let slope = (random_incidence_real((guess + step).recip()) - alpha - error) / step;
        let newton = guess - error / slope;
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        if (next - guess).abs() <= 1e-15 * guess {
            return next;
        }
        guess = next;
    }
    guess
}

/// The factor on the pressure that comes back from a surface of [`MAX_ALPHA`], so that it absorbs an `alpha` beyond
/// what local reaction can; 1 up to there, 0 for an `alpha` of one.
pub fn beyond_local_reaction(alpha: f64) -> f64 {
    if alpha <= MAX_ALPHA {
        return 1.0;
    }
    ((1.0 - alpha).max(0.0) / (1.0 - MAX_ALPHA)).sqrt()
}

/// The real normalised admittance of a locally reacting surface from which as much comes back straight on as from
/// one of `alpha`: [`admittance_for`] up to [`MAX_ALPHA`], and beyond it up to 1, where nothing does. At oblique
/// incidence something always comes back, and random incidence falls from 0.951 to 0.910: no such surface is closer.
pub fn admittance_straight_on(alpha: f64) -> f64 {
    let admittance = admittance_for(alpha);
    let reflection = (1.0 - admittance) / (1.0 + admittance) * beyond_local_reaction(alpha);
    (1.0 - reflection) / (1.0 + reflection)
}

/// The real normalised impedance ζ ≥ 1.567 whose random-incidence absorption is `alpha`; infinite
/// for a rigid surface. See [`admittance_for`].
pub fn impedance_for(alpha: f64) -> f64 {
    admittance_for(alpha).recip()
}
