//! A value and its place in the text.

use glam::DVec3;
use std::ops::Range;

/// A byte range of the scene text.
pub(crate) type Span = Range<usize>;

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spanned<T> {
    /// The value.
    pub(crate) value: T,
    /// Its place in the text.
    pub(crate) span: Span,
}

impl<T> Spanned<T> {
    pub(crate) fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// A point or a size: three lengths in metres along x, y and z, each with its place.
pub(crate) type RawPoint = Spanned<[Spanned<f64>; 3]>;

impl RawPoint {
    /// The three numbers as a vector.
    pub(crate) fn vector(&self) -> DVec3 {
        let [x, y, z] = &self.value;
        DVec3::new(x.value, y.value, z.value)
    }
}
