//! Layers on the faces of bodies: the functions in which u and s are expanded, and their quadrature.
//!
//! On a solid body both are the traces of polynomials of the box, continuous over its edges; on a plate u vanishes at
//! the edges and s is a polynomial.

use super::axis_functions::{AxisFunctions, AxisNodes, End};
use super::{BodyShape, ReactingBody, RoomBodies, solid_faces, touches_a_surface};
use crate::geometry::Rectangle;
use crate::scene::{Room, UprightBox};
use faer::Mat;
use glam::DVec3;
use std::f64::consts::PI;
use std::ops::Range;

/// Cells nearer than this many of their diagonals are integrated in closed form.
const NEAR_DIAGONALS: f64 = 2.0;

/// Layers on all bodies, for wavenumbers up to some highest one.
///
/// The layers of a body are the double layers of u, then the single layers of s.
#[derive(Debug)]
pub(in crate::wave_field) struct LayerBasis {
    pub(super) faces: Vec<LayeredFace>,
    pub(super) bodies: Vec<LayeredBody>,
    /// All coordinates of nodes along each axis of the room, metres.
    pub(super) coordinates_m: [Vec<f64>; 3],
    /// Integrals of the products of two layers of one kind on one body.
    pub(super) gram: Mat<f64>,
}

/// Layers of one body.
#[derive(Debug)]
pub(super) struct LayeredBody {
    pub(super) double: Range<usize>,
    pub(super) single: Range<usize>,
    /// Whether double and single layers are the same functions, which those of a solid body are.
    pub(super) is_solid: bool,
}

/// One face with its nodes.
#[derive(Debug)]
pub(super) struct LayeredFace {
    pub(super) normal: DVec3,
    pub(super) nodes: Vec<DVec3>,
    /// For each node its place among the basis's coordinates along each axis of the room.
    pub(super) coordinates: Vec<[usize; 3]>,
    /// The cell around each node.
    pub(super) cells: Vec<Rectangle>,
    /// Distance within which each cell is integrated in closed form, metres.
    pub(super) near_m: Vec<f64>,
    pub(super) double: FaceLayers,
    pub(super) single: FaceLayers,
}

/// Layers of one kind that do not vanish on a face.
#[derive(Debug)]
pub(super) struct FaceLayers {
    /// Their numbers.
    pub(super) layers: Vec<usize>,
    /// Values times the weight of the node, node by node.
    pub(super) values: Mat<f64>,
    /// Surface curl n × ∇ times the weight, along the room's three axes.
    pub(super) curls: [Mat<f64>; 3],
}

/// Face with the numbers of its functions along its two sides.
struct FaceGrid<'a> {
    rectangle: Rectangle,
    nodes: [&'a AxisNodes; 2],
    /// Whether the second side runs against `across`.
    is_reversed: bool,
}

impl LayerBasis {
    /// Layers for wavenumbers up to the highest, rad/m.
    pub(super) fn of(room: &Room, bodies: &RoomBodies, highest_per_m: f64) -> Self {
        let mut basis = Self {
            faces: Vec::new(),
            bodies: Vec::new(),
            coordinates_m: Default::default(),
            gram: Mat::zeros(0, 0),
        };
        let mut products = Vec::new();
        for body in &bodies.bodies {
            basis.push(room, body, highest_per_m, &mut products);
        }
        basis.number_coordinates();
        let count = basis.count();
        basis.gram = Mat::zeros(count, count);
        for (i, j, product) in products {
            basis.gram[(i, j)] += product;
        }
        basis
    }

    /// Nodes on faces along the room's axes share few coordinates, so that what depends on one is computed once.
    fn number_coordinates(&mut self) {
        for axis in 0..3 {
            let nodes = self.faces.iter().flat_map(|face| &face.nodes);
            let mut all: Vec<f64> = nodes.map(|node| node[axis]).collect();
            all.sort_by(f64::total_cmp);
            all.dedup();
            for face in &mut self.faces {
                face.coordinates.resize(face.nodes.len(), [0; 3]);
                for (node, places) in face.nodes.iter().zip(&mut face.coordinates) {
                    places[axis] = all.partition_point(|x| *x < node[axis]);
                }
            }
            self.coordinates_m[axis] = all;
        }
    }

    /// Number of layers.
    pub(in crate::wave_field) fn count(&self) -> usize {
        self.bodies.last().map_or(0, |body| body.single.end)
    }

    fn push(
        &mut self,
        room: &Room,
        body: &ReactingBody,
        highest_per_m: f64,
        products: &mut Vec<(usize, usize, f64)>,
    ) {
        match body.shape {
            BodyShape::Plate(plate) => self.push_plate(room, plate, highest_per_m, products),
            BodyShape::Solid(upright) => self.push_solid(room, &upright, highest_per_m, products),
        }
    }

    fn push_plate(
        &mut self,
        room: &Room,
        plate: Rectangle,
        highest_per_m: f64,
        products: &mut Vec<(usize, usize, f64)>,
    ) {
        let halves = [(plate.along, plate.half_along_m), (plate.across(), plate.half_across_m)];
        let corners = plate.corners();
        // Corners of each end of each side.
        let ends_at = [[[0, 3], [1, 2]], [[0, 1], [3, 2]]];
        let sides = [0, 1].map(|side| {
            let order = order(2.0 * halves[side].1, highest_per_m);
            let ends = ends_at[side].map(|at| {
                let touches = touches_a_surface(room, at.map(|corner: usize| corners[corner]));
                if touches { End::Joined } else { End::Free }
            });
            let nodes = AxisNodes::new(ends, nodes_for(order));
            (order, ends, nodes)
        });
        let [edge, smooth] = [true, false].map(|is_edge| {
            [0, 1].map(|side: usize| {
                let (order, ends, nodes) = &sides[side];
                let count = if *ends == [End::Joined; 2] { order + 1 } else { *order };
                if is_edge { nodes.edge_functions(*ends, count) } else { nodes.polynomials(*order) }
            })
        });
        let first = self.count();
        let all = |functions: &[AxisFunctions; 2]| -> Vec<[usize; 2]> {
            let [a, b] = functions;
            let pairs =
                (0..a.functions.len()).flat_map(|i| (0..b.functions.len()).map(move |j| [i, j]));
            pairs.collect()
        };
        let (edge_pairs, smooth_pairs) = (all(&edge), all(&smooth));
        let double = first..first + edge_pairs.len();
        let single = double.end..double.end + smooth_pairs.len();
        let number = |range: &Range<usize>, pairs: Vec<[usize; 2]>| -> Vec<(usize, [usize; 2])> {
            range.clone().zip(pairs).collect()
        };
        let face =
            FaceGrid { rectangle: plate, nodes: [&sides[0].2, &sides[1].2], is_reversed: false };
        let layered = face.layered(
            (&edge, number(&double, edge_pairs)),
            (&smooth, number(&single, smooth_pairs)),
            products,
        );
        self.faces.push(layered);
        self.bodies.push(LayeredBody { double, single, is_solid: false });
    }

    fn push_solid(
        &mut self,
        room: &Room,
        upright: &UprightBox,
        highest_per_m: f64,
        products: &mut Vec<(usize, usize, f64)>,
    ) {
        let sides = [0, 1, 2].map(|axis| {
            let order = order(2.0 * upright.half[axis], highest_per_m);
            let nodes = AxisNodes::new([End::Joined; 2], nodes_for(order));
            let functions = nodes.lobatto(order);
            (order, nodes, functions)
        });
        let faces = solid_faces(room, upright);
        // A product of the box's functions has a trace on a face if its factor across it is that end's hat.
        let mut numbers: Vec<[usize; 3]> = Vec::new();
        for i in 0..=sides[0].0 {
            for j in 0..=sides[1].0 {
                for k in 0..=sides[2].0 {
                    let n = [i, j, k];
                    if faces.iter().any(|(axis, end, _)| n[*axis] == *end) {
                        numbers.push(n);
                    }
                }
            }
        }
        let first = self.count();
        let double = first..first + numbers.len();
        let single = double.end..double.end + numbers.len();
        for (axis, end, rectangle) in faces {
            let [a, b] = [(axis + 1) % 3, (axis + 2) % 3];
            let functions = [&sides[a].2, &sides[b].2];
            let traces = |from: usize| -> Vec<(usize, [usize; 2])> {
                let all = numbers.iter().enumerate();
                all.filter(|(_, n)| n[axis] == end)
                    .map(|(index, n)| (from + index, [n[a], n[b]]))
                    .collect()
            };
            let face =
                FaceGrid { rectangle, nodes: [&sides[a].1, &sides[b].1], is_reversed: end == 0 };
            let layered = face.layered(
                (functions, traces(double.start)),
                (functions, traces(single.start)),
                products,
            );
            self.faces.push(layered);
        }
        self.bodies.push(LayeredBody { double, single, is_solid: true });
    }
}

/// Functions along both sides of a face.
trait Sides {
    fn side(&self, index: usize) -> &AxisFunctions;
}

impl Sides for &[AxisFunctions; 2] {
    fn side(&self, index: usize) -> &AxisFunctions {
        &self[index]
    }
}

impl Sides for [&AxisFunctions; 2] {
    fn side(&self, index: usize) -> &AxisFunctions {
        self[index]
    }
}

impl FaceGrid<'_> {
    fn layered<S: Sides>(
        &self,
        (double, double_layers): (S, Vec<(usize, [usize; 2])>),
        (single, single_layers): (S, Vec<(usize, [usize; 2])>),
        products: &mut Vec<(usize, usize, f64)>,
    ) -> LayeredFace {
        let Rectangle { centre, normal, along, half_along_m, half_across_m } = self.rectangle;
        let across = self.rectangle.across() * if self.is_reversed { -1.0 } else { 1.0 };
        let corner = centre - along * half_along_m - across * half_across_m;
        let lengths = [2.0 * half_along_m, 2.0 * half_across_m];
        let [a, b] = self.nodes;
        let (mut nodes, mut cells) = (Vec::new(), Vec::new());
        for (x, ends_a) in a.at.iter().zip(a.cell_ends.windows(2)) {
            for (y, ends_b) in b.at.iter().zip(b.cell_ends.windows(2)) {
                let point =
                    |x: f64, y: f64| corner + along * x * lengths[0] + across * y * lengths[1];
                nodes.push(point(*x, *y));
                cells.push(Rectangle {
                    centre: point(0.5 * (ends_a[0] + ends_a[1]), 0.5 * (ends_b[0] + ends_b[1])),
                    normal,
                    along,
                    half_along_m: 0.5 * (ends_a[1] - ends_a[0]) * lengths[0],
                    half_across_m: 0.5 * (ends_b[1] - ends_b[0]) * lengths[1],
                });
            }
        }
        let frame = FaceAxes { curl_a: normal.cross(along), curl_b: normal.cross(across), lengths };
        LayeredFace {
            normal,
            nodes,
            coordinates: Vec::new(),
            near_m: cells
                .iter()
                .map(|cell| near_m(cell.half_along_m, cell.half_across_m))
                .collect(),
            cells,
            double: frame.layers([double.side(0), double.side(1)], &double_layers, products),
            single: frame.layers([single.side(0), single.side(1)], &single_layers, products),
        }
    }
}

/// Directions and lengths of a face's sides.
struct FaceAxes {
    /// n × the direction of each side.
    curl_a: DVec3,
    curl_b: DVec3,
    lengths: [f64; 2],
}

impl FaceAxes {
    fn layers(
        &self,
        [a, b]: [&AxisFunctions; 2],
        layers: &[(usize, [usize; 2])],
        products: &mut Vec<(usize, usize, f64)>,
    ) -> FaceLayers {
        let area = self.lengths[0] * self.lengths[1];
        let nodes_b = b.weights.len();
        let nodes = a.weights.len() * nodes_b;
        let values = Mat::from_fn(nodes, layers.len(), |node, layer| {
            let [i, j] = layers[layer].1;
            area * a.functions[i].value[node / nodes_b] * b.functions[j].value[node % nodes_b]
        });
        let curls = [0, 1, 2].map(|axis| {
            Mat::from_fn(nodes, layers.len(), |node, layer| {
                let [i, j] = layers[layer].1;
                let (f, g) = (&a.functions[i], &b.functions[j]);
                let (p, q) = (node / nodes_b, node % nodes_b);
                let slope_a = self.lengths[1] * f.slope[p] * g.value[q];
                let slope_b = self.lengths[0] * f.value[p] * g.slope[q];
                slope_a * self.curl_a[axis] + slope_b * self.curl_b[axis]
            })
        });
        for (i, (one, _)) in layers.iter().enumerate() {
            for (j, (other, _)) in layers.iter().enumerate() {
                let product = (0..nodes).map(|node| {
                    let weight = area * a.weights[node / nodes_b] * b.weights[node % nodes_b];
                    values[(node, i)] * values[(node, j)] / weight
                });
                products.push((*one, *other, product.sum()));
            }
        }
        FaceLayers { layers: layers.iter().map(|(layer, _)| *layer).collect(), values, curls }
    }
}

/// Order of the functions along a side: one more than half wavelengths begin on it, and at least two.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]
fn order(side_m: f64, highest_per_m: f64) -> usize {
    1 + (highest_per_m * side_m / PI).ceil() as usize
}

/// Number of nodes for functions of an order.
fn nodes_for(order: usize) -> usize {
    order + 3
}

/// Distance within which a cell of these half sides is integrated in closed form, metres.
fn near_m(half_along_m: f64, half_across_m: f64) -> f64 {
    NEAR_DIAGONALS * 2.0 * half_along_m.hypot(half_across_m)
}
