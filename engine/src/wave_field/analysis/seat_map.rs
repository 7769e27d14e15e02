//! How uneven the bass is over the floor, at one height of ears.

use crate::scene::{Scene, Variant};
use crate::wave_field::analysis::sources::{even, level_db, places, together};
use crate::wave_field::analysis::{UNEVENNESS_BAND_HZ, WaveFieldError, unevenness_db};
use crate::wave_field::wave_field_solver::WaveFieldSolver;
use glam::{DVec2, DVec3};
use rayon::prelude::*;

/// Heads keep so far from the walls, metres.
pub const WALL_CLEARANCE_M: f64 = 0.2;
/// The flattest place is looked for at least so far from every speaker, metres: right beside one the
/// direct sound alone is even, and nobody sits there (our own choice).
pub const SPEAKER_CLEARANCE_M: f64 = 1.0;
/// In a hall steps grow until there are about so many places.
const MOST_PLACES: f64 = 1200.0;

/// What to map.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatMapRequest {
    /// Indices of the speakers that sound alike, in [`Scene::speakers`].
    pub speakers: Vec<usize>,
    /// Height of the ears, metres.
    pub height_m: f64,
    /// Places are no farther apart than this, metres; farther in a hall.
    pub step_m: f64,
    /// Frequencies in hertz, rising; those within [`UNEVENNESS_BAND_HZ`] count.
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
    /// For each of `x_m`, each of `y_m`: unevenness as [`unevenness_db`] has it, decibels.
    pub unevenness_db: Vec<Vec<f64>>,
    /// Likewise: how far within the part of the floor where somebody could listen, metres, negative
    /// outside it: in front of every speaker, at least [`SPEAKER_CLEARANCE_M`] from each, with the head in
    /// no furniture and no keep-out.
    pub clearance_m: Vec<Vec<f64>>,
    /// The flattest place of that part, on the grid or on the line between two speakers.
    pub flattest: Option<FlattestSeat>,
    /// The flattest on the line in plan that is equally far from two speakers.
    pub flattest_on_median: Option<FlattestSeat>,
}

/// A place with how uneven it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlattestSeat {
    /// Middle of the head.
    pub at: DVec3,
    /// Its unevenness, decibels.
    pub unevenness_db: f64,
}

/// Maps the unevenness of chosen speakers that sound alike.
///
/// # Errors
/// No such speaker, ears outside the room, or fewer than three frequencies that count.
pub fn seat_map(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &SeatMapRequest,
) -> Result<SeatMap, WaveFieldError> {
    let sources = places(scene, &plan.speakers)?;
    let size = scene.room().size();
    if !(0.0..=size.z).contains(&plan.height_m) {
        return Err(WaveFieldError::UnknownPosition);
    }
    let counts = |hz: &f64| (UNEVENNESS_BAND_HZ[0]..=UNEVENNESS_BAND_HZ[1]).contains(hz);
    let hz: Vec<f64> = plan.hz.iter().copied().filter(counts).collect();
    if hz.len() < 3 {
        return Err(WaveFieldError::TooFewFrequencies);
    }
    let inner = (size.truncate() - 2.0 * WALL_CLEARANCE_M).max(DVec2::ZERO);
    let step_m = plan.step_m.max((inner.x * inner.y / MOST_PLACES).sqrt());
    let along = |long_m: f64| {
        let from_m = WALL_CLEARANCE_M.min(0.5 * long_m);
        even(from_m, long_m - from_m, step_m)
    };
    let (x_m, y_m) = (along(size.x), along(size.y));
    let grid = x_m.iter().flat_map(|&x| y_m.iter().map(move |&y| DVec3::new(x, y, plan.height_m)));
    let mut receivers: Vec<DVec3> = grid.collect();
    let on_grid = receivers.len();
    receivers.extend(between(&sources, plan.height_m, step_m, [&x_m, &y_m]));
    let waves = WaveFieldSolver::new(scene, variant, &hz)?;
    let pressure = together(&waves, &sources, &receivers);
    let uneven = |place: usize| {
        let levels: Vec<f64> = pressure.iter().map(|all| level_db(all[place])).collect();
        unevenness_db(&hz, &levels).unwrap_or(f64::INFINITY)
    };
    let uneven: Vec<f64> = (0..receivers.len()).into_par_iter().map(uneven).collect();
    let clear: Vec<f64> =
        receivers.iter().map(|&at| clearance_m(scene, variant, &plan.speakers, at)).collect();
    let flattest = |places: std::ops::Range<usize>| {
        let seat = places.filter(|&place| 0.0 <= clear[place] && uneven[place].is_finite());
        let best = seat.min_by(|&a, &b| uneven[a].total_cmp(&uneven[b]))?;
        Some(FlattestSeat { at: receivers[best], unevenness_db: uneven[best] })
    };
    Ok(SeatMap {
        height_m: plan.height_m,
        flattest: flattest(0..receivers.len()),
        flattest_on_median: flattest(on_grid..receivers.len()),
        unevenness_db: uneven[..on_grid].chunks(y_m.len()).map(<[f64]>::to_vec).collect(),
        clearance_m: clear[..on_grid].chunks(y_m.len()).map(<[f64]>::to_vec).collect(),
        x_m,
        y_m,
    })
}

/// Places within the grid on the line in plan that is equally far from two speakers.
fn between(sources: &[DVec3], height_m: f64, step_m: f64, [x_m, y_m]: [&[f64]; 2]) -> Vec<DVec3> {
    let &[one, other] = sources else { return Vec::new() };
    let ends = |all: &[f64]| [all.first(), all.last()].map(|m| m.copied().unwrap_or_default());
    let ([x0, x1], [y0, y1]) = (ends(x_m), ends(y_m));
    let (low, high) = (DVec2::new(x0, y0), DVec2::new(x1, y1));
    let middle = one.truncate().midpoint(other.truncate());
    let Some(way) = (other - one).truncate().perp().try_normalize() else { return Vec::new() };
    let reach = (high - low).length();
    even(-reach, reach, 0.5 * step_m)
        .into_iter()
        .map(|along_m| middle + way * along_m)
        .filter(|at| low.cmple(*at).all() && at.cmple(high).all())
        .map(|at| at.extend(height_m))
        .collect()
}

/// How far within the part of the floor where somebody could listen, metres; negative outside.
fn clearance_m(scene: &Scene, variant: &Variant<'_>, speakers: &[usize], at: DVec3) -> f64 {
    let of_speaker = |&index: &usize| {
        let speaker = &scene.speakers()[index];
        let away_m = at.distance(speaker.at) - SPEAKER_CLEARANCE_M;
        let facing = speaker.axis.truncate().try_normalize();
        // One that points straight up or down has no front.
        facing.map_or(away_m, |facing| away_m.min(facing.dot((at - speaker.at).truncate())))
    };
    let of_furniture = variant.furniture.iter().map(|piece| -piece.upright_box().depth_m(at));
    let of_keep_outs = scene.keep_outs().iter().map(|keep| {
        let out_m = |axis: usize| {
            let from_m = keep.corner_m[axis];
            (from_m - at[axis]).max(at[axis] - from_m - keep.size_m[axis])
        };
        out_m(0).max(out_m(1))
    });
    let all = speakers.iter().map(of_speaker).chain(of_furniture).chain(of_keep_outs);
    all.fold(f64::INFINITY, f64::min)
}
