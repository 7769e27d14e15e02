//! The circular piston in an infinite baffle.

/// Far-field pressure of a circular piston in an infinite rigid baffle relative to its axis,
/// 2·J₁(x)/x with x = ka·sin θ (Rayleigh's piston; read on a data page and in lecture notes).
/// Negative where the lobe is of opposite sign.
pub fn piston_in_baffle(x: f64) -> f64 {
    // J₁(x)/x = ½ − x²/16 + …: below this the next term is lost to rounding.
    if x.abs() < 1e-4 {
        return 1.0 - x * x / 8.0;
    }
    2.0 * libm::j1(x) / x
}

/// Directivity index in decibels, relative to a source that radiates into the full sphere, of a
/// circular piston in an infinite baffle: 10·lg[(ka)²/(1 − J₁(2ka)/ka)] (Kinsler and Frey, from
/// memory). 3.01 dB for a small one, which radiates evenly into half the space.
pub fn piston_directivity_index_db(ka: f64) -> f64 {
    if ka < 1e-3 {
        // 1 − J₁(2x)/x = x²/2 − x⁴/12 + …
        return 10.0 * (2.0 * (1.0 + ka * ka / 6.0)).log10();
    }
    10.0 * (ka * ka / (1.0 - libm::j1(2.0 * ka) / ka)).log10()
}
