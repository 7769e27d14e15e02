//! First layouts and setting-out sheets against closed forms and the trade's own figures.

use crate::fixtures::{FIRST_LISTENER, cases, parsed};
use earline_engine::analysis::setting_out::{
    Compromise, EarLevel, FirstLayout, LayoutError, LayoutRequest, MarkTarget, SettingOut,
    first_layout, setting_out,
};
use earline_engine::medium::directivity::{Cabinet, ReferencePoint};
use earline_engine::scene::{Room, Scene, Units};
use glam::DVec3;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::cell::Cell;
use std::fmt::Write;

const FOOT_M: f64 = 0.3048;
const CABINET: Cabinet = Cabinet { height_m: 0.34, width_m: 0.22, depth_m: 0.27 };

fn request(length_m: f64, width_m: f64, height_m: f64) -> LayoutRequest {
    LayoutRequest {
        room: Room { length_m, width_m, height_m },
        across: false,
        seated_m: None,
        standing_m: None,
        base_m: None,
        seat_m: None,
        converge_m: 0.0,
        level: EarLevel::Seated,
        cabinet: CABINET,
        spacing_m: 0.17,
        reference: ReferencePoint::Between,
        units: Units::Metric,
    }
}

/// Common practice, no source: 38 % of 26 ft are 9.88 ft, by multiplication.
#[test]
fn twenty_six_feet_put_the_seat_at_nine_point_eight_eight() {
    let layout = first_layout(&request(26.0 * FOOT_M, 14.0 * FOOT_M, 9.0 * FOOT_M)).unwrap();
    assert!((layout.seat.x / FOOT_M - 9.88).abs() < 1e-9, "{}", layout.seat.x / FOOT_M);
    assert!((layout.seat.y / FOOT_M - 7.0).abs() < 1e-9);
}

/// Common practice, no source: sides of 8 ft give 8 ft everywhere.
#[test]
fn eight_feet_are_eight_feet_everywhere() {
    let base_m = Some(8.0 * FOOT_M);
    let asked = LayoutRequest { base_m, ..request(26.0 * FOOT_M, 14.0 * FOOT_M, 9.0 * FOOT_M) };
    let layout = first_layout(&asked).unwrap();
    let found = sheet(&scene_of(&layout));
    let pair = &found.pairs[0];
    let seated = &pair.seats[0];
    for side_m in [pair.base_m, pair.base_floor_m, seated.to_ears_m[0], seated.to_ears_m[1]] {
        assert!((side_m / FOOT_M - 8.0).abs() < 1e-9, "{side_m}");
    }
    assert!(seated.error_m.iter().all(|error| error.abs() < 1e-9));
    assert!(seated.lean.unwrap().distance_m() < 1e-6);
}

/// ITU-R BS.775-3, figure 1 (read): ±30°, reference points and ears at 1.2 m, level.
#[test]
fn the_published_arrangement() {
    let asked = LayoutRequest { seated_m: Some(1.2), base_m: Some(2.0), ..request(6.0, 4.2, 2.5) };
    let layout = first_layout(&asked).unwrap();
    assert!((layout.left.z - 1.2).abs() < 1e-12 && (layout.right.z - 1.2).abs() < 1e-12);
    let found = sheet(&scene_of(&layout));
    let seat = &found.pairs[0].seats[0];
    assert!((seat.azimuth_deg[0] - 30.0).abs() < 1e-9, "{seat:?}");
    assert!((seat.azimuth_deg[1] + 30.0).abs() < 1e-9);
    assert!((seat.base_angle_deg - 60.0).abs() < 1e-9);
    assert!(found.turns.iter().all(|turn| (turn.toe_in_deg - 30.0).abs() < 1e-9));
    assert!(found.turns.iter().all(|turn| turn.tilt_deg.abs() < 1e-9));
}

/// Common practice, no source: half-way is the mean of both ear heights.
#[test]
fn half_way_is_the_mean_of_both_ears() {
    let heights = LayoutRequest {
        seated_m: Some(1.18),
        standing_m: Some(1.62),
        level: EarLevel::Between { seated_share: 0.5 },
        ..request(5.8, 4.1, 2.45)
    };
    let mostly_seated =
        LayoutRequest { level: EarLevel::Between { seated_share: 0.75 }, ..heights };
    assert!((first_layout(&mostly_seated).unwrap().left.z - 1.29).abs() < 1e-12);
    let layout = first_layout(&heights).unwrap();
    assert!((layout.left.z - 1.40).abs() < 1e-12);
    let found = sheet(&scene_of(&layout));
    assert!((found.half_way_up_m.unwrap() - 1.40).abs() < 1e-12);
}

/// Ears that nobody measured: ANSUR II means of men and women, half-way between (read, computed).
#[test]
fn ears_are_published_ones_where_nobody_measured() {
    let layout = first_layout(&request(5.8, 4.1, 2.45)).unwrap();
    assert!((layout.ears.seated_m - 1.17).abs() < 1e-12);
    assert!((layout.ears.standing_m.unwrap() - 1.59).abs() < 1e-12);
    let low = first_layout(&request(5.8, 4.1, 1.70)).unwrap();
    assert_eq!(low.ears.standing_m, None);
    assert!(matches!(low.compromises[..], [Compromise::NoStanding { .. }]));
}

#[test]
fn a_wide_room_is_turned_unless_asked_otherwise() {
    let turned = first_layout(&request(4.1, 5.8, 2.45)).unwrap();
    assert!(
        (turned.room.length_m - 5.8).abs() < 1e-12 && turned.compromises[0] == Compromise::Turned
    );
    let across = first_layout(&LayoutRequest { across: true, ..request(4.1, 5.8, 2.45) }).unwrap();
    assert!(
        (across.room.length_m - 4.1).abs() < 1e-12
            && !across.compromises.contains(&Compromise::Turned)
    );
}

#[test]
fn defaults_give_and_say_so() {
    // Two metres of base need 0.3388 + √3 = 2.0709 m at least, by hand; 38 % of 4.5 m are 1.71 m.
    let back =
        first_layout(&LayoutRequest { base_m: Some(2.0), ..request(4.5, 3.6, 2.4) }).unwrap();
    let [Compromise::SeatBack { from_m, to_m }, Compromise::NearWalls { .. }] =
        back.compromises[..]
    else {
        panic!("{:?}", back.compromises)
    };
    assert!((from_m - 1.71).abs() < 1e-9 && (to_m - 2.08).abs() < 1e-9, "{to_m}");
    let behind =
        first_layout(&LayoutRequest { seat_m: Some(3.2), ..request(5.8, 4.1, 2.45) }).unwrap();
    assert!(behind.compromises.contains(&Compromise::BehindMiddle { middle_m: 2.9 }));
}

#[test]
fn what_was_asked_for_and_cannot_be_offers_the_nearest() {
    let room = request(4.5, 3.6, 2.4);
    let refused = |asked: LayoutRequest| first_layout(&asked).unwrap_err();
    let LayoutError::ThroughSideWalls { largest_m, .. } =
        refused(LayoutRequest { base_m: Some(3.5), ..room })
    else {
        panic!("side walls")
    };
    assert!(
        first_layout(&LayoutRequest { base_m: Some(largest_m), ..room }).is_ok(),
        "{largest_m}"
    );

    let LayoutError::SeatBehindMiddle { largest_m, .. } =
        refused(LayoutRequest { base_m: Some(2.6), ..room })
    else {
        panic!("behind the middle")
    };
    assert!(first_layout(&LayoutRequest { base_m: Some(largest_m), ..room }).is_ok());

    let LayoutError::ThroughFrontWall { largest_m, nearest_seat_m, .. } =
        refused(LayoutRequest { base_m: Some(2.0), seat_m: Some(1.5), ..room })
    else {
        panic!("front wall")
    };
    let largest = LayoutRequest { base_m: largest_m, seat_m: Some(1.5), ..room };
    let nearest = LayoutRequest { base_m: Some(2.0), seat_m: nearest_seat_m, ..room };
    assert!(first_layout(&largest).is_ok() && first_layout(&nearest).is_ok());

    let LayoutError::SeatTooFarForward { nearest_m, .. } =
        refused(LayoutRequest { seat_m: Some(0.7), ..room })
    else {
        panic!("too far forward")
    };
    assert!(first_layout(&LayoutRequest { seat_m: Some(nearest_m), ..room }).is_ok());

    let LayoutError::HeadInCeiling { standing: true, most_m, .. } =
        refused(LayoutRequest { standing_m: Some(2.35), ..room })
    else {
        panic!("ceiling")
    };
    assert!(first_layout(&LayoutRequest { standing_m: Some(most_m), ..room }).is_ok());

    let LayoutError::RoomTooSmall { length_m, width_m } = refused(request(1.5, 1.2, 2.4)) else {
        panic!("too small")
    };
    assert!(first_layout(&request(length_m + 0.01, width_m + 0.01, 2.4)).is_ok());
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0, 1e9] {
        assert!(first_layout(&request(bad, 3.0, 2.4)).is_err());
        assert!(first_layout(&LayoutRequest { base_m: Some(bad), ..room }).is_err());
        assert!(first_layout(&LayoutRequest { seat_m: Some(bad), ..room }).is_err());
        assert!(first_layout(&LayoutRequest { seated_m: Some(bad), ..room }).is_err());
    }
    assert!(first_layout(&LayoutRequest { converge_m: -0.1, ..room }).is_err());
}

/// A scene text of a layout, every digit kept.
fn scene_of(layout: &FirstLayout) -> Scene {
    let point = |p: DVec3| format!("[{:?}, {:?}, {:?}]", p.x, p.y, p.z);
    let room = layout.room;
    let mut text = format!(
        "title = \"t\"\n[room]\nlength = {:?}\nwidth = {:?}\nheight = {:?}\n[surfaces]\n",
        room.length_m, room.width_m, room.height_m
    );
    for surface in ["front", "back", "left", "right", "floor", "ceiling"] {
        writeln!(text, "{surface} = \"painted brick\"").unwrap();
    }
    for (side, at) in [("left", layout.left), ("right", layout.right)] {
        writeln!(
            text,
            "[[speaker]]\nname = \"{side}\"\npair = \"p\"\nside = \"{side}\"\nat = {}\naim = {}\n\
             directivity = {{ kind = \"piston\", diameter = 0.1, cabinet = [0.34, 0.22, 0.27] }}",
            point(at),
            point(layout.apex)
        )
        .unwrap();
    }
    let mut head = |name: &str, at: DVec3| {
        writeln!(text, "[[listener]]\nname = \"{name}\"\nat = {}", point(at)).unwrap();
    };
    head("seated", layout.seat);
    if let Some(up) = layout.ears.standing_m {
        head("standing", layout.seat.with_z(up));
    }
    parsed(&text)
}

fn sheet(scene: &Scene) -> SettingOut {
    let (speakers, listeners): (Vec<_>, Vec<_>) =
        (scene.speaker_ids().collect(), scene.listener_ids().collect());
    setting_out(scene, &speakers, &listeners)
}

/// The same random rooms in every run.
/// Holds the check in each; it says whether a layout was given, which most rooms must allow.
fn over_random_rooms(check: impl Fn(LayoutRequest) -> bool) {
    let rooms = (2.5..9.0_f64, 2.2..7.0_f64, 2.0..3.5_f64, 0.0..0.3_f64, any::<bool>());
    let config = cases(400);
    let (tried, given) = (config.cases, Cell::new(0));
    TestRunner::new(config)
        .run(&rooms, |(length, width, height, converge_m, across)| {
            let is_given =
                check(LayoutRequest { converge_m, across, ..request(length, width, height) });
            given.set(given.get() + u32::from(is_given));
            Ok(())
        })
        .unwrap();
    assert!(given.get() > tried / 2, "{} of {tried}", given.get());
}

/// Every layout that is given keeps its promises: all three sides alike by Pythagoras, cabinets
/// inside the room corner by corner, the seat on the centre line.
#[test]
fn layouts_of_random_rooms_fit() {
    over_random_rooms(|asked| {
        let Ok(layout) = first_layout(&asked) else { return false };
        let FirstLayout { left, right, apex, base_m, room, .. } = layout;
        for side in [left.distance(right), left.distance(apex), right.distance(apex)] {
            assert!((side - base_m).abs() < 1e-9, "{asked:?}");
        }
        assert!((left.y + right.y - room.width_m).abs() < 1e-9);
        assert!((layout.seat.y - 0.5 * room.width_m).abs() < 1e-9);
        assert!((apex.x - layout.seat.x - asked.converge_m).abs() < 1e-9);
        // The cabinet's corners, from its front along and across its axis.
        let axis = (apex - left) / base_m;
        let across = DVec3::new(-axis.y, axis.x, 0.0);
        for (back, aside) in [(0.0, -0.5), (0.0, 0.5), (1.0, -0.5), (1.0, 0.5)] {
            let corner = left - axis * back * CABINET.depth_m + across * aside * CABINET.width_m;
            assert!(0.049 <= corner.x && 0.049 <= corner.y, "{corner} in {asked:?}");
        }
        assert!(layout.seat.x <= 0.5 * room.length_m + 0.01, "{asked:?}");
        true
    });
}

/// Marks, diagonals, sides, angles and toe-in of the sheet against forms of their own: cosine rule,
/// Pythagoras, arctangent.
#[test]
fn sheets_of_random_rooms_agree_with_closed_forms() {
    over_random_rooms(|asked| {
        let Ok(layout) = first_layout(&asked) else { return false };
        let scene = scene_of(&layout);
        let found = sheet(&scene);
        let room = layout.room;
        assert!(
            (found.floor_diagonal_m.powi(2) - room.length_m.powi(2) - room.width_m.powi(2)).abs()
                < 1e-9
        );
        for mark in &found.marks {
            let at = match mark.of {
                MarkTarget::Listener(id) => scene[id].at,
                MarkTarget::Speaker(id) => scene[id].at,
            };
            assert!(mark.at().distance(at) < 0.0005);
            assert!((mark.from_left_m + mark.from_right_m - room.width_m).abs() < 1e-9);
            // Two diagonals alone find the cross again: the cosine rule at the left front corner.
            let cos = (mark.left_corner_m.powi(2) + room.width_m.powi(2)
                - mark.right_corner_m.powi(2))
                / (2.0 * mark.left_corner_m * room.width_m);
            assert!((mark.left_corner_m * cos - at.y).abs() < 1e-9);
            assert!((mark.left_corner_m * (1.0 - cos * cos).sqrt() - at.x).abs() < 1e-6);
        }
        let pair = &found.pairs[0];
        let depth = layout.seat.x - layout.left.x;
        let seat = &pair.seats[0];
        let side = (0.5 * layout.base_m).hypot(depth);
        assert!(
            (seat.to_cross_m[0] - side).abs() < 1e-9 && (seat.to_cross_m[1] - side).abs() < 1e-9
        );
        assert!(
            (seat.azimuth_deg[0] - (0.5 * layout.base_m).atan2(depth).to_degrees()).abs() < 1e-6
        );
        assert!((seat.axes_cross_behind_m.unwrap() - asked.converge_m).abs() < 1e-6);
        assert!((seat.lean.unwrap().forward_m + asked.converge_m).abs() < 1e-6, "back to the apex");
        assert!(seat.mismatch.left_farther_m.abs() < 1e-9);
        for turn in &found.turns {
            assert!((turn.toe_in_deg - 30.0).abs() < 1e-6, "{turn:?}");
            assert!((turn.front_edges_m.unwrap() - 0.11).abs() < 1e-9, "half of 22 cm");
            assert!((turn.side_edges_m.unwrap() - 0.135).abs() < 1e-9, "half of 27 cm");
        }
        // Standing at the same cross: a right-angled triangle over the floor.
        if let Some(standing) = pair.seats.get(1) {
            let rise = layout.ears.standing_m.unwrap() - layout.left.z;
            assert!((standing.to_ears_m[0] - side.hypot(rise)).abs() < 1e-9);
            assert_eq!(found.marks.last().unwrap().shares_floor_with, Some(0));
        }
        true
    });
}

/// Two pairs around one seat, both mirrored about the centre line: the farther one by
/// Pythagoras 1.25 m against 2.5 m, so 1.25 m / 343.2 m/s later and 20·lg 2 dB weaker.
#[test]
fn pairs_are_held_against_each_other() {
    let text = r#"
        title = "two pairs"
        [room]
        length = 6.0
        width = 5.0
        height = 2.5
        [surfaces]
        front = "painted brick"
        back = "painted brick"
        left = "painted brick"
        right = "painted brick"
        floor = "painted brick"
        ceiling = "painted brick"
        [[listener]]
        name = "seat"
        at = [3.0, 2.5, 1.2]
    "#;
    let mut text = text.to_owned();
    for (pair, x, half, z) in [("near", 2.0, 0.75, 1.2), ("far", 1.0, 1.5, 1.3)] {
        for (side, y) in [("left", 2.5 - half), ("right", 2.5 + half)] {
            writeln!(
                text,
                "[[speaker]]\nname = \"{pair} {side}\"\npair = \"{pair}\"\nside = \"{side}\"\n\
                 at = [{x}, {y}, {z}]\naim = \"seat\"\ndirectivity = {{ kind = \"omni\" }}"
            )
            .unwrap();
        }
    }
    let scene = parsed(&text);
    let found = sheet(&scene);
    let [contrast] = found.contrasts[..] else { panic!("{:?}", found.contrasts) };
    let [near, far] = [1.0_f64.hypot(0.75), (4.0_f64 + 2.25 + 0.01).sqrt()];
    assert_eq!((contrast.listener, contrast.first, contrast.other), (FIRST_LISTENER, 0, 1));
    assert!((contrast.farther_m - (far - near)).abs() < 1e-12);
    assert!((contrast.later_s - (far - near) / scene.air().speed_of_sound_m_s()).abs() < 1e-12);
    assert!((contrast.weaker_db - 20.0 * (far / near).log10()).abs() < 1e-12);
    assert!((contrast.higher_m - 0.1).abs() < 1e-12);
    assert!(found.pairs.iter().all(|pair| pair.axes_cross_m.is_some()), "at the seat");
}
