//! Single-precision operations that compile to one vector instruction each.

/// Nearest single-precision value.
#[allow(clippy::cast_possible_truncation, reason = "the rounding is the purpose")]
pub(crate) fn to_f32(value: f64) -> f32 {
    value as f32
}

/// Scalar product.
#[inline(always)]
pub(crate) fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Minimum as the processor's own instruction has it, without the standard library's rules for NaN.
#[inline(always)]
pub(crate) fn fast_min(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// Maximum as the processor's own instruction has it, without the standard library's rules for NaN.
#[inline(always)]
pub(crate) fn fast_max(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}
