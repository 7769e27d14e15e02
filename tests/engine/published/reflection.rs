//! Reflection laws: what a surface of known absorption sends back at an angle.

use super::close;
use earline_engine::medium::air::Air;
use earline_engine::medium::bands::{FrequencyGrid, NOMINAL_HZ};
use earline_engine::medium::materials::paris::{
    MAX_ALPHA, admittance_for, admittance_straight_on, random_incidence_real,
};
use earline_engine::medium::materials::{
    Material, PorousAbsorber, ReflectionLaw, Reflector, SurfaceModel,
};
use num_complex::Complex64;

const ALPHAS: [f64; 8] = [0.0, 0.02, 0.3, 0.9, 0.951, 0.97, 0.999, 1.0];

fn material(build: SurfaceModel) -> Material {
    Material {
        name: "test".to_owned(),
        surface_model: build,
        scattering: [0.0; 8],
        source: "made up".to_owned(),
    }
}

fn reflector(build: SurfaceModel, law: ReflectionLaw) -> Reflector {
    Reflector::new(&material(build), law, &Air::default(), &FrequencyGrid::new())
}

fn absorbing() -> SurfaceModel {
    SurfaceModel::Absorption(ALPHAS)
}

fn porous() -> SurfaceModel {
    SurfaceModel::Porous(PorousAbsorber::single(0.1, 12_000.0, 0.05))
}

fn pressure(reflector: &Reflector, cos_incidence: f64) -> Vec<Complex64> {
    let mut out = vec![Complex64::ZERO; FrequencyGrid::new().len()];
    reflector.pressure(cos_incidence, &mut out);
    out
}

/// Paris's integral of what a reflector absorbs, by the midpoint rule in t with cos θ = t².
fn random_incidence(reflector: &Reflector) -> [f64; 8] {
    let count = 4000;
    let mut alpha = [0.0; 8];
    for i in 0..count {
        let t = (f64::from(i) + 0.5) / f64::from(count);
        let energy = reflector.band_energy(t * t);
        for (sum, e) in alpha.iter_mut().zip(energy) {
            *sum += 4.0 * t * t * t * (1.0 - e) / f64::from(count);
        }
    }
    alpha
}

#[test]
fn both_laws_absorb_what_the_table_says() {
    // Paris's integral (Vigran eq. 3.79, read) of either law gives the catalogue's α back.
    for law in [ReflectionLaw::Constant, ReflectionLaw::Angle] {
        for (actual, expected) in
            random_incidence(&reflector(absorbing(), law)).into_iter().zip(ALPHAS)
        {
            close(actual, expected, 2e-6);
        }
    }
}

#[test]
fn constant_law_is_the_textbook_factor() {
    // √(1 − α) at every angle (Allen and Berkley 1979, from memory: α = 1 − β²).
    let reflector = reflector(absorbing(), ReflectionLaw::Constant);
    for cos in [0.0, 0.3, 1.0] {
        let factors = pressure(&reflector, cos);
        for (band, alpha) in ALPHAS.into_iter().enumerate() {
            let factor = factors[band * FrequencyGrid::POINTS_PER_BAND];
            close(factor.re, (1.0 - alpha).sqrt(), 1e-15);
            close(factor.im, 0.0, 0.0);
        }
    }
}

#[test]
fn ends_of_the_angle_law_are_exact() {
    let reflector = reflector(absorbing(), ReflectionLaw::Angle);
    for cos in [0.0, 1e-9, 0.2, 1.0] {
        let factors = pressure(&reflector, cos);
        close((factors[0] - 1.0).norm(), 0.0, 0.0);
        close(factors[7 * FrequencyGrid::POINTS_PER_BAND].norm(), 0.0, 0.0);
        assert!(factors.iter().all(|r| r.norm() <= 1.0 + 1e-15));
    }
    // A surface that absorbs at all returns grazing sound reversed.
    let grazing = pressure(&reflector, 0.0);
    close((grazing[FrequencyGrid::POINTS_PER_BAND] + 1.0).norm(), 0.0, 1e-15);
}

#[test]
fn angle_law_does_not_jump_where_local_reaction_ends() {
    let step = 1e-7;
    let mut alphas = [0.5; 8];
    (alphas[0], alphas[1]) = (MAX_ALPHA - step, MAX_ALPHA + step);
    let reflector = reflector(SurfaceModel::Absorption(alphas), ReflectionLaw::Angle);
    for cos in [0.05, 0.4, 1.0] {
        let factors = pressure(&reflector, cos);
        let (below, above) = (factors[0], factors[FrequencyGrid::POINTS_PER_BAND]);
        // ζ moves with the square root of α at the top of Paris's curve.
        close((below - above).norm(), 0.0, 2e-3);
    }
}

/// The list and the wave field have one impedance of an absorption coefficient, and beyond 0.951 one reflection
/// straight on: at 1 that of air, whose random-incidence absorption is 0.910 (Paris's closed form, computed).
#[test]
fn straight_on_list_and_wave_field_reflect_alike() {
    let alphas = [0.0, 0.1, 0.5, 0.9, MAX_ALPHA, 0.96, 0.99, 1.0];
    let reflector = reflector(SurfaceModel::Absorption(alphas), ReflectionLaw::Angle);
    let factors = pressure(&reflector, 1.0);
    for (band, alpha) in alphas.into_iter().enumerate() {
        let admittance = admittance_straight_on(alpha);
        let found = factors[band * FrequencyGrid::POINTS_PER_BAND].re;
        close(found, (1.0 - admittance) / (1.0 + admittance), 1e-12);
        if alpha <= MAX_ALPHA {
            close(admittance, admittance_for(alpha), 1e-12);
        }
    }
    close(admittance_straight_on(1.0), 1.0, 1e-15);
    close(random_incidence_real(1.0), 0.9096, 5e-5);
}

#[test]
fn published_impedances_reflect_as_published() {
    // Acta Acustica 9 (2025), table A.1 (read): ζ and |R| straight on.
    let table = [
        (1.742, -1.854, 0.603),
        (1.492, -0.865, 0.377),
        (1.277, -0.524, 0.253),
        (1.170, -0.338, 0.172),
    ];
    for (re, im, magnitude) in table {
        let build = SurfaceModel::Impedance([Complex64::new(re, im); 8]);
        let factors = pressure(&reflector(build, ReflectionLaw::Angle), 1.0);
        close(factors[40].norm(), magnitude, 0.001);
    }
}

#[test]
fn impedances_keep_their_phase_and_their_ends() {
    let zeta = Complex64::new(2.0, -3.0);
    let factors =
        pressure(&reflector(SurfaceModel::Impedance([zeta; 8]), ReflectionLaw::Angle), 0.25);
    close((factors[10] - (zeta * 0.25 - 1.0) / (zeta * 0.25 + 1.0)).norm(), 0.0, 1e-15);
    for (zeta, expected) in [(0.0, -1.0), (f64::INFINITY, 1.0)] {
        let build = SurfaceModel::Impedance([Complex64::new(zeta, 0.0); 8]);
        let factors = pressure(&reflector(build, ReflectionLaw::Angle), 0.5);
        close((factors[0] - expected).norm(), 0.0, 0.0);
    }
}

#[test]
fn constant_law_takes_any_build_by_its_random_incidence() {
    let air = Air::default();
    for build in [porous(), SurfaceModel::Impedance([Complex64::new(1.5, -3.0); 8])] {
        let alpha = material(build.clone()).random_incidence(&air);
        let energy = reflector(build, ReflectionLaw::Constant).band_energy(0.3);
        for (e, a) in energy.into_iter().zip(alpha) {
            close(e, 1.0 - a, 1e-12);
        }
    }
}

#[test]
fn porous_builds_keep_their_random_incidence() {
    let alpha = material(porous()).random_incidence(&Air::default());
    let integrated = random_incidence(&reflector(porous(), ReflectionLaw::Angle));
    for (actual, expected) in integrated.into_iter().zip(alpha) {
        close(actual, expected, 1e-6);
    }
}

#[test]
fn band_energy_is_the_mean_of_the_pressure() {
    let mut material = material(absorbing());
    material.scattering = [0.0, 0.1, 0.2, 0.4, 0.6, 0.7, 0.7, 1.0];
    for build in [absorbing(), porous(), SurfaceModel::Impedance([Complex64::new(1.5, -3.0); 8])] {
        material.surface_model = build;
        for law in [ReflectionLaw::Constant, ReflectionLaw::Angle] {
            let reflector = Reflector::new(&material, law, &Air::default(), &FrequencyGrid::new());
            for cos in [0.0, 0.1, 0.77, 1.0] {
                let mean = FrequencyGrid::band_energy(&pressure(&reflector, cos));
                for (actual, expected) in reflector.band_energy(cos).into_iter().zip(mean) {
                    close(actual, expected, 1e-14);
                }
            }
        }
    }
}

#[test]
fn scattering_takes_its_share_of_the_energy() {
    // ISO 17497-1's definition: the specular share is (1 − α)(1 − s).
    let mut material = material(SurfaceModel::Absorption([0.2; 8]));
    material.scattering = [0.3; 8];
    let reflector =
        Reflector::new(&material, ReflectionLaw::Constant, &Air::default(), &FrequencyGrid::new());
    for energy in reflector.band_energy(0.5) {
        close(energy, 0.8 * 0.7, 1e-15);
    }
}

#[test]
fn listed_coefficients_belong_together() {
    // For a locally reacting surface with real ζ both coefficients follow from one ζ: 0.5 straight
    // on is 0.66877 at random incidence (computed).
    let air = Air::default();
    let material = material(SurfaceModel::Absorption([0.668_77; 8]));
    for (band, normal) in material.normal_incidence(&air).into_iter().enumerate() {
        close(normal, 0.5, 1e-5);
        close(material.random_incidence(&air)[band], 0.668_77, 1e-15);
    }
    // A porous build's band figures lie near its figure at the band's middle.
    let build = PorousAbsorber::single(0.1, 12_000.0, 0.05);
    for (band, alpha) in self::material(porous()).random_incidence(&air).into_iter().enumerate() {
        close(alpha, build.random_incidence_at(NOMINAL_HZ[band], &air), 0.02);
    }
}
