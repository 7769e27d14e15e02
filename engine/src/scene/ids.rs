//! Indices of a scene's speakers and listeners, each of a type of its own.

use super::listener::Listener;
use super::model::{Scene, Speaker};
use std::ops::Index;

/// Index of a speaker in [`Scene::speakers`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpeakerId(usize);

/// Index of a listener in [`Scene::listeners`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ListenerId(usize);

impl SpeakerId {
    /// The speaker at this index of [`Scene::speakers`].
    pub const fn new(index: usize) -> Self {
        Self(index)
    }

    /// Index in [`Scene::speakers`].
    pub const fn index(self) -> usize {
        self.0
    }
}

impl ListenerId {
    /// The listener at this index of [`Scene::listeners`].
    pub const fn new(index: usize) -> Self {
        Self(index)
    }

    /// Index in [`Scene::listeners`].
    pub const fn index(self) -> usize {
        self.0
    }
}

impl Scene {
    /// Ids of the speakers in the scene's order.
    pub fn speaker_ids(&self) -> impl DoubleEndedIterator<Item = SpeakerId> + use<> {
        (0..self.speakers.len()).map(SpeakerId)
    }

    /// Ids of the listeners in the scene's order.
    pub fn listener_ids(&self) -> impl DoubleEndedIterator<Item = ListenerId> + use<> {
        (0..self.listeners.len()).map(ListenerId)
    }

    /// The speaker of this id, where the scene has one; for ids that may be another scene's.
    pub fn speaker(&self, id: SpeakerId) -> Option<&Speaker> {
        self.speakers.get(id.0)
    }

    /// The listener of this id, where the scene has one; for ids that may be another scene's.
    pub fn listener(&self, id: ListenerId) -> Option<&Listener> {
        self.listeners.get(id.0)
    }

    /// Id of the speaker of this name.
    pub fn speaker_id(&self, name: &str) -> Option<SpeakerId> {
        self.speakers.iter().position(|speaker| speaker.name == name).map(SpeakerId)
    }

    /// Id of the listener of this name.
    pub fn listener_id(&self, name: &str) -> Option<ListenerId> {
        self.listeners.iter().position(|listener| listener.name == name).map(ListenerId)
    }
}

/// The speaker of an id.
///
/// # Panics
/// The scene has no such speaker; never with an id of its own.
impl Index<SpeakerId> for Scene {
    type Output = Speaker;

    fn index(&self, id: SpeakerId) -> &Speaker {
        &self.speakers[id.0]
    }
}

/// The listener of an id.
///
/// # Panics
/// The scene has no such listener; never with an id of its own.
impl Index<ListenerId> for Scene {
    type Output = Listener;

    fn index(&self, id: ListenerId) -> &Listener {
        &self.listeners[id.0]
    }
}
