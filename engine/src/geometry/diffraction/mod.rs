//! Edge diffraction: reflection from, and shadowing by, pieces of finite size.
//!
//! Physical optics: on a finite piece the field is that of the mirror image, and what arrives is
//! the Kirchhoff integral over the piece, reduced to a line integral along its rim (Kirchhoff
//! 1882; Maggi 1888; Rubinowicz 1917; the regularised form is derived in `docs/theory.md`).
//!
//! What made it fast: single-precision phases, turned from point to point instead of a sine and cosine
//! for each (five times), impulses shared by the low bands, fewer nodes, outlines from ready ridges.

mod aperture;
mod edge;
mod edge_geometry;
mod impulses;
mod line_integral;

pub use aperture::Aperture;
pub use edge::Edge;
