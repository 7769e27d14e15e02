//! Unevenness of the response over the floor, at one height of the ears.

use super::grid::evenly_spaced_m;
use super::level::{level_db, unevenness_db, unevenness_range_hz};
use super::sources::{coherent_pressure, speaker_sources};
use crate::scene::{Scene, SpeakerId, SpeakerKind, Variant};
use crate::wave_field::limits::WaveFieldError;
use crate::wave_field::solver::WaveFieldSolver;
use glam::{DVec2, DVec3};
use rayon::prelude::*;
use std::ops::Range;

/// Clearance of a head from the walls, metres.
pub const WALL_CLEARANCE_M: f64 = 0.2;
/// Clearance of the flattest seat from every speaker, metres: right beside one the direct sound alone
/// is even, and nobody sits there (our own choice).
pub const SPEAKER_CLEARANCE_M: f64 = 1.0;
/// Approximate number of positions beyond which the spacing grows, as in a hall.
const MAX_POSITIONS: f64 = 1200.0;

/// Request for a map of seats.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatMapRequest {
    /// The speakers that play one signal.
    pub speakers: Vec<SpeakerId>,
    /// Height of the ears, metres.
    pub height_m: f64,
    /// Greatest spacing of positions, metres; larger in a hall.
    pub step_m: f64,
    /// Frequencies in hertz, rising; those of the unevenness count.
    pub hz: Vec<f64>,
}

/// Unevenness over the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatMap {
    /// Height of the ears, metres.
    pub height_m: f64,
    /// Distances from the front wall, metres.
    pub x_m: Vec<f64>,
    /// Distances from the left wall, metres.
    pub y_m: Vec<f64>,
    /// For each of `x_m`, each of `y_m`: standard deviation of the level, decibels; see
    /// [`unevenness_db`].
    pub unevenness_db: Vec<Vec<f64>>,
    /// Likewise: depth within the listening area, metres, negative outside it. The area lies in front of
    /// every speaker that is no subwoofer, at least [`SPEAKER_CLEARANCE_M`] from each of all, and outside all furniture and
    /// keep-outs.
    pub clearance_m: Vec<Vec<f64>>,
    /// Flattest seat of the listening area, on the grid or on the median line of two speakers.
    pub flattest: Option<FlattestSeat>,
    /// Flattest seat on the median line: equally far in plan from both of two speakers.
    pub flattest_on_median: Option<FlattestSeat>,
}

/// Seat with the flattest response.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlattestSeat {
    /// Middle of the head.
    pub at: DVec3,
    /// Standard deviation of the level, decibels.
    pub unevenness_db: f64,
}

/// Maps the unevenness of the coherent sum of speakers.
///
/// # Errors
/// A speaker that the scene does not have, ears outside the room, fewer than three frequencies of the
/// unevenness, and as [`WaveFieldSolver::new`].
pub fn seat_map(
    scene: &Scene,
    variant: &Variant<'_>,
    request: &SeatMapRequest,
) -> Result<SeatMap, WaveFieldError> {
    let sources = speaker_sources(scene, &request.speakers)?;
    if !(0.0..=scene.room().size().z).contains(&request.height_m) {
        return Err(WaveFieldError::UnknownPosition);
    }
    let range_hz = unevenness_range_hz(scene, &request.speakers);
    let [low_hz, high_hz] = range_hz;
    let is_within = |hz: &f64| (low_hz..=high_hz).contains(hz);
    let hz: Vec<f64> = request.hz.iter().copied().filter(is_within).collect();
    if hz.len() < 3 {
        return Err(WaveFieldError::TooFewFrequencies);
    }
    let (grid, step_m) = FloorGrid::new(scene.room().size().truncate(), request.step_m);
    let mut receivers = grid.points(request.height_m);
    let on_grid = receivers.len();
    let mains = request.speakers.iter().filter(|&&id| scene[id].kind == SpeakerKind::FullRange);
    let positions: Vec<DVec3> = mains.map(|&id| scene[id].at).collect();
    receivers.extend(median_line(&positions, request.height_m, step_m, &grid));
    let solver = WaveFieldSolver::new(scene, variant, &hz)?;
    let pressure = coherent_pressure(&solver, &sources, &receivers);
    let unevenness = |receiver: usize| {
        let levels: Vec<f64> = pressure.iter().map(|field| level_db(field[receiver])).collect();
        unevenness_db(&hz, &levels, range_hz).unwrap_or(f64::INFINITY)
    };
    let unevenness: Vec<f64> = (0..receivers.len()).into_par_iter().map(unevenness).collect();
    let clearance: Vec<f64> =
        receivers.iter().map(|&at| clearance_m(scene, variant, &request.speakers, at)).collect();
    let flattest = |range: Range<usize>| {
        let seats = range.filter(|&i| 0.0 <= clearance[i] && unevenness[i].is_finite());
        // To a millionth, so that of mirrored seats it is always the first.
        let rounded = |seat: usize| (unevenness[seat] * 1e6).round();
        let best = seats.min_by(|&a, &b| rounded(a).total_cmp(&rounded(b)))?;
        Some(FlattestSeat { at: receivers[best], unevenness_db: unevenness[best] })
    };
    let rows = |values: &[f64]| -> Vec<Vec<f64>> {
        values[..on_grid].chunks(grid.y_m.len()).map(<[f64]>::to_vec).collect()
    };
    Ok(SeatMap {
        height_m: request.height_m,
        flattest: flattest(0..receivers.len()),
        flattest_on_median: flattest(on_grid..receivers.len()),
        unevenness_db: rows(&unevenness),
        clearance_m: rows(&clearance),
        x_m: grid.x_m,
        y_m: grid.y_m,
    })
}

/// Grid of heads over the floor, metres.
struct FloorGrid {
    x_m: Vec<f64>,
    y_m: Vec<f64>,
}

impl FloorGrid {
    /// Grid over a floor of a size in metres, with the spacing it aims at.
    fn new(floor_m: DVec2, step_m: f64) -> (Self, f64) {
        let inner = (floor_m - 2.0 * WALL_CLEARANCE_M).max(DVec2::ZERO);
        let step_m = step_m.max((inner.x * inner.y / MAX_POSITIONS).sqrt());
        let along = |length_m: f64| {
            let from_m = WALL_CLEARANCE_M.min(0.5 * length_m);
            evenly_spaced_m(from_m, length_m - from_m, step_m)
        };
        (Self { x_m: along(floor_m.x), y_m: along(floor_m.y) }, step_m)
    }

    fn points(&self, height_m: f64) -> Vec<DVec3> {
        let row = |&x: &f64| self.y_m.iter().map(move |&y| DVec3::new(x, y, height_m));
        self.x_m.iter().flat_map(row).collect()
    }

    /// Corners of the grid with the least and the greatest coordinates.
    fn bounds(&self) -> [DVec2; 2] {
        let corner = |end: fn(&[f64]) -> Option<&f64>| {
            DVec2::from([&self.x_m, &self.y_m].map(|all| end(all).copied().unwrap_or_default()))
        };
        [corner(<[f64]>::first), corner(<[f64]>::last)]
    }
}

/// Points of the grid's area that are equally far in plan from both of two speakers.
fn median_line(sources: &[DVec3], height_m: f64, step_m: f64, grid: &FloorGrid) -> Vec<DVec3> {
    let &[one, other] = sources else { return Vec::new() };
    let [low, high] = grid.bounds();
    let middle = one.truncate().midpoint(other.truncate());
    let Some(direction) = (other - one).truncate().perp().try_normalize() else {
        return Vec::new();
    };
    let diagonal_m = (high - low).length();
    evenly_spaced_m(-diagonal_m, diagonal_m, 0.5 * step_m)
        .into_iter()
        .map(|along_m| middle + direction * along_m)
        .filter(|at| low.cmple(*at).all() && at.cmple(high).all())
        .map(|at| at.extend(height_m))
        .collect()
}

/// Depth of a point within the listening area, metres; negative outside.
fn clearance_m(scene: &Scene, variant: &Variant<'_>, speakers: &[SpeakerId], at: DVec3) -> f64 {
    let of_speaker = |&id: &SpeakerId| {
        let speaker = &scene[id];
        let away_m = at.distance(speaker.at) - SPEAKER_CLEARANCE_M;
        if speaker.kind == SpeakerKind::Subwoofer {
            return away_m;
        }
        let front = speaker.axis.truncate().try_normalize();
        // A speaker that points straight up or down has no front.
        front.map_or(away_m, |front| away_m.min(front.dot((at - speaker.at).truncate())))
    };
    let of_furniture = variant.furniture.iter().map(|piece| -piece.upright_box().depth_m(at));
    let of_keep_outs = scene.keep_outs().iter().map(|keep| {
        let outside_m = |axis: usize| {
            let from_m = keep.corner_m[axis];
            (from_m - at[axis]).max(at[axis] - from_m - keep.size_m[axis])
        };
        outside_m(0).max(outside_m(1))
    });
    let all = speakers.iter().map(of_speaker).chain(of_furniture).chain(of_keep_outs);
    all.fold(f64::INFINITY, f64::min)
}
