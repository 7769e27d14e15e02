//! The first Fresnel zone of a reflection on a plane.

use glam::DVec2;
use std::f64::consts::TAU;

/// An ellipse on a surface, in its two tape coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Its middle, metres.
    pub centre: DVec2,
    /// Unit vector along its long axis.
    pub along: DVec2,
    /// Half its long axis, metres.
    pub half_along_m: f64,
    /// Half its short axis, metres.
    pub half_across_m: f64,
}

/// Corners by which an ellipse is drawn: inside it by 0.12 % of its half axes at most.
const CORNERS: u32 = 64;

impl Ellipse {
    /// The first Fresnel zone: every point E of a plane over which the way from the speaker by E
    /// to the ear is no more than half a wavelength longer than the mirror reflection.
    ///
    /// Speaker and ear are given by their foot on the plane, in its tape coordinates, and their
    /// height above it (not negative), metres. With the speaker's mirror image S′ the condition
    /// |S′E| + |EP| ≤ |S′P| + λ/2 is a prolate ellipsoid with the foci S′ and P, and the zone is
    /// where the plane cuts it. Exact at any angle and wavelength; for short waves straight on it
    /// becomes the textbook radius √(λ·d₁·d₂/(d₁ + d₂)), and the long axis that over cos θ
    /// (from memory; values computed). A wavelength of 0 gives the reflection point.
    pub fn first_zone(speaker: (DVec2, f64), ear: (DVec2, f64), wavelength_m: f64) -> Self {
        let ((from, up_s), (to, up_p)) = (speaker, ear);
        let (way, middle) = (to - from, from.midpoint(to));
        // Half the distance of the foci, the half axes of the ellipsoid, and half its rise.
        let rise = f64::midpoint(up_s, up_p);
        let focus2 = way.length_squared() / 4.0 + rise * rise;
        let focus = focus2.sqrt();
        let short2 = wavelength_m * (focus / 2.0 + wavelength_m / 16.0);
        let steep = short2 + rise * rise;
        if steep <= 0.0 {
            // Both on the plane and no wavelength: any point between is the reflection point.
            return Self { centre: middle, along: DVec2::X, half_along_m: 0.0, half_across_m: 0.0 };
        }
        let centre = middle + way * ((up_s - up_p) * rise / (4.0 * steep));
        let across2 = short2 * (short2 + up_s * up_p) / steep;
        let along2 = across2 * (short2 + focus2) / steep;
        Self {
            centre,
            along: way.normalize_or(DVec2::X),
            half_along_m: along2.sqrt(),
            half_across_m: across2.sqrt(),
        }
    }

    /// Corners of the polygon it is drawn by, counter-clockwise.
    pub fn points(&self) -> impl Iterator<Item = DVec2> + use<> {
        let Self { centre, along, half_along_m, half_across_m } = *self;
        (0..CORNERS).map(move |step| {
            let turn = DVec2::from_angle(TAU * f64::from(step) / f64::from(CORNERS));
            centre + along * (half_along_m * turn.x) + along.perp() * (half_across_m * turn.y)
        })
    }
}
