//! `earline licences`.

use crate::io::exit::{Done, Failure};
use crate::io::terminal;

/// Of every part of the program, as they are kept beside the source; a test holds them against the lock
/// file and says how they are made.
const NOTICES: &str = include_str!("../../licences/notices.txt");

pub(super) fn run() -> Result<Done, Failure> {
    terminal::answer(NOTICES)?;
    Ok(Done::Well)
}
