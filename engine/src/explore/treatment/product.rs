//! Absorber products: the scene's own, or generic ones where it names none.

use crate::medium::materials::{AbsorberLayer, Material, SurfaceModel, catalogue};
use crate::scene::{Absorber, Scene, Surface};

/// All available products.
#[derive(Debug, Clone, PartialEq)]
pub struct Products {
    /// The products, in the scene's order.
    pub all: Vec<Product>,
    /// Whether the scene names no absorber and these are [generic builds](products).
    pub generic: bool,
}

/// An absorber product.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// Its name.
    pub name: String,
    /// Its two sides, metres: along and up on a wall, front to back and left to right overhead.
    pub size_m: [f64; 2],
    /// Its material.
    pub material: Material,
    /// Cost of one in the scene's currency.
    pub cost: Option<f64>,
    /// Number available.
    pub count: usize,
    /// Weight of one.
    pub weight: Weight,
    /// Surfaces it may be mounted on.
    pub on: Vec<Surface>,
    /// Whether its sides may change places.
    pub may_turn: bool,
    /// Distance of its middle below the ceiling, metres; `None`: flat against it.
    pub hang_m: Option<f64>,
    /// Its depth, metres, with any gap behind it.
    pub depth_m: f64,
}

/// Weight of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Weight {
    /// As the scene says, kilograms.
    Given(f64),
    /// Estimated from size and build, kilograms: [`FRAME_KG_M2`] and [`WOOL_KG_M3`].
    Estimated(f64),
    /// The build says nothing of its mass.
    Unknown,
}

/// Frame and cloth of an estimated weight, kilograms a square metre: an estimate of ours.
pub const FRAME_KG_M2: f64 = 3.0;
/// Wool of an estimated weight, kilograms a cubic metre: the middle of 5 to 10 kg/m² for 100 mm
/// (common practice, no source).
pub const WOOL_KG_M3: f64 = 75.0;
/// Depth of a material that is known only by its absorption, metres: an assumption.
const UNKNOWN_DEPTH_M: f64 = 0.1;
/// Number available of each generic product.
const GENERIC_COUNT: usize = 8;

/// Products of a scene. A scene that names no absorber gets generic ones, with catalogue
/// materials, made-up sizes and no costs: a board of 50 mm wool with a gap of 50 mm and a board of 100 mm wool, both
/// 1.2 by 0.6 m, for walls and ceiling; and a cloud of 100 mm wool, 1.8 by 1.2 m, whose middle hangs
/// 20 cm below the ceiling.
pub fn products(scene: &Scene) -> Products {
    if scene.absorbers().is_empty() {
        return Products { all: generic(), generic: true };
    }
    let own = |absorber: &Absorber| {
        let material = scene.materials().get(absorber.material)?;
        Some(Product::new(material.clone(), absorber))
    };
    Products { all: scene.absorbers().iter().filter_map(own).collect(), generic: false }
}

fn generic() -> Vec<Product> {
    let walls =
        [Surface::Front, Surface::Back, Surface::Left, Surface::Right, Surface::Ceiling].to_vec();
    let rows = [
        ("50 mm board with gap", "mineral wool 50 mm, 50 mm gap", [1.2, 0.6], walls.clone(), None),
        ("100 mm board", "mineral wool 100 mm", [1.2, 0.6], walls, None),
        ("100 mm cloud", "mineral wool 100 mm", [1.8, 1.2], vec![Surface::Ceiling], Some(0.2)),
    ];
    let product = |(name, material, size_m, on, hang_m): (&str, _, _, _, _)| {
        let absorber = Absorber {
            name: name.to_owned(),
            size_m,
            material: 0,
            cost: None,
            count: GENERIC_COUNT,
            weight_kg: None,
            on,
            may_turn: true,
            hang_m,
        };
        Some(Product::new(catalogue::find(material)?, &absorber))
    };
    rows.into_iter().filter_map(product).collect()
}

impl Product {
    fn new(material: Material, absorber: &Absorber) -> Self {
        let area_m2 = absorber.size_m[0] * absorber.size_m[1];
        Self {
            name: absorber.name.clone(),
            size_m: absorber.size_m,
            cost: absorber.cost,
            count: absorber.count,
            weight: Weight::of(absorber.weight_kg, &material, area_m2),
            on: absorber.on.clone(),
            may_turn: absorber.may_turn,
            hang_m: absorber.hang_m,
            depth_m: depth_m(&material),
            material,
        }
    }

    /// Distance of its middle below the ceiling when it is put on a surface, metres; `None` where
    /// it lies flat.
    pub fn hang_on(&self, on: Surface) -> Option<f64> {
        self.hang_m.filter(|_| on == Surface::Ceiling)
    }

    /// Its sides as it is, and turned where it may be.
    pub(super) fn sizes_m(&self) -> Vec<[f64; 2]> {
        let [a, b] = self.size_m;
        let turns = self.may_turn && (a - b).abs() > 1e-3;
        if turns { vec![[a, b], [b, a]] } else { vec![[a, b]] }
    }
}

impl Weight {
    fn of(given_kg: Option<f64>, material: &Material, area_m2: f64) -> Self {
        if let Some(kg) = given_kg {
            return Self::Given(kg);
        }
        let SurfaceModel::Porous(build) = &material.surface_model else { return Self::Unknown };
        let porous_m: f64 = build
            .layers()
            .iter()
            .filter(|layer| matches!(layer, AbsorberLayer::Porous { .. }))
            .map(AbsorberLayer::thickness_m)
            .sum();
        Self::Estimated(area_m2 * (FRAME_KG_M2 + WOOL_KG_M3 * porous_m))
    }

    /// Kilograms, where there is a figure.
    pub fn kg(self) -> Option<f64> {
        match self {
            Self::Given(kg) | Self::Estimated(kg) => Some(kg),
            Self::Unknown => None,
        }
    }
}

/// Depth of a material, metres.
pub(super) fn depth_m(material: &Material) -> f64 {
    match &material.surface_model {
        SurfaceModel::Porous(build) => build.layers().iter().map(AbsorberLayer::thickness_m).sum(),
        _ => UNKNOWN_DEPTH_M,
    }
}
