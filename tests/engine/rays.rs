//! Rays against what must come out: balance, exact image sums, diffuse-field theory.

use crate::fixtures::{ATTIC, BoxRoom, FIRST_SPEAKER, parsed};
use earline_engine::geometry::enclosure::Enclosure;
use earline_engine::image_source::{EnergyPlan, box_energy};
use earline_engine::medium::bands::PerBand;
use earline_engine::medium::directivity::Radiator;
use earline_engine::metrics::decay::{Estimate, Metric};
use earline_engine::ray_tracing::{
    FramePlan, ImageCoverage, RayCount, RayPlan, RayTrace, Receiver, Source, density_frames,
    trace_rays,
};
use earline_engine::scene::Scene;
use earline_engine::simulate::{Curve, RayRequest, Request, ResponseRequest, simulate};

/// A box whose six surfaces have an absorption of their own and scatter alike.
fn box_room(size: [f64; 3], absorption: [f64; 6], scattering: f64, air: bool) -> Scene {
    let at = |share: [f64; 3]| std::array::from_fn(|axis| share[axis] * size[axis]);
    let room = BoxRoom { air, ..BoxRoom::new(size, absorption) }.scattering(scattering);
    room.omni(at([0.21, 0.31, 0.47])).listener("l", at([0.63, 0.57, 0.52])).scene()
}

fn plan(rays: u64, length_s: f64) -> RayPlan {
    RayPlan { count: RayCount::Fixed(rays), seed: 1, length_s, bin_s: 1e-3, floor_db: -90.0 }
}

fn rays(scene: &Scene, coverage: ImageCoverage, plan: &RayPlan) -> RayTrace {
    let state = scene.variant(None).unwrap();
    let enclosure = Enclosure::new(scene, &state);
    let speaker = &scene.speakers()[0];
    let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), enclosure.grid());
    let source = Source { at: speaker.at, axis: speaker.axis, radiator: &radiator };
    let receivers: Vec<Receiver> = scene
        .listeners()
        .iter()
        .map(|l| Receiver { at: l.at, direct_m: l.at.distance(speaker.at), coverage })
        .collect();
    trace_rays(scene, &enclosure, source, &receivers, plan, &|_| {})
}

const UNEVEN: [f64; 6] = [0.3, 0.08, 0.15, 0.05, 0.22, 0.6];

#[test]
fn energy_is_accounted_for() {
    for (scattering, air) in [(0.0, true), (0.4, true), (1.0, false)] {
        let scene = box_room([5.0, 4.0, 2.6], UNEVEN, scattering, air);
        let balance = rays(&scene, ImageCoverage::DIRECT, &plan(4096, 0.5)).balance;
        for imbalance in balance.imbalance() {
            assert!(imbalance.abs() < 1e-9, "{imbalance}");
        }
        assert!(balance.absorbed.iter().all(|&a| a > 0.5));
        assert!(balance.air_absorbed.iter().all(|&a| (a > 0.0) == air));
    }
}

#[test]
fn black_walls_leave_the_direct_sound_alone() {
    let scene = box_room([5.0, 4.0, 2.6], [1.0; 6], 0.5, true);
    let traced = rays(&scene, ImageCoverage::DIRECT, &plan(4096, 0.2));
    assert!(traced.histograms[0].sum_over_bins(0..200).0.iter().all(|&energy| energy <= 0.0));
    assert!(traced.balance.segments <= 4096);
}

#[test]
fn hard_walls_in_still_air_never_decay() {
    let scene = box_room([5.0, 4.0, 2.6], [0.0; 6], 0.3, false);
    let traced = rays(&scene, ImageCoverage::DIRECT, &plan(2048, 1.0));
    for (alive, emitted) in traced.balance.truncated.iter().zip(traced.balance.emitted) {
        assert!((alive / emitted - 1.0).abs() < 1e-6);
    }
    let (early, _) = traced.histograms[0].sum_over_bins(200..400);
    let (late, error) = traced.histograms[0].sum_over_bins(800..1000);
    assert!((early[4] - late[4]).abs() < 5.0 * error[4], "{} {} {}", early[4], late[4], error[4]);
}

/// Mean free path 4V/S of a diffuse field (Kosten 1960, from memory) and its variance in boxes
/// (computed by Monte Carlo from cosine-law starts, two million rays).
#[test]
fn free_paths_of_diffuse_rooms() {
    for (size, variance) in
        [([4.0, 4.0, 4.0], 0.345), ([6.0, 4.0, 2.5], 0.367), ([8.0, 4.0, 4.0], 0.359)]
    {
        let scene = box_room(size, [0.0; 6], 1.0, false);
        let balance = rays(&scene, ImageCoverage::DIRECT, &plan(1024, 8.0)).balance;
        let [l, w, h] = size;
        let theory = 4.0 * l * w * h / (2.0 * (l * w + l * h + w * h));
        let mean = balance.mean_free_path_m().unwrap();
        assert!((mean / theory - 1.0).abs() < 5e-3, "{mean} against {theory}");
        let found = balance.free_path_variance().unwrap();
        assert!((found - variance).abs() < 0.01, "{found} against {variance}");
    }
}

/// A specular box: rays against the exact sums over all images to 0.3 s, every millisecond.
#[test]
fn a_specular_box_is_its_images() {
    let rooms = [
        ([6.0, 4.0, 2.5], [0.1; 6]),
        ([5.3, 3.7, 2.45], UNEVEN),
        ([7.1, 5.2, 3.1], [0.05, 0.4, 0.1, 0.1, 0.3, 0.02]),
    ];
    for (size, absorption) in rooms {
        let scene = box_room(size, absorption, 0.0, false);
        let traced = rays(&scene, ImageCoverage::DIRECT, &plan(1_200_000, 0.3));
        let (s, r) = (scene.speakers()[0].at, scene.listeners()[0].at);
        let speed = scene.air().speed_of_sound_m_s();
        let walls: [PerBand<f64>; 6] = absorption.map(|a| [a; 8]);
        let direct_m = s.distance(r);
        // Images in bins of 0.1 µs, put together into the rays' bins, which begin with the direct sound.
        let fine = EnergyPlan::from_absorption(walls, speed, 1e-7, 3_300_000);
        let images = box_energy(scene.room(), s, r, &fine);
        let mut exact = vec![0.0; 300];
        for (i, bin) in images.iter().enumerate() {
            let after_s = (i as f64 + 0.5) * 1e-7 - direct_m / speed;
            // The direct sound itself is the list's.
            if (2e-7..0.3).contains(&after_s) {
                exact[(after_s * 1e3) as usize] += bin[4];
            }
        }
        let (mut within_one, mut bins) = (0.0, 0.0);
        for (i, &exact) in exact.iter().enumerate() {
            let (mean, error) = traced.histograms[0].bin(i);
            if exact == 0.0 && mean[4] == 0.0 {
                continue;
            }
            let off = (mean[4] - exact).abs() / error[4];
            bins += 1.0;
            within_one += f64::from(u8::from(off < 1.0));
            assert!(off < 5.0, "bin {i}: {} ± {} against {exact}", mean[4], error[4]);
        }
        let share: f64 = within_one / bins;
        assert!((0.55..0.80).contains(&share), "{share} of {bins} bins within one standard error");
    }
}

/// Walls that scatter everything, evenly absorbing: Eyring's formula (Norris and Eyring 1930) where
/// little is absorbed, and with Kuttruff's correction for the spread of free paths (from memory;
/// its variance in this box, 0.367, computed by Monte Carlo) everywhere.
#[test]
fn a_diffuse_room_decays_as_eyring_says() {
    for alpha in [0.1, 0.2, 0.3] {
        let scene = box_room([6.0, 4.0, 2.5], [alpha; 6], 1.0, false);
        let found = decay_times(&scene, 30_000);
        let (volume, area) = (60.0, 98.0);
        let k = 24.0 * std::f64::consts::LN_10 / scene.air().speed_of_sound_m_s();
        let log = (1.0f64 - alpha).ln();
        let eyring = k * volume / (-area * log);
        let kuttruff = eyring / (1.0 + 0.367 / 2.0 * log);
        let t30 = found[4].value;
        assert!(alpha > 0.2 || (t30 / eyring - 1.0).abs() < 0.05, "{t30} against {eyring}");
        assert!((t30 / kuttruff - 1.0).abs() < 0.02, "{t30} against {kuttruff}");
    }
}

/// Scattering turns the slow decay of an unevenly lined mirror room, bit by bit, into a diffuse one.
#[test]
fn more_scattering_decays_faster_in_an_uneven_room() {
    let uneven = [0.05, 0.05, 0.05, 0.05, 0.6, 0.6];
    let times: Vec<f64> = [0.0, 0.1, 0.3, 1.0]
        .iter()
        .map(|&s| decay_times(&box_room([6.0, 4.0, 2.5], uneven, s, false), 30_000)[4].value)
        .collect();
    assert!(times.windows(2).all(|pair| pair[1] < pair[0]), "{times:?}");
}

fn decay_times(scene: &Scene, rays: u64) -> Vec<Estimate> {
    let state = scene.variant(None).unwrap();
    let response = ResponseRequest {
        rays: Some(RayRequest::fixed(rays)),
        curve: Curve::Geometrical,
        ..ResponseRequest::early(0.5)
    };
    let request = Request { response: Some(response), ..Request::everything(scene) };
    let decay = simulate(scene, &state, &request, &()).unwrap().decay.unwrap();
    decay.pairs[0].metrics.iter().map(|figures| figures[Metric::T30].unwrap()).collect()
}

/// The same bytes whatever the number of threads.
#[test]
fn threads_change_nothing() {
    for scattering in [0.3, 0.0] {
        let scene = box_room([5.0, 4.0, 2.6], UNEVEN, scattering, true);
        let on = |threads: usize| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| rays(&scene, ImageCoverage::DIRECT, &plan(20_000, 0.3)))
        };
        let one = on(1);
        for threads in [2, 3, 8] {
            assert!(on(threads) == one, "{threads} threads");
        }
    }
}

/// Four times the rays halve the error, and the mean over seeds is that of one long run.
#[test]
fn errors_are_what_they_say() {
    let scene = box_room([5.0, 4.0, 2.6], UNEVEN, 0.3, true);
    let energy = |rays_: u64, seed: u64| {
        let plan = RayPlan { seed, ..plan(rays_, 0.2) };
        let (mean, error) =
            rays(&scene, ImageCoverage::DIRECT, &plan).histograms[0].sum_over_bins(0..200);
        (mean[4], error[4])
    };
    let seeds = 100;
    let short: Vec<(f64, f64)> = (0..seeds).map(|seed| energy(1024, seed)).collect();
    let mean = short.iter().map(|s| s.0).sum::<f64>() / seeds as f64;
    let spread = short.iter().map(|s| (s.0 - mean).powi(2)).sum::<f64>() / (seeds as f64 - 1.0);
    let said = short.iter().map(|s| s.1 * s.1).sum::<f64>() / seeds as f64;
    assert!((0.6..1.7).contains(&(said / spread)), "said {said}, found {spread}");
    let (long, error) = energy(102_400, 4711);
    let apart = (spread / seeds as f64 + error * error).sqrt();
    assert!((mean - long).abs() < 4.0 * apart, "{mean} against {long}, {apart}");
    let doubled: Vec<f64> = (0..seeds).map(|seed| energy(2048, 1000 + seed).1.powi(2)).collect();
    let ratio = said / (doubled.iter().sum::<f64>() / seeds as f64);
    assert!((1.5..2.9).contains(&ratio), "twice the rays, variance over {ratio}");
}

/// A desk, a cloud and panels: the account still balances, and sound behind them is not lost.
#[test]
fn furnished_rooms_keep_their_account() {
    let scene = parsed(ATTIC);
    for imbalance in rays(&scene, ImageCoverage::DIRECT, &plan(4096, 0.5)).balance.imbalance() {
        assert!(imbalance.abs() < 1e-9, "{imbalance}");
    }
}

/// In a hard room without air losses all energy is over the floor at any moment, wherever it is.
#[test]
fn snapshots_lose_nothing() {
    let scene = box_room([5.0, 4.0, 2.6], [0.0; 6], 0.3, false);
    let moments = FramePlan { times_s: vec![2e-3, 9e-3, 40e-3], exposure_s: 1e-3, cells: [25, 20] };
    let state = scene.variant(None).unwrap();
    for density in density_frames(&scene, &state, FIRST_SPEAKER, &moments, 4096, 1).density {
        let mean = density.iter().map(|bands| bands[4]).sum::<f64>() / 500.0;
        assert!((mean - 1.0).abs() < 1e-4, "{mean}");
    }
}

/// Before the first wall a thin shell of radius r, seen from above, holds 1 − √(1 − (ρ/r)²) of its energy
/// within ρ of the speaker (Archimedes' hat-box theorem); and where all is absorbed, nothing is
/// left once the shell has passed the walls.
#[test]
fn a_snapshot_is_a_shell_seen_from_above() {
    let scene = box_room([20.0, 20.0, 20.0], [1.0; 6], 0.0, false);
    let speed = scene.air().speed_of_sound_m_s();
    let (r, cells) = (3.0, 200);
    let moments =
        FramePlan { times_s: vec![r / speed, 0.2], exposure_s: 1e-4, cells: [cells, cells] };
    let state = scene.variant(None).unwrap();
    let found = density_frames(&scene, &state, FIRST_SPEAKER, &moments, 65_536, 1);
    let at = scene.speakers()[0].at;
    let within = |rho: f64| {
        let inside = |cell: usize| {
            let middle = |index: usize| (index as f64 + 0.5) * 20.0 / cells as f64;
            (middle(cell / cells) - at.x).hypot(middle(cell % cells) - at.y) < rho
        };
        let density = found.density[0].iter().enumerate();
        let held: f64 = density.filter(|(cell, _)| inside(*cell)).map(|(_, bands)| bands[4]).sum();
        held / (cells * cells) as f64
    };
    for rho in [1.0f64, 2.0, 2.5] {
        let exact = 1.0 - (1.0 - (rho / r).powi(2)).sqrt();
        assert!((within(rho) / exact - 1.0).abs() < 0.04, "{rho}: {} against {exact}", within(rho));
    }
    assert!(found.density[1].iter().all(|bands| bands[4] <= 0.0));
}
