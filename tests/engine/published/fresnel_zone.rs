//! The first Fresnel zone of a reflection.

use super::close_relative;
use earline_engine::analysis::zones::Ellipse;
use glam::DVec2;

/// Radius r₁ = √(λ·d₁·d₂/(d₁ + d₂)) straight on (textbooks, from memory), computed for 2 m and 3 m
/// at 343.2 m/s.
const RADIUS_M: [(f64, f64); 5] =
    [(250.0, 1.2835), (500.0, 0.9076), (1000.0, 0.6417), (2000.0, 0.4538), (4000.0, 0.3209)];

/// The textbook radius is the limit of short waves; the exact zone is larger by
/// λ·(1/(8(d₁ + d₂)) + …), which for 2 m and 3 m comes to 2.9 % for each metre of wavelength.
#[test]
fn straight_on_it_is_the_textbook_circle() {
    for (hz, radius_m) in RADIUS_M {
        let wavelength_m = 343.2 / hz;
        let foot = DVec2::new(1.0, 2.0);
        let zone = Ellipse::first_zone((foot, 2.0), (foot, 3.0), wavelength_m);
        let expected = radius_m * (1.0 + 0.0292 * wavelength_m);
        close_relative(zone.half_across_m, expected, 1.5e-3);
        close_relative(zone.half_along_m, expected, 1.5e-3);
        assert!(zone.centre.distance(foot) < 1e-12);
        // Exactly: the way over the rim is half a wavelength longer.
        let r = zone.half_along_m;
        close_relative(2f64.hypot(r) + 3f64.hypot(r), 5.0 + wavelength_m / 2.0, 1e-14);
    }
}

/// The long axis is r₁/cos θ for short waves (textbooks, from memory): 45°, ways of 2 m and 3 m.
#[test]
fn at_an_angle_its_long_axis_grows_by_the_cosine() {
    let (wavelength_m, cos) = (1e-4, 0.5f64.sqrt());
    let speaker = (DVec2::new(0.0, 0.7), 2.0 * cos);
    let ear = (DVec2::new(5.0 * cos, 0.7), 3.0 * cos);
    let zone = Ellipse::first_zone(speaker, ear, wavelength_m);
    let radius_m = (wavelength_m * 6.0 / 5.0).sqrt();
    close_relative(zone.half_across_m, radius_m, 1e-4);
    close_relative(zone.half_along_m, radius_m / cos, 1e-4);
    assert!(zone.along.abs_diff_eq(DVec2::X, 1e-12));
}
