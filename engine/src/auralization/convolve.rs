//! Convolution of a dry recording with a binaural response.

use super::Stereo;
use num_complex::Complex64;
use rustfft::FftPlanner;

/// Signals at the two ears for a dry recording, of the length of recording and response together.
///
/// By overlapping blocks. As the recording is real, one complex convolution serves both ears, the
/// left one in its real and the right one in its imaginary part.
pub fn convolve(dry: &[f64], ears: [&[f64]; 2]) -> Stereo {
    let response = ears[0].len().max(ears[1].len());
    if dry.is_empty() || response == 0 {
        return [Vec::new(), Vec::new()];
    }
    let length = (2 * response).next_power_of_two();
    let block = length - response + 1;
    let mut planner = FftPlanner::new();
    let (forward, inverse) = (planner.plan_fft_forward(length), planner.plan_fft_inverse(length));
    let sample = |ear: &[f64], i: usize| ear.get(i).copied().unwrap_or(0.0) / length as f64;
    let mut kernel: Vec<Complex64> =
        (0..length).map(|i| Complex64::new(sample(ears[0], i), sample(ears[1], i))).collect();
    forward.process(&mut kernel);
    let total = dry.len() + response - 1;
    let mut heard: Stereo = [vec![0.0; total], vec![0.0; total]];
    for (index, piece) in dry.chunks(block).enumerate() {
        let mut line: Vec<Complex64> = piece.iter().map(|&s| s.into()).collect();
        line.resize(length, Complex64::ZERO);
        forward.process(&mut line);
        for (value, factor) in line.iter_mut().zip(&kernel) {
            *value *= factor;
        }
        inverse.process(&mut line);
        let from = index * block;
        let [left, right] = &mut heard;
        let ends = left[from..].iter_mut().zip(&mut right[from..]);
        for ((left, right), value) in ends.zip(&line) {
            *left += value.re;
            *right += value.im;
        }
    }
    heard
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the sum that defines a convolution, over several blocks.
    #[test]
    fn blocks_make_the_plain_sum() {
        let dry: Vec<f64> = (0..50).map(|i| f64::from((i * 37) % 11) - 5.0).collect();
        let left = [0.5, 0.0, -0.25];
        let right = [0.0, 1.0];
        let heard = convolve(&dry, [&left, &right]);
        for (ear, response) in heard.iter().zip([&left[..], &right[..]]) {
            for (n, found) in ear.iter().enumerate() {
                let sum: f64 = response
                    .iter()
                    .enumerate()
                    .filter(|(k, _)| *k <= n)
                    .filter_map(|(k, h)| dry.get(n - k).map(|s| s * h))
                    .sum();
                assert!((found - sum).abs() < 1e-12, "{n}");
            }
        }
        assert_eq!(heard[0].len(), 52);
        assert_eq!(convolve(&[], [&left, &right])[0].len(), 0);
    }
}
