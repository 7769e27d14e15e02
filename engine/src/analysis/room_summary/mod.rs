//! Summary of a room from its geometry, before any simulation.

mod pair;
mod proportions;
mod seat;

pub use crate::scene::named_pairs;
pub use pair::{PairGeometry, PairSymmetry};
pub use proportions::{ProportionRule, Proportions};
pub use seat::{Seat, SpeakerGeometry};

use crate::scene::{
    Furniture, Panel, Room, Scene, Screen, Speaker, SpeakerId, Surface, Variant, speaker_pairs,
};
use glam::DVec3;

/// Geometry of a room, its seats and its speakers.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomSummary {
    /// Volume in cubic metres.
    pub volume_m3: f64,
    /// Area of all six surfaces in square metres.
    pub surface_m2: f64,
    /// Floor area in square metres.
    pub floor_m2: f64,
    /// Proportions and the published rule on them.
    pub proportions: Proportions,
    /// Left–right symmetry of the room.
    pub mirror: RoomSymmetry,
    /// Distances of each speaker from the room's surfaces, in the scene's order.
    pub speakers: Vec<SurfaceDistances>,
    /// Each pair of speakers as it stands in the room, in the order of its left speaker.
    pub pairs: Vec<PairSymmetry>,
    /// Each listener's seat, in the scene's order.
    pub seats: Vec<Seat>,
}

/// Distances of a speaker's reference point from the surfaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceDistances {
    /// The speaker.
    pub speaker: SpeakerId,
    /// Distance to each surface in metres, in the order of [`Surface::ALL`].
    pub from_surfaces_m: [f64; 6],
}

/// Left–right symmetry of a room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RoomSymmetry {
    /// Whether left and right wall are bare of the same material.
    pub side_walls_match: bool,
    /// Panels without a like one at the mirrored place.
    pub unmatched_panels: usize,
    /// Screens, furniture and solid cabinets without a like one at the mirrored place.
    pub unmatched_objects: usize,
}

/// Summary of a scene in one of its variants.
pub fn room_summary(scene: &Scene, variant: &Variant<'_>) -> RoomSummary {
    let room = scene.room();
    let pairs = speaker_pairs(scene);
    RoomSummary {
        volume_m3: room.volume_m3(),
        surface_m2: room.surface_m2(),
        floor_m2: room.area_m2(Surface::Floor),
        proportions: Proportions::of(room),
        mirror: room_symmetry(scene, variant),
        speakers: scene
            .speaker_ids()
            .map(|speaker| SurfaceDistances {
                speaker,
                from_surfaces_m: from_surfaces_m(room, scene[speaker].at),
            })
            .collect(),
        seats: seat::seats(scene, &pairs),
        pairs: pairs.iter().map(|&p| PairSymmetry::of(scene, p)).collect(),
    }
}

fn from_surfaces_m(room: &Room, at: DVec3) -> [f64; 6] {
    let far = room.size() - at;
    [at.x, far.x, at.y, far.y, at.z, far.z]
}

/// Places closer than this count as mirrored: what a tape measure and a pencil hold to, metres.
const MIRROR_TOLERANCE_M: f64 = 0.005;

fn room_symmetry(scene: &Scene, variant: &Variant<'_>) -> RoomSymmetry {
    let width = scene.room().width_m;
    let solid: Vec<&Speaker> = scene.speakers().iter().filter(|s| s.solid.is_some()).collect();
    let panel_twin = |a: &Panel, b: &Panel| {
        let (on, centre) = mirrored_panel(a.on, a.centre_m, width);
        b.on == on
            && near(b.centre_m, centre)
            && near(b.size_m, a.size_m)
            && a.material == b.material
    };
    RoomSymmetry {
        side_walls_match: scene.surface_material(Surface::Left)
            == scene.surface_material(Surface::Right),
        unmatched_panels: count_unmatched(&variant.panels, panel_twin),
        unmatched_objects: count_unmatched(&variant.screens, |a, b| {
            are_mirror_screens(a, b, width)
        }) + count_unmatched(&variant.furniture, |a, b| {
            are_mirror_furniture(a, b, width)
        }) + count_unmatched(&solid, |a, b| are_mirror_cabinets(a, b, width)),
    }
}

fn count_unmatched<T>(things: &[&T], twins: impl Fn(&T, &T) -> bool) -> usize {
    things.iter().filter(|a| !things.iter().any(|b| twins(a, b))).count()
}

/// Whether a screen is another's mirror image, left for right; one in the middle is its own.
pub(crate) fn are_mirror_screens(a: &Screen, b: &Screen, width_m: f64) -> bool {
    b.centre.distance(mirrored(a.centre, width_m)) < MIRROR_TOLERANCE_M
        && a.material == b.material
        && parallel(b.facing, mirrored(a.facing, 0.0))
        && near(b.size_m, a.size_m)
}

/// Whether a piece of furniture is another's mirror image, left for right.
pub(crate) fn are_mirror_furniture(a: &Furniture, b: &Furniture, width_m: f64) -> bool {
    (b.corner + b.size / 2.0).distance(mirrored(a.corner + a.size / 2.0, width_m))
        < MIRROR_TOLERANCE_M
        && b.size.distance(a.size) < MIRROR_TOLERANCE_M
        && near([b.turn_deg, 0.0], [-a.turn_deg, 0.0])
        && a.material == b.material
}

/// Whether a speaker's solid cabinet is another's mirror image, left for right.
pub(crate) fn are_mirror_cabinets(a: &Speaker, b: &Speaker, width_m: f64) -> bool {
    let (Some(own), Some(other)) = (a.solid_box(), b.solid_box()) else { return false };
    other.middle.distance(mirrored(own.middle, width_m)) < MIRROR_TOLERANCE_M
        && other.half.distance(own.half) < MIRROR_TOLERANCE_M
        && other.axes[0].distance(mirrored(own.axes[0], 0.0)) < MIRROR_TOLERANCE_M
        && a.solid == b.solid
}

/// A point's mirror image in the middle plane of a room this wide; of a direction, with a width of 0.
pub(crate) fn mirrored(point: DVec3, width_m: f64) -> DVec3 {
    DVec3::new(point.x, width_m - point.y, point.z)
}

/// Whether two unit vectors lie along one line; both faces of a screen are the same.
fn parallel(a: DVec3, b: DVec3) -> bool {
    a.cross(b).length() < MIRROR_TOLERANCE_M
}

fn mirrored_panel(on: Surface, centre_m: [f64; 2], width_m: f64) -> (Surface, [f64; 2]) {
    let [a, b] = centre_m;
    match on {
        Surface::Left => (Surface::Right, centre_m),
        Surface::Right => (Surface::Left, centre_m),
        Surface::Front | Surface::Back => (on, [width_m - a, b]),
        Surface::Floor | Surface::Ceiling => (on, [a, width_m - b]),
    }
}

fn near(a: [f64; 2], b: [f64; 2]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < MIRROR_TOLERANCE_M)
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a scene that does not parse fails the test")]

    use super::*;
    use crate::scene::{NoAttachments, Scene};

    /// Speakers and seat on the published two-channel arrangement: 60° between left and right at
    /// 2 m, all at 1.2 m (ITU-R BS.775-3, figure 1, read).
    const STANDARD: &str = r#"
        title = "standard"
        [room]
        length = 6.0
        width = 4.0
        height = 2.5
        [surfaces]
        front = "painted brick"
        back = "painted brick"
        left = "painted brick"
        right = "painted brick"
        floor = "painted brick"
        ceiling = "painted brick"
        [[speaker]]
        name = "l"
        pair = "p"
        side = "left"
        at = [1.0, 1.0, 1.2]
        aim = "seat"
        directivity = { kind = "omni" }
        [[speaker]]
        name = "r"
        pair = "p"
        side = "right"
        at = [1.0, 3.0, 1.2]
        aim = "seat"
        directivity = { kind = "omni" }
        [[listener]]
        name = "seat"
        at = [2.7320508075688772, 2.0, 1.2]
    "#;

    fn surveyed(text: &str) -> RoomSummary {
        let scene = Scene::parse(text, &NoAttachments).unwrap().scene;
        room_summary(&scene, &scene.variant(None).unwrap())
    }

    #[test]
    fn the_standard_arrangement_is_recognised() {
        let found = surveyed(STANDARD);
        let [seat] = found.seats.as_slice() else { panic!("one seat") };
        let [pair] = seat.pairs.as_slice() else { panic!("one pair") };
        assert!((pair.base_angle_deg - 60.0).abs() < 1e-9);
        assert!(pair.left_farther_m.abs() < 1e-12 && pair.off_axis_m.abs() < 1e-12);
        assert!((found.pairs[0].base_m - 2.0).abs() < 1e-12);
        assert!(found.pairs[0].off_mirror_m < 1e-12);
        for (speaker, azimuth) in seat.speakers.iter().zip([30.0, -30.0]) {
            assert!((speaker.distance_m - 2.0).abs() < 1e-9);
            assert!((speaker.azimuth_deg - azimuth).abs() < 1e-9);
            assert!(speaker.off_axis_deg < 1e-5 && speaker.above_ears_m.abs() < 1e-12);
        }
        assert!((seat.length_fraction - 2.732_050_8 / 6.0).abs() < 1e-8);
        assert!(seat.off_centre_m.abs() < 1e-12);
    }

    /// 6 × 4 × 2.5 m: 60 m³, 98 m², 24 m² of floor by plain arithmetic.
    #[test]
    fn the_box_by_arithmetic() {
        let found = surveyed(STANDARD);
        assert!((found.volume_m3 - 60.0).abs() < 1e-12);
        assert!((found.surface_m2 - 98.0).abs() < 1e-12);
        assert!((found.floor_m2 - 24.0).abs() < 1e-12);
        let places = found.speakers[0].from_surfaces_m.iter().zip([1.0, 5.0, 1.0, 3.0, 1.2, 1.3]);
        assert!(places.into_iter().all(|(found, metres)| (found - metres).abs() < 1e-12));
    }

    /// 34 mm of path are 100 µs at 343.2 m/s to 1 %, the most that ITU-R BS.1116 allows between
    /// channels (from memory).
    #[test]
    fn a_shifted_seat_hears_one_side_later() {
        let shifted = STANDARD.replace("8772, 2.0,", "8772, 2.034,");
        let pair = surveyed(&shifted).seats.remove(0).pairs.remove(0);
        assert!((pair.left_later_s - 99.1e-6).abs() < 1e-6, "{}", pair.left_later_s);
        assert!((pair.off_axis_m - 0.034).abs() < 1e-9);
    }

    #[test]
    fn panels_find_their_twins() {
        let panel = |on: &str, x: f64| {
            format!(
                "\n[[panel]]\nname = \"{on} {x}\"\non = \"{on}\"\ncentre = [{x}, 1.2]\n\
                 size = [1.0, 0.6]\nmaterial = \"bare brick\"\n"
            )
        };
        let twins = format!("{STANDARD}{}{}", panel("left", 1.5), panel("right", 1.5));
        assert_eq!(surveyed(&twins).mirror.unmatched_panels, 0);
        let apart = format!("{STANDARD}{}{}", panel("left", 1.5), panel("right", 1.6));
        assert_eq!(surveyed(&apart).mirror.unmatched_panels, 2);
        // On the back wall: the middle mirrors itself, the side does not.
        assert_eq!(
            surveyed(&format!("{STANDARD}{}", panel("back", 2.0))).mirror.unmatched_panels,
            0
        );
        assert_eq!(
            surveyed(&format!("{STANDARD}{}", panel("back", 1.0))).mirror.unmatched_panels,
            1
        );
        let uneven = STANDARD.replace("left = \"painted brick\"", "left = \"bare brick\"");
        assert!(
            surveyed(STANDARD).mirror.side_walls_match
                && !surveyed(&uneven).mirror.side_walls_match
        );
    }

    /// Areas of a lining by plain arithmetic: panels take their place from the wall, screens add
    /// two faces, a box on the floor hides its underside and what it stands on.
    #[test]
    fn a_lining_counts_every_face_once() {
        let text = format!(
            "{STANDARD}\n[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [3.0, 1.2]\n\
             size = [1.0, 0.6]\nmaterial = \"bare brick\"\n\
             [[screen]]\nname = \"s\"\ncentre = [4.5, 2.0, 1.5]\nsize = [1.0, 1.0]\n\
             facing = \"down\"\nmaterial = \"bare brick\"\n\
             [[furniture]]\nname = \"f\"\ncorner = [5.0, 0.5, 0.0]\nsize = [0.5, 1.0, 0.4]\n\
             material = \"bare brick\"\n"
        );
        let scene = Scene::parse(&text, &NoAttachments).unwrap().scene;
        let lining =
            crate::metrics::absorbing_areas::absorbing_areas(&scene, &scene.variant(None).unwrap());
        let total: f64 = lining.iter().map(|absorber| absorber.area_m2).sum();
        // The box: what it covers comes back as its top; its four sides are new.
        let sides = 2.0 * 0.4 * (0.5 + 1.0);
        assert!((total - (98.0 + 2.0 + sides)).abs() < 1e-9, "{total}");
        // What faces along each axis: walls, screen, and the box's own sides.
        let along =
            |axis: usize| lining.iter().map(|a| a.area_m2 * a.axis_fractions[axis]).sum::<f64>();
        for (axis, area) in [20.0 + 0.8, 30.0 + 0.4, 48.0 + 2.0].into_iter().enumerate() {
            assert!((along(axis) - area).abs() < 1e-9, "{axis}: {}", along(axis));
        }
    }
}
