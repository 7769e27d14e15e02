//! Files written all together or not at all.

mod aside;
mod stop;

pub(crate) use aside::{Output, write_all};
pub(crate) use stop::Stop;
