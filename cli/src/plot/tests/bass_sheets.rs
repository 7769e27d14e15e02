//! Sheets of the bass for tests: the last seat of demo rooms, a narrow range, names without an end.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use crate::canvas::{Drawing, Text, typeface};
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::Maps;
use crate::plot::{bass, bass_decay, bass_levels, bass_seats};
use earline_engine::scene::{NoAttachments, Scene, SpeakerId};
use earline_engine::wave_field::{WaveFieldRequest, log_spaced_hz, solve_wave_field};

/// Every sheet of every case.
pub(crate) fn all() -> Vec<Drawing> {
    let attic = include_str!("../../../../scenes/attic.toml");
    let garage = include_str!("../../../../scenes/garage.toml");
    let endless =
        attic.replace("main left", "main left that goes by a name without an end or stop");
    let mut sheets = of(attic, &[0, 1].map(SpeakerId::new), 110.0, None);
    sheets.extend(of(garage, &[0, 1, 2, 3].map(SpeakerId::new), 90.0, Some(41.9)));
    sheets.extend(of(&endless, &[1, 0].map(SpeakerId::new), 60.0, Some(33.3)));
    // Too narrow for a map, and for a decay: the rest is there.
    let narrow = of(attic, &[SpeakerId::new(1)], 31.0, Some(100.0));
    assert!(narrow.iter().all(|sheet| sheet.name() != "bass-seats"));
    sheets.extend(narrow);
    sheets
}

fn of(text: &str, speakers: &[SpeakerId], to_hz: f64, at_hz: Option<f64>) -> Vec<Drawing> {
    let scene = Scene::parse(text, &NoAttachments).unwrap().scene;
    let state = scene.variant(None).unwrap();
    let plan = WaveFieldRequest {
        speakers: speakers.to_vec(),
        listeners: scene.listener_ids().rev().take(1).collect(),
        hz: log_spaced_hz(15.0, to_hz),
        head_half_m: 0.1,
        curves_to_hz: Some(to_hz),
    };
    let found = solve_wave_field(&scene, &state, &plan, &()).unwrap();
    let sounded = WaveFieldView { scene: &scene, state: &state, plan: &plan, found: &found };
    let maps = Maps::of(&sounded).unwrap();
    let mut sheets = Vec::new();
    for seat in &maps.seats {
        sheets.push(bass(&sounded, seat.listener));
        sheets.extend(bass_decay(&sounded, &maps.active, seat));
        sheets.extend(bass_seats(&sounded, &maps.active, seat));
        let Some(hz) = at_hz.or(seat.dip_hz) else { continue };
        let levels = maps.levels(&sounded, seat.listener, hz).unwrap();
        sheets.extend(
            levels.maps.iter().filter_map(|map| {
                bass_levels(&sounded, &maps.active, &levels, map, at_hz.is_none())
            }),
        );
    }
    sheets
}

/// Dips have their names under the curve and peaks theirs above it; the span of the unevenness is the part
/// of it that was asked for.
#[test]
fn peaks_are_named_beside_dips() {
    let attic = include_str!("../../../../scenes/attic.toml");
    let speakers = [0, 1].map(SpeakerId::new);
    let sheets = of(attic, &speakers, 120.0, None);
    let sheet = sheets.iter().find(|sheet| sheet.name() == "bass").unwrap();
    let texts = typeface::all(&sheet.items);
    let named = texts.iter().filter(|text| text.content.contains(" Hz, "));
    let is_peak = |text: &Text| text.content.contains('+');
    let mut rows: Vec<(f64, bool)> = named.map(|text| (text.at.y, is_peak(text))).collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows.dedup_by_key(|row| row.1);
    let kinds: Vec<bool> = rows.into_iter().map(|(_, is_peak)| is_peak).collect();
    assert_eq!(kinds, [true, false].repeat(3), "in each of three charts");
    assert!(texts.iter().any(|text| text.content.ends_with("dB from 30 to 120 Hz")));
}
