//! Files written all together or not at all.

mod aside;
mod stop;

pub(crate) use aside::{Existing, OutputFile, write_all, write_each};
pub(crate) use stop::Stop;
