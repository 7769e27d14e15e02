//! The scene: what stands where, in which room.
//!
//! Text becomes a raw scene in which every value keeps its place, and the raw scene becomes a
//! [`Scene`], which is valid by construction: every length finite and sensible, every name
//! resolved, everything inside the room.

mod attachments;
mod constraints;
mod edit;
mod length;
mod messages;
mod model;
mod overrides;
mod parse;
mod print;
mod problem;
mod raw;
mod syntax;
mod upright_box;
mod validate;
mod variant;

pub use attachments::{Attachments, NoAttachments};
pub use constraints::{Absorber, KeepClear, KeepOut};
pub use edit::SceneEdit;
pub use length::{INCH_M, LengthError, format_length, length_units, parse_length};
pub use messages::{list as list_names, nearest as nearest_name};
pub use model::{
    Aim, Furniture, Listener, Model, Panel, Room, Scene, Screen, Side, Speaker, Surface, Units,
    Variant, VariantDefinition,
};
pub use overrides::{Override, ParameterError, SceneParameter, with_overrides};
pub use parse::Parsed;
pub use problem::{Problem, Severity};
pub use upright_box::UprightBox;
