//! Files written all together or not at all.

mod aside;
mod names;
mod output_set;
mod scene_file;
mod staging;
mod stop;

pub(crate) use aside::{FolderInTheWay, OutputFile};
pub(crate) use names::{FileNames, TABLES, plain};
pub(crate) use output_set::OutputSet;
pub(crate) use scene_file::{SceneFile, is_scene};
pub(crate) use stop::Stop;
