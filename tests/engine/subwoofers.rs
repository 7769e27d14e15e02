//! Subwoofers, filters, delay, level, polarity and the low end of speakers in the bass.

use crate::fixtures::impedance_room::{Case, solve, speed};
use earline_engine::auralization::{ImpulseResponseSet, PRE_ROLL_S, auralize};
use earline_engine::scene::{NoAttachments, Scene, SpeakerId};
use earline_engine::simulate::{RayRequest, Request};
use earline_engine::wave_field::{
    SeatMapRequest, UNEVENNESS_BAND_HZ, WaveField, log_spaced_hz, seat_map, unevenness_range_hz,
};
use num_complex::Complex64;
use std::f64::consts::TAU;

const SIZE: [f64; 3] = [5.0, 4.0, 2.5];
const SEAT: [f64; 3] = [2.4, 2.0, 1.2];

fn scene(speakers: &str) -> Scene {
    let case = Case {
        size: SIZE,
        zeta: [[18.0, 0.0]; 6],
        speaker: [1.0, 1.1, 1.2],
        listeners: &[SEAT],
        more: speakers,
    };
    // The room's own speaker is one of those that are given.
    let text = case.text();
    let start = text.find("[[speaker]]").unwrap();
    let end = start + 1 + text[start + 1..].find("[[").unwrap();
    let text = format!("{}{}", &text[..start], &text[end..]);
    let parsed = Scene::parse(&text, &NoAttachments);
    parsed.unwrap_or_else(|problems| panic!("{problems:#?}\n{text}")).scene
}

fn speaker(name: &str, at: [f64; 3], more: &str) -> String {
    format!(
        "[[speaker]]\nname = \"{name}\"\nat = {at:?}\ndirectivity = {{ kind = \"omni\" }}\n{more}\n"
    )
}

fn subwoofer(name: &str, at: [f64; 3], more: &str) -> String {
    speaker(name, at, &format!("kind = \"subwoofer\"\n{more}"))
}

fn pressure(field: &WaveField, speaker: usize) -> &[Complex64] {
    &field.pairs[speaker].pressure
}

fn db(pressure: Complex64) -> f64 {
    20.0 * pressure.norm().log10()
}

const HZ: [f64; 8] = [25.0, 40.0, 55.0, 80.0, 95.0, 110.0, 150.0, 190.0];
const AT: [f64; 3] = [1.0, 1.1, 1.2];

/// A high-pass and a low-pass of Linkwitz and Riley of the fourth order add up to one level (Linkwitz, Active
/// Crossover Networks for Noncoincident Drivers, JAES 24, 1976; from memory): at one place, whatever the room does,
/// to that of a speaker without filters.
#[test]
fn both_halves_of_a_crossover_at_one_place_are_one_speaker() {
    let plain = solve(&scene(&speaker("main", AT, "")), &HZ);
    let low = subwoofer("sub", AT, "low_pass = { hz = 80, order = 4 }");
    let high = speaker("main", AT, "high_pass = { hz = 80 }");
    let joined = solve(&scene(&(high + &low)), &HZ);
    let [sum] = &joined.coherent_sums[..] else { panic!("{:?}", joined.coherent_sums) };
    assert_eq!((sum.name.as_deref(), sum.speakers.len()), (Some("main"), 2));
    for (found, alone) in sum.level_db.iter().zip(pressure(&plain, 0)) {
        assert!((found - db(*alone)).abs() < 1e-6, "{found} {}", db(*alone));
    }
    // In phase throughout, so that nothing is lost and nothing can be gained.
    assert!(joined.subwoofer_sums[0].loss_db.iter().all(|db| db.abs() < 1e-6));
    let best = joined.subwoofer_alignment.unwrap();
    assert!(best.delay_ms.abs() < 1e-9 && !best.inverts && best.now_db.abs() < 1e-6, "{best:?}");
}

/// Half a period later than it should be, the subwoofer cancels at the crossover: at one place the sum is the
/// difference of two halves that are 6 dB down.
#[test]
fn a_late_subwoofer_cancels_and_is_set_right() {
    let hz = log_spaced_hz(20.0, 200.0);
    let high = speaker("main", AT, "high_pass = { hz = 80 }");
    let late = subwoofer("sub", AT, "low_pass = { hz = 80 }\ndelay_ms = 6.25");
    let found = solve(&scene(&(high.clone() + &late)), &hz);
    let [sum] = &found.subwoofer_sums[..] else { panic!("{:?}", found.subwoofer_sums) };
    // −12 dB of either: 80 Hz times and over the fourth root of three.
    let [from_hz, to_hz] = sum.overlap_hz.unwrap();
    let ends = [80.0 / 3f64.powf(0.25), 80.0 * 3f64.powf(0.25)];
    assert!((from_hz / ends[0]).log2().abs() < 1.0 / 24.0, "{from_hz} {ends:?}");
    assert!((to_hz / ends[1]).log2().abs() < 1.0 / 24.0, "{to_hz} {ends:?}");
    let [cancelled] = &sum.cancellations[..] else { panic!("{:?}", sum.cancellations) };
    assert!((cancelled.hz / 80.0).log2().abs() < 1.0 / 24.0 && cancelled.loss_db < -20.0);
    let best = found.subwoofer_alignment.unwrap();
    // Turned over, some way to the right time, or on time by delaying the main speaker: the smaller change.
    assert!(best.best_db > -0.6 && best.now_db < -4.0, "{best:?}");
    assert!(best.inverts || (best.delay_ms + 6.25).abs() < 0.5, "{best:?}");
    // With both as late as each other it is as if neither were.
    let high = speaker("main", AT, "high_pass = { hz = 80 }\ndelay_ms = 6.25");
    let alike = solve(&scene(&(high + &late)), &hz);
    assert!(alike.subwoofer_sums[0].loss_db.iter().all(|db| db.abs() < 1e-6));
}

/// Two subwoofers at the midpoints of opposite walls do not excite the modes that are odd along the axis between
/// them (Welti and Devantier, Low-Frequency Optimization Using Multiple Subwoofers, JAES 54, 2006; from memory): the
/// field is then even about the middle of the room, and the first mode along it, where one subwoofer alone booms, is
/// silent. The second one, which both excite, has about twice the pressure of one.
#[test]
fn two_subwoofers_opposite_each_other_leave_out_odd_modes() {
    let mode_hz = |n: f64| n * speed() / (2.0 * SIZE[0]);
    let hz = [mode_hz(1.0), mode_hz(2.0)];
    let low_pass = "low_pass = { hz = 120 }";
    let middle = |x: f64| [x, 2.0, 0.3];
    let both =
        subwoofer("front", middle(0.02), low_pass) + &subwoofer("back", middle(4.98), low_pass);
    let seats = "[[listener]]\nname = \"a\"\nat = [0.7, 2.4, 1.1]\n[[listener]]\nname = \"b\"\nat = [4.3, 2.4, 1.1]\n";
    let found = solve(&scene(&(both + seats)), &hz);
    let sums: Vec<_> = found.coherent_sums.iter().filter(|sum| sum.name.is_none()).collect();
    let [_, a, b] = &sums[..] else { panic!("{sums:?}") };
    for (a, b) in a.level_db.iter().zip(&b.level_db) {
        assert!((a - b).abs() < 1e-6, "mirrored seats: {a} {b}");
    }
    let alone = found.pairs.iter().find(|p| p.listener == a.listener).unwrap();
    let gain_db: Vec<f64> = a.level_db.iter().zip(&alone.level_db).map(|(a, b)| a - b).collect();
    assert!(gain_db[0] < -12.0, "first mode: {gain_db:?}");
    // But for what one alone has of the others.
    assert!((gain_db[1] - 6.02).abs() < 1.5, "second mode: {gain_db:?}");
    // There is nothing else for them to cancel.
    assert!(found.subwoofer_sums.is_empty() && found.subwoofer_alignment.is_none());
    assert!(found.partial_sums.is_empty());
}

/// A vented box rolls off as a Butterworth high-pass of the fourth order (Small, Vented-Box Loudspeaker Systems, JAES
/// 21, 1973; from memory), and its unevenness is that of what it plays.
#[test]
fn a_small_speaker_has_no_deep_bass() {
    let plain = solve(&scene(&speaker("s", AT, "")), &HZ);
    let room = scene(&speaker("s", AT, "low_hz = 50"));
    let small = solve(&room, &HZ);
    for (i, hz) in HZ.into_iter().enumerate() {
        let fallen_db = db(pressure(&small, 0)[i]) - db(pressure(&plain, 0)[i]);
        let expected_db = -10.0 * (1.0 + (50.0 / hz).powi(8)).log10();
        assert!((fallen_db - expected_db).abs() < 1e-9, "{hz} Hz: {fallen_db} {expected_db}");
    }
    let [from_hz, to_hz] = unevenness_range_hz(&room, &[SpeakerId::new(0)]);
    // −6 dB: 50 Hz over the eighth root of three.
    assert!((from_hz / (50.0 / 3f64.powf(0.125))).log2().abs() < 1.0 / 24.0, "{from_hz}");
    assert_eq!(to_hz.to_bits(), UNEVENNESS_BAND_HZ[1].to_bits());
    let level = &small.pairs[0].level_db[2..];
    let mean = level.iter().sum::<f64>() / level.len() as f64;
    let deviation = level.iter().map(|db| (db - mean).powi(2)).sum::<f64>() / level.len() as f64;
    assert!((small.pairs[0].unevenness_db.unwrap() - deviation.sqrt()).abs() < 1e-9);
}

#[test]
fn parts_of_what_plays_together_are_told_apart() {
    let pair = |side: &str, y: f64| {
        let more = format!("pair = \"mains\"\nside = \"{side}\"\nhigh_pass = {{ hz = 80 }}");
        speaker(side, [1.0, y, 1.2], &more)
    };
    let subs = ["a", "b"].map(|name| {
        let y = if name == "a" { 0.4 } else { 3.6 };
        subwoofer(name, [0.3, y, 0.3], "low_pass = { hz = 80 }")
    });
    let found = solve(&scene(&(pair("left", 1.2) + &pair("right", 2.8) + &subs.concat())), &HZ);
    let [sum] = &found.coherent_sums[..] else { panic!("{:?}", found.coherent_sums) };
    let [mains, subwoofers] = &found.partial_sums[..] else { panic!("{:?}", found.partial_sums) };
    assert_eq!([sum, mains, subwoofers].map(|sum| sum.speakers.len()), [4, 2, 2]);
    assert_eq!([sum, mains, subwoofers].map(|sum| sum.name.is_some()), [true, true, false]);
    for i in 0..HZ.len() {
        let all: Complex64 = (0..4).map(|speaker| pressure(&found, speaker)[i]).sum();
        assert!((sum.level_db[i] - db(all)).abs() < 1e-9);
        let low: Complex64 = (2..4).map(|speaker| pressure(&found, speaker)[i]).sum();
        assert!((subwoofers.level_db[i] - db(low)).abs() < 1e-9);
        let high = all - low;
        let loss_db = db(all) - 20.0 * (high.norm() + low.norm()).log10();
        assert!((found.subwoofer_sums[0].loss_db[i] - loss_db).abs() < 1e-9);
    }
}

/// A subwoofer at the back does not keep anyone from sitting in front of it, and the line that is as far from one
/// speaker as from the other is that of the pair.
#[test]
fn a_subwoofer_behind_the_seats_leaves_them_where_they_are() {
    let pair = |side: &str, y: f64| {
        speaker(side, [1.0, y, 1.2], &format!("pair = \"mains\"\nside = \"{side}\""))
    };
    let back = subwoofer("back", [4.7, 2.0, 0.3], "low_pass = { hz = 80 }");
    let room = scene(&(pair("left", 1.2) + &pair("right", 2.8) + &back));
    let request = SeatMapRequest {
        speakers: (0..3).map(SpeakerId::new).collect(),
        height_m: 1.2,
        step_m: 0.5,
        hz: log_spaced_hz(30.0, 120.0),
    };
    let map = seat_map(&room, &room.variant(None).unwrap(), &request).unwrap();
    let free = map.clearance_m.iter().flatten().filter(|clear_m| 0.0 <= **clear_m).count();
    assert!(free > 20, "{free} seats");
    let median = map.flattest_on_median.unwrap().at;
    assert!((median.y - 2.0).abs() < 1e-9, "{median}");
    assert!(median.distance(room.speakers()[2].at) >= 1.0);
}

/// The sound of a speaker behind its filters is that of the wave field behind them: what is heard below the crossover
/// is what the curves of the bass say.
#[test]
fn filters_are_in_the_sound_as_in_the_curves() {
    let more =
        "low_pass = { hz = 90, order = 2 }\nlevel_db = -4\ndelay_ms = 3\npolarity = \"inverted\"";
    let [plain, driven] = ["", more].map(|more| {
        let room = scene(&subwoofer("sub", [0.6, 0.7, 0.4], more));
        let request =
            Request::everything(&room).with_rays(RayRequest { seed: 3, ..RayRequest::fixed(512) });
        let sounds = auralize(&room, &room.variant(None).unwrap(), &request, &()).unwrap();
        (solve(&room, &[50.0, 70.0, 90.0]), sounds)
    });
    assert!((driven.1.pairs[0].direct_s() - plain.1.pairs[0].direct_s() - 0.003).abs() < 1e-9);
    for (i, hz) in [50.0, 70.0, 90.0].into_iter().enumerate() {
        let at = |sounds: &ImpulseResponseSet| {
            let turned = |(index, sample): (usize, &f64)| {
                let time_s = index as f64 / 48_000.0 - PRE_ROLL_S;
                sample * Complex64::cis(-TAU * hz * time_s)
            };
            sounds.pairs[0].omni.samples.iter().enumerate().map(turned).sum::<Complex64>()
        };
        let heard = at(&driven.1) / at(&plain.1);
        let said = pressure(&driven.0, 0)[i] / pressure(&plain.0, 0)[i];
        assert!((heard / said - 1.0).norm() < 0.02, "{hz} Hz: {heard} {said}");
    }
}
