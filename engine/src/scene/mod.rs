//! The scene: what stands where, in which room.
//!
//! Text becomes a raw scene in which every value keeps its place, and the raw scene becomes a
//! [`Scene`], which is valid by construction: every length finite and sensible, every name
//! resolved, everything inside the room.

mod model;

pub use model::{
    Aim, Furniture, Listener, Model, Panel, Room, Scene, Screen, Side, Speaker, State, Surface,
    Units, Variant,
};
