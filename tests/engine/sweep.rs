//! Figures of a sweep are those of the commands they come from.

use crate::fixtures::{ATTIC, TEACHING_BOX as SMALL, parsed};
use earline_engine::explore::study::{
    BassMetric, Design, Factor, FactorParameter, LevelBands, Levels, MetricPlan, MetricRow,
    Operation, ReflectionMetric, RoomMetric, StudyMetric, evaluate_metrics,
};
use earline_engine::metrics::criteria::EARLY_LIMITS;
use earline_engine::metrics::decay::Metric;
use earline_engine::metrics::diffuse_field::Formula;
use earline_engine::scene::{NoAttachments, Scene, SceneParameter, Surface};
use earline_engine::simulate::{RayRequest, Request, simulate};
use earline_engine::wave_field::{
    UNEVENNESS_BAND_HZ, WaveFieldRequest, deepest_dip, log_spaced_hz, solve_wave_field,
};

fn measuring(scene: &Scene, wanted: Vec<StudyMetric>) -> MetricPlan {
    MetricPlan {
        wanted,
        request: Request::everything(scene)
            .with_rays(RayRequest { seed: 3, ..RayRequest::fixed(512) }),
        limit: &EARLY_LIMITS[0],
    }
}

/// The value of each figure in a row.
fn values(row: &MetricRow) -> Vec<f64> {
    row.values.iter().map(|value| value.map_or(f64::NAN, |found| found.value)).collect()
}

#[test]
fn list_figures_are_those_of_the_trace() {
    let scene = parsed(ATTIC);
    let state = scene.variant(Some("bare")).unwrap();
    let over = LevelBands::Early;
    let figures = [
        ReflectionMetric::DirectDistance,
        ReflectionMetric::DirectAzimuth,
        ReflectionMetric::Listed,
        ReflectionMetric::OverLimit,
        ReflectionMetric::FirstDelay,
        ReflectionMetric::Strongest,
        ReflectionMetric::StrongestDelay,
        ReflectionMetric::EarlySum,
        ReflectionMetric::FirstFrom(Surface::Left),
    ];
    let wanted = figures.map(|figure| StudyMetric::List(figure, over)).to_vec();
    let rows = evaluate_metrics(&scene, &state, &measuring(&scene, wanted)).unwrap();
    let traced = simulate(&scene, &state, &Request::everything(&scene), &()).unwrap();
    assert_eq!(rows.len(), traced.pairs.len());
    for (row, pair) in rows.iter().zip(&traced.pairs) {
        assert_eq!((row.speaker, row.listener), (pair.speaker, pair.listener));
        // EBU Tech 3276: 10 dB down within 15 ms.
        let early: Vec<_> = pair.reflections.iter().filter(|r| r.delay_s <= 0.015).collect();
        let strongest = early.iter().max_by(|a, b| a.level_db.total_cmp(&b.level_db)).unwrap();
        let left = pair
            .reflections
            .iter()
            .filter(|r| r.arrival.bounces.len() == 1 && r.arrival.bounces[0].point.y == 0.0);
        let sum: f64 = early.iter().map(|r| 10f64.powf(r.level_db / 10.0)).sum();
        let expected = [
            pair.direct.distance_m,
            pair.direct.azimuth_deg,
            pair.reflections.len() as f64,
            early.iter().filter(|r| r.level_db > -10.0).count() as f64,
            pair.reflections[0].delay_s,
            strongest.level_db,
            strongest.delay_s,
            10.0 * sum.log10(),
            left.map(|r| r.level_db).fold(f64::NEG_INFINITY, f64::max),
        ];
        for (found, expected) in values(row).into_iter().zip(expected) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
        assert!(row.values.iter().all(|v| v.unwrap().standard_error == Some(0.0)));
    }
}

#[test]
fn decay_figures_are_those_of_the_rays_with_their_error() {
    let scene = parsed(SMALL);
    let state = scene.variant(None).unwrap();
    let wanted = vec![StudyMetric::Decay(Metric::T20, 4), StudyMetric::Decay(Metric::C50, 2)];
    let measuring = measuring(&scene, wanted);
    let rows = evaluate_metrics(&scene, &state, &measuring).unwrap();
    let simulation = simulate(&scene, &state, &measuring.request, &()).unwrap();
    let decay = simulation.decay.unwrap();
    for (row, pair) in rows.iter().zip(&decay.pairs) {
        assert_eq!(row.values[0], pair.metrics[4][Metric::T20].as_ref().ok().copied());
        assert_eq!(row.values[1], pair.metrics[2][Metric::C50].as_ref().ok().copied());
    }
}

#[test]
fn bass_figures_are_those_of_the_wave_field() {
    let scene = parsed(ATTIC);
    let state = scene.variant(Some("treated")).unwrap();
    let figures = [
        BassMetric::Unevenness,
        BassMetric::PairUnevenness,
        BassMetric::DipHz,
        BassMetric::DipLevel,
    ];
    // Single frequencies beside do not count for the others.
    let wanted =
        figures.into_iter().chain([BassMetric::Level(47.3)]).map(StudyMetric::Bass).collect();
    let rows = evaluate_metrics(&scene, &state, &measuring(&scene, wanted)).unwrap();
    let everything = Request::everything(&scene);
    let plan = WaveFieldRequest {
        speakers: everything.speakers,
        listeners: everything.listeners,
        hz: log_spaced_hz(15.0, 300.0),
        head_half_m: 0.0,
        curves_to_hz: None,
    };
    let found = solve_wave_field(&scene, &state, &plan, &()).unwrap();
    for (row, pair) in rows.iter().zip(&found.pairs) {
        let together = found.coherent_sums.iter().find(|t| t.listener == pair.listener).unwrap();
        let (dip_hz, dip_db) = deepest_dip(&found.hz, &pair.level_db, UNEVENNESS_BAND_HZ).unwrap();
        let expected =
            [pair.unevenness_db.unwrap(), together.unevenness_db.unwrap(), dip_hz, dip_db];
        for (found, expected) in values(row).into_iter().zip(expected) {
            // How fine the field is solved goes by the highest frequency asked for.
            assert!((found - expected).abs() < 0.02, "{found} {expected}");
        }
    }
    let at = WaveFieldRequest { hz: vec![47.3], ..plan };
    let found = solve_wave_field(&scene, &state, &at, &()).unwrap();
    for (row, pair) in rows.iter().zip(&found.pairs) {
        assert!((values(row)[4] - pair.level_db[0]).abs() < 0.02);
    }
}

#[test]
fn room_figures_are_by_hand() {
    let scene = parsed(ATTIC);
    let state = scene.variant(Some("treated")).unwrap();
    let wanted = [RoomMetric::Volume, RoomMetric::MeanFreePath, RoomMetric::Cost];
    let wanted = wanted.map(StudyMetric::Room).to_vec();
    let rows = evaluate_metrics(&scene, &state, &measuring(&scene, wanted)).unwrap();
    let volume = 5.8 * 4.1 * 2.45;
    let walls = 2.0 * (5.8 * 4.1 + 5.8 * 2.45 + 4.1 * 2.45);
    // The desk hangs free, the sofa stands on the floor and has as much on top as it covers; both faces of the cloud.
    let desk = 2.0 * (0.75 * 1.6 + 0.75 * 0.04 + 1.6 * 0.04);
    let sofa = 2.0 * (0.9 * 0.45 + 1.9 * 0.45);
    let air = volume - 0.75 * 1.6 * 0.04 - 0.9 * 1.9 * 0.45;
    let mean_path = 4.0 * air / (walls + desk + sofa + 2.0 * 1.8 * 1.2);
    for row in &rows {
        let [v, path, cost] = values(row)[..] else { panic!("three figures") };
        assert!((v - volume).abs() < 1e-9 && (path - mean_path).abs() < 1e-9, "{v} {path}");
        // Four panels at 95 and a cloud at 240.
        assert!((cost - 620.0).abs() < 1e-9);
    }
}

/// Sabine's time is 55.3·V/(c·A): with twice the length of a room of one material it follows V/S.
/// Every run is the scene that its numbers say.
#[test]
fn a_sweep_over_the_length_follows_sabine() {
    let parts = vec![FactorParameter {
        parameter: SceneParameter::find(SMALL, "room.length").unwrap(),
        opposite: false,
    }];
    let levels = Levels::stepped(6.0, 9.0, 1.0).unwrap();
    let factor = Factor {
        name: "length".to_owned(),
        parameters: parts,
        operation: Operation::Set,
        levels,
        is_length: false,
    };
    let design = Design::grid(vec![factor]).unwrap();
    let wanted = vec![
        StudyMetric::Room(RoomMetric::Time(Formula::Sabine, 4)),
        StudyMetric::Room(RoomMetric::AbsorptionArea(4)),
        StudyMetric::Room(RoomMetric::Volume),
    ];
    for run in 0..design.runs() {
        let scene = design.scene(SMALL, &NoAttachments, run).unwrap().scene;
        let state = scene.variant(None).unwrap();
        let rows = evaluate_metrics(&scene, &state, &measuring(&scene, wanted.clone())).unwrap();
        let [sabine_s, area_m2, volume_m3] = values(&rows[0])[..] else { panic!("three") };
        assert!((scene.room().length_m - 6.0 - run as f64).abs() < 1e-12);
        // 24·ln 10/c·V/(A + 4mV) (Sabine; Kuttruff, Room Acoustics, from memory).
        let air = scene.air();
        let m = air.attenuation_db_per_m()[4] / (10.0 * std::f64::consts::LOG10_E);
        let expected = 24.0 * 10f64.ln() / air.speed_of_sound_m_s() * volume_m3
            / (area_m2 + 4.0 * m * volume_m3);
        assert!((sabine_s / expected - 1.0).abs() < 1e-9, "{sabine_s} {expected}");
    }
}
