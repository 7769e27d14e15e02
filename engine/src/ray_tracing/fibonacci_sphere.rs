//! Directions of rays.

use crate::numerics::stream::Stream;
use glam::{DQuat, DVec3};
use std::f64::consts::{PI, TAU};

/// Spherical Fibonacci lattice under a random rotation: every direction is equally likely, so a mean
/// over rotations is unbiased, and one rotation covers the sphere far more evenly than as many
/// independent directions.
#[derive(Debug, Clone, Copy)]
pub(super) struct FibonacciSphere {
    count: u64,
    rotation: DQuat,
}

impl FibonacciSphere {
    /// So many directions, rotated by the first numbers of a stream.
    pub(super) fn new(count: u64, mut stream: Stream) -> Self {
        let [a, b, c] = std::array::from_fn(|_| f64::from(stream.next()));
        // Uniform over all rotations (Shoemake 1992, from memory).
        let (inner, outer) = ((1.0 - a).sqrt(), a.sqrt());
        let ((sin_b, cos_b), (sin_c, cos_c)) = (libm::sincos(TAU * b), libm::sincos(TAU * c));
        let rotation = DQuat::from_xyzw(inner * sin_b, inner * cos_b, outer * sin_c, outer * cos_c);
        Self { count, rotation: rotation.normalize() }
    }

    /// One of the directions, a unit vector.
    pub(super) fn direction(&self, index: u64) -> DVec3 {
        let golden_angle = PI * (3.0 - 5f64.sqrt());
        let z = 1.0 - (2 * index + 1) as f64 / self.count as f64;
        let radius = (1.0 - z * z).sqrt();
        let (sin, cos) = libm::sincos(golden_angle * index as f64);
        self.rotation * DVec3::new(radius * cos, radius * sin, z)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first and second moments of a uniform sphere: 0 and ⅓ on every axis.
    #[test]
    fn directions_are_uniform() {
        let sphere = FibonacciSphere::new(4096, Stream::new(3, 0));
        let all: Vec<DVec3> = (0..4096).map(|i| sphere.direction(i)).collect();
        let mean = all.iter().sum::<DVec3>() / 4096.0;
        let square = all.iter().map(|d| *d * *d).sum::<DVec3>() / 4096.0;
        assert!(mean.length() < 1e-3, "{mean}");
        assert!((square - DVec3::splat(1.0 / 3.0)).abs().max_element() < 1e-3, "{square}");
        assert!(all.iter().all(|d| (d.length() - 1.0).abs() < 1e-12));
    }
}
