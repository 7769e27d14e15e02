//! The figures a sweep can be asked for, by the names of the table's columns.

use crate::export::{DECAY_COLUMNS, to_decimals};
use crate::format::foreign;
use earline_engine::explore::study::{
    BassMetric, LevelBands, ReflectionMetric, RoomMetric, StudyMetric,
};
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::decay::Estimate;
use earline_engine::metrics::diffuse_field::Formula;
use earline_engine::scene::{Surface, list_names, nearest_name};
use earline_engine::wave_field::{HIGHEST_HZ, LOWEST_HZ};

/// A figure with its column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FigureColumn {
    /// Its name: `t20_s@1000`.
    pub(crate) name: String,
    /// What it is, in words.
    pub(crate) means: &'static str,
    /// What is measured.
    pub(crate) wanted: StudyMetric,
    factor: f64,
    decimals: i32,
}

/// A name of the list.
struct Entry {
    name: &'static str,
    means: &'static str,
    of: NameSuffix,
    /// From the engine's SI unit to that of the name.
    factor: f64,
    decimals: i32,
}

/// What may follow a name.
enum NameSuffix {
    /// Nothing.
    Plain(StudyMetric),
    /// Nothing, for 1 to 8 kHz, or an octave band.
    Level(ReflectionMetric),
    /// An octave band.
    Band(fn(usize) -> StudyMetric),
    /// A frequency in hertz.
    Tone,
}

const fn list(
    name: &'static str,
    figure: ReflectionMetric,
    factor: f64,
    decimals: i32,
    means: &'static str,
) -> Entry {
    let of = NameSuffix::Plain(StudyMetric::List(figure, LevelBands::Early));
    Entry { name, means, of, factor, decimals }
}

const fn level(name: &'static str, figure: ReflectionMetric, means: &'static str) -> Entry {
    Entry { name, means, of: NameSuffix::Level(figure), factor: 1.0, decimals: 3 }
}

const fn room(name: &'static str, figure: RoomMetric, means: &'static str) -> Entry {
    Entry {
        name,
        means,
        of: NameSuffix::Plain(StudyMetric::Room(figure)),
        factor: 1.0,
        decimals: 4,
    }
}

const fn banded(name: &'static str, of: fn(usize) -> StudyMetric, means: &'static str) -> Entry {
    Entry { name, means, of: NameSuffix::Band(of), factor: 1.0, decimals: 4 }
}

const fn bass(name: &'static str, figure: BassMetric, means: &'static str) -> Entry {
    Entry {
        name,
        means,
        of: NameSuffix::Plain(StudyMetric::Bass(figure)),
        factor: 1.0,
        decimals: 3,
    }
}

/// All but those of the decay, whose names are the trace document's.
static ENTRIES: [Entry; 33] = [
    level(
        "strongest_db",
        ReflectionMetric::Strongest,
        "strongest early reflection re direct sound",
    ),
    list("strongest_ms", ReflectionMetric::StrongestDelay, 1e3, 4, "its delay"),
    list("over_limit", ReflectionMetric::OverLimit, 1.0, 0, "early reflections over the limit"),
    level("early_sum_db", ReflectionMetric::EarlySum, "all early reflections together"),
    list("first_ms", ReflectionMetric::FirstDelay, 1e3, 4, "delay of the first reflection"),
    list("listed", ReflectionMetric::Listed, 1.0, 0, "reflections listed"),
    level(
        "first_front_db",
        ReflectionMetric::FirstFrom(Surface::Front),
        "first reflection of the front wall",
    ),
    level("first_back_db", ReflectionMetric::FirstFrom(Surface::Back), "of the back wall"),
    level("first_left_db", ReflectionMetric::FirstFrom(Surface::Left), "of the left wall"),
    level("first_right_db", ReflectionMetric::FirstFrom(Surface::Right), "of the right wall"),
    level("first_floor_db", ReflectionMetric::FirstFrom(Surface::Floor), "of the floor"),
    level("first_ceiling_db", ReflectionMetric::FirstFrom(Surface::Ceiling), "of the ceiling"),
    list(
        "direct_distance_m",
        ReflectionMetric::DirectDistance,
        1.0,
        5,
        "speaker to middle of the head",
    ),
    list("direct_time_ms", ReflectionMetric::DirectTime, 1e3, 4, "travel of the direct sound"),
    list(
        "direct_azimuth_deg",
        ReflectionMetric::DirectAzimuth,
        1.0,
        2,
        "its direction, left positive",
    ),
    list(
        "direct_elevation_deg",
        ReflectionMetric::DirectElevation,
        1.0,
        2,
        "its direction, up positive",
    ),
    level("direct_level_db", ReflectionMetric::DirectLevel, "direct sound re the speaker at 1 m"),
    bass("bass_unevenness_db", BassMetric::Unevenness, "spread of the bass level, 30 to 200 Hz"),
    bass(
        "bass_pair_unevenness_db",
        BassMetric::PairUnevenness,
        "the same, both of a pair sounding",
    ),
    bass("bass_dip_hz", BassMetric::DipHz, "deepest dip of the bass"),
    bass("bass_dip_db", BassMetric::DipLevel, "its level against the octave about it"),
    Entry {
        name: "bass_level_db",
        means: "bass level at a frequency re the speaker at 1 m",
        of: NameSuffix::Tone,
        factor: 1.0,
        decimals: 3,
    },
    banded("sabine_s", |band| time(Formula::Sabine, band), "reverberation time by formula"),
    banded("eyring_s", |band| time(Formula::Eyring, band), "by formula"),
    banded("millington_s", |band| time(Formula::Millington, band), "by formula"),
    banded("fitzroy_s", |band| time(Formula::Fitzroy, band), "by formula"),
    banded("arau_puchades_s", |band| time(Formula::ArauPuchades, band), "by formula"),
    banded("kuttruff_s", |band| time(Formula::Kuttruff, band), "by formula"),
    banded(
        "absorption_area_m2",
        |band| StudyMetric::Room(RoomMetric::AbsorptionArea(band)),
        "absorption area of what lines the room",
    ),
    banded(
        "critical_distance_m",
        |band| StudyMetric::Room(RoomMetric::CriticalDistance(band)),
        "critical distance",
    ),
    room("schroeder_hz", RoomMetric::Schroeder, "Schroeder frequency"),
    room("volume_m3", RoomMetric::Volume, "volume of the room"),
    room("cost", RoomMetric::Cost, "what is in the room and has a price"),
];

const fn time(formula: Formula, band: usize) -> StudyMetric {
    StudyMetric::Room(RoomMetric::Time(formula, band))
}

/// What is measured where nothing is asked for: quickly found, and what the early limits speak of.
pub(crate) const USUAL: [&str; 4] = ["strongest_db", "strongest_ms", "over_limit", "early_sum_db"];

/// A name that is no figure, and what would be one.
pub(crate) struct UnknownFigure {
    /// What is wrong.
    pub(crate) message: String,
    /// A remedy.
    pub(crate) help: String,
}

/// The columns asked for, each once, in the order asked; `NAME@all` is all eight bands.
pub(crate) fn columns(asked: &[String]) -> Result<Vec<FigureColumn>, UnknownFigure> {
    let mut columns: Vec<FigureColumn> = Vec::new();
    let usual = || USUAL.map(str::to_owned).to_vec();
    for name in if asked.is_empty() { usual() } else { asked.to_vec() } {
        for column in named(name.trim())? {
            if !columns.contains(&column) {
                columns.push(column);
            }
        }
    }
    Ok(columns)
}

fn named(asked: &str) -> Result<Vec<FigureColumn>, UnknownFigure> {
    let (name, at) = match asked.split_once('@') {
        Some((name, at)) => (name.trim(), Some(at.trim())),
        None => (asked, None),
    };
    if let Some(column) = DECAY_COLUMNS.iter().find(|column| column.name == name) {
        let figure = column.figure;
        let about = (column.name, "of the traced decay", column.factor, column.decimals);
        return in_bands(about, at, |band| StudyMetric::Decay(figure, band));
    }
    let Some(entry) = ENTRIES.iter().find(|entry| entry.name == name) else {
        return Err(unknown(name));
    };
    let about = (entry.name, entry.means, entry.factor, entry.decimals);
    match (&entry.of, at) {
        (NameSuffix::Plain(wanted), None) => {
            Ok(vec![column(about, entry.name.to_owned(), *wanted)])
        }
        (NameSuffix::Plain(_), Some(_)) => Err(UnknownFigure {
            message: format!("`{name}` has one value, not one for each frequency"),
            help: format!("write `{name}`"),
        }),
        (NameSuffix::Level(figure), None) => {
            let wanted = StudyMetric::List(*figure, LevelBands::Early);
            Ok(vec![column(about, entry.name.to_owned(), wanted)])
        }
        (NameSuffix::Level(figure), at) => {
            in_bands(about, at, |band| StudyMetric::List(*figure, LevelBands::Band(band)))
        }
        (NameSuffix::Band(wanted), at) => in_bands(about, at, wanted),
        (NameSuffix::Tone, at) => tone(about, at),
    }
}

type FigureFacts = (&'static str, &'static str, f64, i32);

fn column(
    (_, means, factor, decimals): FigureFacts,
    name: String,
    wanted: StudyMetric,
) -> FigureColumn {
    FigureColumn { name, means, wanted, factor, decimals }
}

fn in_bands(
    about: FigureFacts,
    at: Option<&str>,
    wanted: impl Fn(usize) -> StudyMetric,
) -> Result<Vec<FigureColumn>, UnknownFigure> {
    let name = about.0;
    let of_band = |band: usize| column(about, format!("{name}@{}", NOMINAL_HZ[band]), wanted(band));
    if at == Some("all") {
        return Ok((0..NOMINAL_HZ.len()).map(of_band).collect());
    }
    let band = at.and_then(|at| NOMINAL_HZ.iter().position(|hz| hz.to_string() == at));
    band.map(|band| vec![of_band(band)]).ok_or_else(|| UnknownFigure {
        message: match at {
            None => format!("`{name}` has a value in each octave band"),
            Some(at) => format!("`{name}` has no octave band `{}`", foreign::quoted(at)),
        },
        help: format!("write `{name}@1000` for one of 63 to 8000 Hz, or `{name}@all` for all"),
    })
}

fn tone(about: FigureFacts, at: Option<&str>) -> Result<Vec<FigureColumn>, UnknownFigure> {
    let name = about.0;
    let hz = at.and_then(|at| at.parse::<f64>().ok());
    match hz.filter(|hz| (LOWEST_HZ..=HIGHEST_HZ).contains(hz)) {
        Some(hz) => {
            let wanted = StudyMetric::Bass(BassMetric::Level(hz));
            Ok(vec![column(about, format!("{name}@{hz}"), wanted)])
        }
        None => Err(UnknownFigure {
            message: format!("`{name}` is the level at one frequency"),
            help: format!("write `{name}@63`, or another from {LOWEST_HZ} to {HIGHEST_HZ} Hz"),
        }),
    }
}

fn unknown(name: &str) -> UnknownFigure {
    let names = || {
        let decay = DECAY_COLUMNS.iter().map(|column| column.name);
        ENTRIES.iter().map(|entry| entry.name).chain(decay)
    };
    let help = match nearest_name(name, names()) {
        Some(near) => format!("did you mean `{near}`? `earline sweep --help` lists all of them"),
        None => format!("there are {}", list_names(names())),
    };
    let message = format!("there is no figure `{}`", foreign::quoted(name));
    UnknownFigure { message, help }
}

/// Every name with what it means, for the help.
pub(crate) fn help() -> String {
    let mut lines = vec!["Figures (after @ comes an octave band, 63 to 8000, or all):".to_owned()];
    for entry in &ENTRIES {
        let at = match entry.of {
            NameSuffix::Plain(_) => "",
            NameSuffix::Level(_) => "[@BAND]",
            NameSuffix::Band(_) => "@BAND",
            NameSuffix::Tone => "@HZ",
        };
        lines.push(format!("  {:<33} {}", format!("{}{at}", entry.name), entry.means));
    }
    for column in &DECAY_COLUMNS {
        let name = format!("{}@BAND", column.name);
        lines.push(format!("  {name:<33} of the traced decay, with its standard error"));
    }
    lines.join("\n")
}

impl FigureColumn {
    /// Whether a column with the standard error stands beside it.
    pub(crate) fn has_error(&self) -> bool {
        matches!(self.wanted, StudyMetric::Decay(..))
    }

    /// What is written of a value: itself, and where it has one its standard error.
    pub(crate) fn written(&self, found: Option<Estimate>) -> Vec<Option<f64>> {
        let digits = |value: f64| {
            let value = value * self.factor;
            value.is_finite().then(|| to_decimals(value, self.decimals))
        };
        let mut written = vec![found.and_then(|found| digits(found.value))];
        if self.has_error() {
            written.push(found.and_then(|found| found.standard_error).and_then(digits));
        }
        written
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(asked: &[&str]) -> Vec<String> {
        let asked: Vec<String> = asked.iter().map(|&name| name.to_owned()).collect();
        match columns(&asked) {
            Ok(columns) => columns.into_iter().map(|column| column.name).collect(),
            Err(unknown) => panic!("{}", unknown.message),
        }
    }

    fn refused(asked: &str) -> UnknownFigure {
        match columns(&[asked.to_owned()]) {
            Ok(_) => panic!("{asked} was taken"),
            Err(unknown) => unknown,
        }
    }

    #[test]
    fn names_bands_and_frequencies_are_taken() {
        assert_eq!(names(&[]), USUAL);
        let asked = ["t20_s@1000", "strongest_db@500", "bass_level_db@41.9", "cost", "t20_s@1000"];
        assert_eq!(names(&asked), asked[..4]);
        assert_eq!(names(&["eyring_s@all"]).len(), 8);
    }

    #[test]
    fn what_is_no_figure_is_refused_with_a_remedy() {
        for (asked, message, help) in [
            ("strongets_db", "no figure `strongets_db`", "did you mean `strongest_db`?"),
            ("loudness", "no figure", "there are `strongest_db`"),
            ("t20_s", "in each octave band", "`t20_s@1000`"),
            ("t20_s@900", "no octave band `900`", "`t20_s@all`"),
            ("cost@63", "one value", "write `cost`"),
            ("bass_level_db", "at one frequency", "`bass_level_db@63`"),
            ("bass_level_db@9", "at one frequency", "10 to 500 Hz"),
        ] {
            let refused = refused(asked);
            assert!(refused.message.contains(message), "{asked}: {}", refused.message);
            assert!(refused.help.contains(help), "{asked}: {}", refused.help);
        }
    }
}
