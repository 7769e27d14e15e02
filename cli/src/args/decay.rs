//! What the decay is held against.

use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use earline_engine::metrics::criteria::{REVERBERATION_CRITERIA, ReverberationCriterion};

/// What the decay is held against.
#[derive(Debug, Clone, Args)]
pub(crate) struct DecayOptions {
    /// The published recommendation to hold the reverberation time against.
    #[arg(long, value_name = "DOCUMENT", default_value = REVERBERATION_CRITERIA[0].key)]
    #[arg(value_parser = criterion())]
    pub(crate) criterion: &'static ReverberationCriterion,
    /// Show every statistical formula beside the traced decay.
    #[arg(long)]
    pub(crate) formulas: bool,
}

/// Documents by key, each with what it asks for as the help shows it.
pub(crate) fn criterion() -> impl TypedValueParser<Value = &'static ReverberationCriterion> {
    let keys = REVERBERATION_CRITERIA.iter().map(|criterion| {
        let range = criterion
            .nominal_range_s
            .map_or_else(String::new, |(least, most)| format!(", {least} to {most} s"));
        let memory = if criterion.is_from_memory() { " (held from memory)" } else { "" };
        PossibleValue::new(criterion.key)
            .help(format!("{}: nominal time by volume{range}{memory}", criterion.document))
    });
    PossibleValuesParser::new(keys).try_map(|key| {
        let known = REVERBERATION_CRITERIA.iter().find(|criterion| criterion.key == key);
        known.ok_or("not a known document")
    })
}
