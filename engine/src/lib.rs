//! Room acoustics of a rectangular room, from a scene text to what arrives at the ears.
//!
//! Data flows one way; a stage uses only stages to its left, and [`simulate`] runs them all:
//!
//! ```text
//!                            ┌→ image sources ┐
//! scene text → scene → room ─┼→ ray tracing   ┼→ responses → decay, energy-time curves → metrics
//!                            └→ wave field    ┘
//! ```
//!
//! Text and values go in, values come out: no files, no clock, no printing.
//!
//! Coordinates are the tape measure's own: x metres from the front wall (behind the speakers)
//! toward the back wall, y metres from the left wall toward the right, z metres above the floor.
//! Azimuth is 0° straight ahead and positive to the listener's left, elevation positive upward
//! (the convention of ITU-R BS.2076).
//!
//! # Example
//!
//! From a scene to reflections, energy and metrics, each of the latter with its standard error:
//!
//! ```
//! use earline_engine::metrics::decay::Metric;
//! use earline_engine::scene::{NoAttachments, Scene};
//! use earline_engine::simulate::{RayRequest, Request, simulate};
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let text = include_str!("../../scenes/teaching-box.toml");
//!
//! let scene = Scene::parse(text, &NoAttachments).map_err(|wrong| wrong[0].message.clone())?.scene;
//! let variant = scene.variant(None).ok_or("no such variant")?;
//! let request = Request::everything(&scene).with_rays(RayRequest::fixed(4096));
//! let simulation = simulate(&scene, &variant, &request, &())?;
//! for reflection in &simulation.pairs[0].reflections {
//!     println!("{:.2} ms {:.1} dB", 1e3 * reflection.delay_s, reflection.level_db);
//! }
//! let decay = &simulation.decay.as_ref().ok_or("no rays")?.pairs[0];
//! let t20 = decay.metrics[4][Metric::T20]?;
//! println!("T20 at 1 kHz: {:.2} s ± {:.2} s", t20.value, t20.standard_error.unwrap_or(0.0));
//! # assert!(!simulation.pairs[0].reflections.is_empty() && t20.value > 0.1);
//! # Ok(())
//! # }
//! ```

pub mod analysis;
pub mod auralization;
pub mod explore;
pub mod geometry;
pub mod image_source;
pub mod medium;
pub mod metrics;
mod numerics;
pub mod progress;
pub mod ray_tracing;
pub mod response;
pub mod scene;
pub mod simulate;
pub mod wave_field;
