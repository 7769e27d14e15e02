//! The figures of a decay by name, and a table that holds one value of each.

use std::ops::Index;

/// A figure of a decay. Definitions of ISO 3382-1 and ISO 3382-2, from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Metric {
    /// Early decay time, seconds: the line from 0 to −10 dB, for 60 dB.
    Edt,
    /// T20, seconds: the line from −5 to −25 dB, for 60 dB.
    T20,
    /// T30, seconds: the line from −5 to −35 dB, for 60 dB.
    T30,
    /// Non-linearity ξ over the range of the early decay time, per mille.
    EdtNonlinearity,
    /// Non-linearity ξ over the range of T20, per mille.
    T20Nonlinearity,
    /// Non-linearity ξ over the range of T30, per mille.
    T30Nonlinearity,
    /// Curvature 100·(T30/T20 − 1), per cent.
    Curvature,
    /// Clarity C50, decibels: energy of the first 50 ms to that after.
    C50,
    /// Clarity C80, decibels: energy of the first 80 ms to that after.
    C80,
    /// Definition D50: share of the energy that arrives in the first 50 ms, 0 to 1.
    D50,
    /// Centre time, seconds: mean time of the energy.
    CentreTime,
    /// Direct sound to everything after it, decibels.
    DirectToReverberant,
    /// Strength G, decibels: all energy relative to the direct sound of the same source at 10 m in
    /// a free field.
    Strength,
    /// Share of the energy that arrives within the early time, direct sound included, 0 to 1.
    EarlyShare,
}

/// One value of each [`Metric`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Metrics<T>([T; Metric::COUNT]);

impl Metric {
    /// How many there are.
    pub const COUNT: usize = 14;

    /// All, in their fixed order.
    pub const ALL: [Self; Self::COUNT] = [
        Self::Edt,
        Self::T20,
        Self::T30,
        Self::EdtNonlinearity,
        Self::T20Nonlinearity,
        Self::T30Nonlinearity,
        Self::Curvature,
        Self::C50,
        Self::C80,
        Self::D50,
        Self::CentreTime,
        Self::DirectToReverberant,
        Self::Strength,
        Self::EarlyShare,
    ];

    /// The figure that tells how straight the curve is over this one's range, for a decay time.
    pub fn nonlinearity(self) -> Option<Self> {
        match self {
            Self::Edt => Some(Self::EdtNonlinearity),
            Self::T20 => Some(Self::T20Nonlinearity),
            Self::T30 => Some(Self::T30Nonlinearity),
            _ => None,
        }
    }
}

impl<T> Metrics<T> {
    /// A table from a value for each metric.
    pub fn from_fn(mut value: impl FnMut(Metric) -> T) -> Self {
        Self(Metric::ALL.map(&mut value))
    }

    /// Each figure with its value, in the fixed order.
    pub fn iter(&self) -> impl Iterator<Item = (Metric, &T)> {
        Metric::ALL.into_iter().zip(&self.0)
    }
}

impl<T> Index<Metric> for Metrics<T> {
    type Output = T;

    fn index(&self, metric: Metric) -> &T {
        &self.0[metric as usize]
    }
}
