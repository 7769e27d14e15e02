//! Quadrature rules, and dispatch to the widest vector instructions at run time.

pub(crate) mod quadrature;
pub(crate) mod simd_dispatch;
