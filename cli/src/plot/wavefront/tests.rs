//! Properties of animations and contact sheets in every room.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use crate::canvas::{Drawing, Rect, Text, typeface};
use crate::content::wavefront::{Film, Shot, WavefrontView};
use crate::plot::sheet::frame;
use crate::plot::wavefront::{animation, poster};
use earline_engine::analysis::wavefront::CutPlane;
use earline_engine::scene::{NoAttachments, Scene, SpeakerId};
use glam::DVec2;

const ATTIC: &str = include_str!("../../../../scenes/attic.toml");

/// Demo rooms, and one whose names do not end.
fn rooms() -> [String; 4] {
    let endless = "that goes by a name without an end or stop";
    [
        ATTIC.to_owned(),
        include_str!("../../../../scenes/garage.toml").to_owned(),
        include_str!("../../../../scenes/teaching-box.toml").to_owned(),
        ATTIC
            .replace("Attic mixing room", &format!("Attic mixing room {endless}"))
            .replace("\"main left\"", &format!("\"main left {endless}\""))
            .replace("\"seated\"", &format!("\"seated {endless}\""))
            .replace("\"treated\"", &format!("\"treated {endless}\"")),
    ]
}

/// Does something with each room in each cut.
fn each_shot(look: impl Fn(&WavefrontView<'_>, &Shot<'_>)) {
    for room in rooms() {
        let scene = Scene::parse(&room, &NoAttachments).unwrap().scene;
        let state = scene.variant(None).unwrap();
        let listeners: Vec<_> = scene.listener_ids().collect();
        let speaker = SpeakerId::new(0);
        for cut in [CutPlane::Plan, CutPlane::Section] {
            let film = Film { slow: 250, until_ms: 16.0, band: None };
            let shot = Shot::new(&scene, &state, speaker, cut, &film).unwrap();
            let happenings = shot.wave.events(&listeners);
            let filmed = WavefrontView {
                scene: &scene,
                state: &state,
                speaker,
                listeners: &listeners,
                film,
                shots: vec![shot],
                happenings,
            };
            look(&filmed, &filmed.shots[0]);
        }
    }
}

fn places(drawing: &Drawing) -> Vec<(&Text, Rect)> {
    typeface::all(&drawing.items)
        .into_iter()
        .map(|t| (t, typeface::extent(t).grown(-0.15)))
        .collect()
}

/// No two of these texts share space; names inside a room may, where it is crowded.
fn lie_apart(drawing: &Drawing, room: Option<Rect>) {
    let sheet = Rect { min: DVec2::ZERO, max: drawing.size };
    let places = places(drawing);
    let in_room = |place: &Rect| room.is_some_and(|room| room.holds(*place));
    for (index, (text, place)) in places.iter().enumerate() {
        assert!(sheet.grown(-1.0).holds(*place), "{:?} at {place:?}", text.content);
        for (other, there) in &places[index + 1..] {
            let apart = !place.overlaps(*there) || (in_room(place) && in_room(there));
            assert!(apart, "{:?} and {:?}", text.content, other.content);
        }
    }
}

#[test]
fn words_of_a_picture_are_whole_and_apart() {
    each_shot(|filmed, shot| {
        for index in [1, 30, filmed.film.pictures()] {
            let (drawing, room) = animation::whole(filmed, shot, index).unwrap();
            lie_apart(&drawing, Some(room));
            let says = |what: &str| places(&drawing).iter().any(|(t, _)| t.content == what);
            assert!(says(&format!("{:.1} ms", filmed.film.moment_ms(index))));
            assert!(says("250 times slower than life") && says(frame::CAPTION));
        }
    });
}

#[test]
fn words_of_a_poster_are_whole_and_apart() {
    each_shot(|filmed, shot| {
        let drawing = poster(filmed, shot);
        lie_apart(&drawing, None);
        let moments = places(&drawing).iter().filter(|(t, _)| t.content.ends_with(" ms")).count();
        assert!(6 <= moments, "{moments}");
        assert!(drawing.png().is_ok());
    });
}
