//! Surface materials and their reflection.

pub mod catalogue;
mod material;
pub mod paris;
pub mod porous;
mod porous_stack;
mod reflector;

pub use material::{Material, ReflectionLaw, SurfaceModel};
pub use porous::{AbsorberLayer, PorousAbsorber};
pub use reflector::Reflector;
