//! Faces inside the room, eight at a time.

use super::skin::single;
use crate::geometry::{Face, Occluders, Rectangle};
use glam::DVec3;

/// Faces inside the room as a ray meets them: from their front only.
#[derive(Debug)]
pub(super) struct Inside<'a> {
    blocks: Vec<Block>,
    /// With so many faces that a tree is quicker.
    tree: Option<&'a Occluders>,
    normals: Vec<[f32; 3]>,
}

const LANES: usize = 8;
type Lanes = [f32; LANES];

/// Eight rectangles in columns; what is left over has no normal, and nothing hits it.
#[derive(Debug, Clone, Copy, Default)]
struct Block {
    normal: [Lanes; 3],
    /// Distance of the plane from the origin along the normal.
    offset: Lanes,
    sides: [Side; 2],
}

/// One way across the rectangles.
#[derive(Debug, Clone, Copy, Default)]
struct Side {
    along: [Lanes; 3],
    middle: Lanes,
    half: Lanes,
}

/// A face nearer than this is the one a ray has just left, metres.
const JUST_LEFT_M: f32 = 1e-4;

/// Beyond so many faces a tree finds the nearest sooner than asking all of them, eight at a time.
const MANY: usize = 128;

impl<'a> Inside<'a> {
    pub(super) fn new(faces: &[Face], tree: &'a Occluders) -> Self {
        let blocks = faces.chunks(LANES).map(Block::new).collect();
        let normals = faces.iter().map(|f| f.rectangle.normal.to_array().map(single)).collect();
        Self { blocks, tree: (faces.len() > MANY).then_some(tree), normals }
    }

    #[inline(always)]
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// Unit vector out of the front of a face.
    #[inline(always)]
    pub(super) fn normal(&self, face: usize) -> [f32; 3] {
        self.normals[face]
    }

    /// The nearest face within a distance along a ray: how far, which, cosine of incidence.
    #[inline(always)]
    pub(super) fn nearest(
        &self,
        at: [f32; 3],
        way: [f32; 3],
        within_m: f32,
    ) -> Option<(f32, usize, f32)> {
        if let Some(tree) = self.tree {
            let [at, way] = [at, way].map(|v| DVec3::from_array(v.map(f64::from)));
            let (ahead_m, face) = tree.nearest(at, way, within_m.into())?;
            return Some((
                single(ahead_m),
                face,
                dot(self.normals[face], way.to_array().map(single)).abs(),
            ));
        }
        let (mut nearest, mut index) = (within_m, None);
        for (number, block) in self.blocks.iter().enumerate() {
            let reach = block.reach(at, way);
            for (lane, &ahead) in reach.iter().enumerate() {
                if ahead < nearest {
                    (nearest, index) = (ahead, Some(number * LANES + lane));
                }
            }
        }
        let face = index?;
        Some((nearest, face, dot(self.normals[face], way).abs().min(1.0)))
    }

    /// Whether any face stands between two points.
    #[inline(always)]
    pub(super) fn blocked(&self, from: [f32; 3], way: [f32; 3], length_m: f32) -> bool {
        if let Some(tree) = self.tree {
            let [from, way] = [from, way].map(|v| DVec3::from_array(v.map(f64::from)));
            return tree.blocked(from, from + way * f64::from(length_m));
        }
        self.blocks.iter().any(|block| {
            let reach = block.reach(from, way);
            reach.iter().fold(f32::INFINITY, |least, &ahead| least.min(ahead)) < length_m
        })
    }
}

impl Block {
    fn new(faces: &[Face]) -> Self {
        let mut block = Self::default();
        for (lane, face) in faces.iter().enumerate() {
            let Rectangle { centre, normal, along, half_along_m, half_across_m } = face.rectangle;
            block.offset[lane] = single(normal.dot(centre));
            for axis in 0..3 {
                block.normal[axis][lane] = single(normal[axis]);
            }
            let ways = [(along, half_along_m), (face.rectangle.across(), half_across_m)];
            for (side, (way, half)) in block.sides.iter_mut().zip(ways) {
                side.middle[lane] = single(way.dot(centre));
                side.half[lane] = single(half);
                for axis in 0..3 {
                    side.along[axis][lane] = single(way[axis]);
                }
            }
        }
        block
    }

    /// How far each rectangle is along a ray that comes from its front; infinite where it misses.
    #[inline(always)]
    fn reach(&self, at: [f32; 3], way: [f32; 3]) -> Lanes {
        let mut reach = [f32::INFINITY; LANES];
        let along = |v: &[Lanes; 3], p: [f32; 3], i: usize| {
            v[0][i] * p[0] + v[1][i] * p[1] + v[2][i] * p[2]
        };
        for i in 0..LANES {
            let toward = along(&self.normal, way, i);
            let ahead = (self.offset[i] - along(&self.normal, at, i)) / toward;
            let beside = |side: &Side| {
                let place = along(&side.along, at, i) + along(&side.along, way, i) * ahead;
                (place - side.middle[i]).abs() - side.half[i]
            };
            let outside = beside(&self.sides[0]).max(beside(&self.sides[1]));
            let hit = (toward < 0.0) & (ahead > JUST_LEFT_M) & (outside <= 0.0);
            reach[i] = if hit { ahead } else { f32::INFINITY };
        }
        reach
    }
}

#[inline(always)]
pub(super) fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
