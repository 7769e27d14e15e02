//! Auralisation: impulse responses at an omnidirectional microphone, at the two ears of a spherical
//! head and at a first-order microphone, and a recording played through them.
//!
//! All responses keep their scale: 1 is the speaker's own pressure at 1 m on axis in a free field,
//! so that the direct sound of a speaker 2 m away stands 0.5 high. Nothing is normalised before
//! a recording is played ([`normalize_loudness()`]).

mod ab_switch;
mod convolve;
mod diffuse_field;
mod directional;
mod driven;
mod head;
mod impulse_responses;
mod loudness;
mod normalize;
mod render;

pub use ab_switch::{AbSwitch, ab_switch};
pub use convolve::convolve;
pub use diffuse_field::coherence;
pub use head::{THETA_MIN_RAD, ear_delay_s, head_shadow, shadow_alpha};
pub use impulse_responses::{
    AMBISONIC, ImpulseResponseSet, LONGEST_S, PRE_ROLL_S, PairResponses, auralize,
};
pub use loudness::{Loudness, loudness};
pub use normalize::{CEILING_DB, Normalized, TARGET_LUFS, normalize_loudness};
pub use render::SourceSignal;

/// One channel for each ear, left and right.
pub type Stereo = [Vec<f64>; 2];
