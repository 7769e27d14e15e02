//! What bass does, with what its words need: the same for terminal, JSON and pictures.

mod advice;
pub(crate) mod brief;
pub(crate) mod document;
pub(crate) mod group_name;
mod likely;
pub(crate) mod room;
mod sounding;
pub(crate) mod subwoofers;

use crate::format::frequency::frequency;
use crate::format::labels;
use crate::format::length;
use earline_engine::medium::materials::SurfaceModel;
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Variant};
use earline_engine::wave_field::{
    BoundaryInterference, DeeperBuild, Extremum, ExtremumCause, ModalSpacing, Mode,
    TransferFunction, UNEVENNESS_BAND_HZ, WaveField, WaveFieldRequest, deeper_build_for,
    lower_limit_hz, modal_spacing,
};

/// A solution and what it is of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WaveFieldView<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a Variant<'a>,
    /// What was asked for.
    pub(crate) plan: &'a WaveFieldRequest,
    /// What was found.
    pub(crate) found: &'a WaveField,
}

impl<'a> WaveFieldView<'a> {
    /// A listener's name.
    pub(crate) fn listener(&self, id: ListenerId) -> &'a str {
        &self.scene[id].name
    }

    /// A speaker's name.
    pub(crate) fn speaker(&self, id: SpeakerId) -> &'a str {
        &self.scene[id].name
    }

    /// Every speaker at a listener.
    pub(crate) fn at(&self, listener: ListenerId) -> impl Iterator<Item = &'a TransferFunction> {
        self.found.pairs.iter().filter(move |pair| pair.listener == listener)
    }

    /// The lowest and the highest frequency asked for, hertz.
    pub(crate) fn ends_hz(&self) -> [f64; 2] {
        [self.plan.hz.first(), self.plan.hz.last()].map(|hz| hz.copied().unwrap_or_default())
    }

    /// How the room's modes are spaced.
    pub(crate) fn spacing(&self) -> ModalSpacing {
        modal_spacing(self.scene.room(), self.scene.air().speed_of_sound_m_s())
    }

    /// How far down every porous build on the surfaces reaches, and what would reach the largest peak or
    /// dip that it does nothing for.
    pub(crate) fn reach(&self) -> Vec<Reach<'a>> {
        self.panel_materials()
            .into_iter()
            .filter_map(|material| self.reach_of(material, |hz| self.largest_below(hz)))
            .collect()
    }

    /// The materials of the panels that are in, by their index, each once.
    fn panel_materials(&self) -> Vec<usize> {
        let mut materials: Vec<usize> = self.state.panels.iter().map(|p| p.material).collect();
        materials.sort_unstable();
        materials.dedup();
        materials
    }

    /// How far down a build reaches, and what would reach the frequency that is wanted below that; `None`
    /// for a material that is no porous build.
    fn reach_of(
        &self,
        material: usize,
        wanted_below: impl FnOnce(f64) -> Option<f64>,
    ) -> Option<Reach<'a>> {
        let material = self.scene.materials().get(material)?;
        let SurfaceModel::Porous(build) = &material.surface_model else { return None };
        let air = self.scene.air();
        let down_to_hz = lower_limit_hz(build, air);
        let farther = down_to_hz.and_then(|hz| {
            let target_hz = wanted_below(hz)?;
            deeper_build_for(build, target_hz, air).map(|farther| (target_hz, farther))
        });
        Some(Reach { name: &material.name, down_to_hz, farther })
    }

    /// Frequency of the largest peak or dip at any seat below a frequency, but above where unevenness
    /// begins, hertz.
    fn largest_below(&self, below_hz: f64) -> Option<f64> {
        let all = self.found.pairs.iter().flat_map(|pair| &pair.extrema);
        let low =
            all.filter(|extreme| UNEVENNESS_BAND_HZ[0] <= extreme.hz && extreme.hz < below_hz);
        low.max_by(|a, b| a.prominence_db.abs().total_cmp(&b.prominence_db.abs())).map(|e| e.hz)
    }

    /// What makes a peak or a dip, most likely first: `back wall 4.99 m away (73 Hz); mode 2·0·0 (59 Hz)`.
    pub(crate) fn causes(&self, extreme: &Extremum, most: usize) -> String {
        let cause = |cause: &ExtremumCause| match cause {
            ExtremumCause::Mode { mode, hz, .. } => {
                format!("mode {} at {}", counts(mode), frequency(*hz))
            }
            ExtremumCause::Boundary(boundary) => {
                cancels(self.scene, boundary, boundary.distance_m, "the speaker")
            }
        };
        extreme.causes.iter().take(most).map(cause).collect::<Vec<_>>().join("; ")
    }
}

/// How far down a build reaches.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reach<'a> {
    /// The build's name.
    pub(crate) name: &'a str,
    /// It takes next to nothing below this, hertz; `None` where it takes something all the way down.
    pub(crate) down_to_hz: Option<f64>,
    /// What would reach down to a frequency, hertz.
    pub(crate) farther: Option<(f64, DeeperBuild)>,
}

/// Where a mode is silent: `1.45 and 4.35 m from front wall`, one part for each axis it has half waves
/// along.
pub(crate) fn nodal_planes(mode: &Mode, scene: &Scene) -> String {
    let walls = ["front wall", "left wall", "floor"];
    let part = |axis: usize| {
        let nulls = mode.nodal_planes_m(axis, scene.room());
        let lengths: Vec<String> =
            nulls.iter().map(|metres| length::length(*metres, scene.units())).collect();
        (!lengths.is_empty()).then(|| format!("{} from {}", lengths.join(", "), walls[axis]))
    };
    (0..3).filter_map(part).collect::<Vec<_>>().join("; ")
}

/// A surface that cancels, so many metres from something: `front wall, 0.81 m from the speaker, cancels at
/// 114 Hz`.
fn cancels(scene: &Scene, boundary: &BoundaryInterference, distance_m: f64, from: &str) -> String {
    format!(
        "{}, {} from {from}, cancels at {}",
        labels::surface(boundary.surface),
        length::length(distance_m, scene.units()),
        frequency(boundary.null_hz),
    )
}

/// The surfaces that a mode stands between, in words.
pub(crate) fn between(mode: &Mode) -> &'static str {
    match mode.n.map(|n| 0 < n) {
        [true, false, false] => "front and back wall",
        [false, true, false] => "left and right wall",
        [false, false, true] => "floor and ceiling",
        [true, true, false] => "all four walls",
        [true, false, true] => "front, back, floor, ceiling",
        [false, true, true] => "left, right, floor, ceiling",
        _ => "all six surfaces",
    }
}

/// Half waves along length, width and height: `1·0·2`.
pub(crate) fn counts(mode: &Mode) -> String {
    mode.n.map(|n| n.to_string()).join("·")
}
