//! Plan of a comparison of heights.

/// Pair, listeners and weights of a comparison of heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightPlan<'a> {
    /// The variant of the scene; `None` is everything.
    pub variant: Option<&'a str>,
    /// Indices of the two speakers of a pair, in [`crate::scene::Scene::speakers`].
    pub pair: [usize; 2],
    /// Indices of the listeners, in [`crate::scene::Scene::listeners`]; the first says where the seat is.
    pub listeners: &'a [usize],
    /// Share of the time spent seated, 0 to 1.
    pub seated_share: f64,
}
