//! Quadrature rules, single-precision arithmetic and random numbers for inner loops, and run-time
//! dispatch to the widest vector instructions.

pub(crate) mod exponential;
pub(crate) mod fast_floor;
pub(crate) mod quadrature;
pub(crate) mod simd_dispatch;
pub(crate) mod single_precision;
pub(crate) mod stream;
