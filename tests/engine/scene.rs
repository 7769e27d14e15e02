//! Scene texts in, scenes out: lengths, demo scenes, round trips, and everything that can go wrong.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
#![expect(clippy::disallowed_methods, reason = "the engine opens no files, its tests do")]

#[path = "scene/broken.rs"]
mod broken;
#[path = "scene/demos.rs"]
mod demos;
#[path = "scene/meaning.rs"]
mod meaning;
#[path = "scene/roundtrip.rs"]
mod roundtrip;
