//! Properties of every picture of every room.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use super::*;
use crate::canvas::typeface;
use crate::canvas::{Drawing, Item, Rect, Text};
use crate::content::placement_tolerance::result::PlacementTolerance;
use crate::content::setting_out::SettingOutSheet;
use crate::plot::data::decay_view;
use crate::plot::sheet::frame;
use earline_engine::analysis::setting_out::{SettingOut, setting_out};
use earline_engine::scene::{ListenerId, NoAttachments, Scene, SpeakerId, Units};
use glam::DVec2;
use std::sync::LazyLock;

mod bass_sheets;
mod comparisons;
mod decay_curves;
mod rooms;
mod sheets;

use comparisons::{compared, states};

/// Every kind of picture.
fn kinds() -> Vec<fn(&Input<'_>) -> Drawing> {
    let mut kinds: Vec<fn(&Input<'_>) -> Drawing> =
        vec![plan, section, energy_time, decay, reverberation, spreading];
    kinds.extend(ELEVATIONS);
    kinds
}

/// Laid out once for all tests.
static ALL_DRAWINGS: LazyLock<Vec<Drawing>> = LazyLock::new(|| {
    let inputs = rooms::all();
    let alone = inputs.iter().flat_map(|input| kinds().into_iter().map(|draw| draw(input)));
    let compared = inputs.iter().map(states).flat_map(|states| {
        (2..=states.len()).flat_map(move |n| compared(&states[..n])).collect::<Vec<_>>()
    });
    alone.chain(compared).chain(tape_sheets()).chain(bass_sheets::all()).collect()
});

/// A room set out.
struct SetOut {
    scene: Scene,
    out: SettingOut,
    care: PlacementTolerance,
}

/// Demo rooms, set out.
static ROOMS: LazyLock<Vec<SetOut>> = LazyLock::new(|| {
    let rooms = [
        include_str!("../../../../scenes/attic.toml"),
        include_str!("../../../../scenes/bedroom.toml"),
        include_str!("../../../../scenes/garage.toml"),
        include_str!("../../../../scenes/teaching-box.toml"),
    ];
    rooms.into_iter().map(set_out).collect()
});

fn set_out(text: &str) -> SetOut {
    let (scene, out) = marked(text);
    let (speakers, listeners) = everyone(&scene);
    let state = scene.variant(None).unwrap();
    let everyone = (&speakers[..], &listeners[..]);
    let care = PlacementTolerance::of(&scene, &NoAttachments, &state, &out, everyone, 0.5).unwrap();
    SetOut { scene, out, care }
}

fn marked(text: &str) -> (Scene, SettingOut) {
    let scene = Scene::parse(text, &NoAttachments).unwrap().scene;
    let (speakers, listeners) = everyone(&scene);
    let out = setting_out(&scene, &speakers, &listeners);
    (scene, out)
}

/// All speakers and all listeners.
fn everyone(scene: &Scene) -> (Vec<SpeakerId>, Vec<ListenerId>) {
    (scene.speaker_ids().collect(), scene.listener_ids().collect())
}

/// The setting-out sheets of every demo room in both units, and of one with more than a sheet holds.
fn tape_sheets() -> Vec<Drawing> {
    let units = [Units::Metric, Units::Imperial];
    let rooms = ROOMS.iter().flat_map(|room| units.map(|units| room.sheet(units)));
    rooms.chain(units.map(crowded_sheet)).collect()
}

impl SetOut {
    fn sheet(&self, units: Units) -> Drawing {
        let Self { scene, out, care } = self;
        let state = scene.variant(None).unwrap();
        tape_sheet(&SettingOutSheet { scene, state: &state, units, out, care })
    }
}

/// Sheet of a room with more than it holds; of heights and of care it says what the first pair says.
fn crowded_sheet(units: Units) -> Drawing {
    let crowd: String = (0..14).map(crowded_place).collect();
    let attic = include_str!("../../../../scenes/attic.toml");
    let (scene, out) = marked(&format!("{attic}{crowd}"));
    let state = scene.variant(None).unwrap();
    let care = &ROOMS[0].care;
    tape_sheet(&SettingOutSheet { scene: &scene, state: &state, units, out: &out, care })
}

/// A pair of speakers and a listener, out of the way of what is there.
fn crowded_place(index: u32) -> String {
    let x = 2.6 + 0.13 * f64::from(index);
    let speaker = |side: &str, y: f64| {
        format!(
            "[[speaker]]\nname = \"{side} {index} that goes by a name without an end\"\npair = \"pair \
             {index}\"\nside = \"{side}\"\nat = [{x}, {y}, 0.9]\ndirectivity = {{ kind = \"omni\" }}\n"
        )
    };
    format!(
        "{}{}[[listener]]\nname = \"guest {index}\"\nat = [{x}, 2.6, 1.3]\n",
        speaker("left", 0.4),
        speaker("right", 3.7)
    )
}

/// Every cross of a usual room is on the floor and in the column; what a full sheet leaves out it
/// counts.
#[test]
fn a_setting_out_sheet_has_every_mark() {
    let drawing = ROOMS[2].sheet(Units::Imperial);
    for letter in ["A", "B", "C", "D", "E", "F"] {
        let times = typeface::all(&drawing.items).iter().filter(|t| t.content == letter).count();
        assert!(times >= 4, "{letter} is on two tapes, at its cross and in the tables: {times}");
    }
    assert!(says(&drawing, "7 ft 7¼ in") && says(&drawing, "¼ in = 1 ft (1:48) on Letter"));
    let full = crowded_sheet(Units::Metric);
    let counts = |text: &&Text| text.content.ends_with("more, in tape.json");
    assert!(typeface::all(&full.items).into_iter().any(|text| counts(&text)));
}

fn says(drawing: &Drawing, what: &str) -> bool {
    typeface::all(&drawing.items).iter().any(|text| text.content == what)
}

/// Texts with their place, a little smaller than their letters may reach.
fn places(drawing: &Drawing) -> Vec<(&Text, Rect)> {
    typeface::all(&drawing.items)
        .into_iter()
        .map(|t| (t, typeface::extent(t).grown(-0.15)))
        .collect()
}

#[test]
fn no_text_lies_on_another() {
    for drawing in ALL_DRAWINGS.iter() {
        let places = places(drawing);
        for (index, (text, place)) in places.iter().enumerate() {
            for (other, there) in &places[index + 1..] {
                let name = (&drawing.title, drawing.name);
                assert!(
                    !place.overlaps(*there),
                    "{name:?}: {:?} and {:?}",
                    text.content,
                    other.content
                );
            }
        }
    }
}

#[test]
fn no_text_is_cut_off() {
    for drawing in ALL_DRAWINGS.iter() {
        let frame = Rect { min: DVec2::ZERO, max: drawing.size }.grown(-frame::FRAME);
        for (text, place) in places(drawing) {
            assert!(frame.holds(place), "{}: {:?}", drawing.title, text.content);
        }
        let clipped = drawing.items.iter().filter_map(|item| match item {
            Item::Clipped { items, .. } => Some(typeface::all(items).len()),
            _ => None,
        });
        assert_eq!(clipped.sum::<usize>(), 0, "no text where it could be clipped");
    }
}

#[test]
fn every_letter_is_in_the_typeface() {
    for drawing in ALL_DRAWINGS.iter() {
        for text in typeface::all(&drawing.items) {
            for letter in text.content.chars() {
                let wide = typeface::width(&letter.to_string(), 1.0, text.weight);
                assert!(typeface::has(letter) && wide > 0.0, "{letter:?} in {:?}", text.content);
            }
        }
    }
}

#[test]
fn every_path_of_a_usual_room_is_on_the_plan_twice() {
    for input in [rooms::attic(), rooms::cupboard()] {
        let drawing = plan(&input);
        for path in &input.paths {
            let in_the_list = says(&drawing, &path.tag);
            let at_its_points =
                (0..path.order()).all(|bounce| says(&drawing, &path.number_at(bounce)));
            assert!(in_the_list && at_its_points, "{} in {}", path.tag, input.title);
        }
    }
}

#[test]
fn a_crowded_sheet_says_how_many_paths_it_leaves_out() {
    let mut input = rooms::garage();
    let more = input.paths.clone();
    input.paths.extend(more);
    // Tags that no dimension on the sheet can be taken for.
    for (index, path) in input.paths.iter_mut().enumerate() {
        path.tag = format!("x{index}");
    }
    let drawing = plan(&input);
    let listed = input.paths.iter().filter(|path| says(&drawing, &path.tag)).count();
    let note = format!("and {} weaker ones, in reflections.csv", input.paths.len() - listed);
    assert!(listed < input.paths.len() && says(&drawing, &note), "{note}");
}

/// 1.2 + 1.0 × 1.25 / (1.25 + 2.05) = 1.579 m from the front wall, by similar triangles.
#[test]
fn the_plan_tells_where_to_put_the_tape() {
    let drawing = plan(&rooms::attic());
    assert!(says(&drawing, "1.58 m"), "at the dimension line");
    assert!(says(&drawing, "front 1.58 m · floor 1.20 m"), "in the list");
    assert!(says(&plan(&rooms::cupboard()), "7 ft 2⅝ in"), "2.2 m is 86.614 inches");
}

#[test]
fn svg_is_accepted_and_carries_its_own_typeface() {
    for drawing in ALL_DRAWINGS.iter() {
        let svg = svg::with_typeface(drawing);
        let options = resvg::usvg::Options::default();
        resvg::usvg::Tree::from_str(&svg, &options).unwrap();
        assert_eq!(svg.matches("@font-face").count(), 2);
        assert!(svg.len() < 180_000, "{} has {} bytes", drawing.title, svg.len());
    }
}

#[test]
fn equal_input_gives_equal_bytes() {
    let input = rooms::attic();
    for draw in kinds() {
        let (one, other) = (draw(&input), draw(&input));
        assert_eq!(one.svg(), other.svg());
        assert!(one.png().unwrap() == other.png().unwrap(), "{}", one.name);
    }
}

#[test]
fn a_hostile_scene_still_gives_pictures() {
    let title = "<\u{0}\u{7} & ".repeat(60);
    let mut input = rooms::attic();
    input.title = &title;
    input.listener.name = "w".repeat(400);
    input.listener.ahead = glam::DVec3::Z;
    input.limit = None;
    input.variant = Some("音響 \u{202e}");
    input.curves[0].level_db = vec![f64::NEG_INFINITY; 400];
    input.curves[0].expected_db = vec![f64::NAN; 400];
    input.curves[1].level_db.clear();
    let mut downward = input.speakers[0].clone();
    downward.axis = glam::DVec3::NEG_Z;
    input.speakers[0] = &downward;
    for draw in kinds() {
        draw(&input).png().unwrap();
    }
    input.zones.as_mut().unwrap().faces[0].zones[0].outline_m.clear();
    for draw in kinds() {
        draw(&input).png().unwrap();
    }
    let sound = input.decay.as_mut().unwrap();
    sound.speakers[0].curves = [&[]; 8];
    sound.speakers[0].t20 = [None; 8];
    sound.speakers[1].t20[3] =
        Some(decay_view::Time { s: 9.0, error_s: Some(12.0), judgement: None });
    sound.eyring_s = [None; 8];
    sound.criterion.document = "<&>".repeat(90);
    for draw in kinds() {
        draw(&input).png().unwrap();
    }
    input.decay.as_mut().unwrap().speakers.clear();
    input.paths.clear();
    input.curves.clear();
    input.speakers.clear();
    for draw in kinds() {
        draw(&input).png().unwrap();
    }
}

/// Both sheets of the decay give each time with its error; judgements stand in words, and what is
/// held from memory says so.
#[test]
fn the_decay_is_told_in_words() {
    let input = rooms::attic();
    let sheet = reverberation(&input);
    for what in ["pass", "near", "miss", "Eyring's formula"] {
        assert!(says(&sheet, what), "{what}");
    }
    let field = "tolerance of EBU Tech 3276 around its nominal 0.21 s, from memory: check the document before you quote it";
    assert!(says(&sheet, field));
    assert!(says(&sheet, "0.80 ±0.02") && says(&decay(&input), "0.80 ±0.02 s"));
    let mut seen = input.clone();
    seen.decay.as_mut().unwrap().criterion.from_memory = false;
    assert!(says(&reverberation(&seen), "tolerance of EBU Tech 3276 around its nominal 0.21 s"));
    let mut crowd = rooms::corridor();
    let sound = crowd.decay.as_mut().unwrap();
    sound.speakers.extend(sound.speakers.clone());
    sound.speakers.extend(sound.speakers.clone());
    assert!(says(&reverberation(&crowd), "and 11 more speakers, in decay.csv"));
}

/// Speakers at 1.2 m, ears at 1.2 m, 1.25 m and 2.05 m from the left wall, 1 m apart along it: the
/// reflection is 1.2 + 1.25 / 3.3 = 1.579 m from the front wall, and the mirror path is
/// √(1² + 3.3²) = 3.448 m. With b² = (λ/2)(3.448/2 + λ/8) for λ = 0.3432 m the ellipsoid's cut is
/// 0.536 m to either side rotated: 0.66 to 1.74 m, by the formula of docs/theory.md.
#[test]
fn elevations_tell_where_a_panel_would_work() {
    let sides = ELEVATIONS[0](&rooms::attic());
    assert!(says(&sides, "Left wall") && says(&sides, "Right wall"));
    assert!(says(&sides, "1.58 m"), "the reflection point");
    let up = |drawing: &Drawing, what: &str| {
        typeface::all(&drawing.items).iter().any(|text| text.content.ends_with(what))
    };
    assert!(up(&sides, "0.66 to 1.74 m up"), "the reach of its zone");
    assert!(says(&ELEVATIONS[3](&rooms::attic()), "before its middle: cloud"));
}

/// Facing the left wall the front wall is on the right; facing the others, the tape starts as the
/// plan's does.
#[test]
#[expect(clippy::float_cmp, reason = "corners are copied, not computed")]
fn walls_are_seen_from_inside() {
    use crate::plot::room::projection::{Side, View};
    use earline_engine::scene::Surface;
    let input = rooms::attic();
    let space = Rect::new(0.0, 0.0, 200.0, 200.0);
    let corner = |surface| {
        let view = View::new(Side::Face(surface), input.room, 20.0, space);
        let Rect { min, max } = view.inside;
        let at = view.origin();
        assert_eq!(at, view.at(glam::DVec3::ZERO));
        [at.x == max.x && at.x != min.x, at.y == max.y && at.y != min.y]
    };
    assert_eq!(corner(Surface::Left), [true, true]);
    assert_eq!(corner(Surface::Right), [false, true]);
    assert_eq!(corner(Surface::Front), [false, true]);
    assert_eq!(corner(Surface::Back), [true, true]);
    assert_eq!(corner(Surface::Floor), [false, false]);
    assert_eq!(corner(Surface::Ceiling), [false, false]);
}
