//! Speakers as written.

use super::items::open;
use super::signal_chain::{CHAIN_KEYS, RawSignalChain, signal_chain};
use super::table_reader::TableReader;
use super::value_reader::{TomlValue, ValueReader};
use super::{RawPoint, SIDES, Span, Spanned};
use crate::medium::directivity::ReferencePoint;
use crate::scene::model::{Side, SpeakerKind};
use crate::scene::problem::Problems;
use toml::de::{DeTable, DeValue};

/// `[[speaker]]`.
#[derive(Debug)]
pub(in crate::scene) struct RawSpeaker {
    pub(in crate::scene) span: Span,
    pub(in crate::scene) name: Option<Spanned<String>>,
    pub(in crate::scene) kind: Option<Spanned<SpeakerKind>>,
    pub(in crate::scene) pair: Option<Spanned<String>>,
    pub(in crate::scene) side: Option<Spanned<Side>>,
    pub(in crate::scene) at: Option<RawPoint>,
    pub(in crate::scene) aim: Option<RawAim>,
    pub(in crate::scene) directivity: Option<RawDirectivity>,
    pub(in crate::scene) solid: Option<Spanned<bool>>,
    pub(in crate::scene) finish: Option<Spanned<String>>,
    pub(in crate::scene) chain: RawSignalChain,
    /// The optional keys that are there, readable or not.
    pub(in crate::scene) written: PresentKeys,
}

/// The optional keys of a speaker that are there. One that cannot be read has been reported and should not be called
/// missing as well.
#[derive(Debug)]
pub(in crate::scene) struct PresentKeys(Vec<&'static str>);

impl PresentKeys {
    /// Whether a key is there, readable or not.
    pub(in crate::scene) fn has(&self, key: &str) -> bool {
        self.0.contains(&key)
    }
}

/// `aim`: a listener's name or a point.
#[derive(Debug)]
pub(in crate::scene) enum RawAim {
    Listener(Spanned<String>),
    Point(RawPoint),
}

/// Height, width and depth of a cabinet.
pub(in crate::scene) type RawCabinet = Option<Spanned<[Spanned<f64>; 3]>>;

/// `directivity`, by its kind.
#[derive(Debug)]
pub(in crate::scene) enum RawDirectivity {
    Omni,
    Cardioid,
    Piston {
        diameter: Option<Spanned<f64>>,
        cabinet: RawCabinet,
    },
    TwoWay {
        woofer: Option<Spanned<f64>>,
        tweeter: Option<Spanned<f64>>,
        spacing: Option<Spanned<f64>>,
        crossover_hz: Option<Spanned<f64>>,
        reference: Option<Spanned<ReferencePoint>>,
        cabinet: RawCabinet,
    },
    Table {
        file: Option<Spanned<String>>,
    },
}

const SPEAKER_KINDS: &[(&str, SpeakerKind)] =
    &[("full-range", SpeakerKind::FullRange), ("subwoofer", SpeakerKind::Subwoofer)];

/// The kinds a speaker's directivity may have.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Omni,
    Cardioid,
    Piston,
    TwoWay,
    Table,
}

const KINDS: &[(&str, Kind)] = &[
    ("omni", Kind::Omni),
    ("cardioid", Kind::Cardioid),
    ("piston", Kind::Piston),
    ("two-way", Kind::TwoWay),
    ("table", Kind::Table),
];

/// Keys of all kinds, known when the kind itself cannot be told.
const ALL_KEYS: &[&str] = &[
    "kind",
    "diameter",
    "cabinet",
    "woofer",
    "tweeter",
    "spacing",
    "crossover_hz",
    "reference",
    "file",
];

impl Kind {
    fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Omni | Self::Cardioid => &["kind"],
            Self::Piston => &["kind", "diameter", "cabinet"],
            Self::TwoWay => {
                &["kind", "woofer", "tweeter", "spacing", "crossover_hz", "reference", "cabinet"]
            }
            Self::Table => &["kind", "file"],
        }
    }
}

const REFERENCES: &[(&str, ReferencePoint)] = &[
    ("tweeter", ReferencePoint::Tweeter),
    ("between", ReferencePoint::Between),
    ("woofer", ReferencePoint::Woofer),
];

/// One `[[speaker]]`.
pub(super) fn speaker<'t>(
    table: &'t DeTable<'_>,
    place: &TomlValue<'_>,
    problems: &'t Problems,
) -> RawSpeaker {
    let own = ["name", "kind", "pair", "side", "at", "aim", "directivity", "solid", "finish"];
    let known = [&own[..], &CHAIN_KEYS].concat();
    let fields = open(table, place, "speaker", &known, problems);
    let written = |key| fields.get(key).is_some() || fields.stands_misspelt(key);
    RawSpeaker {
        span: fields.span(),
        name: fields.require_text("name", "\"main left\""),
        kind: fields.word("kind", SPEAKER_KINDS),
        pair: fields.text("pair"),
        side: fields.word("side", SIDES),
        at: fields.require_point("at", "[\"1.20 m\", \"1.25 m\", \"1.20 m\"]"),
        aim: fields.read("aim", aim),
        directivity: directivity(&fields),
        solid: fields.boolean("solid"),
        finish: fields.text("finish"),
        chain: signal_chain(&fields),
        written: PresentKeys(known.into_iter().filter(|key| written(key)).collect()),
    }
}

fn aim(reader: ValueReader<'_>, value: &TomlValue<'_>) -> Option<RawAim> {
    match value.get_ref() {
        DeValue::String(_) => reader.text(value).map(RawAim::Listener),
        DeValue::Array(_) => reader
            .exactly(value, "[from front wall, from left wall, above floor]", ValueReader::length)
            .map(RawAim::Point),
        _ => reader.wrong(
            value,
            "a listener's name or a point",
            "write aim = \"seated\" or aim = [\"2.20 m\", \"2.05 m\", \"1.20 m\"]",
        ),
    }
}

fn directivity(speaker: &TableReader<'_, '_>) -> Option<RawDirectivity> {
    // Which keys are known hangs on the kind, so the kind is looked up before the rest.

    let value = speaker.get("directivity")?.get_ref();
    let kind_alone = value.as_str().filter(|word| KINDS.iter().any(|(kind, _)| kind == word));
    let example = format!("{{ kind = \"{}\" }}", kind_alone.unwrap_or("omni"));
    let written = match value {
        DeValue::Table(table) => table.get("kind").map(toml::Spanned::get_ref),
        _ => None,
    };
    let kind = match written {
        Some(DeValue::String(word)) => {
            KINDS.iter().find(|(name, _)| name == word).map(|&(_, kind)| kind)
        }
        _ => None,
    };
    let fields = speaker.inner("directivity", kind.map_or(ALL_KEYS, Kind::keys), &example)?;
    fields.require_word("kind", "\"omni\"", KINDS)?;
    let cabinet = || {
        fields.require_lengths(
            "cabinet",
            "[height, width, depth]",
            "[\"340 mm\", \"220 mm\", \"270 mm\"]",
        )
    };
    Some(match kind? {
        Kind::Omni => RawDirectivity::Omni,
        Kind::Cardioid => RawDirectivity::Cardioid,
        Kind::Piston => RawDirectivity::Piston {
            diameter: fields.require_length("diameter", "\"165 mm\""),
            cabinet: cabinet(),
        },
        Kind::TwoWay => RawDirectivity::TwoWay {
            woofer: fields.require_length("woofer", "\"165 mm\""),
            tweeter: fields.require_length("tweeter", "\"25 mm\""),
            spacing: fields.require_length("spacing", "\"170 mm\""),
            crossover_hz: fields.require_number("crossover_hz", "2200"),
            reference: fields.word("reference", REFERENCES),
            cabinet: cabinet(),
        },
        Kind::Table => {
            RawDirectivity::Table { file: fields.require_text("file", "\"speaker.csv\"") }
        }
    })
}
