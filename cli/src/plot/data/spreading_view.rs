//! Spreading sound as the pictures show it.

/// Energy of one speaker's sound over the floor, moment by moment.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spreading {
    /// The speaker, by index in [`crate::plot::data::input::Input::speakers`].
    pub(crate) speaker: usize,
    /// Cells along the room's length and across its width.
    pub(crate) cells: [usize; 2],
    /// Moments in their order.
    pub(crate) moments: Vec<Moment>,
}

/// The energy at one moment.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moment {
    /// Time after emission, milliseconds.
    pub(crate) time_ms: f64,
    /// Length of the straight way that sound has come by then, metres.
    pub(crate) reach_m: f64,
    /// Share of what was sent out that is still there.
    pub(crate) left: f64,
    /// Level over each cell against all of it spread evenly, decibels, row after row from the
    /// front, each from the left; negative infinity where nothing is.
    pub(crate) level_db: Vec<f64>,
}
