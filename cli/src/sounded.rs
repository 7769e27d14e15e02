//! What bass does, with what its words need: the same for terminal, JSON and pictures.

use crate::naming;
use crate::tape;
use earline_engine::bass::{Bass, BassPair, BassPlan, Cause, Extreme, Mode};
use earline_engine::scene::{Scene, State};

/// A solution and what it is of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sounded<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a State<'a>,
    /// What was asked for.
    pub(crate) plan: &'a BassPlan,
    /// What was found.
    pub(crate) found: &'a Bass,
}

impl<'a> Sounded<'a> {
    /// A listener's name.
    pub(crate) fn listener(&self, index: usize) -> &'a str {
        self.scene.listeners().get(index).map_or("", |listener| listener.name.as_str())
    }

    /// A speaker's name.
    pub(crate) fn speaker(&self, index: usize) -> &'a str {
        self.scene.speakers().get(index).map_or("", |speaker| speaker.name.as_str())
    }

    /// Every speaker at a listener.
    pub(crate) fn at(&self, listener: usize) -> impl Iterator<Item = &'a BassPair> {
        self.found.pairs.iter().filter(move |pair| pair.listener == listener)
    }

    /// What makes a peak or a dip, most likely first: `back wall 4.99 m away (73 Hz); mode 2·0·0 (59 Hz)`.
    pub(crate) fn causes(&self, extreme: &Extreme, most: usize) -> String {
        let cause = |cause: &Cause| match cause {
            Cause::Mode { mode, hz, .. } => format!("mode {} at {hz:.0} Hz", counts(mode)),
            Cause::Boundary(boundary) => format!(
                "{}, {} from the speaker, cancels at {:.0} Hz",
                naming::surface(boundary.surface),
                tape::length(boundary.distance_m, self.scene.units()),
                boundary.null_hz,
            ),
        };
        extreme.causes.iter().take(most).map(cause).collect::<Vec<_>>().join("; ")
    }
}

/// Half waves along length, width and height: `1·0·2`.
pub(crate) fn counts(mode: &Mode) -> String {
    mode.n.map(|n| n.to_string()).join("·")
}
