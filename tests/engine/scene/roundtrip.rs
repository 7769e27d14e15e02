//! Parse → print → parse is identity; no text makes the reader panic.

use crate::fixtures::cases;
use earline_engine::scene::{NoAttachments, Scene, Surface};
use proptest::prelude::*;
use std::fmt::Write;
use std::path::Path;

pub(super) fn round_trip(text: &str) -> Result<(), TestCaseError> {
    let scene = Scene::parse(text, &NoAttachments)
        .map_err(|problems| TestCaseError::fail(format!("{problems:#?}\n{text}")))?
        .scene;
    let printed = scene.to_toml();
    let again = Scene::parse(&printed, &NoAttachments)
        .map_err(|problems| TestCaseError::fail(format!("{problems:#?}\n{printed}")))?
        .scene;
    prop_assert_eq!(&again, &scene);
    prop_assert_eq!(again.to_toml(), printed);
    Ok(())
}

fn demo_scenes() -> Vec<String> {
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes");
    let entries = |folder: &Path| std::fs::read_dir(folder).unwrap();
    let mut paths: Vec<_> = entries(&scenes)
        .chain(entries(&scenes.join("lessons")))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    paths.sort();
    paths.into_iter().map(|path| std::fs::read_to_string(path).unwrap()).collect()
}

#[test]
fn demo_scenes_survive_printing() {
    for text in demo_scenes() {
        round_trip(&text).unwrap();
    }
}

#[test]
fn a_solid_cabinet_survives_printing() {
    for more in ["", "finish = \"painted brick\"\n"] {
        let text = format!(
            "{}[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = {{ kind = \"piston\", diameter = 0.1, cabinet = [0.3, 0.2, 0.25] }}\nsolid = true\n{more}",
            super::meaning::SMALL
        );
        let scene = Scene::parse(&text, &NoAttachments).unwrap().scene;
        let finish = scene.speakers()[0].solid.unwrap();
        let expected = if more.is_empty() { "wood, solid" } else { "painted brick" };
        assert_eq!(scene.materials()[finish].name, expected);
        round_trip(&text).unwrap();
    }
}

/// What a search may use and where it may not go comes back as it was, defaults written out.
#[test]
fn wishes_survive_printing() {
    let text = format!(
        "{}[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = {{ kind = \"omni\" }}\n\
         [[keep_out]]\nname = \"door swing\"\ncorner = [\"2 m\", 0]\nsize = [0.9, \"90 cm\"]\n\
         [[keep_clear]]\nname = \"window\"\non = \"left\"\ncentre = [1.5, 1.4]\nsize = [1, 1]\n\
         [[absorber]]\nname = \"board\"\nsize = [0.6, 1.2]\nmaterial = \"painted brick\"\n\
         [[absorber]]\nname = \"cloud\"\nsize = [1.2, 0.8]\nmaterial = \"painted brick\"\ncost = 80\n\
         count = 2\nweight_kg = 7.5\non = [\"ceiling\"]\nmay_turn = false\nhang = \"20 cm\"\n",
        super::meaning::SMALL
    );
    let scene = Scene::parse(&text, &NoAttachments).unwrap().scene;
    assert!(scene.keep_outs()[0].holds([2.5, 0.5]) && !scene.keep_outs()[0].holds([1.9, 0.5]));
    assert_eq!(scene.keep_clears()[0].on, Surface::Left);
    let [board, cloud] = scene.absorbers() else { panic!("two were written") };
    assert_eq!((board.count, board.may_turn, board.hang_m, board.cost), (4, true, None, None));
    assert!(!board.on.contains(&Surface::Floor) && board.on.len() == 5);
    assert_eq!((cloud.count, cloud.may_turn, cloud.cost), (2, false, Some(80.0)));
    assert!(cloud.hang_m.is_some_and(|m| (m - 0.2).abs() < 1e-12) && cloud.weight_kg == Some(7.5));
    round_trip(&text).unwrap();
}

/// A length in one of the ways people write it.
fn length(metres: f64, style: u8) -> String {
    match style % 5 {
        0 => format!("{metres:?}"),
        1 => format!("\"{metres} m\""),
        2 => format!("\"{} cm\"", metres * 100.0),
        3 => format!("\"{} ft\"", metres / 0.3048),
        _ => format!("'''{}\"'''", metres / 0.0254),
    }
}

fn names() -> impl Strategy<Value = String> {
    // Quotes, backslashes and letters from many places; TOML has to carry them all.
    "[a-zA-Zåéß0-9 \"'\\\\#=½′-]{1,20}".prop_filter("not blank", |name| !name.trim().is_empty())
}

fn quote(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

prop_compose! {
    /// A valid scene text: everything placed by fractions of a random room.
    fn scene_text()(
        room in prop::array::uniform3(0.6f64..40.0),
        places in prop::collection::vec(prop::array::uniform3(0.01f64..0.99), 8),
        styles in prop::collection::vec(any::<u8>(), 40),
        title in names(),
        tail in names(),
        alphas in prop::array::uniform8(0.0f64..=1.0),
        impedance in (0.1f64..50.0, -20.0f64..20.0),
        air in (-20.0f64..50.0, 1.0f64..100.0, 50.0f64..120.0),
        facing in prop::array::uniform3(-1.0f64..1.0),
        turn in -360.0f64..360.0,
        surface in 0usize..6,
        cost in prop::option::of(0.0f64..1e6),
        directivity in 0usize..4,
        flags in prop::array::uniform4(any::<bool>()),
    ) -> String {
        let mut styles = styles.into_iter().cycle();
        let mut len = |metres: f64| length(metres, styles.next().unwrap_or(0));
        let at = |fraction: [f64; 3]| [0, 1, 2].map(|axis| 0.002 + fraction[axis] * (room[axis] - 0.004));
        let mut point = |metres: [f64; 3]| { let [x, y, z] = metres.map(&mut len); format!("[{x}, {y}, {z}]") };
        let mut text = format!("title = {}\nunits = \"{}\"\n", quote(&title), if flags[0] { "metric" } else { "imperial" });
        let [l, w, h] = room;
        write!(text, "[room]\nlength = {l:?}\nwidth = \"{w} m\"\nheight = {h:?}\n").unwrap();
        write!(text, "[air]\ntemperature_c = {:?}\nhumidity_percent = {:?}\npressure_kpa = {:?}\nabsorption = {}\n", air.0, air.1, air.2, flags[1]).unwrap();
        text.push_str("[surfaces]\nfront = \"own\"\nback = \"painted brick\"\nleft = \"z\"\nright = \"wool\"\nfloor = \"wood floor on joists\"\nceiling = \"own\"\n");
        write!(text, "[[material]]\nname = \"own\"\nabsorption = {alphas:?}\nscattering = {:?}\nsource = {}\n", alphas[0], quote(&tail)).unwrap();
        write!(text, "[[material]]\nname = \"z\"\nimpedance = [{:?}, {:?}]\n", impedance.0, impedance.1).unwrap();
        write!(text, "[[material]]\nname = \"wool\"\nporous = {{ thickness = \"4 in\", flow_resistivity = {:?}, gap = 0.05 }}\n", 100.0 + impedance.0 * 1000.0).unwrap();
        write!(text, "[[material]]\nname = \"stack\"\nporous = {{ layers = [{{ thickness = {:?}, flow_resistivity = 8000 }}, {{ air = \"2 in\" }}, {{ thickness = \"40 mm\", flow_resistivity = {:?} }}] }}\n", 0.01 + alphas[1], 100.0 + impedance.0 * 1000.0).unwrap();
        let kind = ["kind = \"omni\"", "kind = \"cardioid\"", "kind = \"piston\", diameter = \"5 1/4 in\", cabinet = [0.3, 0.2, 0.25]",
            "kind = \"two-way\", woofer = \"165 mm\", tweeter = 0.025, spacing = \"17 cm\", crossover_hz = 2200, reference = \"woofer\", cabinet = [0.3, 0.2, 0.25]"][directivity];
        let listener = at(places[1]);
        for (index, side) in ["left", "right"].into_iter().enumerate() {
            let aim = if flags[2] { "aim = \"seat\"".to_owned() } else { format!("aim = {}", point(at(places[2 + index]))) };
            // Never at the listener: its place is moved by a third of the room when it happens to be.
            let mut place = at(places[4 + index]);
            for other in [listener, at(places[2 + index])] {
                if (0..3).all(|axis| (place[axis] - other[axis]).abs() < 0.01) {
                    place[0] = (place[0] + room[0] / 3.0) % (room[0] - 0.01);
                    place[0] = place[0].max(0.005);
                }
            }
            write!(text, "[[speaker]]\nname = {}\npair = \"p\"\nside = \"{side}\"\nat = {}\n{aim}\ndirectivity = {{ {kind} }}\n", quote(&format!("{side} {tail}")), point(place)).unwrap();
        }
        write!(text, "[[listener]]\nname = \"seat\"\nat = {}\n", point(listener)).unwrap();
        if flags[3] {
            writeln!(text, "faces = {}", point([listener[0] + 1.0, listener[1], listener[2]])).unwrap();
        }
        let surface = Surface::ALL[surface];
        let [a, b] = surface.tape_axes();
        let (ca, cb) = (room[a] * 0.5, room[b] * (0.4 + 0.2 * places[0][0]));
        write!(text, "[[panel]]\nname = \"panel\"\nset = \"set\"\non = \"{}\"\ncentre = [{ca:?}, {cb:?}]\nsize = [{:?}, {:?}]\nmaterial = \"wool\"\n", surface.name(), room[a] * 0.3, room[b] * 0.3).unwrap();
        if let Some(cost) = cost {
            writeln!(text, "cost = {cost:?}").unwrap();
        }
        let least = room.into_iter().fold(f64::MAX, f64::min);
        let facing = if facing.iter().all(|f| f.abs() < 1e-3) { "\"up\"".to_owned() } else { format!("{facing:?}") };
        write!(text, "[[screen]]\nname = \"screen\"\ncentre = [{:?}, {:?}, {:?}]\nsize = [{:?}, {:?}]\nfacing = {facing}\nmaterial = \"own\"\n", l / 2.0, w / 2.0, h / 2.0, least * 0.3, least * 0.2).unwrap();
        write!(text, "[[furniture]]\nname = \"box\"\ncorner = [{:?}, {:?}, 0.0]\nsize = [{:?}, {:?}, {:?}]\nturn_deg = {turn:?}\nmaterial = \"wood, solid\"\n", l * 0.45, w * 0.45, least * 0.1, least * 0.2, least * 0.3).unwrap();
        text.push_str("[[variant]]\nname = \"bare\"\nwith = []\n[[variant]]\nname = \"full\"\nwith = [\"set\"]\n");
        write!(text, "[model]\nreflection = \"{}\"\nedges = {}\n", if flags[0] { "angle" } else { "constant" }, flags[2]).unwrap();
        text
    }
}

proptest! {
    #![proptest_config(cases(256))]

    #[test]
    fn random_scenes_survive_printing(text in scene_text()) {
        round_trip(&text)?;
    }

    #[test]
    fn any_text_is_answered_without_a_panic(text in "\\PC{0,200}") {
        answer(&text)?;
    }

    #[test]
    fn mutated_scenes_are_answered_without_a_panic(
        which in 0usize..4,
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0usize..30, mutation()), 1..6),
    ) {
        let mut text = demo_scenes().swap_remove(which);
        for (index, length, insert) in cuts {
            let chars: Vec<(usize, char)> = text.char_indices().collect();
            if chars.is_empty() {
                break;
            }
            let first = index.index(chars.len());
            let start = chars[first].0;
            let end = chars.get(first + length).map_or(text.len(), |&(at, _)| at);
            text.replace_range(start..end, &insert);
        }
        answer(&text)?;
    }

    #[test]
    fn mutated_numbers_are_answered_without_a_panic(
        which in 0usize..4,
        skip in 0usize..120,
        value in prop::sample::select(vec!["nan", "-inf", "inf", "1e308", "-1e308", "1e-320", "0", "-0.0", "9223372036854775807", "\"1e9 m\"", "\"0 in\"", "[]", "{}", "[[1]]", "\"\"", "true", "0x7fffffffffffffff"]),
    ) {
        let text = demo_scenes().swap_remove(which);
        let values: Vec<(usize, &str)> = text.match_indices(['"', '[', ' ']).filter(|(at, _)| text[..*at].ends_with(['=', ',', ' ', '['])).collect();
        let (at, _) = values[skip % values.len()];
        let end = text[at + 1..].find(['\n', ',', ']']).map_or(text.len(), |end| at + 1 + end);
        answer(&format!("{}{value}{}", &text[..at], &text[end..]))?;
    }
}

fn mutation() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        prop::sample::select(vec![
            "\"",
            "[",
            "]",
            "{",
            "}",
            "=",
            "\n",
            ",",
            ".",
            "[[",
            "]]",
            "-",
            "e",
            "nan",
            "1e400",
            "½",
            "'",
            "\u{0}",
            "\u{feff}",
            "\r",
            "\\u0000",
            "name = \"seated\"\n",
            "[room]\n",
            "#"
        ])
        .prop_map(str::to_owned),
        "\\PC{0,8}",
    ]
}

/// Whatever the text, the answer is a scene that prints and reads back, or problems with a place.
fn answer(text: &str) -> Result<(), TestCaseError> {
    match Scene::parse(text, &NoAttachments) {
        Ok(parsed) => {
            let printed = parsed.scene.to_toml();
            let again = Scene::parse(&printed, &NoAttachments)
                .map_err(|problems| TestCaseError::fail(format!("{problems:#?}\n{printed}")))?;
            prop_assert_eq!(again.scene, parsed.scene);
        }
        Err(problems) => {
            prop_assert!(!problems.is_empty());
            for problem in problems {
                prop_assert!(
                    text.get(problem.span.clone()).is_some(),
                    "{:?} in {:?}",
                    problem,
                    text
                );
            }
        }
    }
    Ok(())
}
