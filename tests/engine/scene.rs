//! Scene texts in, scenes out: lengths, demo scenes, round trips, and everything that can go wrong.

#![expect(clippy::disallowed_methods, reason = "the engine opens no files, its tests do")]

mod advice;
mod broken;
mod demos;
mod meaning;
mod roundtrip;
