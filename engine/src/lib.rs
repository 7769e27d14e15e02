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
//!
//! # Example
//!
//! ```
//! use earline_engine::scene::{NoAttachments, Scene};
//! use earline_engine::trace::{Plan, trace};
//!
//! let text = r#"
//! [room]
//! length = "6 m"
//! width = "4 m"
//! height = "2.5 m"
//! [surfaces]
//! front = "rigid"
//! back = "rigid"
//! left = "rigid"
//! right = "rigid"
//! floor = "rigid"
//! ceiling = "rigid"
//! [[speaker]]
//! name = "source"
//! at = [1.0, 1.0, 1.2]
//! directivity = { kind = "omni" }
//! [[listener]]
//! name = "receiver"
//! at = [3.5, 2.0, 1.2]
//! "#;
//! let scene = Scene::parse(text, &NoAttachments).expect("a sound scene").scene;
//! let state = scene.state(None).expect("everything in");
//! let traced = trace(&scene, &state, &Plan::everything(&scene)).expect("a sound plan");
//! let first = &traced.pairs[0].reflections[0];
//! assert_eq!(first.arrival.bounces[0].point.z, 0.0, "off the floor");
//! assert!((first.after_direct_s - 2.664e-3).abs() < 1e-6);
//! ```

pub mod air;
pub mod bands;
pub mod compare;
pub mod criteria;
pub mod decay;
pub mod diffraction;
pub mod directivity;
pub mod enclosure;
pub mod geometry;
pub mod hearing;
pub mod image_sources;
pub mod interference;
pub mod lining;
pub mod material;
mod quadrature;
pub mod rays;
pub mod response;
pub mod scene;
pub mod statistics;
pub mod survey;
pub mod trace;
pub mod whole_decay;
mod widest;
pub mod zone;
