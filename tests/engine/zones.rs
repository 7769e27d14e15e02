//! Where a panel would work: zones against their definition, and covering against samples.

use crate::fixtures::{FIRST_LISTENER, FIRST_SPEAKER, cases, parsed};
use earline_engine::analysis::zones::{
    CoverageClass, Ellipse, SeatZones, ZoneError, ZonePlan, zones,
};
use earline_engine::geometry::FaceId;
use earline_engine::scene::{Scene, SpeakerId, Surface};
use glam::{DVec2, DVec3};
use proptest::prelude::*;

const SIZE: DVec3 = DVec3::new(5.8, 4.1, 2.45);

/// A room with speakers and a listener; `more` is put under it.
#[expect(clippy::format_push_string, reason = "a few lines of a test scene")]
fn scene(speakers: &[DVec3], listener: DVec3, more: &str) -> Scene {
    let mut text = format!(
        "title = \"box\"\n[room]\nlength = {:?}\nwidth = {:?}\nheight = {:?}\n[surfaces]\n",
        SIZE.x, SIZE.y, SIZE.z
    );
    for surface in Surface::ALL {
        text += &format!("{} = \"hard\"\n", surface.name());
    }
    for (name, absorption) in [("hard", 0.1), ("soft", 0.9)] {
        text += &format!("[[material]]\nname = \"{name}\"\nabsorption = {absorption:?}\n");
    }
    for (index, at) in speakers.iter().enumerate() {
        text += &format!("[[speaker]]\nname = \"s{index}\"\nat = {:?}\n", at.to_array());
        text += "directivity = { kind = \"omni\" }\n";
    }
    text += &format!("[[listener]]\nname = \"l\"\nat = {:?}\n{more}", listener.to_array());
    parsed(&text)
}

fn found(scene: &Scene, head_half_m: f64, frequency_hz: f64) -> SeatZones {
    let speakers = scene.speaker_ids().collect();
    let plan = ZonePlan { speakers, listeners: vec![FIRST_LISTENER], head_half_m, frequency_hz };
    zones(scene, &scene.variant(None).unwrap(), &plan).unwrap().remove(0)
}

fn panel(name: &str, on: &str, centre: [f64; 2], size: [f64; 2], material: &str) -> String {
    format!(
        "[[panel]]\nname = \"{name}\"\non = \"{on}\"\ncentre = {centre:?}\nsize = {size:?}\n\
         material = \"{material}\"\n"
    )
}

/// Inside the room, a good way off every surface and off each other.
fn places() -> impl Strategy<Value = (DVec3, DVec3)> {
    let place = || prop::array::uniform3(0.1..0.9f64).prop_map(|p| DVec3::from(p) * SIZE);
    (place(), place()).prop_filter("apart", |(a, b)| a.distance(*b) > 0.6)
}

fn holds(outline: &[DVec2], point: DVec2, slack_m: f64) -> bool {
    let edges = outline.iter().zip(outline.iter().cycle().skip(1));
    edges
        .filter(|(a, b)| a.distance(**b) > 1e-9)
        .all(|(&a, &b)| (b - a).normalize().perp_dot(point - a) >= -slack_m)
}

proptest! {
    #![proptest_config(cases(80))]

    /// |S′E| + |EP| ≤ |S′P| + λ/2 just inside the rim and not just outside it, from normal to
    /// nearly grazing incidence.
    #[test]
    fn the_ellipse_is_where_its_inequality_holds(
        a in prop::array::uniform2(-4.0..4.0f64), up_a in 0.01..4.0f64,
        b in prop::array::uniform2(-4.0..4.0f64), up_b in 0.01..4.0f64,
        wavelength_m in 0.02..5.0f64,
    ) {
        let (a, b) = (DVec2::from(a), DVec2::from(b));
        let zone = Ellipse::first_zone((a, up_a), (b, up_b), wavelength_m);
        let image = a.extend(-up_a);
        let excess = |p: DVec2| {
            let e = p.extend(0.0);
            image.distance(e) + e.distance(b.extend(up_b))
                - image.distance(b.extend(up_b)) - wavelength_m / 2.0
        };
        for point in zone.points() {
            prop_assert!(excess(point).abs() < 1e-9);
            let outward = (point - zone.centre) * 1e-3;
            prop_assert!(excess(point - outward) < 0.0 && excess(point + outward) > 0.0);
        }
    }

    /// A head anywhere in its box has its zone inside the outline, but for the tenth of a per cent
    /// by which polygons cut corners; and no corner of the outline is farther out than needed.
    #[test]
    fn the_outline_holds_every_zone_of_the_head_box(
        (speaker, head) in places(), way in prop::array::uniform3(-1.0..1.0f64), hz in 200.0..8000.0f64,
    ) {
        let half_m = 0.15;
        let scene = scene(&[speaker], head, "");
        let ear = head + DVec3::from(way) * half_m;
        for zone in found(&scene, half_m, hz).surfaces {
            let one = &zone.speakers[0];
            let [a, b] = zone.surface.tape_axes();
            let axis = zone.surface.axis();
            let level = if zone.surface.is_far() { SIZE[axis] } else { 0.0 };
            let place = |p: DVec3| (DVec2::new(p[a], p[b]), (p[axis] - level).abs());
            let wavelength_m = scene.air().speed_of_sound_m_s() / hz;
            let ellipse = Ellipse::first_zone(place(speaker), place(ear), wavelength_m);
            let size = DVec2::new(SIZE[a], SIZE[b]);
            let slack_m = 2e-3 * ellipse.half_along_m + 1e-3;
            for point in ellipse.points() {
                let seen = point.clamp(DVec2::ZERO, size) == point;
                prop_assert!(!seen || holds(&one.outline_m, point, slack_m), "{:?} {point}", zone.surface);
            }
            prop_assert!(holds(&one.outline_m, DVec2::from(zone.surface.tape(one.point)), 1e-9));
            prop_assert!(one.extent.low_m.cmpge(DVec2::ZERO).all() && one.extent.high_m.cmple(size).all());
        }
    }

    /// Covering of two speakers' zones by two panels, against a lattice of samples.
    #[test]
    fn covering_is_what_samples_say(
        (speaker, head) in places(), (other, _) in places(), x in 0.5..2.0f64, up in 0.5..2.0f64,
    ) {
        prop_assume!(other.distance(head) > 0.6);
        let rectangles = [([x, up], [0.8, 0.7]), ([x + 1.5, 1.2], [1.2, 1.9])];
        let more = panel("soft", "left", rectangles[0].0, rectangles[0].1, "soft")
            + &panel("hard", "left", rectangles[1].0, rectangles[1].1, "hard");
        let scene = scene(&[speaker, other], head, &more);
        let seat = found(&scene, 0.15, 1000.0);
        let zone = &seat.surfaces[Surface::Left as usize];
        let outlines: Vec<&[DVec2]> = zone.speakers.iter().map(|s| s.outline_m.as_slice()).collect();
        let steps = 160;
        let (low, high) = (zone.together.low_m, zone.together.high_m);
        let at = |i: i32, j: i32| {
            low + (high - low) * (DVec2::new(f64::from(i), f64::from(j)) + 0.5) / f64::from(steps)
        };
        let samples: Vec<DVec2> = (0..steps)
            .flat_map(|i| (0..steps).map(move |j| at(i, j)))
            .filter(|&p| outlines.iter().any(|o| holds(o, p, 0.0)))
            .collect();
        for (index, (centre, size)) in rectangles.into_iter().enumerate() {
            let on = |p: &&DVec2| ((**p - DVec2::from(centre)).abs() * 2.0).cmple(size.into()).all();
            let expected = samples.iter().filter(on).count() as f64 / samples.len() as f64;
            let panels = &zone.together.coverage.panels;
            let share = panels.iter().find(|p| p.panel == index).map_or(0.0, |p| p.share);
            prop_assert!((share - expected).abs() < 0.02, "{share} {expected}");
            if index == 0 {
                prop_assert!((zone.together.coverage.absorbing_share - share).abs() < 1e-12);
            }
        }
    }

    /// A room seen in a mirror has the mirrored zones.
    #[test]
    fn mirrored_rooms_have_mirrored_zones((speaker, head) in places(), hz in 200.0..8000.0f64) {
        let across = |p: DVec3| DVec3::new(p.x, SIZE.y - p.y, p.z);
        let plain = found(&scene(&[speaker], head, ""), 0.15, hz);
        let turned = found(&scene(&[across(speaker)], across(head), ""), 0.15, hz);
        let pairs = [(Surface::Left, Surface::Right), (Surface::Right, Surface::Left)];
        for (here, there) in pairs {
            let (a, b) = (&plain.surfaces[here as usize], &turned.surfaces[there as usize]);
            prop_assert!(a.together.low_m.abs_diff_eq(b.together.low_m, 2e-3));
            prop_assert!(a.together.high_m.abs_diff_eq(b.together.high_m, 2e-3));
            prop_assert!((a.together.area_m2 - b.together.area_m2).abs() < 1e-3 * a.together.area_m2);
        }
        let (a, b) = (&plain.surfaces[Surface::Ceiling as usize], &turned.surfaces[Surface::Ceiling as usize]);
        prop_assert!((a.together.low_m.y - (SIZE.y - b.together.high_m.y)).abs() < 2e-3);
    }

    /// Higher tones and stiller heads have smaller zones, and both ways round the same one.
    #[test]
    fn zones_shrink_and_are_mutual((speaker, head) in places(), hz in 200.0..8000.0f64) {
        let area = |s: DVec3, l: DVec3, half: f64, hz: f64| -> Vec<f64> {
            let seat = found(&scene(&[s], l, ""), half, hz);
            seat.surfaces.iter().map(|z| z.together.area_m2).collect()
        };
        let usual = area(speaker, head, 0.15, hz);
        for smaller in [area(speaker, head, 0.15, hz * 1.5), area(speaker, head, 0.05, hz)] {
            prop_assert!(smaller.iter().zip(&usual).all(|(s, u)| s <= &(u + 1e-9)));
        }
        let (one, other) = (area(speaker, head, 0.0, hz), area(head, speaker, 0.0, hz));
        prop_assert!(one.iter().zip(&other).all(|(a, b)| (a - b).abs() < 2e-3 * a + 1e-9));
    }
}

/// A 2 × 2 m panel about the reflection point covers the zone; moved along, it half covers and
/// then misses it. A window covers nothing, for it does not absorb.
#[test]
fn covered_half_covered_missed() {
    let (speaker, head) = (DVec3::new(1.5, 1.2, 1.2), DVec3::new(3.0, 1.2, 1.2));
    // The point is half way, at 2.25 m, the whole wall is 2.45 m high.
    let verdict = |x: f64, material: &str| {
        let more = panel("p", "left", [x, 1.2], [2.0, 2.0], material);
        let seat = found(&scene(&[speaker], head, &more), 0.0, 2000.0);
        seat.surfaces[Surface::Left as usize].together.coverage.clone()
    };
    assert_eq!(verdict(2.25, "soft").class, CoverageClass::Covered);
    let edge = verdict(3.25, "soft");
    assert_eq!(edge.class, CoverageClass::HalfCovered);
    assert!((edge.absorbing_share - 0.5).abs() < 1e-3, "cut through its middle");
    assert_eq!(verdict(4.6, "soft").class, CoverageClass::Missed);
    let window = verdict(2.25, "hard");
    assert_eq!(window.class, CoverageClass::Missed);
    assert!(window.panels[0].share > 0.9 && !window.panels[0].absorbs);
}

#[test]
fn a_screen_in_the_way_is_named() {
    let (speaker, head) = (DVec3::new(1.5, 1.2, 1.2), DVec3::new(3.0, 1.2, 1.2));
    let more = "[[screen]]\nname = \"cloud\"\ncentre = [2.25, 1.2, 2.2]\nsize = [1.5, 1.0]\n\
                facing = \"down\"\nmaterial = \"soft\"\n";
    let seat = found(&scene(&[speaker], head, more), 0.1, 2000.0);
    for zone in &seat.surfaces {
        let is_ceiling = zone.surface == Surface::Ceiling;
        let behind = zone.speakers[0].behind;
        assert_eq!(matches!(behind, Some(FaceId::Screen { index: 0, .. })), is_ceiling);
        assert_eq!(behind.is_some(), is_ceiling);
    }
}

#[test]
fn plans_out_of_range_are_refused() {
    let scene = scene(&[DVec3::splat(1.0)], DVec3::splat(2.0), "");
    let ask = |speakers: Vec<SpeakerId>, head_half_m: f64, frequency_hz: f64| {
        let plan =
            ZonePlan { speakers, listeners: vec![FIRST_LISTENER], head_half_m, frequency_hz };
        zones(&scene, &scene.variant(None).unwrap(), &plan)
    };
    assert!(matches!(
        ask(vec![SpeakerId::new(3)], 0.1, 1e3),
        Err(ZoneError::NoSuchItem { index: 3 })
    ));
    for half_m in [-0.1, 1.1, f64::NAN] {
        assert!(matches!(ask(vec![FIRST_SPEAKER], half_m, 1e3), Err(ZoneError::Head { .. })));
    }
    for hz in [0.0, 20.0, 2e4, f64::INFINITY, f64::NAN] {
        assert!(matches!(ask(vec![FIRST_SPEAKER], 0.1, hz), Err(ZoneError::Frequency { .. })));
    }
    assert!(ask(vec![], 0.1, 1e3).unwrap()[0].surfaces.is_empty());
    assert_eq!(ask(vec![FIRST_SPEAKER], 0.0, 1e3).unwrap()[0].surfaces.len(), 6);
}
