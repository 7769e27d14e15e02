//! From a traced scene to what the pictures show of one listener.

use crate::content::numbering::{Numbered, at_listener};
use crate::plot::data::input::{
    Bounce, Hit, Input, Lettered, LimitVerdict, ListenerHead, Path, SpeakerCurve, TapeFrom,
};
use crate::plot::data::panel_letters;
use earline_engine::analysis::zones;
use earline_engine::geometry::{BoxSide, FaceId};
use earline_engine::image_source as engine;
use earline_engine::metrics::criteria::{self, EarlyLimit};
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Surface, Variant};
use earline_engine::simulate::{PairSimulation, Simulation};
use glam::DVec3;

/// What absorbs in this octave band is drawn as an absorber, hertz.
pub(crate) const ABSORBS_AT_HZ: f64 = 1000.0;
/// Second-order paths drawn, of all speakers together; all first-order ones are.
const SECOND_ORDER: usize = 8;

/// Input of the drawings of a listener; `None` if the trace has no such seat.
///
/// Of the numbered list of that seat every first-order reflection is drawn, and the strongest of
/// second order.
pub(crate) fn from_trace<'a>(
    scene: &'a Scene,
    state: &Variant<'a>,
    trace: &Simulation,
    listener: ListenerId,
    limit: &'a EarlyLimit,
) -> Option<Input<'a>> {
    let numbered = at_listener(trace, listener);
    from_numbered(scene, state, trace, listener, &numbered, limit)
}

/// Input of the drawings of a listener whose reflections have been numbered.
pub(crate) fn from_numbered<'a>(
    scene: &'a Scene,
    state: &Variant<'a>,
    trace: &Simulation,
    listener: ListenerId,
    numbered: &[Numbered<'_>],
    limit: &'a EarlyLimit,
) -> Option<Input<'a>> {
    let pairs: Vec<&PairSimulation> =
        trace.pairs.iter().filter(|pair| pair.listener == listener).collect();
    if pairs.is_empty() {
        return None;
    }
    let place = |speaker: SpeakerId| pairs.iter().position(|pair| pair.speaker == speaker);
    let paths = worth_drawing(numbered, pairs.len())
        .into_iter()
        .filter_map(|n| Some(path(scene, n, place(n.pair.speaker)?, limit)))
        .collect();
    let speakers: Vec<SpeakerId> = pairs.iter().map(|pair| pair.speaker).collect();
    Some(Input {
        paths,
        limit: Some(limit),
        curves: pairs.iter().enumerate().filter_map(|(index, pair)| curve(index, pair)).collect(),
        ..room_alone(scene, state, &speakers, listener)?
    })
}

/// The room with what is in it, chosen speakers and one listener, and nothing that was traced; `None`
/// if there is no such listener.
pub(crate) fn room_alone<'a>(
    scene: &'a Scene,
    state: &Variant<'a>,
    speakers: &[SpeakerId],
    listener: ListenerId,
) -> Option<Input<'a>> {
    let ears = scene.listener(listener)?;
    let mut input = Input {
        title: scene.title(),
        variant: state.name,
        units: scene.units(),
        room: scene.room(),
        listener: ListenerHead::of(ears),
        speakers: speakers.iter().map(|&id| &scene[id]).collect(),
        panels: state.panels.iter().map(|p| lettered(scene, *p, p.material)).collect(),
        screens: state.screens.iter().map(|s| lettered(scene, *s, s.material)).collect(),
        furniture: state.furniture.clone(),
        paths: Vec::new(),
        limit: None,
        curves: Vec::new(),
        zones: None,
        hung: Vec::new(),
        cautions: Vec::new(),
        kept_clear: &[],
        decay: None,
        spreading: None,
    };
    panel_letters::assign(&mut [&mut input]);
    Some(input)
}

/// All of first order and the strongest of second order, in the order of the list.
fn worth_drawing<'a, 'b>(numbered: &'b [Numbered<'a>], speakers: usize) -> Vec<&'b Numbered<'a>> {
    let order = |l: &Numbered<'_>| l.reflection.arrival.bounces.len();
    let each = (SECOND_ORDER / speakers.max(1)).max(1);
    let mut later: Vec<&Numbered<'_>> = numbered.iter().filter(|l| order(l) == 2).collect();
    later.sort_by(|a, b| b.reflection.level_db.total_cmp(&a.reflection.level_db));
    let strong = |l: &Numbered<'_>| {
        let own = later.iter().filter(|other| other.pair.speaker == l.pair.speaker);
        own.take(each).any(|other| other.number == l.number)
    };
    // What arrives with no level at all has nothing to be drawn at.
    let heard = |l: &&Numbered<'_>| l.reflection.level_db.is_finite();
    let wanted = |l: &&Numbered<'_>| order(l) == 1 || (order(l) == 2 && strong(l));
    numbered.iter().filter(heard).filter(wanted).collect()
}

fn path(scene: &Scene, numbered: &Numbered<'_>, speaker: usize, limit: &EarlyLimit) -> Path {
    let reflection = numbered.reflection;
    Path {
        speaker,
        tag: numbered.number.to_string(),
        bounces: reflection.arrival.bounces.iter().map(|b| bounce(scene, b)).collect(),
        after_direct_ms: reflection.delay_s * 1000.0,
        level_db: reflection.level_db,
        verdict: match limit.judge(reflection.delay_s, reflection.level_db) {
            criteria::Verdict::Over => LimitVerdict::Over,
            criteria::Verdict::Within => LimitVerdict::Within,
            criteria::Verdict::Later => LimitVerdict::Unjudged,
        },
    }
}

fn bounce(scene: &Scene, bounce: &engine::Bounce) -> Bounce {
    let (hit, what, axes) = match bounce.face {
        FaceId::Surface(surface) => {
            let name = surface_name(surface);
            let panel = bounce.panel.and_then(|index| scene.panels().get(index));
            let what = panel.map_or(name, |panel| format!("{}: {}", surface.name(), panel.name));
            (Hit::Surface(surface), what, surface.tape_axes())
        }
        FaceId::Screen { index, rear } => {
            let screen = scene.screens().get(index);
            let name = screen.map_or("screen", |screen| screen.name.as_str());
            let what = if rear { format!("{name}, rear") } else { name.to_owned() };
            let facing = screen.map_or(DVec3::Z, |screen| screen.facing.abs());
            inside(what, facing.max_position())
        }
        FaceId::Furniture { index, side } => {
            let name = scene.furniture().get(index).map_or("furniture", |f| f.name.as_str());
            let (side, axis) = box_side(side);
            inside(format!("{name}, {side}"), axis)
        }
        FaceId::Cabinet { side, .. } => {
            let (side, axis) = box_side(side);
            inside(format!("{}, {side}", crate::format::labels::thing(scene, bounce.face)), axis)
        }
    };
    let from = [Surface::Front, Surface::Left, Surface::Floor];
    let tape = axes.map(|axis| TapeFrom { surface: from[axis], metres: bounce.point[axis] });
    Bounce { point: bounce.point, hit, what, tape: tape.to_vec() }
}

/// A side of a box in words, and the axis it lies across before it is turned.
fn box_side(side: BoxSide) -> (&'static str, usize) {
    match side {
        BoxSide::Front => ("front", 0),
        BoxSide::Back => ("back", 0),
        BoxSide::Left => ("left side", 1),
        BoxSide::Right => ("right side", 1),
        BoxSide::Bottom => ("underside", 2),
        BoxSide::Top => ("top", 2),
    }
}

/// A hit on something whose face lies across an axis, with the two axes to tape along.
fn inside(what: String, axis: usize) -> (Hit, String, [usize; 2]) {
    (Hit::Inside { sideways: axis == 1 }, what, across(axis))
}

/// The two axes that lie in a face across this one.
fn across(axis: usize) -> [usize; 2] {
    [[1, 2], [0, 2], [0, 1]][axis.min(2)]
}

fn surface_name(surface: Surface) -> String {
    match surface {
        Surface::Floor | Surface::Ceiling => surface.name().to_owned(),
        _ => format!("{} wall", surface.name()),
    }
}

/// A piece of treatment before it is given its letter.
fn lettered<'a, T>(scene: &'a Scene, piece: &'a T, index: usize) -> Lettered<'a, T> {
    let material = scene.materials().get(index).map_or("", |material| material.name.as_str());
    let absorbs = zones::absorbs(scene, index, ABSORBS_AT_HZ);
    Lettered { piece, material, absorbs, letter: String::new() }
}

fn curve(speaker: usize, pair: &PairSimulation) -> Option<SpeakerCurve> {
    let energy = pair.energy_time()?;
    let after_direct_ms = |time_s: f64| (time_s - pair.direct.time_s) * 1000.0;
    Some(SpeakerCurve {
        speaker,
        start_ms: after_direct_ms(energy.start_s),
        step_ms: energy.step_s * 1000.0,
        level_db: energy.level_db.clone(),
        expected_db: energy.expected_db.clone(),
        sticks: energy.arrivals.iter().map(|s| [after_direct_ms(s.time_s), s.level_db]).collect(),
        complete_ms: after_direct_ms(energy.complete_s),
    })
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::from_trace;
    use crate::plot::data::input::Hit;
    use earline_engine::metrics::criteria::EARLY_LIMITS;
    use earline_engine::scene::{ListenerId, NoAttachments, Scene, Surface};
    use earline_engine::simulate::{Request, ResponseRequest, simulate};

    const TEXT: &str = r#"
        title = "Test room"
        [room]
        length = 5.8
        width = 4.1
        height = 2.45
        [surfaces]
        front = "bare"
        back = "bare"
        left = "bare"
        right = "bare"
        floor = "bare"
        ceiling = "bare"
        [[material]]
        name = "bare"
        absorption = 0.1
        [[speaker]]
        name = "main left"
        at = [1.2, 1.25, 1.2]
        aim = "seated"
        directivity = { kind = "omni" }
        [[listener]]
        name = "seated"
        at = [2.2, 2.05, 1.2]
        [[panel]]
        name = "side panel"
        on = "left"
        centre = [1.6, 1.2]
        size = [1.2, 0.6]
        material = "bare"
    "#;

    /// The bounce on the left wall divides the way along it as the distances from the wall do:
    /// 1.2 + 1.0 × 1.25 / (1.25 + 2.05) = 1.579 m from the front wall.
    #[test]
    fn a_traced_scene_becomes_what_is_drawn() {
        let scene = Scene::parse(TEXT, &NoAttachments).unwrap().scene;
        let state = scene.variant(None).unwrap();
        let seat = ListenerId::new(0);
        let request = Request {
            response: Some(ResponseRequest::early(0.1)),
            ..Request::list(scene.speaker_ids().collect(), vec![seat])
        };
        let found = simulate(&scene, &state, &request, &()).unwrap();
        let limit = &EARLY_LIMITS[0];
        let input = from_trace(&scene, &state, &found, seat, limit).unwrap();
        let firsts = input.paths.iter().filter(|path| path.order() == 1).count();
        let seconds = input.paths.iter().filter(|path| path.order() == 2).count();
        assert_eq!((firsts, seconds), (6, super::SECOND_ORDER));
        assert_eq!(input.paths.len(), firsts + seconds, "nothing of higher order");
        let left = input
            .paths
            .iter()
            .find(|path| path.order() == 1 && path.bounces[0].hit == Hit::Surface(Surface::Left))
            .unwrap();
        assert_eq!(left.bounces[0].what, "left: side panel");
        assert!((left.bounces[0].tape[0].metres - 1.579).abs() < 5e-4);
        assert!((left.bounces[0].tape[1].metres - 1.2).abs() < 1e-9);
        assert_eq!(input.curves.len(), 1);
        assert!(from_trace(&scene, &state, &found, ListenerId::new(1), limit).is_none());
    }
}
