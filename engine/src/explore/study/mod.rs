//! Many scenes from one: numbers of a scene varied by a plan, and any figures of what comes of it.
//!
//! A [`Design`] turns [`Dial`](crate::scene::Dial)s of a scene text by [`Factor`]s: every combination of
//! their levels, or seeded draws. Each run is a scene of its own, read with every rule of scene files, and
//! [`measure()`] gives any [`Wanted`] figures of it, one row for each speaker at each listener. A run
//! depends on its number alone, so runs may be done in any order, anywhere, and put together later.

mod bass;
mod design;
mod factor;
mod list;
mod measure;
mod room;

pub use bass::BassFigure;
pub use design::{Design, DesignError, MOST_DRAWS, MOST_FACTORS, MOST_RUNS};
pub use factor::{Factor, Levels, LevelsError, MOST_LEVELS, Part, Way};
pub use list::{ListFigure, Over};
pub use measure::{MeasureError, Measuring, Row, Wanted, measure};
pub use room::RoomFigure;
