//! Room acoustics of a rectangular room, from a scene text to what arrives at the ears.
//!
//! Data flows one way; a module uses only modules to its left:
//!
//! ```text
//! scene text → scene → geometry → image sources → arrivals → curves → trace
//! ```
//!
//! Text and values go in, values come out: no files, no clock, no printing.
//!
//! Coordinates are the tape measure's own: x metres from the front wall (behind the speakers)
//! toward the back wall, y metres from the left wall toward the right, z metres above the floor.
//! Azimuth is 0° straight ahead and positive to the listener's left, elevation positive upward
//! (the convention of ITU-R BS.2076).

pub mod air;
pub mod bands;
pub mod compare;
pub mod criteria;
pub mod directivity;
pub mod enclosure;
pub mod geometry;
pub mod hearing;
pub mod image_sources;
pub mod interference;
pub mod lining;
pub mod material;
mod quadrature;
pub mod response;
pub mod scene;
pub mod statistics;
pub mod survey;
pub mod trace;
