//! What to try first against uneven bass: another place for the ears, for the speakers, a deeper absorber.

use super::likely::{LikelyCause, is_near_side};
use super::room::deeper;
use super::sounding::Sounding;
use super::{Reach, WaveFieldView, subwoofers};
use crate::content::wave_maps::{Maps, SeatMaps};
use crate::format::number::fixed;
use crate::format::{labels, length};
use earline_engine::medium::materials::SurfaceModel;
use earline_engine::scene::{INCH_M, SpeakerId, SpeakerKind, Units};
use earline_engine::wave_field::{BoundaryInterference, Extremum, FlattestSeat, Mode};
use glam::DVec3;

/// What might be tried.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Advice {
    /// Things to try, the most promising first.
    pub(super) to_try: Vec<String>,
    /// Whether one of them is to be hung up.
    pub(super) hangs: bool,
}

/// A place for the ears is worth moving to from so much on, decibels: our choice.
const WORTH_DB: f64 = 1.0;
/// A dip is worth moving the speakers for from so much on, decibels: our choice.
const DEEP_DB: f64 = -6.0;
/// A speaker may be moved nearer to a wall that is at least so far away, metres: our choice.
const ROOM_BEHIND_M: f64 = 0.5;
/// A way to the side shorter than this is none, metres.
const STRAIGHT_M: f64 = 0.02;
/// Seats named in one point.
const SEATS: usize = 2;

/// Everything that might be tried.
pub(super) fn advice(view: &WaveFieldView<'_>, maps: &Maps, soundings: &[Sounding<'_>]) -> Advice {
    let absorber = deeper_absorber(view, soundings);
    let hangs = absorber.is_some();
    let to_try = [
        subwoofers::alignment(view),
        better_seats(view, maps),
        moved_speakers(view, soundings),
        absorber,
    ];
    Advice { to_try: to_try.into_iter().flatten().collect(), hangs }
}

/// More even places for the ears: for a pair as far from one speaker as from the other.
fn better_seats(view: &WaveFieldView<'_>, maps: &Maps) -> Option<String> {
    let is_main = |id: &&SpeakerId| view.scene[**id].kind == SpeakerKind::FullRange;
    let is_pair = maps.active.speakers.iter().filter(is_main).count() == 2;
    let better: Vec<(&SeatMaps, FlattestSeat, f64)> = maps
        .seats
        .iter()
        .filter_map(|seat| {
            let map = seat.seats.as_ref()?;
            let best = if is_pair { map.flattest_on_median } else { map.flattest }?;
            Some((seat, best, seat.unevenness_db?))
        })
        .filter(|(_, best, here_db)| WORTH_DB <= here_db - best.unevenness_db)
        .collect();
    // The best of many, in the order of the seats.
    let mut order: Vec<usize> = (0..better.len()).collect();
    let gain_db = |index: &usize| better[*index].2 - better[*index].1.unevenness_db;
    order.sort_by(|a, b| gain_db(b).total_cmp(&gain_db(a)));
    order.truncate(SEATS);
    order.sort_unstable();
    let seats: Vec<String> = order
        .into_iter()
        .enumerate()
        .map(|(place, index)| better_seat(view, better[index], place == 0))
        .collect();
    (!seats.is_empty()).then(|| {
        format!("Move the ears, leaving {} in place: {}.", view.active(maps), seats.join("; "))
    })
}

/// `seated 0.89 m back, to 3.09 m from front wall (bass uneven by 4.8 dB instead of 7.8)`; shorter after the
/// first.
fn better_seat(
    view: &WaveFieldView<'_>,
    (seat, best, here_db): (&SeatMaps, FlattestSeat, f64),
    is_first: bool,
) -> String {
    let units = view.scene.units();
    let length = |metres: f64| length::length(metres, units);
    let by: DVec3 = best.at - view.scene[seat.listener].at;
    let is_straight = by.y.abs() < STRAIGHT_M;
    let mut ways = Vec::new();
    if STRAIGHT_M <= by.x.abs() {
        let way = if 0.0 < by.x { "back" } else { "forward" };
        ways.push(format!("{} {way}", length(by.x.abs())));
    }
    if !is_straight {
        let way = if 0.0 < by.y { "right" } else { "left" };
        ways.push(format!("{} to the {way}", length(by.y.abs())));
    }
    let side =
        if is_straight { String::new() } else { format!(", {} from left wall", length(best.at.y)) };
    let from = if is_first || !is_straight { " from front wall" } else { "" };
    let bass = if is_first { "bass uneven by " } else { "" };
    format!(
        "{} {}, to {}{from}{side} ({bass}{} dB instead of {})",
        view.listener(seat.listener),
        ways.join(" and "),
        length(best.at.x),
        fixed(best.unevenness_db, 1),
        fixed(here_db, 1),
    )
}

/// Speakers nearer to or farther from the wall that makes the deepest of the dips that a wall beside the
/// speakers makes.
fn moved_speakers(view: &WaveFieldView<'_>, soundings: &[Sounding<'_>]) -> Option<String> {
    let wall = |extreme: &Extremum| match view.likely(extreme).first() {
        Some(&LikelyCause::Boundary(found, twin)) => {
            let is_wall = found.surface.axis() < 2 && found.distance_m <= found.head_distance_m;
            is_wall.then_some((found, twin))
        }
        _ => None,
    };
    let dips = soundings.iter().flat_map(|sounding| {
        let deep = sounding.in_band().filter(|extreme| extreme.prominence_db <= DEEP_DB);
        let walls = deep.filter_map(move |extreme| Some((sounding, extreme, wall(extreme)?)));
        // That of a subwoofer which plays along is not among them.
        walls.filter(|(sounding, _, (found, _))| sounding.speakers.contains(&found.speaker))
    });
    // Both speakers of a pair have to be cancelled for a dip that is worth moving them for.
    let dips =
        dips.filter(|(sounding, _, (_, twin))| sounding.speakers.len() == 1 || twin.is_some());
    let (sounding, extreme, (found, twin)) =
        dips.min_by(|a, b| a.1.prominence_db.total_cmp(&b.1.prominence_db))?;
    let is_side = twin.is_some_and(|twin| twin.surface != found.surface);
    let wall = format!("the {}", labels::surface(found.surface));
    let (who, wall) = match (sounding.speakers.len(), is_side) {
        (1, _) => (format!("speaker {}", sounding.name), wall),
        (_, false) => (view.group(&sounding.speakers, |pair| view.both(pair)), wall),
        (_, true) if is_near_side(view, &found) => {
            ("each speaker".to_owned(), "the side wall beside it".to_owned())
        }
        (_, true) => ("each speaker".to_owned(), "the side wall across the room".to_owned()),
    };
    let (way, shifted_hz) = shifted(view, sounding, &found)?;
    Some(format!(
        "Move {who} {way} {wall}, now {} away: it likely makes the dip of {} dB at {:.0} Hz ({}), which then \
         goes to about {shifted_hz:.0} Hz.",
        length::length(found.distance_m, view.scene.units()),
        fixed(-extreme.prominence_db, 1),
        extreme.hz,
        view.listener(sounding.listener),
    ))
}

/// How far to move a speaker, and where the null then is, hertz.
fn shifted(
    view: &WaveFieldView<'_>,
    sounding: &Sounding<'_>,
    found: &BoundaryInterference,
) -> Option<(String, f64)> {
    let units = view.scene.units();
    let step_m = match units {
        Units::Metric => 0.2,
        Units::Imperial => 8.0 * INCH_M,
    };
    let (by_m, way) = if ROOM_BEHIND_M <= found.distance_m {
        (-step_m, "nearer to")
    } else {
        (step_m, "farther from")
    };
    let hz = found.null_when_moved_hz(view.scene, sounding.listener, by_m)?;
    Some((format!("{} {way}", length::length(step_m, units)), hz))
}

/// A deeper absorber against the largest peak or dip of a known cause that no build reaches, and where it
/// would go.
fn deeper_absorber(view: &WaveFieldView<'_>, soundings: &[Sounding<'_>]) -> Option<String> {
    let all = soundings.iter().flat_map(Sounding::in_band);
    let mut extrema: Vec<(&Extremum, LikelyCause)> =
        all.filter_map(|extreme| Some((extreme, view.likely(extreme).first().copied()?))).collect();
    extrema.sort_by(|a, b| b.0.prominence_db.abs().total_cmp(&a.0.prominence_db.abs()));
    let below = |hz: f64| extrema.iter().find(|(extreme, _)| extreme.hz < hz);
    let mut builds: Vec<Reach<'_>> = known_builds(view)
        .into_iter()
        .filter_map(|material| view.reach_of(material, |hz| Some(below(hz)?.0.hz)))
        .collect();
    builds.sort_by(|a, b| a.down_to_hz.unwrap_or(0.0).total_cmp(&b.down_to_hz.unwrap_or(0.0)));
    let build = builds.first()?;
    let (extreme, cause) = below(build.down_to_hz?)?;
    let kind = if extreme.prominence_db < 0.0 { "dip" } else { "peak" };
    Some(format!(
        "Put deeper absorption {}, for the {kind} of {} dB at {:.0} Hz: {}.",
        where_to(cause),
        fixed(extreme.prominence_db.abs(), 1),
        extreme.hz,
        deeper(view, build)?,
    ))
}

/// The builds of the panels that are in; in a bare room the porous builds that the scene knows.
fn known_builds(view: &WaveFieldView<'_>) -> Vec<usize> {
    let materials = view.scene.materials();
    let is_porous = |index: &usize| {
        materials
            .get(*index)
            .is_some_and(|known| matches!(known.surface_model, SurfaceModel::Porous(_)))
    };
    let panels: Vec<usize> = view.panel_materials().into_iter().filter(is_porous).collect();
    if panels.is_empty() { (0..materials.len()).filter(is_porous).collect() } else { panels }
}

/// Where an absorber takes most of what makes a peak or a dip.
fn where_to(cause: &LikelyCause) -> String {
    match cause {
        LikelyCause::Mode(mode, _) => on_surfaces_of(mode).to_owned(),
        LikelyCause::Boundary(first, twin) => match twin {
            Some(twin) if twin.surface != first.surface => "on both side walls".to_owned(),
            _ => format!("on the {}", labels::surface(first.surface)),
        },
    }
}

/// A mode has its greatest pressure at every surface that it stands between.
fn on_surfaces_of(mode: &Mode) -> &'static str {
    match mode.n.map(|n| 0 < n) {
        [true, false, false] => "on front or back wall",
        [false, true, false] => "on left or right wall",
        [false, false, true] => "on floor or ceiling",
        [true, true, false] => "in the corners of the walls",
        [true, false, true] => "along the edges of front and back wall",
        [false, true, true] => "along the edges of left and right wall",
        _ => "in the corners",
    }
}
