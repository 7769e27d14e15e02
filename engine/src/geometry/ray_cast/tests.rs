//! All ray casters against the reference that tests every face.

use super::packet::{PacketCaster, RayPacket, SegmentPacket, VectorColumns, WIDTH};
use super::{BruteForce, FaceBvh, Hit, Ray, RayCast};
use crate::geometry::face::{BoxSide, Face, FaceId};
use crate::geometry::faces::{side_rectangle, surfaces};
use crate::geometry::{Rectangle, SAME_POINT_M};
use crate::numerics::single_precision::to_f32;
use crate::numerics::stream::Stream;
use crate::scene::{Room, UprightBox};
use glam::{DMat3, DVec3};
use proptest::prelude::*;

const ROOM: Room = Room { length_m: 9.0, width_m: 8.5, height_m: 8.0 };

fn screen_face(rectangle: Rectangle, rear: bool) -> Face {
    let rectangle = if rear { rectangle.flipped() } else { rectangle };
    Face { id: FaceId::Screen { index: 0, rear }, rectangle, material: 0, transparent_from: None }
}

/// Six surfaces, and rectangles on a coarse grid inside, where rays in the plane of a face, through rims
/// and through corners are the rule.
fn grid_faces() -> impl Strategy<Value = Vec<Face>> {
    let face = (0..3usize, prop::array::uniform3(0..8i32), 1..4i32, 1..4i32, any::<[bool; 2]>());
    prop::collection::vec(face, 0..40).prop_map(|all| {
        let inside = all.into_iter().map(|(axis, at, a, b, [tilted, rear])| {
            let tilt = DMat3::from_rotation_z(if tilted { 0.3 } else { 0.0 });
            let rectangle = Rectangle {
                centre: DVec3::from(at.map(f64::from)),
                normal: tilt * DVec3::AXES[axis],
                along: tilt * DVec3::AXES[(axis + 1) % 3],
                half_along_m: f64::from(a) / 2.0,
                half_across_m: f64::from(b) / 2.0,
            };
            screen_face(rectangle, rear)
        });
        surfaces(&ROOM, |_| 0).into_iter().chain(inside).collect()
    })
}

fn grid_point() -> impl Strategy<Value = DVec3> {
    prop::array::uniform3(0..17i32).prop_map(|p| DVec3::from(p.map(f64::from)) / 2.0)
}

proptest! {
    #[test]
    fn the_hierarchy_answers_as_the_reference_does(
        faces in grid_faces(),
        ends in prop::collection::vec((grid_point(), grid_point(), 0..46usize), 60),
    ) {
        let (reference, bvh) = (BruteForce(&faces), FaceBvh::new(&faces));
        for (from, to, leaves) in ends {
            prop_assert_eq!(bvh.is_occluded(from, to), reference.is_occluded(from, to));
            prop_assert_eq!(bvh.is_occluded(from, to), bvh.is_occluded(to, from));
            if from != to {
                let dir = (to - from).normalize();
                let leaves = (leaves < faces.len()).then_some(leaves);
                for t_max in [from.distance(to), 100.0] {
                    let ray = Ray { origin: from, dir, t_max, leaves };
                    prop_assert_eq!(bvh.nearest_hit(&ray), reference.nearest_hit(&ray));
                }
            }
        }
    }
}

/// Boxes inside the room, every other one turned about the vertical, and a screen or two.
fn furnished(stream: &mut Stream, boxes: usize) -> (Vec<Face>, Vec<UprightBox>) {
    let mut uniform = |low: f64, high: f64| low + (high - low) * f64::from(stream.next());
    let mut faces = surfaces(&ROOM, |_| 0);
    let mut solids = Vec::new();
    for index in 0..boxes {
        let turn = if index % 2 == 0 { 0.0 } else { uniform(0.0, 3.0) };
        let axes = DMat3::from_rotation_z(turn);
        let middle = DVec3::new(uniform(1.0, 8.0), uniform(1.0, 7.5), uniform(1.0, 7.0));
        let half = DVec3::new(uniform(0.05, 0.6), uniform(0.05, 0.6), uniform(0.05, 0.6));
        let solid = UprightBox { middle, half, axes: [axes.x_axis, axes.y_axis, axes.z_axis] };
        for side in BoxSide::ALL {
            let id = FaceId::Furniture { index, side };
            let rectangle = side_rectangle(&solid, side);
            faces.push(Face { id, rectangle, material: 0, transparent_from: None });
        }
        solids.push(solid);
    }
    let screen = Rectangle {
        centre: ROOM.size() / 2.0,
        normal: DVec3::new(0.6, 0.8, 0.0),
        along: DVec3::new(-0.8, 0.6, 0.0),
        half_along_m: 1.2,
        half_across_m: 0.9,
    };
    faces.extend([false, true].map(|rear| screen_face(screen, rear)));
    (faces, solids)
}

/// A packet of rays from their origins toward their targets.
fn packet_of(ends: &[(DVec3, DVec3)]) -> RayPacket {
    let mut rays = RayPacket::empty();
    rays.live = ends.len();
    for (i, (from, to)) in ends.iter().enumerate() {
        for axis in 0..3 {
            rays.origin[axis][i] = to_f32(from[axis]);
        }
        rays.set_direction(i, (*to - *from).normalize().to_array().map(to_f32));
    }
    rays
}

fn visibility(caster: &PacketCaster, rays: &RayPacket, ends: &[(DVec3, DVec3)]) -> [f32; WIDTH] {
    let mut segments = SegmentPacket {
        origin: &rays.origin,
        dir: [[1.0; WIDTH]; 3],
        inv_dir: [[1.0; WIDTH]; 3],
        length_m: [1.0; WIDTH],
    };
    for (i, (_, to)) in ends.iter().enumerate() {
        let origin = rays.origin.vector(i);
        for axis in 0..3 {
            segments.dir[axis][i] = to_f32(to[axis]) - origin[axis];
            segments.inv_dir[axis][i] = 1.0 / segments.dir[axis][i];
        }
        let [x, y, z] = segments.dir.vector(i);
        segments.length_m[i] = (x * x + y * y + z * z).sqrt();
    }
    let mut visibility = [1.0; WIDTH];
    caster.occlude(&segments, &mut visibility);
    visibility
}

/// Packets differ from the reference by rounding alone: on a rim, which few rays come near. With few
/// boxes they test all, with many the wide hierarchy.
#[test]
fn packets_answer_as_the_reference_does() {
    for boxes in [0, 12, 200] {
        let mut stream = Stream::new(7, boxes as u64);
        let (faces, solids) = furnished(&mut stream, boxes);
        let (reference, caster) = (BruteForce(&faces), PacketCaster::new(&faces, ROOM.size()));
        let bvh = FaceBvh::new(&faces);
        let mut point = || loop {
            let unit = DVec3::from([0, 1, 2].map(|_| f64::from(stream.next())));
            let point = 0.01 + unit * (ROOM.size() - 0.02);
            let is_inside = |solid: &UprightBox| {
                let offset = point - solid.middle;
                (0..3).all(|axis| offset.dot(solid.axes[axis]).abs() <= solid.half[axis] + 1e-3)
            };
            if !solids.iter().any(is_inside) {
                return point;
            }
        };
        let (mut rays_cast, mut obstacle_hits, mut misses, mut occluded, mut wrong) =
            (0, 0, 0, 0, 0);
        for _ in 0..100 {
            let ends: Vec<(DVec3, DVec3)> = (0..WIDTH).map(|_| (point(), point())).collect();
            let mut rays = packet_of(&ends);
            caster.nearest_hits(&mut rays);
            let visible = visibility(&caster, &rays, &ends);
            for (i, &(from, to)) in ends.iter().enumerate() {
                let ray =
                    Ray { origin: from, dir: (to - from).normalize(), t_max: 1e3, leaves: None };
                let exact = reference.nearest_hit(&ray);
                assert_eq!(bvh.nearest_hit(&ray), exact);
                let is_same = |hit: &Hit| {
                    hit.face == rays.face[i] as usize
                        && (hit.t - f64::from(rays.hit_t[i])).abs() < 1e-3
                };
                rays_cast += 1;
                obstacle_hits += usize::from(exact.is_some_and(|hit| hit.face >= 6));
                misses += usize::from(!exact.as_ref().is_some_and(is_same));
                let is_hidden = reference.is_occluded(from, to);
                assert_eq!(bvh.is_occluded(from, to), is_hidden);
                occluded += usize::from(is_hidden);
                wrong += usize::from(is_hidden != (visible[i] == 0.0));
            }
        }
        assert!(obstacle_hits > rays_cast / 200 && occluded > rays_cast / 200, "{obstacle_hits}");
        assert!(misses * 1000 <= rays_cast, "{misses} of {rays_cast} rays, {boxes} boxes");
        assert!(wrong * 1000 <= rays_cast, "{wrong} of {rays_cast} segments, {boxes} boxes");
    }
}

/// The two sides of a screen are at one distance; the one that faces the ray is hit.
#[test]
fn a_screen_is_hit_on_the_side_that_faces_the_ray() {
    let rectangle = Rectangle {
        centre: DVec3::new(4.0, 4.0, 4.0),
        normal: DVec3::X,
        along: DVec3::Y,
        half_along_m: 1.0,
        half_across_m: 1.0,
    };
    let mut faces = surfaces(&ROOM, |_| 0);
    faces.extend([false, true].map(|rear| screen_face(rectangle, rear)));
    for (x, face) in [(6.0, 6), (2.0, 7)] {
        let origin = DVec3::new(x, 4.0, 4.0);
        let ray = Ray { origin, dir: DVec3::X * (4.0 - x).signum(), t_max: 5.0, leaves: None };
        let expected = Some(Hit { face, t: 2.0, is_front: true });
        assert_eq!(BruteForce(&faces).nearest_hit(&ray), expected);
        assert_eq!(FaceBvh::new(&faces).nearest_hit(&ray), expected);
        let beyond = Ray { t_max: 2.0 - SAME_POINT_M, ..ray };
        assert_eq!(FaceBvh::new(&faces).nearest_hit(&beyond), None);
    }
}
