//! Speakers and listeners of a scene by their ids.

use super::ids::{ListenerId, SpeakerId};
use super::listener::Listener;
use super::model::{Scene, Speaker};
use std::ops::Index;

impl Scene {
    /// Ids of the speakers in the scene's order.
    pub fn speaker_ids(&self) -> impl DoubleEndedIterator<Item = SpeakerId> + use<> {
        (0..self.speakers.len()).map(SpeakerId::new)
    }

    /// Ids of the listeners in the scene's order.
    pub fn listener_ids(&self) -> impl DoubleEndedIterator<Item = ListenerId> + use<> {
        (0..self.listeners.len()).map(ListenerId::new)
    }

    /// The speaker of this id, where the scene has one; for ids that may be another scene's.
    pub fn speaker(&self, id: SpeakerId) -> Option<&Speaker> {
        self.speakers.get(id.index())
    }

    /// The listener of this id, where the scene has one; for ids that may be another scene's.
    pub fn listener(&self, id: ListenerId) -> Option<&Listener> {
        self.listeners.get(id.index())
    }

    /// Id of the speaker of this name.
    pub fn speaker_id(&self, name: &str) -> Option<SpeakerId> {
        self.speakers.iter().position(|speaker| speaker.name == name).map(SpeakerId::new)
    }

    /// Id of the listener of this name.
    pub fn listener_id(&self, name: &str) -> Option<ListenerId> {
        self.listeners.iter().position(|listener| listener.name == name).map(ListenerId::new)
    }
}

/// The speaker of an id.
///
/// # Panics
/// The scene has no such speaker; never with an id of its own.
impl Index<SpeakerId> for Scene {
    type Output = Speaker;

    fn index(&self, id: SpeakerId) -> &Speaker {
        &self.speakers[id.index()]
    }
}

/// The listener of an id.
///
/// # Panics
/// The scene has no such listener; never with an id of its own.
impl Index<ListenerId> for Scene {
    type Output = Listener;

    fn index(&self, id: ListenerId) -> &Listener {
        &self.listeners[id.index()]
    }
}
