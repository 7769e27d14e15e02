//! Rooms for looking at pictures and testing them: scenes parsed and traced, with a decay made up for
//! them.

use crate::plot::data::from_trace::from_trace;
use crate::plot::data::input::Input;
use crate::plot::tests::decay_curves;
use earline_engine::analysis::zones::{ZonePlan, zones};
use earline_engine::metrics::criteria::EARLY_LIMITS;
use earline_engine::scene::{ListenerId, NoAttachments, Scene};
use earline_engine::simulate::{Curve, Request, ResponseRequest, simulate};
use std::sync::LazyLock;

const WOOL: &str = "100 mm wool, 50 mm gap";

/// The room most pictures are tried on.
pub(crate) fn attic() -> Input<'static> {
    static ROOM: LazyLock<Input<'static>> = LazyLock::new(|| {
        let things = [
            speaker("main left", [1.2, 1.25, 1.2]),
            speaker("main right", [1.2, 2.85, 1.2]),
            listener([2.2, 2.05, 1.2]),
            panel("left side panel", "left", [1.7, 1.2], [1.2, 0.6]),
            panel("right side panel", "right", [1.7, 1.2], [1.2, 0.6]),
            panel("back panel", "back", [2.05, 1.3], [1.8, 1.2]),
            cloud("cloud", [1.7, 2.05, 2.2], [1.8, 1.2]),
            block("desk", [1.3, 1.25, 0.7], [0.75, 1.6, 0.04]),
            block("sofa", [4.6, 1.0, 0.0], [0.9, 2.1, 0.75]),
        ];
        picture("Attic mixing room", "metric", [5.8, 4.1, 2.45], &things)
    });
    Input { variant: Some("treated"), ..ROOM.clone() }
}

/// A small room in feet and inches.
pub(crate) fn cupboard() -> Input<'static> {
    static ROOM: LazyLock<Input<'static>> = LazyLock::new(|| {
        let things = [
            speaker("left", [0.4, 0.5, 1.15]),
            speaker("right", [0.4, 1.3, 1.15]),
            listener([1.3, 0.9, 1.15]),
            panel("blanket", "back", [0.9, 1.2], [1.6, 2.0]),
        ];
        picture("Voice cupboard", "imperial", [2.2, 1.8, 2.3], &things)
    });
    ROOM.clone()
}

/// A long room with two pairs.
pub(crate) fn corridor() -> Input<'static> {
    static ROOM: LazyLock<Input<'static>> = LazyLock::new(|| {
        let things = [
            speaker("main left", [1.5, 0.6, 1.3]),
            speaker("main right", [1.5, 2.4, 1.3]),
            speaker("near left", [2.8, 1.0, 1.1]),
            speaker("near right", [2.8, 2.0, 1.1]),
            listener([4.0, 1.5, 1.2]),
            block("desk", [2.7, 0.7, 0.7], [0.7, 1.6, 0.05]),
            block("shelf with tapes", [8.0, 0.0, 0.0], [2.0, 0.4, 2.0]),
        ];
        let title = "A corridor that someone mixes in & records";
        picture(title, "metric", [12.0, 3.0, 2.6], &things)
    });
    ROOM.clone()
}

/// A garage in feet with two pairs and many panels.
pub(crate) fn garage() -> Input<'static> {
    static ROOM: LazyLock<Input<'static>> = LazyLock::new(|| {
        let mut things = vec![
            speaker("mains left", [0.8, 1.55, 1.4]),
            speaker("mains right", [0.8, 3.95, 1.4]),
            speaker("small left", [1.5, 2.1, 1.2]),
            speaker("small right", [1.5, 3.4, 1.2]),
            listener([2.6, 2.75, 1.22]),
            panel("rug", "floor", [2.0, 2.75], [1.8, 2.4]),
            cloud("front cloud", [1.6, 2.75, 2.3], [1.2, 2.4]),
            cloud("rear cloud", [2.9, 2.75, 2.3], [1.2, 2.4]),
            block("desk", [1.5, 1.8, 0.7], [0.8, 1.9, 0.04]),
        ];
        for (index, [x, y]) in [[1.2, 1.5], [2.0, 2.75], [2.8, 4.0]].into_iter().enumerate() {
            let number = index + 1;
            things.push(panel(&format!("left panel {number}"), "left", [x, 1.2], [0.6, 1.2]));
            things.push(panel(&format!("right panel {number}"), "right", [x, 1.2], [0.6, 1.2]));
            let name = format!("back wall absorber {number}");
            things.push(panel(&name, "back", [y, 1.3], [1.0, 1.5]));
        }
        picture("Garage with two pairs of speakers", "imperial", [6.4, 5.5, 2.6], &things)
    });
    ROOM.clone()
}

/// All of them.
pub(crate) fn all() -> Vec<Input<'static>> {
    vec![attic(), cupboard(), corridor(), garage()]
}

/// Input of a scene at its only seat: all that is traced, and zones of a still head at 1 kHz.
fn picture(title: &str, units: &str, size_m: [f64; 3], things: &[String]) -> Input<'static> {
    let [length, width, height] = size_m;
    let walls = ["front", "back", "left", "right", "floor", "ceiling"]
        .map(|wall| format!("{wall} = \"gypsum board on studs\"\n"));
    let text = format!(
        "title = \"{title}\"\nunits = \"{units}\"\n\
         [room]\nlength = {length:?}\nwidth = {width:?}\nheight = {height:?}\n\
         [surfaces]\n{}\
         [[material]]\nname = \"{WOOL}\"\n\
         porous = {{ thickness = \"100 mm\", flow_resistivity = 12000, gap = \"50 mm\" }}\n{}",
        walls.concat(),
        things.concat()
    );
    let scene: &Scene = Box::leak(Box::new(Scene::parse(&text, &NoAttachments).unwrap().scene));
    let state = Box::leak(Box::new(scene.variant(None).unwrap()));
    let speakers: Vec<_> = scene.speaker_ids().collect();
    let seat = ListenerId::new(0);
    let plan = Request {
        speakers: speakers.clone(),
        listeners: vec![seat],
        order: 2,
        window_s: 0.06,
        response: Some(ResponseRequest {
            curve: Curve::Geometrical,
            ..ResponseRequest::early(0.51)
        }),
        wave_field: None,
    };
    let found = simulate(scene, state, &plan, &()).unwrap();
    let input = from_trace(scene, state, &found, seat, &EARLY_LIMITS[0]).unwrap();
    let zone_plan =
        ZonePlan { speakers, listeners: vec![seat], head_half_m: 0.0, frequency_hz: 1000.0 };
    let seats = zones(scene, state, &zone_plan).unwrap();
    let input = input.with_zones(scene, state, &zone_plan, &seats[0]);
    let decay = Some(decay_curves::decay(&input));
    let spreading = Some(decay_curves::spreading(&input));
    Input { decay, spreading, ..input }
}

fn speaker(name: &str, at: [f64; 3]) -> String {
    format!(
        "[[speaker]]\nname = \"{name}\"\nat = {at:?}\naim = \"seated\"\n\
         directivity = {{ kind = \"cardioid\" }}\n"
    )
}

fn listener(at: [f64; 3]) -> String {
    format!("[[listener]]\nname = \"seated\"\nat = {at:?}\n")
}

fn panel(name: &str, on: &str, centre: [f64; 2], size: [f64; 2]) -> String {
    format!(
        "[[panel]]\nname = \"{name}\"\non = \"{on}\"\ncentre = {centre:?}\nsize = {size:?}\n\
         material = \"{WOOL}\"\n"
    )
}

fn cloud(name: &str, centre: [f64; 3], size: [f64; 2]) -> String {
    format!(
        "[[screen]]\nname = \"{name}\"\ncentre = {centre:?}\nsize = {size:?}\nfacing = \"down\"\n\
         material = \"{WOOL}\"\n"
    )
}

fn block(name: &str, corner: [f64; 3], size: [f64; 3]) -> String {
    format!(
        "[[furniture]]\nname = \"{name}\"\ncorner = {corner:?}\nsize = {size:?}\n\
         material = \"wood, solid\"\n"
    )
}
