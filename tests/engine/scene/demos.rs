//! The demo scenes load and are what their comments say.

use earline_engine::scene::{NoAttachments, Parsed, Scene, Side};
use std::path::Path;

fn load(name: &str) -> Parsed {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes").join(name);
    Scene::parse(&std::fs::read_to_string(path).unwrap(), &NoAttachments)
        .unwrap_or_else(|problems| panic!("{name}: {problems:#?}"))
}

#[test]
fn every_demo_scene_loads_and_opens_with_a_comment() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "toml") {
            count += 1;
            load(&path.file_name().unwrap().to_string_lossy());
            let text = std::fs::read_to_string(&path).unwrap();
            assert!(
                text.starts_with('#') && text.contains("What to look for"),
                "{}",
                path.display()
            );
        }
    }
    assert!(4 <= count);
}

#[test]
fn every_scene_of_a_lesson_loads_and_says_which_lesson() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/lessons");
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = format!("lessons/{}", entry.unwrap().file_name().to_string_lossy());
        let text = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes").join(&name);
        assert!(std::fs::read_to_string(text).unwrap().starts_with("# Lesson "), "{name}");
        load(&name);
    }
}

#[test]
fn the_attic_is_equilateral_and_raises_no_warning() {
    let Parsed { scene, warnings } = load("attic.toml");
    assert!(warnings.is_empty(), "{warnings:#?}");
    let [left, right] = scene.speakers() else { panic!("two speakers") };
    let seat = &scene[scene.listener_id("seated").unwrap()];
    // An equilateral triangle (ITU-R BS.775: 60° between the speakers, read): three sides alike.
    let sides = [left.at.distance(right.at), left.at.distance(seat.at), right.at.distance(seat.at)];
    assert!(sides.iter().all(|side| (side - 1.6).abs() < 0.01), "{sides:?}");
    // 38 % of the length, common practice.
    assert!((seat.at.x / scene.room().length_m - 0.38).abs() < 0.002);
    assert_eq!(left.pair, Some(("mains".to_owned(), Side::Left)));
    let names: Vec<&str> = scene.variants().iter().map(|variant| variant.name.as_str()).collect();
    assert_eq!(names, ["bare", "treated"]);
}

#[test]
fn the_attics_states_hold_what_their_variants_name() {
    let scene = load("attic.toml").scene;
    let bare = scene.variant(Some("bare")).unwrap();
    assert_eq!((bare.panels.len(), bare.screens.len(), bare.furniture.len()), (0, 0, 2));
    let treated = scene.variant(Some("treated")).unwrap();
    assert_eq!((treated.panels.len(), treated.screens.len(), treated.furniture.len()), (4, 1, 2));
    // Everything in is just what "treated" says, so the state bears that name.
    assert_eq!(scene.variant(None).unwrap().name, Some("treated"));
    assert!(scene.variant(Some("finished")).is_none());
}

#[test]
fn of_panels_that_share_a_place_the_first_is_up() {
    let scene = load("study.toml").scene;
    let state = scene.variant(None).unwrap();
    assert_eq!((state.name, state.panels.len()), (Some("on the mark"), 2));
    let off = scene.variant(Some("20 cm off")).unwrap();
    assert!(off.panels.iter().all(|panel| panel.name.ends_with("off")));
}

#[test]
fn the_bedroom_is_told_about_its_asymmetry() {
    let codes: Vec<&str> =
        load("bedroom.toml").warnings.iter().map(|warning| warning.code).collect();
    assert_eq!(codes, ["scene::pair-not-mirrored", "scene::off-centre"]);
}

#[test]
fn the_garage_the_study_and_the_box_raise_no_warning() {
    for name in ["garage.toml", "study.toml", "teaching-box.toml"] {
        let warnings = load(name).warnings;
        assert!(warnings.is_empty(), "{name}: {warnings:#?}");
    }
}

#[test]
fn the_complete_example_of_the_format_page_loads_without_a_warning() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/scene-format.md");
    let page = std::fs::read_to_string(page).unwrap();
    let example = page.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    let parsed = Scene::parse(example, &NoAttachments).unwrap();
    assert_eq!(parsed.scene.title(), "Spare room");
    assert!(parsed.warnings.is_empty(), "{:#?}", parsed.warnings);
}
