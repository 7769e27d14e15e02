//! What is view of sound spreading: one speaker in its cuts, moment by moment, for terminal, JSON
//! and pictures.

pub(crate) mod document;

use crate::format::length;
use crate::format::{frequency, labels};
use earline_engine::analysis::wavefront::{
    CutPlane, Event, EventKind, RayPath, ReflectionRank, WavefrontError, WavefrontPlan,
    WavefrontTracer, early_level_db,
};
use earline_engine::geometry::FaceId;
use earline_engine::medium::bands::{PerBand, energy_db};
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Variant};

/// Everything that is view.
#[derive(Debug)]
pub(crate) struct WavefrontView<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state.
    pub(crate) state: &'a Variant<'a>,
    /// Whose sound.
    pub(crate) speaker: SpeakerId,
    /// Who is passed.
    pub(crate) listeners: &'a [ListenerId],
    /// How it is view.
    pub(crate) film: Film,
    /// The cuts, each view on its own.
    pub(crate) shots: Vec<Shot<'a>>,
    /// What the sound meets and when, the same in every cut.
    pub(crate) happenings: Vec<Event>,
}

/// Speed and length of a film, and what its colours stand for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Film {
    /// So many times slower than life.
    pub(crate) slow: u32,
    /// The last moment, milliseconds after emission.
    pub(crate) until_ms: f64,
    /// The octave band that colours the fronts; `None` for the mean of 1–8 kHz.
    pub(crate) band: Option<usize>,
}

/// One cut.
#[derive(Debug)]
pub(crate) struct Shot<'a> {
    /// The sound in it.
    pub(crate) wave: WavefrontTracer<'a>,
    /// Rays that are followed beside the fronts.
    pub(crate) tracks: Vec<RayPath>,
}

/// Pictures a second.
pub(crate) const RATE: u32 = 20;

/// More pictures than this are too many for a file that anybody opens.
pub(crate) const MOST_PICTURES: usize = 1500;

/// Rays shown beside the fronts.
const TRACKS: usize = 30;

impl Film {
    /// Time from one picture to the next, milliseconds of sound.
    pub(crate) fn step_ms(&self) -> f64 {
        1e3 / f64::from(RATE * self.slow)
    }

    /// How many pictures it takes.
    pub(crate) fn pictures(&self) -> usize {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 80 000")]
        let pictures = (self.until_ms / self.step_ms()).round().max(1.0) as usize;
        pictures
    }

    /// The moment of a picture, counted from one, milliseconds.
    pub(crate) fn moment_ms(&self, picture: usize) -> f64 {
        self.step_ms() * picture as f64
    }

    /// Where in the film a moment of sound is seen, seconds.
    pub(crate) fn second(&self, time_ms: f64) -> f64 {
        time_ms / 1e3 * f64::from(self.slow)
    }

    /// The level that colours energy in the bands, decibels.
    pub(crate) fn level_db(&self, band_energy: &PerBand<f64>) -> f64 {
        self.band.map_or_else(|| early_level_db(band_energy), |band| energy_db(band_energy[band]))
    }

    /// What the colours are for, in words.
    pub(crate) fn range(&self) -> String {
        self.band.map_or("1–8 kHz".to_owned(), |band| format!("{} octave", frequency::band(band)))
    }
}

impl<'a> Shot<'a> {
    /// The sound of a speaker in a cut, for as long as the film takes.
    ///
    /// # Errors
    /// When it cannot be followed for so long.
    pub(crate) fn new(
        scene: &'a Scene,
        state: &'a Variant<'a>,
        speaker: SpeakerId,
        cut: CutPlane,
        film: &Film,
    ) -> Result<Self, WavefrontError> {
        let until_s = film.moment_ms(film.pictures()) / 1e3;
        let wave = WavefrontTracer::new(scene, state, WavefrontPlan { speaker, cut, until_s })?;
        let tracks = wave.ray_paths(TRACKS);
        Ok(Self { wave, tracks })
    }
}

impl WavefrontView<'_> {
    /// The speaker's name.
    pub(crate) fn speaker_name(&self) -> &str {
        &self.scene[self.speaker].name
    }

    /// Where a cut lies: `1.20 m above the floor`.
    pub(crate) fn where_cut(&self, wave: &WavefrontTracer<'_>) -> String {
        let length = length::length(wave.offset_m(), self.scene.units());
        match wave.cut() {
            CutPlane::Plan => format!("{length} above the floor"),
            CutPlane::Section => format!("{length} from the left wall"),
        }
    }

    /// What happens, in a few words: `meets the left wall`, `passes seated`.
    pub(crate) fn says(&self, what: &EventKind) -> String {
        match what {
            EventKind::StrikesSurface(face) => format!("meets {}", self.the(*face)),
            EventKind::DirectReachesListener { listener, shadowed: false } => {
                format!("passes {}", self.seat(*listener))
            }
            EventKind::DirectReachesListener { listener, shadowed: true } => {
                format!("would pass {}, but something is in the way", self.seat(*listener))
            }
            EventKind::ReflectionReachesListener { listener, rank: which, arrival, .. } => {
                let which = match which {
                    ReflectionRank::First => "first reflection",
                    ReflectionRank::Loudest => "loudest reflection",
                    ReflectionRank::FirstAndLoudest => "first and loudest reflection",
                };
                let seat = self.seat(*listener);
                let way = labels::spoken_path(self.scene, &arrival.bounces);
                format!("{which} at {seat}: {way}")
            }
        }
    }

    fn the(&self, face: FaceId) -> String {
        match face {
            FaceId::Surface(on) => format!("the {}", labels::surface(on)),
            _ => labels::thing(self.scene, face).into_owned(),
        }
    }

    fn seat(&self, listener: ListenerId) -> &str {
        &self.scene[listener].name
    }
}

/// The file name of a cut, without ending.
pub(crate) fn file_name(cut: CutPlane) -> &'static str {
    match cut {
        CutPlane::Plan => "wave-plan",
        CutPlane::Section => "wave-section",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_millisecond_takes_as_long_as_asked() {
        let film = Film { slow: 500, until_ms: 25.0, band: None };
        assert!((film.step_ms() - 0.1).abs() < 1e-12);
        assert_eq!(film.pictures(), 250);
        assert!((film.moment_ms(250) - 25.0).abs() < 1e-9);
        assert!((film.second(4.0) - 2.0).abs() < 1e-12);
        assert_eq!(Film { band: Some(2), ..film }.range(), "250 Hz octave");
        assert_eq!(Film { band: Some(7), ..film }.range(), "8 kHz octave");
    }
}
