//! The scene: a room with its speakers, listeners, treatment and furniture.
//!
//! Text becomes a raw scene in which every value keeps its place, and the raw scene becomes a
//! [`Scene`], which is valid by construction: every length finite and sensible, every name
//! resolved, everything inside the room.

mod attachments;
mod by_id;
mod constraints;
mod edit;
mod ensemble;
mod ids;
mod length;
mod listener;
mod messages;
mod model;
mod overrides;
mod pairs;
mod parse;
mod print;
mod problem;
mod raw;
mod room;
mod syntax;
mod table_count;
mod upright_box;
mod validate;
mod variant;

pub use attachments::{Attachments, NoAttachments, attachment_names, with_attachment_names};
pub use constraints::{Absorber, KeepClear, KeepOut};
pub use edit::SceneEdit;
pub use ensemble::Ensemble;
pub use ids::{ListenerId, SpeakerId};
pub use length::{
    INCH_M, LengthError, format_length, format_limits, format_outside, length_units, parse_length,
};
pub use listener::Listener;
pub use messages::{
    MAX_TEXT_CHARS, list as list_names, nearest as nearest_name, shortened, turns_writing,
};
pub use model::{
    Aim, Furniture, Model, Panel, Scene, Screen, Side, Speaker, SpeakerKind, Units, Variant,
    VariantDefinition,
};
pub use overrides::{Override, ParameterError, SceneParameter, with_overrides};
pub use pairs::{PairIds, named_pairs, pair_name, speaker_pairs};
pub use parse::Parsed;
pub use problem::{MAX_PROBLEMS, Problem, Severity};
pub use room::{ROOM_SIDE_M, Room, Surface};
pub use upright_box::UprightBox;
