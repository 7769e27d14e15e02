//! Corners of the things in a room.

use earline_engine::medium::directivity::Directivity;
use earline_engine::scene::{Furniture, Panel, Room, Screen, Speaker};
use glam::{DVec2, DVec3};

/// A cabinet to draw where the scene has none: height, width and depth in metres.
const USUAL_CABINET_M: [f64; 3] = [0.34, 0.22, 0.27];
/// Size to draw a speaker in that radiates evenly all round, metres.
const ROUND_M: f64 = 0.12;

/// Height, width and depth of the cabinet to draw, metres; `None` where it has no front and no back.
pub(crate) fn cabinet_m(speaker: &Speaker) -> Option<[f64; 3]> {
    match &speaker.directivity {
        Directivity::Omni => None,
        Directivity::Piston { cabinet, .. } | Directivity::TwoWay { cabinet, .. } => {
            Some([cabinet.height_m, cabinet.width_m, cabinet.depth_m])
        }
        Directivity::Cardioid | Directivity::Table(_) => Some(USUAL_CABINET_M),
    }
}

/// Middle of the front of a speaker's body, and the unit vector out of it.
pub(crate) fn speaker_front(speaker: &Speaker) -> [DVec3; 2] {
    // A solid cabinet is drawn as it stands: upright, with its front where its box has it.
    speaker.solid_box().map_or([speaker.at, speaker.axis], |upright| {
        [upright.middle - upright.axes[0] * upright.half.x, -upright.axes[0]]
    })
}

/// Corners of a speaker's body: the front four in order, then the back four. One without a front is a
/// small cube.
pub(crate) fn speaker(speaker: &Speaker) -> [DVec3; 8] {
    let cabinet = cabinet_m(speaker);
    let [high, wide, deep] = cabinet.unwrap_or([ROUND_M; 3]);
    let [front, axis] = speaker_front(speaker);
    let ahead = axis.normalize_or(DVec3::X);
    let across = DVec3::Z.cross(ahead).normalize_or(DVec3::Y);
    let up = ahead.cross(across);
    let front = if cabinet.is_some() { front } else { front + ahead * deep / 2.0 };
    let corner = |back: f64, side: f64, top: f64| {
        front - ahead * deep * back + (across * wide * side + up * high * top) / 2.0
    };
    let four = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
    std::array::from_fn(|i| {
        let [side, top] = four[i % 4];
        corner(if i < 4 { 0.0 } else { 1.0 }, side, top)
    })
}

/// Least and greatest tape coordinates of a panel, metres.
pub(crate) fn panel_reach_m(panel: &Panel) -> [DVec2; 2] {
    let half = DVec2::from(panel.size_m) / 2.0;
    [DVec2::from(panel.centre_m) - half, DVec2::from(panel.centre_m) + half]
}

/// Corners of a panel in order.
pub(crate) fn panel(panel: &Panel, room: &Room) -> [DVec3; 4] {
    let [low, high] = panel_reach_m(panel);
    let [a, b] = panel.on.tape_axes();
    let level = if panel.on.is_far() { room.size()[panel.on.axis()] } else { 0.0 };
    [[low.x, low.y], [high.x, low.y], [high.x, high.y], [low.x, high.y]].map(|[s, t]| {
        let mut corner = DVec3::ZERO;
        (corner[panel.on.axis()], corner[a], corner[b]) = (level, s, t);
        corner
    })
}

/// Corners of a screen in order.
pub(crate) fn screen(screen: &Screen) -> [DVec3; 4] {
    let along = screen.along * screen.size_m[0] / 2.0;
    let across = screen.facing.cross(screen.along) * screen.size_m[1] / 2.0;
    let corners = [-along - across, along - across, along + across, across - along];
    corners.map(|offset| screen.centre + offset)
}

/// Corners of the underside of a piece of furniture in order.
pub(crate) fn furniture_base(piece: &Furniture) -> [DVec3; 4] {
    let half = piece.size.truncate() / 2.0;
    let middle = piece.corner.truncate() + half;
    let turn = DVec2::from_angle(piece.turn_deg.to_radians());
    [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]
        .map(|[x, y]| middle + turn.rotate(DVec2::new(x, y) * half))
        .map(|corner| corner.extend(piece.corner.z))
}
