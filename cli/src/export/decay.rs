//! Decay of a pair and fate of its rays, in the document of `trace`.

use super::criterion::CriterionRow;
use super::decay_columns::{DECAY_COLUMNS, DecayField};
use super::formula_deviations::FormulaDeviation;
use super::parts::{MissingFigure, missing_figures, speaker_name};
use super::round::{Metres, Rounded, metres};
use crate::content::formula_comparison::FormulaComparison;
use earline_engine::medium::bands::{BAND_COUNT, NOMINAL_HZ, PerBand};
use earline_engine::metrics::criteria::ReverberationCriterion;
use earline_engine::scene::Scene;
use earline_engine::simulate::{PairDecay, SourceRays};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};
use std::borrow::Cow;

/// Decay figures per octave band with their standard errors, a recommendation's judgement of them, and
/// the formulas that say otherwise.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Decay {
    #[serde(flatten)]
    figures: FigureValues,
    /// One standard error of each figure, in the same unit; null where the figure is.
    uncertainty: FigureValues,
    /// Bands whose figures are those of the wave field joined to images and rays, hertz; the others are those of
    /// images and rays.
    wave_field_bands_hz: Vec<f64>,
    /// Reasons of missing figures; absent where none is missing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    missing: Vec<MissingFigure>,
    criterion: CriterionRow,
    disagreements: Vec<FormulaDeviation>,
}

/// A value per band for each of [`DECAY_COLUMNS`], under its key.
#[derive(Debug)]
struct FigureValues([PerBand<Option<f64>>; DECAY_COLUMNS.len()]);

/// Balance of the rays of one speaker per octave band, energies in shares of what an even source of
/// the same level on axis would send out.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RayBalance {
    speaker: String,
    /// Rays that were followed.
    rays: u64,
    /// Straight parts of all paths together.
    segments: u64,
    /// Mean length of a straight part; null without any.
    mean_free_path_m: Option<Metres>,
    emitted: PerBand<Rounded<9>>,
    /// Energy that surfaces absorbed.
    absorbed: PerBand<Rounded<9>>,
    /// Energy that the air absorbed.
    air: PerBand<Rounded<9>>,
    /// Energy that Russian roulette gave or took, nought on average.
    drawn: PerBand<Rounded<9>>,
    /// Energy that was left at the end.
    alive: PerBand<Rounded<9>>,
}

impl RayBalance {
    pub(crate) fn new(scene: &Scene, found: &SourceRays) -> Self {
        let balance = &found.balance;
        let shares = |energy: PerBand<f64>| energy.map(Rounded::from);
        Self {
            speaker: speaker_name(scene, found.speaker),
            rays: found.rays,
            segments: balance.segments,
            mean_free_path_m: balance.mean_free_path_m().map(metres),
            emitted: shares(balance.emitted),
            absorbed: shares(balance.absorbed),
            air: shares(balance.air_absorbed),
            drawn: shares(balance.roulette),
            alive: shares(balance.truncated),
        }
    }
}

impl Decay {
    pub(crate) fn new(
        scene: &Scene,
        beside: &FormulaComparison<'_>,
        criterion: &'static ReverberationCriterion,
        pair: &PairDecay,
    ) -> Self {
        let missing = DECAY_COLUMNS.iter().flat_map(|column| {
            (0..BAND_COUNT).filter_map(move |band| {
                column.field(pair, band).reason.map(|reason| (column.name, band, reason))
            })
        });
        Self {
            figures: FigureValues::new(pair, |field| field.value),
            uncertainty: FigureValues::new(pair, |field| field.standard_error),
            wave_field_bands_hz: NOMINAL_HZ[..pair.joined_bands].to_vec(),
            missing: missing_figures(missing),
            criterion: CriterionRow::new(criterion, scene.room().volume_m3(), pair),
            disagreements: FormulaDeviation::all(scene, beside, pair),
        }
    }
}

impl FigureValues {
    fn new(pair: &PairDecay, part: impl Fn(DecayField) -> Option<f64>) -> Self {
        Self(
            DECAY_COLUMNS
                .each_ref()
                .map(|column| std::array::from_fn(|band| part(column.field(pair, band)))),
        )
    }
}

impl Serialize for FigureValues {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(DECAY_COLUMNS.len()))?;
        for (column, bands) in DECAY_COLUMNS.iter().zip(&self.0) {
            map.serialize_entry(column.name, bands)?;
        }
        map.end()
    }
}

impl JsonSchema for FigureValues {
    fn schema_name() -> Cow<'static, str> {
        "FigureValues".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let bands = generator.subschema_for::<PerBand<Option<f64>>>();
        let names = DECAY_COLUMNS.map(|column| column.name);
        let properties: serde_json::Map<_, _> =
            names.iter().map(|name| ((*name).to_owned(), bands.clone().to_value())).collect();
        json_schema!({ "type": "object", "properties": properties, "required": names })
    }
}
