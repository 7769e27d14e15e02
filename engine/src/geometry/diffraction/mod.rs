//! What is finite reflects, and shadows, as finite.
//!
//! Physical optics: on a finite piece the field is that of the mirror image, and what arrives is
//! the Kirchhoff integral over the piece, reduced to a line integral along its rim (Kirchhoff
//! 1882; Maggi 1888; Rubinowicz 1917; the regularised form is derived in `docs/theory.md`).

mod aperture;
mod edge;
mod edge_geometry;
mod impulses;
mod line_integral;

pub use aperture::Aperture;
pub use edge::Edge;
