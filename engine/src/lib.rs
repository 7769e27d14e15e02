//! Room acoustics of a rectangular room, from a scene text to what arrives at the ears.
//!
//! Data flows one way; a module uses only modules to its left:
//!
//! ```text
//! scene text → scene → geometry → image sources and rays → arrivals → curves → figures
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
//! From a scene to arrivals, a histogram and figures, each figure with its standard error:
//!
//! ```
//! use earline_engine::metrics::decay::Metric;
//! use earline_engine::ray_tracing::RayCount;
//! use earline_engine::scene::{NoAttachments, Scene};
//! use earline_engine::trace::{Request, trace};
//! use earline_engine::whole_decay::{FLOOR_DB, ray_plan, whole_decay};
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! # let text = include_str!("../../scenes/teaching-box.toml");
//!
//! let scene = Scene::parse(text, &NoAttachments).map_err(|wrong| wrong[0].message.clone())?.scene;
//! let variant = scene.variant(None).ok_or("no such variant")?;
//! let traced = trace(&scene, &variant, &Request::everything(&scene))?;
//! let plan = ray_plan(RayCount::Fixed(4096), 1, FLOOR_DB);
//! let decay = whole_decay(&scene, &variant, &traced, &plan, &|_| {});
//! for arrival in &traced.pairs[0].reflections {
//!     println!("{:.2} ms {:.1} dB", 1e3 * arrival.delay_s, arrival.level_db);
//! }
//! let (energy, error) = decay.pairs[0].histogram.bin(50);
//! println!("after 50 ms, at 1 kHz: {:.1e} ± {:.1e}", energy[4], error[4]);
//! let t20 = decay.pairs[0].metrics[4][Metric::T20]?;
//! println!("T20 at 1 kHz: {:.2} s ± {:.2} s", t20.value, t20.standard_error.unwrap_or(0.0));
//! # assert!(!traced.pairs[0].reflections.is_empty() && energy[4] > 0.0 && t20.value > 0.1);
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
pub mod ray_tracing;
pub mod response;
pub mod scene;
pub mod trace;
pub mod wave_field;
pub mod whole_decay;
