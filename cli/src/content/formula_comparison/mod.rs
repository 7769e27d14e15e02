//! What statistics make of a room, beside what was traced in it, and where the two part.

mod words;

pub(crate) use words::{bands, cause, formula};

use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::absorbing_areas::{
    AbsorbingObject, absorbing_areas_by_object, enclosed_air,
};
use earline_engine::metrics::decay::Metric;
use earline_engine::metrics::diffuse_field::{
    AbsorbingArea, DiffuseField, EnclosedAir, Formula, FormulaDeviation, diffuse_field,
    formula_deviation,
};
use earline_engine::scene::{Scene, Variant};
use earline_engine::simulate::PairDecay;

/// Statistical figures of a room in one of its states, with what they come from.
#[derive(Debug, Clone)]
pub(crate) struct FormulaComparison<'a> {
    /// The figures.
    pub(crate) statistics: DiffuseField,
    pieces: Vec<AbsorbingObject<'a>>,
    absorbers: Vec<AbsorbingArea>,
    /// The air they are of.
    pub(crate) air: EnclosedAir,
}

impl<'a> FormulaComparison<'a> {
    /// The figures of a scene in one of its states.
    pub(crate) fn new(scene: &'a Scene, state: &Variant<'a>) -> Self {
        let (pieces, absorbers): (Vec<_>, Vec<_>) =
            absorbing_areas_by_object(scene, state).into_iter().unzip();
        let air = enclosed_air(scene, state);
        Self { statistics: diffuse_field(&air, &absorbers), pieces, absorbers, air }
    }

    /// What stands at a place of the list of absorbers that a cause speaks of.
    pub(crate) fn piece(&self, index: usize) -> Option<AbsorbingObject<'a>> {
        self.pieces.get(index).copied()
    }

    /// The bands in which a traced decay time and a formula part.
    pub(crate) fn deviations(
        &self,
        pair: &PairDecay,
        figure: Metric,
        formula: Formula,
    ) -> Vec<FormulaDeviation> {
        let in_band = |band: usize| {
            let found = formula_deviation(
                formula,
                band,
                pair.metrics[band][figure].ok()?,
                &self.air,
                &self.absorbers,
            );
            let is_modal = band < pair.joined_bands;
            found.map(|found| if is_modal { found.of_modes() } else { found })
        };
        (0..BAND_COUNT).filter_map(in_band).collect()
    }
}
