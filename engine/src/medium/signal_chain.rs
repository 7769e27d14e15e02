//! What a speaker's signal passes on its way into the room: filters, level, delay, polarity, and the lower limit of
//! the speaker itself.

use num_complex::Complex64;
use std::f64::consts::{PI, TAU};

/// A speaker's signal chain. Relative to a speaker that plays every frequency alike, at once and as loud.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SignalChain {
    /// Low end of the speaker itself; `None` where it is not given and the speaker goes down without end.
    pub low_limit: Option<LowLimit>,
    /// Filter that keeps low frequencies away.
    pub high_pass: Option<LinkwitzRiley>,
    /// Filter that keeps high frequencies away.
    pub low_pass: Option<LinkwitzRiley>,
    /// Level, decibels.
    pub level_db: f64,
    /// Delay, milliseconds.
    pub delay_ms: f64,
    /// Polarity.
    pub polarity: Polarity,
}

/// Low end of a speaker: a Butterworth high-pass, as closed boxes of the second order and vented ones of the fourth
/// are when they are tuned flat (Small 1972 and 1973; from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LowLimit {
    /// Frequency at which the level on the axis has fallen by 3 dB, hertz.
    pub hz: f64,
    /// Order: 6 dB an octave each.
    pub order: u32,
}

/// Crossover filter of Linkwitz and Riley: a Butterworth filter of half the order, twice. A low-pass and a high-pass
/// of one frequency and of order 4 or 8 add up to the same level at every frequency (Linkwitz 1976; from memory);
/// of order 2 or 6 they do with one of them inverted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinkwitzRiley {
    /// Frequency at which the level has fallen by 6 dB, hertz.
    pub hz: f64,
    /// Order: 6 dB an octave each; even.
    pub order: u32,
}

/// Polarity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Polarity {
    /// As the signal.
    #[default]
    Normal,
    /// Upside down.
    Inverted,
}

/// A chain plays where its level has not fallen by more than this, decibels.
const PLAYS_DB: f64 = 6.1;

impl SignalChain {
    /// Transfer function at a frequency in hertz, for e^(jωt).
    pub fn transfer(&self, hz: f64) -> Complex64 {
        let level = 10f64.powf(0.05 * self.level_db) * self.polarity.sign();
        self.filters(hz) * Complex64::cis(-TAU * hz * 1e-3 * self.delay_ms) * level
    }

    /// Transfer function of the filters and the low limit alone at a frequency in hertz.
    pub fn filters(&self, hz: f64) -> Complex64 {
        let low_limit = self.low_limit.map(|limit| butterworth(limit.order, limit.hz / hz));
        let high_pass = self.high_pass.map(|filter| filter.half(filter.hz / hz).powi(2));
        let low_pass = self.low_pass.map(|filter| filter.half(hz / filter.hz).powi(2));
        // A high-pass is the low-pass of the inverse of the frequency: s becomes 1/s, and j its conjugate.
        let conjugate = |high: Complex64| high.conj();
        [low_limit.map(conjugate), high_pass.map(conjugate), low_pass]
            .into_iter()
            .flatten()
            .product()
    }

    /// Gain at 0 Hz: a high-pass lets nothing through.
    pub fn at_rest(&self) -> f64 {
        if self.low_limit.is_some() || self.high_pass.is_some() {
            return 0.0;
        }
        10f64.powf(0.05 * self.level_db) * self.polarity.sign()
    }

    /// Whether it changes nothing.
    pub fn is_plain(&self) -> bool {
        *self == Self::default()
    }

    /// Whether the filters leave a frequency in hertz within 6 dB of the level.
    pub fn plays(&self, hz: f64) -> bool {
        -PLAYS_DB < 10.0 * self.filters(hz).norm_sqr().log10()
    }
}

impl LinkwitzRiley {
    fn half(self, ratio: f64) -> Complex64 {
        butterworth(self.order / 2, ratio)
    }
}

impl Polarity {
    /// The other one.
    #[must_use]
    pub const fn inverted(self) -> Self {
        match self {
            Self::Normal => Self::Inverted,
            Self::Inverted => Self::Normal,
        }
    }

    /// Factor of the pressure.
    pub const fn sign(self) -> f64 {
        match self {
            Self::Normal => 1.0,
            Self::Inverted => -1.0,
        }
    }
}

/// Butterworth's low-pass of an order at a frequency over its corner's: one over the product of s − p over its poles
/// p, which lie evenly on the left half of the unit circle.
fn butterworth(order: u32, ratio: f64) -> Complex64 {
    let s = Complex64::new(0.0, ratio);
    let pole = |index: u32| {
        let angle = PI * (f64::from(2 * index + 1) / f64::from(2 * order) + 0.5);
        s - Complex64::cis(angle)
    };
    (0..order).map(pole).product::<Complex64>().inv()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn db(value: Complex64) -> f64 {
        10.0 * value.norm_sqr().log10()
    }

    fn crossed_over(order: u32) -> [SignalChain; 2] {
        let filter = Some(LinkwitzRiley { hz: 80.0, order });
        let plain = SignalChain::default();
        [SignalChain { low_pass: filter, ..plain }, SignalChain { high_pass: filter, ..plain }]
    }

    /// Butterworth's level is −10·lg(1 + (f₀/f)^2n): −3.01 dB at the corner, and for the fourth order −24.1 dB an
    /// octave below. The second order is s²/(s² + √2·s + 1).
    #[test]
    fn a_speaker_falls_as_its_box_does() {
        let chain = |order| SignalChain {
            low_limit: Some(LowLimit { hz: 50.0, order }),
            ..SignalChain::default()
        };
        for (order, hz) in [(1, 50.0_f64), (2, 50.0), (2, 25.0), (4, 50.0), (4, 25.0), (4, 100.0)] {
            let expected = -10.0 * (1.0 + (50.0 / hz).powf(f64::from(2 * order))).log10();
            let found = db(chain(order).transfer(hz));
            assert!((found - expected).abs() < 1e-9, "order {order}, {hz} Hz: {found}");
        }
        for hz in [20.0, 50.0, 90.0] {
            let s = Complex64::new(0.0, hz / 50.0);
            let closed = s * s / (s * s + 2f64.sqrt() * s + 1.0);
            assert!((chain(2).transfer(hz) - closed).norm() < 1e-12, "{hz} Hz");
        }
        assert!(chain(4).plays(50.0) && !chain(4).plays(40.0));
    }

    /// Linkwitz (1976): −6.02 dB at the corner, in phase at every frequency for orders 4 and 8, so that the sum is
    /// level; for orders 2 and 6 with one of both inverted.
    #[test]
    fn the_halves_of_a_crossover_add_up_to_one_level() {
        for (order, sign) in [(2, -1.0), (4, 1.0), (6, -1.0), (8, 1.0)] {
            let [low, high] = crossed_over(order);
            for hz in [20.0, 60.0, 80.0, 113.0, 300.0] {
                let sum = low.transfer(hz) + sign * high.transfer(hz);
                assert!(db(sum).abs() < 1e-9, "order {order}, {hz} Hz: {}", db(sum));
            }
            assert!((db(low.transfer(80.0)) + 6.0206).abs() < 1e-4);
            assert!(low.plays(80.0) && high.plays(80.0) && !low.plays(120.0));
        }
        let slope =
            db(crossed_over(4)[0].transfer(1600.0)) - db(crossed_over(4)[0].transfer(800.0));
        assert!((slope + 24.08).abs() < 0.01, "{slope} dB an octave");
    }

    #[test]
    fn level_delay_and_polarity_are_those_of_a_mixer() {
        let chain = SignalChain {
            level_db: -6.0,
            delay_ms: 2.5,
            polarity: Polarity::Inverted,
            ..SignalChain::default()
        };
        // A quarter of a period at 100 Hz, upside down: −j becomes j.
        let expected = Complex64::new(0.0, 10f64.powf(-0.3));
        assert!((chain.transfer(100.0) - expected).norm() < 1e-12);
        assert!(chain.plays(100.0) && !chain.is_plain());
        assert!(SignalChain::default().is_plain());
    }
}
