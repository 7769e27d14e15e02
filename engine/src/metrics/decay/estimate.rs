//! A value with its standard error, and the jackknife that finds it.

/// A value worked out from random samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error, in the value's unit; zero where nothing in it is random, `None` where
    /// the samples cannot tell.
    pub standard_error: Option<f64>,
}

impl Estimate {
    /// A value that nothing random went into.
    pub fn exact(value: f64) -> Self {
        Self { value, standard_error: Some(0.0) }
    }

    /// Standard error relative to the value; `None` where either is missing or nought.
    pub fn relative_error(&self) -> Option<f64> {
        let relative = self.standard_error? / self.value.abs();
        relative.is_finite().then_some(relative)
    }
}

/// Standard error of a figure from its values with one of B independent batches left out at a time:
/// √((B − 1)/B · Σ (θⱼ − θ̄)²) (Tukey 1958; Efron 1982, from memory). `None` for fewer than two.
pub fn jackknife(left_out: &[f64]) -> Option<f64> {
    if left_out.len() < 2 {
        return None;
    }
    let count = left_out.len() as f64;
    let mean = left_out.iter().sum::<f64>() / count;
    let squares: f64 = left_out.iter().map(|value| (value - mean) * (value - mean)).sum();
    let error = ((count - 1.0) / count * squares).sqrt();
    error.is_finite().then_some(error)
}
