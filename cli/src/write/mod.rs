//! Files written all together or not at all.

mod aside;
mod stop;
mod wav;

pub(crate) use aside::{Existing, Output, write_all, write_each};
pub(crate) use stop::Stop;
pub(crate) use wav::{RATE_HZ, wav};
