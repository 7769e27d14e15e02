//! Invented rooms with hand-made image sources, for looking at pictures and testing them.

use crate::plot::data::input::*;
use crate::plot::data::panel_letters;
use crate::plot::tests::decay_curves;
use earline_engine::analysis::zones::{self, Ellipse};
use earline_engine::scene::{Room, Surface, Units};
use glam::{DVec2, DVec3};

/// The room most pictures are tried on.
pub(crate) fn attic() -> Input {
    let room = Room { length_m: 5.8, width_m: 4.1, height_m: 2.45 };
    let listener = DVec3::new(2.2, 2.05, 1.2);
    let speakers = vec![
        speaker("main left", [1.2, 1.25, 1.2], listener),
        speaker("main right", [1.2, 2.85, 1.2], listener),
    ];
    let mut input = bare("Attic mixing room", Units::Metric, room, listener, speakers);
    input.variant = Some("treated".to_owned());
    input.panels = vec![
        panel("left side panel", Surface::Left, [1.7, 1.2], [1.2, 0.6]),
        panel("right side panel", Surface::Right, [1.7, 1.2], [1.2, 0.6]),
        panel("back panel", Surface::Back, [2.05, 1.3], [1.8, 1.2]),
    ];
    input.screens = vec![cloud("cloud", [1.7, 2.05, 2.2], [1.8, 1.2])];
    input.furniture = vec![
        block("desk", [1.3, 1.25, 0.7], [0.75, 1.6, 0.04]),
        block("sofa", [4.6, 1.0, 0.0], [0.9, 2.1, 0.75]),
    ];
    with_paths(&mut input, 8);
    input
}

/// A small room in feet and inches.
pub(crate) fn cupboard() -> Input {
    let room = Room { length_m: 2.2, width_m: 1.8, height_m: 2.3 };
    let listener = DVec3::new(1.3, 0.9, 1.15);
    let speakers = vec![
        speaker("left", [0.4, 0.5, 1.15], listener),
        speaker("right", [0.4, 1.3, 1.15], listener),
    ];
    let mut input = bare("Voice cupboard", Units::Imperial, room, listener, speakers);
    input.panels = vec![panel("blanket", Surface::Back, [0.9, 1.2], [1.6, 2.0])];
    with_paths(&mut input, 8);
    input
}

/// A long room with two pairs.
pub(crate) fn corridor() -> Input {
    let room = Room { length_m: 12.0, width_m: 3.0, height_m: 2.6 };
    let listener = DVec3::new(4.0, 1.5, 1.2);
    let speakers = vec![
        speaker("main left", [1.5, 0.6, 1.3], listener),
        speaker("main right", [1.5, 2.4, 1.3], listener),
        speaker("near left", [2.8, 1.0, 1.1], listener),
        speaker("near right", [2.8, 2.0, 1.1], listener),
    ];
    let mut input =
        bare("A corridor that someone mixes in & records", Units::Metric, room, listener, speakers);
    input.furniture = vec![
        block("desk", [2.7, 0.7, 0.7], [0.7, 1.6, 0.05]),
        block("shelf with tapes", [8.0, 0.0, 0.0], [2.0, 0.4, 2.0]),
    ];
    with_paths(&mut input, 8);
    input
}

/// A garage in feet with two pairs, many panels and a turned bookcase.
pub(crate) fn garage() -> Input {
    let room = Room { length_m: 6.4, width_m: 5.5, height_m: 2.6 };
    let listener = DVec3::new(2.6, 2.75, 1.22);
    let speakers = vec![
        speaker("mains left", [0.8, 1.55, 1.4], listener),
        speaker("mains right", [0.8, 3.95, 1.4], listener),
        speaker("small left", [1.5, 2.1, 1.2], listener),
        speaker("small right", [1.5, 3.4, 1.2], listener),
    ];
    let mut input =
        bare("Garage with two pairs of speakers", Units::Imperial, room, listener, speakers);
    for (index, x) in [1.2, 2.0, 2.8].into_iter().enumerate() {
        for (side, on) in [("left", Surface::Left), ("right", Surface::Right)] {
            input.panels.push(panel(
                &format!("{side} panel {}", index + 1),
                on,
                [x, 1.2],
                [0.6, 1.2],
            ));
        }
    }
    for (index, y) in [1.5, 2.75, 4.0].into_iter().enumerate() {
        let name = format!("back wall absorber {}", index + 1);
        input.panels.push(panel(&name, Surface::Back, [y, 1.3], [1.0, 1.5]));
    }
    input.panels.push(panel("rug", Surface::Floor, [2.0, 2.75], [1.8, 2.4]));
    input.screens = vec![
        cloud("front cloud", [1.6, 2.75, 2.3], [1.2, 2.4]),
        cloud("rear cloud", [2.9, 2.75, 2.3], [1.2, 2.4]),
    ];
    input.furniture = vec![block("desk", [1.5, 1.8, 0.7], [0.8, 1.9, 0.04])];
    with_paths(&mut input, 8);
    input
}

/// All of them.
pub(crate) fn all() -> Vec<Input> {
    vec![attic(), cupboard(), corridor(), garage()]
}

fn bare(title: &str, units: Units, room: Room, at: DVec3, speakers: Vec<Speaker>) -> Input {
    Input {
        title: title.to_owned(),
        variant: None,
        units,
        room,
        listener: Listener { name: "seated".to_owned(), at, ahead: DVec3::NEG_X },
        speakers,
        panels: Vec::new(),
        screens: Vec::new(),
        furniture: Vec::new(),
        paths: Vec::new(),
        limit: Some(Limit {
            document: "EBU Tech 3276".to_owned(),
            window_ms: 15.0,
            level_db: -10.0,
        }),
        curves: Vec::new(),
        zones: None,
        hung: Vec::new(),
        cautions: Vec::new(),
        kept_clear: Vec::new(),
        decay: None,
        spreading: None,
    }
}

fn speaker(name: &str, at: [f64; 3], aim: DVec3) -> Speaker {
    let at = DVec3::from_array(at);
    let cabinet = Cabinet::Box { size_m: [0.34, 0.22, 0.27] };
    Speaker { name: name.to_owned(), at, front: at, axis: (aim - at).normalize(), cabinet }
}

fn panel(name: &str, on: Surface, centre_m: [f64; 2], size_m: [f64; 2]) -> Panel {
    Panel {
        name: name.to_owned(),
        on,
        centre_m,
        size_m,
        material: "100 mm wool, 50 mm gap".to_owned(),
        letter: String::new(),
    }
}

fn cloud(name: &str, centre: [f64; 3], size: [f64; 2]) -> Screen {
    let centre = DVec3::from_array(centre);
    let corner = |x: f64, y: f64| centre + DVec3::new(x * size[0], y * size[1], 0.0) / 2.0;
    let corners = [corner(-1.0, -1.0), corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0)];
    Screen {
        name: name.to_owned(),
        corners,
        material: "100 mm wool, 50 mm gap".to_owned(),
        letter: String::new(),
    }
}

fn block(name: &str, corner: [f64; 3], size: [f64; 3]) -> Furniture {
    let corner = DVec3::from_array(corner);
    let base = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]
        .map(|[x, y]| corner + DVec3::new(x * size[0], y * size[1], 0.0));
    Furniture { name: name.to_owned(), base, height_m: size[2] }
}

/// First-order images of the bare box, a desk bounce, and the strongest second-order ones.
fn with_paths(input: &mut Input, second: usize) {
    let mut paths: Vec<Path> = Vec::new();
    for index in 0..input.speakers.len() {
        let firsts = Surface::ALL.iter().map(|&s| vec![s]);
        paths.extend(firsts.filter_map(|walls| path(input, index, &walls)));
        if let Some(desk) = input.furniture.iter().find(|f| f.name == "desk") {
            paths.extend(desk_path(input, index, desk));
        }
        let mut later: Vec<Path> = Surface::ALL
            .iter()
            .flat_map(|&a| Surface::ALL.iter().map(move |&b| vec![a, b]))
            .filter_map(|walls| path(input, index, &walls))
            .collect();
        later.sort_by(|a, b| b.level_db.total_cmp(&a.level_db));
        paths.extend(later.into_iter().take(second / input.speakers.len()));
    }
    paths.sort_by(|a, b| a.after_direct_ms.total_cmp(&b.after_direct_ms));
    for (number, path) in paths.iter_mut().enumerate() {
        path.tag = (number + 1).to_string();
    }
    input.paths = paths;
    input.curves = (0..input.speakers.len()).map(|speaker| curve(input, speaker)).collect();
    input.zones = Some(zones(input));
    input.decay = Some(decay_curves::decay(input));
    input.spreading = Some(decay_curves::spreading(input));
    panel_letters::deal(&mut [input]);
}

/// Zones of a still head at 1 kHz, cut off at the edges of their surface; the ceiling's lie behind
/// the first screen.
fn zones(input: &Input) -> Zones {
    let face = |&on: &Surface| {
        let zones = (0..input.speakers.len()).map(|speaker| zone(input, on, speaker)).collect();
        Face { on, cover: cover(0.3), zones }
    };
    Zones {
        frequency_hz: 1000.0,
        head_half_m: 0.15,
        absorbing: (0..input.panels.len()).filter(|&i| input.panels[i].name != "rug").collect(),
        faces: Surface::ALL.iter().map(face).collect(),
    }
}

fn zone(input: &Input, on: Surface, speaker: usize) -> Zone {
    let size = input.room.size();
    let level = if on.is_far() { size[on.axis()] } else { 0.0 };
    let place = |p: DVec3| (DVec2::from(on.tape(p)), (p[on.axis()] - level).abs());
    let (from, to) = (place(input.speakers[speaker].at), place(input.listener.at));
    let mut point = DVec3::splat(level);
    let [a, b] = on.tape_axes();
    let middle = Ellipse::first_zone(from, to, 0.0).centre;
    (point[a], point[b]) = (middle.x, middle.y);
    let whole = Ellipse::first_zone(from, to, 0.3432);
    let screen = input.screens.first().filter(|_| on == Surface::Ceiling);
    Zone {
        speaker,
        point,
        behind: screen.map(|screen| screen.name.clone()),
        outline_m: whole.points().map(|p| p.clamp(DVec2::ZERO, on.tape(size).into())).collect(),
        cover: cover(0.2 * speaker as f64),
    }
}

fn cover(share: f64) -> Cover {
    Cover { share, verdict: zones::Verdict::of(share) }
}

fn mirrored(room: &Room, mut at: DVec3, surface: Surface) -> DVec3 {
    let axis = surface.axis();
    let level = if surface.is_far() { room.size()[axis] } else { 0.0 };
    at[axis] = 2.0 * level - at[axis];
    at
}

fn path(input: &Input, speaker: usize, walls: &[Surface]) -> Option<Path> {
    let room = &input.room;
    let start = input.speakers[speaker].at;
    let images: Vec<DVec3> = walls
        .iter()
        .scan(start, |at, &wall| {
            *at = mirrored(room, *at, wall);
            Some(*at)
        })
        .collect();
    let mut target = input.listener.at;
    let mut bounces = Vec::new();
    for (&wall, &image) in walls.iter().zip(&images).rev() {
        let axis = wall.axis();
        let level = if wall.is_far() { room.size()[axis] } else { 0.0 };
        let part = (level - target[axis]) / (image[axis] - target[axis]);
        if !(0.0..1.0).contains(&part) {
            return None;
        }
        let point = target + (image - target) * part;
        let size = room.size();
        if (0..3).any(|i| point[i] < -1e-9 || size[i] + 1e-9 < point[i]) {
            return None;
        }
        target = point;
        let [a, b] = wall.tape_axes();
        let from = [Surface::Front, Surface::Left, Surface::Floor];
        let tape = [a, b].map(|i| TapeFrom { surface: from[i], metres: point[i] }).to_vec();
        let name =
            if wall.axis() == 2 { wall.name().to_owned() } else { format!("{} wall", wall.name()) };
        let on_panel = input.panels.iter().find(|p| {
            p.on == wall
                && [a, b]
                    .iter()
                    .enumerate()
                    .all(|(i, &axis)| (point[axis] - p.centre_m[i]).abs() < p.size_m[i] / 2.0)
        });
        let what = on_panel.map_or(name.clone(), |p| format!("{name}, {}", p.name));
        bounces.insert(0, Bounce { point, hit: Hit::Surface(wall), what, tape });
    }
    let last = images.last()?;
    Some(finished(input, speaker, bounces, last.distance(input.listener.at)))
}

fn desk_path(input: &Input, speaker: usize, desk: &Furniture) -> Option<Path> {
    let top = desk.base[0].z + desk.height_m;
    let (start, end) = (input.speakers[speaker].at, input.listener.at);
    let image = DVec3::new(start.x, start.y, 2.0 * top - start.z);
    let part = (top - end.z) / (image.z - end.z);
    let point = end + (image - end) * part;
    let inside = desk.base[0].x <= point.x && point.x <= desk.base[2].x;
    let tape = vec![
        TapeFrom { surface: Surface::Front, metres: point.x },
        TapeFrom { surface: Surface::Left, metres: point.y },
    ];
    let bounce =
        Bounce { point, hit: Hit::Inside { sideways: false }, what: "desk, top".to_owned(), tape };
    inside.then(|| finished(input, speaker, vec![bounce], image.distance(end)))
}

fn finished(input: &Input, speaker: usize, bounces: Vec<Bounce>, distance: f64) -> Path {
    let direct = input.speakers[speaker].at.distance(input.listener.at);
    let after_direct_ms = (distance - direct) / 343.2 * 1000.0;
    let soft = bounces.iter().filter(|b| b.what.contains("panel")).count();
    let level_db =
        20.0 * (direct / distance).log10() - 1.1 * bounces.len() as f64 - 9.0 * soft as f64;
    let verdict = match &input.limit {
        Some(limit) if after_direct_ms <= limit.window_ms => {
            if level_db > limit.level_db {
                Verdict::Over
            } else {
                Verdict::Within
            }
        }
        _ => Verdict::Unjudged,
    };
    Path { speaker, tag: String::new(), bounces, after_direct_ms, level_db, verdict }
}

/// Peaks at the arrivals over a falling floor with a wobble in it.
fn curve(input: &Input, speaker: usize) -> Curve {
    let own: Vec<(f64, f64)> = std::iter::once((0.0, 0.0))
        .chain(
            input
                .paths
                .iter()
                .filter(|p| p.speaker == speaker)
                .map(|p| (p.after_direct_ms, p.level_db)),
        )
        .collect();
    let level_db = (0_u32..5100)
        .map(|i| {
            let t = f64::from(i) * 0.1 - 5.0;
            let peaks: f64 = own
                .iter()
                .map(|&(at, db)| 10_f64.powf(db / 10.0) * (-((t - at) / 0.22).powi(2)).exp())
                .sum();
            let wobble = 3.0 * (t * 2.1 + speaker as f64).sin() + 2.0 * (t * 5.3).sin();
            let late = if t > 1.0 { 10_f64.powf((-19.0 - t * 0.14 + wobble) / 10.0) } else { 0.0 };
            10.0 * (peaks + late + 1e-9).log10()
        })
        .collect();
    let sticks = own.iter().map(|&(time, level)| [time, level]).collect();
    Curve { speaker, start_ms: -5.0, step_ms: 0.1, level_db, sticks, complete_ms: 62.0 }
}
