//! What statistics make of a room, beside what was traced in it, and where the two part.

mod words;

pub(crate) use words::{bands, cause, formula};

use earline_engine::medium::bands::{BAND_COUNT, PerBand};
use earline_engine::metrics::absorbing_areas::{Piece, pieces};
use earline_engine::metrics::decay::Figure;
use earline_engine::metrics::diffuse_field::{
    Absorber, Disagreement, Formula, Statistics, disagreement, statistics,
};
use earline_engine::scene::{Room, Scene, State};
use earline_engine::whole_decay::PairDecay;

/// Statistical figures of a room in one of its states, with what they come from.
#[derive(Debug, Clone)]
pub(crate) struct FormulaComparison<'a> {
    /// The figures.
    pub(crate) statistics: Statistics,
    pieces: Vec<Piece<'a>>,
    absorbers: Vec<Absorber>,
    room: Room,
    speed_of_sound_m_s: f64,
    attenuation_db_per_m: PerBand<f64>,
}

impl<'a> FormulaComparison<'a> {
    /// The figures of a scene in one of its states.
    pub(crate) fn new(scene: &'a Scene, state: &State<'a>) -> Self {
        let (pieces, absorbers): (Vec<_>, Vec<_>) = pieces(scene, state).into_iter().unzip();
        let room = *scene.room();
        let speed_of_sound_m_s = scene.air().speed_of_sound_m_s();
        let attenuation_db_per_m = scene.air().attenuation_db_per_m();
        let statistics = statistics(&room, speed_of_sound_m_s, &attenuation_db_per_m, &absorbers);
        Self { statistics, pieces, absorbers, room, speed_of_sound_m_s, attenuation_db_per_m }
    }

    /// What stands at a place of the list of absorbers that a cause speaks of.
    pub(crate) fn piece(&self, index: usize) -> Option<Piece<'a>> {
        self.pieces.get(index).copied()
    }

    /// The bands in which a traced decay time and a formula part.
    pub(crate) fn deviations(
        &self,
        pair: &PairDecay,
        figure: Figure,
        formula: Formula,
    ) -> Vec<Disagreement> {
        let in_band = |band: usize| {
            disagreement(
                formula,
                band,
                pair.figures[band][figure].ok()?,
                &self.room,
                self.speed_of_sound_m_s,
                &self.attenuation_db_per_m,
                &self.absorbers,
            )
        };
        (0..BAND_COUNT).filter_map(in_band).collect()
    }
}
