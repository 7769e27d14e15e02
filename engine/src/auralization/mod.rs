//! What a pair sounds like: impulse responses at one microphone, at the two ears of a spherical
//! head and at a first-order microphone, and a recording played through them.
//!
//! All responses keep their scale: 1 is the speaker's own pressure at 1 m on axis in a free field,
//! so that the direct sound of a speaker 2 m away stands 0.5 high. Nothing is normalised before
//! a recording is played ([`level()`]).

mod alternate;
mod convolve;
mod diffuse;
mod directional;
mod head;
mod hear;
mod level;
mod loudness;
mod play;

pub use alternate::{Alternation, alternate};
pub use convolve::convolve;
pub use diffuse::coherence;
pub use head::{THETA_MIN_RAD, ear_later_s, shadow, shadow_factor};
pub use hear::{AMBISONIC, LEAD_S, LONGEST_S, PairSound, Sounds, hear};
pub use level::{CEILING_DB, Levelled, TARGET_LUFS, level};
pub use loudness::{Loudness, loudness};
pub use play::Voice;

/// One channel for each ear, left and right.
pub type Stereo = [Vec<f64>; 2];
