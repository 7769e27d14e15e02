//! Wavefronts of one speaker over time, in a cut plane through the room.
//!
//! After a time t the sound of a speaker stands on spheres of radius ct about the speaker and all its
//! mirror images, as far as nothing cuts them off (geometrical acoustics; the images of a box: Allen
//! & Berkley, JASA 65, 943, 1979; Kuttruff, Room Acoustics, chapter 4, from memory). A plane cut
//! shows circles. This module finds them by following rays through the room as its faces have it:
//!
//! 1. A ray that has met a trail of mirrors ends in the cut where its straight continuation ends in
//!    the cut's mirror image. Rays in all directions find every image of the cut that matters:
//!    itself for sound that stays in it, and shifted or tilted ones for sound that comes by way of
//!    floor, ceiling, a desk top or a cloud.
//! 2. For each image and moment the rays that end on it form a cone about its normal. They are
//!    followed azimuth by azimuth, and kept where they really end in the cut; where neighbours have
//!    met different things the border between them is halved down to a millimetre.
//! 3. What arrives at a point of a front is what [`crate::simulate`] says of a listener there with sharp
//!    edges (`edges = false`): directivity, mirror reflection at the true angle from the panel that is
//!    really there, spreading and air.
//!
//! Not there: what bends around edges, and what rough faces scatter. A speaker's direct sound runs
//! through its own solid cabinet, as in a trace: how it gets round that is in the directivity.

mod cut_plane;
mod energy;
mod event;
mod front;
mod image_planes;
mod ray_path;
mod specular_path;

pub use cut_plane::CutPlane;
pub use energy::early_level_db;
pub use event::{Event, EventKind, ReflectionRank};
pub use front::{ON_CUT_M, PathStep, Wavefront, WavefrontPoint};
pub use ray_path::{RayPath, RayTip};

use crate::geometry::enclosure::Enclosure;
use crate::image_source::Propagation;
use crate::medium::directivity::Radiator;
use crate::scene::{ListenerId, Scene, SpeakerId, Variant};
use cut_plane::PlaneEquation;
use image_planes::{ImagePlane, image_planes};
use rayon::prelude::*;
use thiserror::Error;

/// Speaker, cut plane and duration of a wavefront trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WavefrontPlan {
    /// The speaker.
    pub speaker: SpeakerId,
    /// The cut.
    pub cut: CutPlane,
    /// The requested latest moment, seconds after emission.
    pub until_s: f64,
}

/// Latest permitted time, seconds.
pub const LATEST_S: f64 = 0.2;

/// Reason why a plan cannot be traced.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum WavefrontError {
    /// The plan names a speaker the scene does not have.
    #[error("the scene has {have} speakers; the plan asks for number {index}")]
    NoSuchSpeaker {
        /// The requested index.
        index: usize,
        /// Number of speakers.
        have: usize,
    },
    /// The last moment is not after emission, or too late.
    #[error("sound cannot be followed for {seconds} s; up to {LATEST_S} s it can")]
    Until {
        /// The requested time, seconds.
        seconds: f64,
    },
}

/// Wavefronts of one speaker in one cut plane, prepared for any time.
#[derive(Debug)]
pub struct WavefrontTracer<'a> {
    scene: &'a Scene,
    enclosure: Enclosure<'a>,
    radiator: Radiator,
    plan: WavefrontPlan,
    plane: PlaneEquation,
    images: Vec<ImagePlane>,
}

/// All wavefronts in the cut plane at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Time since emission, seconds.
    pub time_s: f64,
    /// Length of way that sound has come since, metres.
    pub distance_m: f64,
    /// The fronts, the direct sound's first.
    pub fronts: Vec<Wavefront>,
}

impl<'a> WavefrontTracer<'a> {
    /// Prepares the wavefronts of a speaker in a variant of a scene.
    ///
    /// # Errors
    /// A speaker that the scene does not have; a last moment that is not after emission or later than
    /// [`LATEST_S`].
    pub fn new(
        scene: &'a Scene,
        variant: &Variant<'a>,
        plan: WavefrontPlan,
    ) -> Result<Self, WavefrontError> {
        let speaker = scene.speaker(plan.speaker).ok_or(WavefrontError::NoSuchSpeaker {
            index: plan.speaker.index(),
            have: scene.speakers().len(),
        })?;
        if !(0.0 < plan.until_s && plan.until_s <= LATEST_S) {
            return Err(WavefrontError::Until { seconds: plan.until_s });
        }
        let enclosure = Enclosure::new(scene, variant);
        let grid = enclosure.grid();
        let radiator = Radiator::new(&speaker.directivity, speaker.axis, scene.air(), grid);
        let plane = plan.cut.plane_through(speaker.at);
        let reach_m = plan.until_s * enclosure.speed_of_sound_m_s();
        let images = image_planes(enclosure.faces(), speaker.at, &plane, reach_m);
        Ok(Self { scene, enclosure, radiator, plan, plane, images })
    }

    /// The cut.
    pub fn cut(&self) -> CutPlane {
        self.plan.cut
    }

    /// Height of a plan above the floor, or distance of a section from the left wall, metres.
    pub fn offset_m(&self) -> f64 {
        self.plane.offset_m
    }

    /// Speed of sound in metres a second.
    pub fn speed_of_sound_m_s(&self) -> f64 {
        self.enclosure.speed_of_sound_m_s()
    }

    /// Every front at a moment, seconds after emission; none before it. Later than the plan's last
    /// moment, fronts that the preparation did not look for are missing.
    pub fn at(&self, time_s: f64) -> Frame {
        let distance_m = time_s * self.speed_of_sound_m_s();
        let near: Vec<&ImagePlane> =
            self.images.iter().filter(|image| image.is_near(distance_m)).collect();
        let ear = &self.ear();
        let scan =
            |image| front::AzimuthScan { ear, cut: &self.plane, image, length_m: distance_m };
        let fronts: Vec<Vec<Wavefront>> = if 0.0 < distance_m {
            near.par_iter().map(|image| scan(image).fronts()).collect()
        } else {
            Vec::new()
        };
        let mut fronts: Vec<Wavefront> = fronts.into_iter().flatten().collect();
        fronts.sort_by_key(|front| front.history.len());
        Frame { time_s, distance_m, fronts }
    }

    /// Rays that stay in the cut, so many evenly round the speaker, up to the plan's last moment.
    pub fn ray_paths(&self, count: usize) -> Vec<RayPath> {
        let ear = self.ear();
        let reach_m = self.plan.until_s * self.speed_of_sound_m_s();
        let ways: Vec<_> = ray_path::round(self.plan.cut, count).collect();
        ways.into_par_iter().map(|way| RayPath::new(&ear, self.plan.cut, way, reach_m)).collect()
    }

    /// Tip of a ray after a path length; `None` once it has left the cut plane.
    pub fn tip(&self, ray: &RayPath, distance_m: f64) -> Option<RayTip> {
        ray.tip(&self.ear(), distance_m)
    }

    /// Events up to the plan's last moment: surfaces and objects struck, and arrivals at these
    /// listeners; one that the scene does not have is left out.
    pub fn events(&self, listeners: &[ListenerId]) -> Vec<Event> {
        let there: Vec<ListenerId> =
            listeners.iter().copied().filter(|&id| self.scene.listener(id).is_some()).collect();
        let reach_m = self.plan.until_s * self.speed_of_sound_m_s();
        event::events(self.scene, &self.ear(), &there, reach_m)
    }

    fn ear(&self) -> Propagation<'_> {
        let speaker = self.scene[self.plan.speaker].at;
        Propagation {
            enclosure: &self.enclosure,
            radiator: &self.radiator,
            speaker,
            listener: speaker,
        }
    }
}
