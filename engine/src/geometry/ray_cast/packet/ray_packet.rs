//! Rays and segments side by side, in columns.

/// Rays in a packet: enough to keep vector units busy, few enough for the first-level cache.
pub(crate) const WIDTH: usize = 64;

/// One quantity of all rays of a packet.
pub(crate) type RayColumn<T> = [T; WIDTH];

/// Rays and their nearest hits. The first `live` columns are in use; the others hold stale rays.
#[derive(Debug)]
pub(crate) struct RayPacket {
    pub(crate) live: usize,
    /// Origins, metres.
    pub(crate) origin: [RayColumn<f32>; 3],
    /// Unit vectors, no component zero.
    pub(crate) dir: [RayColumn<f32>; 3],
    /// Reciprocals of the components of `dir`.
    pub(crate) inv_dir: [RayColumn<f32>; 3],
    /// Hit distances, metres.
    pub(crate) hit_t: RayColumn<f32>,
    /// Faces hit, by index in [`crate::geometry::Faces::all`].
    pub(crate) face: RayColumn<u32>,
    /// Cosines of incidence.
    pub(crate) cos: RayColumn<f32>,
}

/// Segments from the origins of a packet to one point each.
#[derive(Debug)]
pub(crate) struct SegmentPacket<'a> {
    /// Beginnings, metres.
    pub(crate) origin: &'a [RayColumn<f32>; 3],
    /// Vectors from beginning to end, no component zero.
    pub(crate) dir: [RayColumn<f32>; 3],
    /// Reciprocals of the components of `dir`.
    pub(crate) inv_dir: [RayColumn<f32>; 3],
    /// Lengths, metres.
    pub(crate) length_m: RayColumn<f32>,
}

/// Least magnitude of a component of a direction, so that its reciprocal is finite.
const MIN_COMPONENT: f32 = 1e-12;

/// A component of a direction, kept from zero.
#[inline(always)]
pub(crate) fn nonzero_component(component: f32) -> f32 {
    if component.abs() < MIN_COMPONENT { MIN_COMPONENT.copysign(component) } else { component }
}

impl RayPacket {
    /// No live rays.
    pub(crate) fn empty() -> Self {
        let column = [0.5; WIDTH];
        Self {
            live: 0,
            origin: [column; 3],
            dir: [column; 3],
            inv_dir: [column; 3],
            hit_t: column,
            face: [0; WIDTH],
            cos: column,
        }
    }

    /// Gives a ray a direction.
    #[inline(always)]
    pub(crate) fn set_direction(&mut self, i: usize, dir: [f32; 3]) {
        for axis in 0..3 {
            let component = nonzero_component(dir[axis]);
            self.dir[axis][i] = component;
            self.inv_dir[axis][i] = 1.0 / component;
        }
    }

    /// Removes a ray; the last live one takes its column, whose number is returned.
    #[inline(always)]
    pub(crate) fn swap_remove(&mut self, i: usize) -> usize {
        self.live -= 1;
        let last = self.live;
        for axis in 0..3 {
            self.origin[axis][i] = self.origin[axis][last];
            self.dir[axis][i] = self.dir[axis][last];
            self.inv_dir[axis][i] = self.inv_dir[axis][last];
        }
        self.hit_t[i] = self.hit_t[last];
        self.face[i] = self.face[last];
        self.cos[i] = self.cos[last];
        last
    }
}

/// Vectors stored in three columns.
pub(crate) trait VectorColumns {
    /// Vector of one ray.
    fn vector(&self, i: usize) -> [f32; 3];
}

impl VectorColumns for [RayColumn<f32>; 3] {
    #[inline(always)]
    fn vector(&self, i: usize) -> [f32; 3] {
        [self[0][i], self[1][i], self[2][i]]
    }
}
