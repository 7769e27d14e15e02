//! Everything the pictures of one listener show: the scene as it is, with numbered paths, letters and
//! curves in the units they are drawn in.

use crate::plot::data::decay_view::SeatDecay;
use crate::plot::data::spreading_view::Spreading;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::scene::{
    self, Furniture, KeepClear, Panel, Room, Screen, Speaker, Surface, Units,
};
use glam::{DVec2, DVec3};
use std::ops::Deref;

/// Everything on the pictures of one listener.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Input<'a> {
    /// Title of the scene.
    pub(crate) title: &'a str,
    /// State of the room, if it has a name.
    pub(crate) variant: Option<&'a str>,
    /// Units of written lengths.
    pub(crate) units: Units,
    /// Inside dimensions.
    pub(crate) room: &'a Room,
    /// Whose ears.
    pub(crate) listener: ListenerHead,
    /// The speakers shown; paths and curves refer to them by index.
    pub(crate) speakers: Vec<&'a Speaker>,
    /// Panels on the surfaces.
    pub(crate) panels: Vec<Lettered<'a, Panel>>,
    /// Screens and clouds, clear of the surfaces.
    pub(crate) screens: Vec<Lettered<'a, Screen>>,
    /// Solid boxes.
    pub(crate) furniture: Vec<&'a Furniture>,
    /// The reflections to draw, in the order of the list.
    pub(crate) paths: Vec<Path>,
    /// The early-reflection limit in force.
    pub(crate) limit: Option<&'a EarlyLimit>,
    /// Energy against time, one for each speaker.
    pub(crate) curves: Vec<SpeakerCurve>,
    /// Zones of first reflections, if asked for.
    pub(crate) zones: Option<DrawnZones>,
    /// Pieces to be hung: their edges and middles are dimensioned in place of the zones.
    pub(crate) hung: Vec<NewPiece>,
    /// Areas where nothing may hang, on sheets to hang from.
    pub(crate) kept_clear: &'a [KeepClear],
    /// Cautions for hanging them.
    pub(crate) cautions: Vec<String>,
    /// Decay, if rays were traced.
    pub(crate) decay: Option<SeatDecay<'a>>,
    /// Spreading of one speaker's sound, for the picture of that.
    pub(crate) spreading: Option<Spreading>,
}

/// The zones of a seat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DrawnZones {
    /// The frequency they are for, hertz.
    pub(crate) frequency_hz: f64,
    /// Movement of the head either way, metres.
    pub(crate) head_half_m: f64,
    /// Those of [`Input::panels`] that absorb there, by index.
    pub(crate) absorbing: Vec<usize>,
    /// One for each surface.
    pub(crate) faces: Vec<Face>,
}

/// The zones on one surface.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Face {
    /// The surface.
    pub(crate) on: Surface,
    /// Share that absorbs of all its zones together, and what that amounts to.
    pub(crate) cover: Cover,
    /// One for each speaker.
    pub(crate) zones: Vec<Zone>,
}

/// Coverage of a zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Cover {
    /// Share of its area that absorbs, 0 to 1.
    pub(crate) share: f64,
    /// Verdict on that share.
    pub(crate) verdict: earline_engine::analysis::zones::CoverageClass,
}

/// The part of a surface that makes one speaker's first reflection.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Zone {
    /// The speaker, by index in [`Input::speakers`].
    pub(crate) speaker: usize,
    /// Reflection point for the middle of the head.
    pub(crate) point: DVec3,
    /// Name of a thing that stands before it.
    pub(crate) behind: Option<String>,
    /// Corners in the surface's two tape coordinates, metres.
    pub(crate) outline_m: Vec<DVec2>,
    /// Its coverage.
    pub(crate) cover: Cover,
}

impl Zone {
    /// Its least and greatest tape coordinates, metres.
    pub(crate) fn reach_m(&self) -> [DVec2; 2] {
        let corners = || self.outline_m.iter().copied();
        [DVec2::min, DVec2::max].map(|f| corners().reduce(f).unwrap_or_default())
    }
}

/// A piece that is to go up.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NewPiece {
    /// Its name.
    pub(crate) name: String,
    /// The step of the treatment that it belongs to, from 1.
    pub(crate) step: usize,
    /// How far its middle hangs below the ceiling, metres; `None` where it lies on its surface.
    pub(crate) below_ceiling_m: Option<f64>,
}

/// A piece of treatment with the letter by which drawings and legends speak of it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lettered<'a, T> {
    /// The piece.
    pub(crate) piece: &'a T,
    /// Name of its material.
    pub(crate) material: &'a str,
    /// Whether its material absorbs what most reflections are judged by.
    pub(crate) absorbs: bool,
    /// Its letter.
    pub(crate) letter: String,
}

impl<T> Deref for Lettered<'_, T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.piece
    }
}

/// A listener's head.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ListenerHead {
    /// Name.
    pub(crate) name: String,
    /// Middle of the head.
    pub(crate) at: DVec3,
    /// Unit vector straight ahead.
    pub(crate) ahead: DVec3,
}

impl ListenerHead {
    /// The head of a listener of a scene.
    pub(crate) fn of(listener: &scene::Listener) -> Self {
        Self { name: listener.name.clone(), at: listener.at, ahead: listener.frame()[0] }
    }
}

/// A reflected path.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Path {
    /// The speaker it starts from, by index in [`Input::speakers`].
    pub(crate) speaker: usize,
    /// Its number in the list, as the list writes it.
    pub(crate) tag: String,
    /// Its bounces, from speaker to listener.
    pub(crate) bounces: Vec<Bounce>,
    /// Delay after the direct sound, milliseconds.
    pub(crate) after_direct_ms: f64,
    /// Level over 1–8 kHz relative to the direct sound, decibels.
    pub(crate) level_db: f64,
    /// Verdict of the limit on it.
    pub(crate) verdict: LimitVerdict,
}

/// A bounce.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bounce {
    /// Its place in the room, metres.
    pub(crate) point: DVec3,
    /// Kind of thing that was hit.
    pub(crate) hit: Hit,
    /// Name of the thing that was hit: `left wall`, `desk, top`.
    pub(crate) what: String,
    /// Tape distances from surfaces of the room.
    pub(crate) tape: Vec<TapeFrom>,
}

/// A distance to be taped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TapeFrom {
    /// The surface the tape starts at.
    pub(crate) surface: Surface,
    /// Metres from it.
    pub(crate) metres: f64,
}

/// Kind of thing that reflects a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hit {
    /// A surface of the room or a panel on it.
    Surface(Surface),
    /// A screen or a piece of furniture.
    Inside {
        /// Whether what was hit faces the left or right wall, more than any other way.
        sideways: bool,
    },
}

/// Verdict of the limit on a reflection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LimitVerdict {
    /// Within the window and low enough.
    Within,
    /// Within the window and too strong.
    Over,
    /// Too late for the limit to speak about, or no limit was asked for.
    Unjudged,
}

/// Energy against time from one speaker.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpeakerCurve {
    /// The speaker, by index in [`Input::speakers`].
    pub(crate) speaker: usize,
    /// Time of the first value after the direct sound, milliseconds; usually negative.
    pub(crate) start_ms: f64,
    /// Time between values, milliseconds.
    pub(crate) step_ms: f64,
    /// Level over 1–8 kHz, 0 at the direct sound, decibels: of one draw of the noise that is in it.
    pub(crate) level_db: Vec<f64>,
    /// The same without chance.
    pub(crate) expected_db: Vec<f64>,
    /// Arrivals: time after the direct sound in milliseconds and level in decibels.
    pub(crate) sticks: Vec<[f64; 2]>,
    /// Every reflection up to this time after the direct sound is in, milliseconds.
    pub(crate) complete_ms: f64,
}

impl Path {
    /// First, second, … order.
    pub(crate) fn order(&self) -> usize {
        self.bounces.len()
    }

    /// Its number at one of its bounce points, with a letter if it has several.
    pub(crate) fn number_at(&self, bounce: usize) -> String {
        if self.bounces.len() < 2 {
            self.tag.clone()
        } else {
            format!("{}{}", self.tag, letter(bounce))
        }
    }
}

/// `a` for the first, `b` for the second, …
pub(crate) fn letter(index: usize) -> char {
    ('a'..='z').nth(index).unwrap_or('z')
}
