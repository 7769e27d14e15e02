//! Errors of decay figures against analysis and simulated ensembles, and decays that sink into
//! noise. Random numbers come from fixed seeds.

use earline_engine::metrics::decay::{
    EnergyDecay, Estimate, Metric, MetricInputs, NoiseRefused, Replicates, SchroederCurve,
    Truncation, Unavailable, evaluate, find_floor, jackknife, without_noise,
};

/// 6·ln 10.
const NEPERS_OF_60_DB: f64 = 13.815_510_557_964_274;
const BIN_S: f64 = 1e-3;

/// Random numbers after Steele, Lea and Flood (2014), seeded.
struct Random(u64);

impl Random {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / 9_007_199_254_740_992.0
    }

    /// Exponentially distributed with mean 1: the squared envelope of Gaussian noise.
    fn energy(&mut self) -> f64 {
        -(1.0 - self.uniform()).ln()
    }
}

fn exponential(time_s: f64, count: u32) -> Vec<f64> {
    let left = |i: u32| (-NEPERS_OF_60_DB * f64::from(i) * BIN_S / time_s).exp();
    (0..count).map(|i| left(i) - left(i + 1)).collect()
}

fn slices(lists: &[Vec<f64>]) -> Vec<&[f64]> {
    lists.iter().map(Vec::as_slice).collect()
}

fn deviation(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt()
}

/// For a mean the jackknife is s/√n exactly (Efron 1982, from memory; the algebra is plain).
#[test]
fn jackknife_of_a_mean_is_its_standard_error() {
    let values = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0];
    let sum: f64 = values.iter().sum();
    let left_out: Vec<f64> = values.iter().map(|v| (sum - v) / 7.0).collect();
    let expected = deviation(&values) / 8f64.sqrt();
    assert!((jackknife(&left_out).unwrap() / expected - 1.0).abs() < 1e-12);
    assert_eq!(jackknife(&[1.0]), None);
}

/// Strength is 10·lg of a sum: its error is 10/ln 10 times the relative error of that sum, as
/// far as the error is small.
#[test]
fn error_of_a_level_follows_the_relative_error() {
    let mut random = Random(1);
    let batches: Vec<Vec<f64>> = (0..40)
        .map(|_| exponential(0.4, 600).iter().map(|e| e * (0.5 + random.uniform())).collect())
        .collect();
    let sums: Vec<f64> = batches.iter().map(|b| b.iter().sum()).collect();
    let mean = sums.iter().sum::<f64>() / 40.0;
    let direct = 0.5;
    let relative = deviation(&sums) / 40f64.sqrt() / (mean + direct);
    let deterministic = [direct];
    let batches = slices(&batches);
    let replicates = Replicates {
        bin_s: BIN_S,
        deterministic: &deterministic,
        batches: &batches,
        truncation: Truncation::Complete,
    };
    let strength =
        replicates.metrics(&MetricInputs::new(direct).omnidirectional())[Metric::Strength].unwrap();
    let expected = 10.0 / std::f64::consts::LN_10 * relative;
    assert!((strength.standard_error.unwrap() / expected - 1.0).abs() < 1e-3);
    assert!((strength.value - 10.0 * (100.0 * (mean + direct)).log10()).abs() < 1e-9);
}

/// Over 300 ensembles of 24 batches the error that each states of itself is, on the mean, the
/// scatter of the value from ensemble to replicates.
#[test]
fn stated_errors_are_the_scatter_from_ensemble_to_ensemble() {
    let mut random = Random(7);
    let ideal = exponential(0.3, 400);
    let deterministic = [1.0];
    let figures = [Metric::Edt, Metric::T20, Metric::T30, Metric::C50, Metric::CentreTime];
    let mut found: Vec<Vec<Estimate>> = vec![Vec::new(); figures.len()];
    for _ in 0..300 {
        let batches: Vec<Vec<f64>> = (0..24)
            .map(|_| ideal.iter().map(|e| e * random.energy() * random.energy()).collect())
            .collect();
        let batches = slices(&batches);
        let replicates = Replicates {
            bin_s: BIN_S,
            deterministic: &deterministic,
            batches: &batches,
            truncation: Truncation::Complete,
        };
        let all = replicates.metrics(&MetricInputs::new(1.0));
        for (list, figure) in found.iter_mut().zip(figures) {
            list.push(all[figure].unwrap());
        }
    }
    for (list, figure) in found.iter().zip(figures) {
        let scatter = deviation(&list.iter().map(|e| e.value).collect::<Vec<_>>());
        let squares: f64 = list.iter().map(|e| e.standard_error.unwrap().powi(2)).sum();
        let stated = (squares / 300.0).sqrt();
        // The scatter of 300 values is itself known to 1/√600 = 4 %.
        assert!((stated / scatter - 1.0).abs() < 0.15, "{figure:?}: {stated} {scatter}");
    }
}

#[test]
fn without_batches_all_is_exact_and_with_one_nothing_is_known() {
    let deterministic = exponential(0.3, 400);
    let none = Replicates {
        bin_s: BIN_S,
        deterministic: &deterministic,
        batches: &[],
        truncation: Truncation::Complete,
    };
    let t30 = none.metrics(&MetricInputs::new(0.0))[Metric::T30].unwrap();
    assert_eq!(t30.standard_error, Some(0.0));
    let one = Replicates { batches: &[&deterministic], deterministic: &[], ..none };
    let same = one.metrics(&MetricInputs::new(0.0))[Metric::T30].unwrap();
    assert_eq!((same.value.to_bits(), same.standard_error), (t30.value.to_bits(), None));
    assert_eq!(one.energy()[3].standard_error, None);
}

/// Curve and bins: the first edge is 0 dB by definition, so without error; the error of a bin is
/// that of a mean.
#[test]
fn errors_of_curve_and_bins() {
    let mut random = Random(3);
    let ideal = exponential(0.3, 300);
    let lists: Vec<Vec<f64>> =
        (0..16).map(|_| ideal.iter().map(|e| e * random.energy()).collect()).collect();
    let batches = slices(&lists);
    let replicates = Replicates {
        bin_s: BIN_S,
        deterministic: &[],
        batches: &batches,
        truncation: Truncation::Complete,
    };
    let curve = replicates.curve_db().unwrap();
    assert_eq!(curve.len(), 301);
    assert_eq!((curve[0].value, curve[0].standard_error), (0.0, Some(0.0)));
    assert!(curve[100].standard_error.unwrap() > curve[5].standard_error.unwrap());
    let plain = SchroederCurve::of(&replicates.decay()).unwrap();
    assert!(plain.level_db().zip(&curve).all(|(a, b)| a.to_bits() == b.value.to_bits()));
    let tenth: Vec<f64> = lists.iter().map(|b| b[10]).collect();
    let stated = replicates.energy()[10].standard_error.unwrap();
    assert!((stated / (deviation(&tenth) / 4.0) - 1.0).abs() < 1e-9);
}

/// A decay of Gaussian noise, and the same over a steady noise floor, both as energy.
fn measured(time_s: f64, floor_db: f64, count: u32, seed: u64) -> [EnergyDecay; 2] {
    let mut random = Random(seed);
    let ideal = exponential(time_s, count);
    let floor = ideal[0] * 10f64.powf(floor_db / 10.0);
    let clean: Vec<f64> = ideal.iter().map(|e| e * random.energy()).collect();
    let noisy = clean.iter().map(|e| e + floor * random.energy()).collect();
    [EnergyDecay::complete(BIN_S, clean), EnergyDecay::truncated(BIN_S, noisy)]
}

/// The knee is where the decay has fallen to the floor, and the floor is found.
#[test]
fn floor_and_knee() {
    for (time, floor_db) in [(0.3, -30.0), (0.5, -45.0), (1.0, -55.0), (0.2, -60.0)] {
        for seed in 0..10 {
            let [_, decay] = measured(time, floor_db, 2000, seed);
            let floor = find_floor(&decay).unwrap();
            let first = exponential(time, 1)[0];
            let found_db = 10.0 * (floor.energy_per_bin / first).log10();
            assert!((found_db - floor_db).abs() < 0.5, "{time} {floor_db}: {found_db}");
            let knee = -floor_db / 60.0 * time;
            assert!((floor.knee_s / knee - 1.0).abs() < 0.15, "{time}: {} {knee}", floor.knee_s);
        }
    }
}

/// Noise is taken off or the figure refused, never wrong: what is given is what the same decay
/// gives without the noise, while the decay taken as it came is far off.
#[test]
fn noise_is_made_good_or_refused() {
    for (time, floor_db, t20, t30) in [
        (0.5, -20.0, false, false),
        (0.5, -42.0, true, false),
        (0.5, -55.0, true, true),
        (0.3, -65.0, true, true),
        (1.2, -50.0, true, true),
    ] {
        for (figure, given) in [(Metric::T20, t20), (Metric::T30, t30)] {
            let (mut errors, mut raw_errors) = (Vec::new(), Vec::new());
            for seed in 0..40 {
                let [clean, noisy] = measured(time, floor_db, 3000, 1000 + seed);
                let truth = evaluate(&clean, &MetricInputs::new(0.0))[figure].unwrap();
                let quiet = without_noise(&noisy).unwrap();
                match evaluate(&quiet, &MetricInputs::new(0.0))[figure] {
                    Ok(value) => errors.push(value / truth - 1.0),
                    Err(Unavailable::TooShort { .. }) => assert!(!given),
                    Err(other) => panic!("{other}"),
                }
                let as_it_came = EnergyDecay::complete(BIN_S, noisy.energy);
                let raw = evaluate(&as_it_came, &MetricInputs::new(0.0))[figure].unwrap();
                raw_errors.push(raw / truth - 1.0);
            }
            assert_eq!(errors.is_empty(), !given, "{figure:?} {time} {floor_db}");
            if given {
                let mean = errors.iter().sum::<f64>() / errors.len() as f64;
                let raw = raw_errors.iter().sum::<f64>() / raw_errors.len() as f64;
                assert!(raw > 10.0 * mean.abs(), "as it came it would not be far off: {raw}");
                assert!(mean.abs() < 0.01, "{figure:?} {time} {floor_db}: {mean}");
                assert!(errors.iter().all(|e| e.abs() < 0.05), "{errors:?}");
            }
        }
    }
}

/// A decay that is merely cut has no floor, and noise alone has no decay.
#[test]
fn what_is_no_floor_is_not_called_one() {
    for seed in 0..20 {
        let mut random = Random(seed);
        let running = exponential(0.5, 350).iter().map(|e| e * random.energy()).collect();
        assert_eq!(find_floor(&EnergyDecay::truncated(BIN_S, running)), Err(NoiseRefused::NoFloor));
        let noise = (0..800).map(|_| random.energy()).collect();
        assert_eq!(find_floor(&EnergyDecay::truncated(BIN_S, noise)), Err(NoiseRefused::Buried));
    }
    let clean = EnergyDecay::truncated(BIN_S, exponential(0.5, 2000));
    assert_eq!(find_floor(&clean), Err(NoiseRefused::NoFloor));
}

/// At the very end of a complete decay nothing is left, and beyond it neither.
#[test]
fn nothing_is_left_after_a_complete_decay() {
    let curve = SchroederCurve::of(&EnergyDecay::complete(1e-3, vec![1.0, 0.5, 0.25])).unwrap();
    for (time_s, left) in [(0.0, 1.75), (0.002, 0.25), (0.003, 0.0), (0.004, 0.0)] {
        assert!((curve.energy_after(time_s) - left).abs() < 1e-12, "{time_s} s");
    }
}
