//! The scene: what stands where, in which room.
//!
//! Text becomes a raw scene in which every value keeps its place, and the raw scene becomes a
//! [`Scene`], which is valid by construction: every length finite and sensible, every name
//! resolved, everything inside the room.

mod attachments;
mod dial;
mod draft;
mod length;
mod model;
mod parse;
mod print;
mod problem;
mod raw;
mod state;
mod syntax;
mod upright_box;
mod validate;
mod wishes;
mod wording;

pub use attachments::{Attachments, NoAttachments};
pub use dial::{Dial, DialError, Turn, turned};
pub use draft::Draft;
pub use length::{INCH_M, LengthError, length_units, parse_length, show_length};
pub use model::{
    Aim, Furniture, Listener, Model, Panel, Room, Scene, Screen, Side, Speaker, State, Surface,
    Units, Variant,
};
pub use parse::Parsed;
pub use problem::{Problem, Severity};
pub use upright_box::UprightBox;
pub use wishes::{Absorber, KeepClear, KeepOut};
pub use wording::{list as list_names, nearest as nearest_name};
