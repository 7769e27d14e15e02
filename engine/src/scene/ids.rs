//! Indices of a scene's speakers and listeners, each of a type of its own.

/// Index of a speaker in [`Scene::speakers`](super::Scene::speakers).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpeakerId(usize);

/// Index of a listener in [`Scene::listeners`](super::Scene::listeners).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ListenerId(usize);

impl SpeakerId {
    /// The speaker at this index of [`Scene::speakers`](super::Scene::speakers).
    pub const fn new(index: usize) -> Self {
        Self(index)
    }

    /// Index in [`Scene::speakers`](super::Scene::speakers).
    pub const fn index(self) -> usize {
        self.0
    }
}

impl ListenerId {
    /// The listener at this index of [`Scene::listeners`](super::Scene::listeners).
    pub const fn new(index: usize) -> Self {
        Self(index)
    }

    /// Index in [`Scene::listeners`](super::Scene::listeners).
    pub const fn index(self) -> usize {
        self.0
    }
}
