//! The lessons: every command runs, every quote is what is said, every picture is what is drawn, and
//! every figure is in the scene, in a quote, or worked out here from the formula that the lesson gives.

mod figures;
mod lesson;
mod picture;

use crate::shown::{documents_in, text_of};
use lesson::Lesson;
use serde_json::Value;
use std::f64::consts::PI;

/// Speed of sound at 20 °C, m/s (ISO 9613-1, read on pages that reproduce it).
const SPEED: f64 = 343.2;
/// A foot in metres.
const FOOT: f64 = 0.3048;

fn db(ratio: f64) -> f64 {
    20.0 * ratio.log10()
}

#[track_caller]
fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual} is not {expected} ± {tolerance}");
}

/// A reflection of the first pair off one surface.
fn reflection<'a>(trace: &'a Value, surface: &str) -> &'a Value {
    let all = trace["pairs"][0]["reflections"].as_array().unwrap();
    all.iter().find(|one| one["surfaces"] == serde_json::json!([surface])).unwrap()
}

fn figure(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Level of a pair of a `bass` document at the listed frequency nearest to one asked for.
fn level_db(bass: &Value, among: &str, listener: &str, hz: f64) -> f64 {
    let all = bass["frequencies_hz"].as_array().unwrap().iter().map(figure);
    let nearest = all.enumerate().min_by(|a, b| (a.1 - hz).abs().total_cmp(&(b.1 - hz).abs()));
    let pair = bass[among].as_array().unwrap().iter().find(|one| one["listener"] == listener);
    figure(&pair.unwrap()["level_db"][nearest.unwrap().0])
}

#[test]
fn every_lesson_is_in_the_index_and_under_test() {
    let index = text_of("docs/lessons/README.md");
    let lessons = documents_in("docs/lessons");
    let tests = include_str!("mod.rs");
    for lesson in lessons.iter().filter_map(|path| path.strip_prefix("docs/lessons/")) {
        let stem = lesson.trim_end_matches(".md");
        let tested = tests.contains(&format!("Lesson::run(\"{stem}\")"));
        assert!(
            lesson == "README.md" || index.contains(&format!("({lesson})")) && tested,
            "{lesson}"
        );
    }
    assert!(text_of("README.md").contains("docs/lessons/README.md"));
}

/// Image sources: Allen and Berkley 1979 (formula from memory); count of images: Schroeder 1996 (read).
#[test]
fn mirror_images() {
    let mut lesson = Lesson::run("1-mirror-images");
    let scene = "scenes/lessons/mirror-images.toml";
    let trace = lesson.json(&["trace", scene, "--order", "1", "--rays", "0"]);
    let direct: f64 = 3.0;
    // Each image is straight across its surface: across it by twice the distance from it, or behind
    // or before the pair by it.
    let images = [
        ("left", direct.hypot(2.0 * 2.0), "5.00 m"),
        ("floor", direct.hypot(2.0 * 1.125), "3.75 m"),
        ("ceiling", direct.hypot(2.0 * (2.7 - 1.125)), "4.35 m"),
        ("front", 1.5 + 4.5, "6.00 m"),
        ("back", (6.5 - 1.5) + (6.5 - 4.5), "7.00 m"),
        ("right", direct.hypot(2.0 * (5.6 - 2.0)), "7.80 m"),
    ];
    for (surface, length_m, said) in images {
        lesson.works_out(length_m, said);
        let found = reflection(&trace, surface);
        close(figure(&found["distance_m"]), length_m, 1e-5);
        close(figure(&found["after_direct_ms"]), 1e3 * (length_m - direct) / SPEED, 1e-3);
        // A bounce keeps 1 − 0.2057 of the energy: 1 dB.
        close(figure(&found["level_db"]), db(direct / length_m) - 1.0, 2e-3);
    }
    lesson.works_out(5.0 - direct, "2.00 m");
    lesson.works_out(2.0 * 2.0, "4.00 m");
    lesson.works_out(db(direct / 5.0), "4.4 dB");
    lesson.works_out(10.0 * (1.0 - 0.2057f64).log10(), "1 dB");
    // What has come 30 ms after the direct sound, and the images it has come from.
    let (radius_m, volume_m3) = (direct + 0.030 * SPEED, 6.5 * 5.6 * 2.7);
    lesson.works_out(radius_m, "13.30 m");
    lesson.works_out(volume_m3, "98.28 m³");
    lesson.works_out(4.0 / 3.0 * PI * radius_m.powi(3) / volume_m3, "100 images");
    lesson.works_out(lesson.rows_of("many/reflections.csv") as f64, "106 rows");
    lesson.published(&["343.2 m/s", "At 10 ms", "0.50 m from the left wall", "within 40 ms"]);
    lesson.leaves_no_figure_loose();
}

/// The tape from the image of the speaker; limit: EBU Tech 3276 (1998), section 2.2, read second-hand.
#[test]
fn first_reflections() {
    let mut lesson = Lesson::run("2-first-reflections");
    let scene = "scenes/lessons/mirror-trick.toml";
    let args = ["trace", scene, "--variant", "bare", "--order", "1", "--rays", "0"];
    let trace = lesson.json(&args);
    let (x1, x2, d2) = (2.5, 7.75, 6.0);
    for (surface, d1, said) in [("left", 3.0, "4.25 ft"), ("right", 9.0, "5.65 ft")] {
        let x: f64 = (x1 * d2 + x2 * d1) / (d1 + d2);
        lesson.works_out(x, said);
        close(figure(&reflection(&trace, surface)["points_m"][0][0]), x * FOOT, 1e-5);
    }
    let (direct, reflected) = ((x2 - x1).hypot(d2 - 3.0), (x2 - x1).hypot(3.0 + d2));
    lesson.works_out(direct, "6.05 ft");
    lesson.works_out(reflected, "10.42 ft");
    lesson.works_out((reflected - direct) * FOOT, "1.33 m");
    lesson.works_out(db(direct / reflected), "4.7 dB");
    let after_ms = 1e3 * (reflected - direct) * FOOT / SPEED;
    close(figure(&reflection(&trace, "left")["after_direct_ms"]), after_ms, 1e-3);
    lesson.published(&["less than 10 dB", "within 15 ms", "1 to 8 kHz"]);
    // Half-way between both marks, to the eighth of an inch.
    let between_in = (f64::midpoint(4.25, 5.65) * 12.0 * 8.0).round() / 8.0;
    close(between_in, 4.0 * 12.0 + 11.0 + 3.0 / 8.0, 1e-9);
    lesson.published(&["4 ft 11 3/8 in"]);
    lesson.leaves_no_figure_loose();
}

/// |H|² = 1 + g² + 2g·cos 2πfτ (Everest, *Master Handbook of Acoustics*, read).
#[test]
fn comb_filtering() {
    let mut lesson = Lesson::run("3-comb-filtering");
    let (direct, reflected): (f64, f64) = (3.0, 3.0f64.hypot(2.0 * 2.0));
    let longer = reflected - direct;
    lesson.works_out(reflected, "5.00 m");
    lesson.works_out(longer, "2.00 m");
    for (multiple, said) in [(1.0, "85.8 Hz"), (3.0, "257.4"), (5.0, "429.0 Hz")] {
        lesson.works_out(multiple * SPEED / (2.0 * longer), said);
    }
    lesson.works_out(SPEED / longer, "171.6 Hz");
    lesson.works_out(SPEED / longer, "172 Hz");
    lesson.works_out(SPEED / (2.0 * 0.30), "572 Hz");
    lesson.published(&["0.30 m longer", "10 cm sideways"]);
    let hard = direct / reflected;
    for (g, peak, dip, both) in
        [(hard, "4.1 dB", "8.0 dB", "12.0 dB"), (0.5 * hard, "2.3 dB", "3.1 dB", "5.4 dB")]
    {
        lesson.works_out(db(1.0 + g), peak);
        lesson.works_out(db(1.0 - g), dip);
        lesson.works_out(db((1.0 + g) / (1.0 - g)), both);
    }
    lesson.published(&["20 dB down"]);
    lesson.works_out(db((1.0 + 0.1) / (1.0 - 0.1)), "1.7 dB");
    // The wave field near the first dip and on the first peak, against two paths alone. What the other
    // surfaces give back comes in any phase: twice the deviation of such a sum is √2 of its root sum
    // of squares.
    let scene = "scenes/lessons/comb.toml";
    for (state, g) in [("bare", hard), ("lined", 0.5 * hard)] {
        let trace =
            lesson.json(&["trace", scene, "--variant", state, "--order", "2", "--rays", "0"]);
        let energies = trace["pairs"][0]["reflections"].as_array().unwrap().iter();
        let energies = energies.map(|one| 10f64.powf(0.1 * figure(&one["level_db"])));
        let stray = (2.0 * (energies.sum::<f64>() - g * g)).sqrt();
        let bass = lesson.json(&["bass", scene, "--variant", state, "--from", "30", "--to", "180"]);
        for (hz, both) in [(90.0, 1.0 - g), (172.0, 1.0 + g)] {
            close(level_db(&bass, "pairs", "ear", hz), db(both / direct), db(1.0 + stray / both));
        }
        if state == "bare" {
            // The curve has 24 steps to an octave from 30 Hz.
            let dip_hz = 30.0 * 2f64.powf(38.0 / 24.0);
            lesson.works_out(dip_hz, "90 Hz");
            let under = level_db(&bass, "pairs", "ear", dip_hz) - db(1.0 / direct);
            lesson.works_out(under, "7.0 dB");
        }
    }
    lesson.works_out(db(1.0 / direct), "9.5 dB");
    lesson.published(&["near 90 Hz"]);
    lesson.leaves_no_figure_loose();
}

/// The first Fresnel zone, √(λd₁d₂/(d₁ + d₂)) (textbooks, from memory).
#[test]
fn panels_must_be_bigger() {
    let mut lesson = Lesson::run("4-why-a-panel-must-be-bigger");
    let half = 2.0f64.hypot(1.5);
    let cosine = 1.5 / half;
    lesson.works_out(half, "2.50 m");
    let zone = |hz: f64| (SPEED / hz * half * half / (half + half)).sqrt();
    for (hz, wave, across, high, long) in [
        (4000.0, "8.6 cm", "0.33 m", "0.65 m", "1.09 m"),
        (500.0, "69 cm", "0.93 m", "1.85 m", "3.09 m"),
    ] {
        let h = zone(hz);
        lesson.works_out(100.0 * SPEED / hz, wave);
        lesson.works_out(h, across);
        lesson.works_out(2.0 * h, high);
        lesson.works_out(2.0 * h / cosine, long);
        // The engine leaves nothing out of the half wavelength; the short formula is 2 to 9 % off.
        let text = format!("{hz}");
        let scene = "scenes/lessons/panel-size.toml";
        let args =
            ["trace", scene, "--order", "1", "--rays", "0", "--head", "0", "--zone-hz", &text];
        let trace = lesson.json(&args);
        let surfaces = trace["zones"]["listeners"][0]["surfaces"].as_array().unwrap();
        let left = surfaces.iter().find(|one| one["surface"] == "left").unwrap();
        let side = |i: usize| {
            figure(&left["together"]["high_m"][i]) - figure(&left["together"]["low_m"][i])
        };
        close(side(0) / (2.0 * h / cosine), 1.0, 0.09);
        close(side(1) / (2.0 * h), 1.0, 0.02);
    }
    lesson.published(&["4 kHz", "500 Hz", "octave of 2 kHz", "at 1 kHz", "15 cm either way"]);
    lesson.published(&["60 cm by 60 cm"]);
    shifted_small_panel(&mut lesson);
    // The sharp scene is the other one with its edges taken away, and nothing else.
    let plain = |stem: &str| {
        let text = text_of(&format!("scenes/lessons/{stem}.toml"));
        let kept = |line: &&str| !line.starts_with('#') && !line.starts_with("title = ");
        text.lines().filter(kept).map(str::to_owned).collect::<Vec<_>>()
    };
    let (finite, sharp) = (plain("panel-size"), plain("panel-size-sharp"));
    let apart: Vec<_> = finite.iter().zip(&sharp).filter(|(a, b)| a != b).collect();
    assert!(finite.len() == sharp.len() && apart.len() == 1, "{apart:?}");
    assert!(apart[0].0.starts_with("edges = true") && apart[0].1.starts_with("edges = false"));
    lesson.leaves_no_figure_loose();
}

/// What the lesson has people try: the small panel, 20 cm towards the ear.
fn shifted_small_panel(lesson: &mut Lesson) {
    let scene = text_of("scenes/lessons/panel-size.toml");
    let at = |x: &str| format!("centre = [\"{x} m\", \"1.20 m\"]");
    assert!(scene.contains(&at("3.00")));
    // The small one comes first.
    let moved = scene.replacen(&at("3.00"), &at("3.20"), 1);
    lesson.published(&["20 cm towards the ear"]);
    let changes = |scene: &str| -> Vec<f64> {
        let found = lesson.json(&["compare", scene, "--order", "1"]);
        let all = found["comparisons"][0]["pairs"][0]["arrivals"].as_array().unwrap();
        let small = all.iter().find(|one| one["surfaces"][1][0] == "left:small panel").unwrap();
        small["band_change_db"].as_array().unwrap().iter().map(figure).collect()
    };
    std::fs::write(lesson.place("moved.toml"), moved).unwrap();
    let (spot, beside) = (changes("scenes/lessons/panel-size.toml"), changes("moved.toml"));
    // 4 kHz is the seventh octave.
    assert!(beside[6] < spot[6] - 1.5);
    lesson.works_out(beside[6], "12.2 dB");
}

/// f = (c/2)·√((n/L)² + …) (handbooks, read); width 2.2/T (read second-hand); Schroeder 1996 (read).
#[test]
fn modes() {
    let mut lesson = Lesson::run("5-modes");
    let size: [f64; 3] = [4.29, 3.432, 2.86];
    let scene = "scenes/lessons/modes.toml";
    let bass = lesson.json(&["bass", scene, "--from", "30", "--to", "90"]);
    let mode = |n: [f64; 3]| {
        0.5 * SPEED * n.iter().zip(size).map(|(n, side)| (n / side).powi(2)).sum::<f64>().sqrt()
    };
    let listed = bass["modes"].as_array().unwrap();
    for (n, said) in [
        ([1, 0, 0], "40.0 Hz"),
        ([2, 0, 0], "80.0 Hz"),
        ([0, 1, 0], "50.0 Hz"),
        ([0, 0, 1], "60.0 Hz"),
        ([1, 1, 0], "64.0 Hz"),
    ] {
        let hz = mode(n.map(f64::from));
        lesson.works_out(hz, said);
        let found = listed.iter().find(|one| one["n"] == serde_json::json!(n)).unwrap();
        close(figure(&found["hz"]), hz, 0.005);
    }
    lesson.works_out(40.0f64.hypot(50.0), "64.0 Hz");
    let [middle, back] = ["middle", "back"].map(|chair| level_db(&bass, "pairs", chair, 40.0));
    lesson.works_out(back, "32 dB");
    lesson.works_out(middle, "2 dB");
    lesson.works_out(back - middle, "34 dB");
    assert!(middle < 0.0 && 0.0 < back);
    let apart = (4.0f64 - 2.145).hypot(1.716 - 1.2);
    lesson.works_out(apart.ceil(), "2 m");
    lesson.works_out(2.2 / 2.02, "1.1 Hz");
    lesson.works_out(40.0 * (2f64.powf(1.0 / 12.0) - 1.0), "2.4 Hz");
    let volume = size.iter().product::<f64>();
    let check = lesson.json(&["check", scene]);
    // The mean of the octaves of 125 and 250 Hz.
    let times = &check["statistics"]["eyring_s"];
    let seconds = 0.5 * (figure(&times[1]) + figure(&times[2]));
    lesson.works_out(2000.0 * (seconds / volume).sqrt(), "413 Hz");
    lesson.works_out(2000.0 * (1.79f64 / 42.1).sqrt(), "412 Hz");
    lesson.works_out(seconds, "1.79");
    lesson.works_out(volume, "42.1");
    lesson.published(&["Below 63 Hz"]);
    lesson.leaves_no_figure_loose();
}

/// cos(nπx/L) (handbooks, read); 38 % itself is common practice without a source.
#[test]
fn why_38_per_cent_is_only_a_start() {
    let mut lesson = Lesson::run("6-why-38-per-cent-is-only-a-start");
    let pressure = |n: f64, share: f64| (n * PI * share).cos().abs();
    for (n, said) in [(1.0, "0.37"), (2.0, "0.73"), (3.0, "0.90"), (4.0, "0.06")] {
        lesson.works_out(pressure(n, 0.38), said);
        // In the middle odd ones are silent and even ones at their loudest.
        close(pressure(n, 0.5), 1.0 - n % 2.0, 1e-12);
    }
    close(pressure(2.0, 0.25), 0.0, 1e-12);
    close(pressure(3.0, 1.0 / 6.0), 0.0, 1e-12);
    close(pressure(4.0, 0.375), 0.0, 1e-12);
    lesson.works_out(100.0 * 3.0 / 8.0, "37.5 %");
    lesson.works_out(pressure(1.0, 1.20 / 2.50), "0.06");
    lesson.works_out(SPEED / (4.0 * 0.60), "143 Hz");
    lesson.works_out(7.8 - 5.5, "2.3 dB");
    let scene = "scenes/lessons/thirty-eight.toml";
    let args = ["bass", scene, "--from", "30", "--to", "40"];
    let bass = lesson.json(&args);
    lesson.works_out(SPEED / (2.0 * 5.0), "34.3 Hz");
    let here = |chair: &str| level_db(&bass, "together", chair, SPEED / 10.0);
    lesson.works_out(here("38 per cent") - here("50 per cent"), "13 dB");
    // Speakers 1.50 m apart, 0.60 m from the front wall; the chair is 2.50 m from it.
    lesson.works_out(2.0 * (0.75f64 / (2.5 - 0.6)).atan().to_degrees(), "43°");
    lesson.published(&["60° of the standard", "at 25 %", "above some 100 Hz", "at 38 %"]);
    lesson.leaves_no_figure_loose();
}
