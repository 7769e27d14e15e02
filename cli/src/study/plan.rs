//! What a sweep does, from the command line and the scene.

use super::figures::{self, FigureColumn};
use super::identity::{Identity, RecordingAttachments, SCHEMA};
use super::sweep_table::{Outcome, RowKey};
use crate::args::{self, Varied};
use crate::format::foreign;
use crate::io::exit::Failure;
use crate::io::input::Loaded;
use crate::io::select;
use earline_engine::explore::study::{
    Design, DesignError, Factor, FactorParameter, Levels, MAX_DRAWS, MetricPlan, Operation,
    evaluate_metrics,
};
use earline_engine::scene::{Problem, Scene, SceneParameter, Severity};
use earline_engine::simulate::defaults::EARLY_RESPONSE_S;
use earline_engine::simulate::{Request, ResponseRequest};

/// All that is the same in every run.
pub(crate) struct SweepPlan<'a> {
    /// The scene that runs are made from.
    pub(crate) loaded: &'a Loaded,
    /// Which run has which values.
    pub(crate) design: Design,
    /// The figures.
    pub(crate) columns: Vec<FigureColumn>,
    measuring: MetricPlan,
    /// States by name; `None` where everything is in.
    variants: Vec<Option<String>>,
    /// Whose the rows of a run are.
    pub(crate) keys: Vec<RowKey>,
    /// What runs that are kept are known by.
    pub(crate) identity: Identity,
}

impl<'a> SweepPlan<'a> {
    /// The sweep that a command line asks for.
    ///
    /// # Errors
    /// Anything asked for that the scene does not have, or that makes no sweep.
    pub(crate) fn new(args: &args::Sweep, loaded: &'a Loaded) -> Result<Self, Failure> {
        let scene = &loaded.scene;
        let design = design(args, &loaded.text)?;
        if let Some(factor) = design.mismatched_units(&loaded.text, &loaded.attachments).first() {
            return Err(Failure::usage(
                &format!("`{}` is not a length", foreign::quoted(&factor.name)),
                "give its values as bare numbers, without a unit",
            ));
        }
        let columns = figures::columns(&args.figures)
            .map_err(|unknown| Failure::usage(&unknown.message, &unknown.help))?;
        let measuring = measuring(args, scene, &columns)?;
        let variants: Vec<Option<String>> = if args.variants.is_empty() {
            vec![None]
        } else {
            select::variants(scene, &args.variants)?;
            args.variants.iter().cloned().map(Some).collect()
        };
        let keys = keys(scene, &variants, &measuring.request)?;
        let identity = identity(args, loaded, &design, &columns, &keys);
        Ok(Self { loaded, design, columns, measuring, variants, keys, identity })
    }

    /// What becomes of one run.
    pub(crate) fn one(&self, run: usize) -> Outcome {
        let loaded = self.loaded;
        let scene = match self.design.scene(&loaded.text, &loaded.attachments, run) {
            Ok(parsed) => parsed.scene,
            Err(problems) => return Outcome::Refused(first_error(&problems)),
        };
        let mut rows = Vec::new();
        for variant in &self.variants {
            let Some(state) = scene.variant(variant.as_deref()) else {
                return Outcome::Refused("the scene has no such state".to_owned());
            };
            match evaluate_metrics(&scene, &state, &self.measuring) {
                Ok(found) => rows.extend(found.iter().map(|row| {
                    let cells = self.columns.iter().zip(&row.values);
                    cells.flat_map(|(column, value)| column.written(*value)).collect()
                })),
                Err(wrong) => return Outcome::Refused(wrong.to_string()),
            }
        }
        Outcome::Values(rows)
    }
}

/// The first error among problems.
fn first_error(problems: &[Problem]) -> String {
    let error = problems.iter().find(|problem| problem.severity == Severity::Error);
    error.map_or_else(String::new, |problem| problem.message.clone())
}

fn design(args: &args::Sweep, text: &str) -> Result<Design, Failure> {
    let set = args.vary.iter().map(|varied| factor(varied, Operation::Set, text));
    let shifted = args.shifts.iter().map(|varied| factor(varied, Operation::Shift, text));
    let factors: Vec<Factor> = set.chain(shifted).collect::<Result<_, _>>()?;
    let designed = match args.draws {
        None => Design::grid(factors),
        Some(draws) => Design::drawn(factors, draws, args.rays.seed),
    };
    designed.map_err(|wrong| {
        let remedy = match wrong {
            DesignError::NoStep(_) => {
                "write it as FROM..TO:STEP, or ask for so many runs with --draws".to_owned()
            }
            DesignError::Same(..) => "name each number once".to_owned(),
            DesignError::Draws => format!("give --draws from 1 to {MAX_DRAWS}"),
            _ => "vary fewer numbers, or take larger steps".to_owned(),
        };
        Failure::usage(&wrong.to_string(), &remedy)
    })
}

fn factor(varied: &Varied, operation: Operation, text: &str) -> Result<Factor, Failure> {
    let Varied { numbers, levels, is_length, .. } = varied;
    // A name may hold the sign that joins several: then it is one number after all.
    let parts = match part(numbers, operation, text) {
        Err(_) if numbers.contains('&') => numbers
            .split('&')
            .map(|one| part(one.trim(), operation, text))
            .collect::<Result<_, _>>()?,
        one => vec![one?],
    };
    let name = match operation {
        Operation::Set => numbers.clone(),
        Operation::Shift => format!("shift {numbers}"),
    };
    Ok(Factor { name, parameters: parts, operation, levels: levels.clone(), is_length: *is_length })
}

fn part(number: &str, operation: Operation, text: &str) -> Result<FactorParameter, Failure> {
    let (name, opposite) = match number.strip_prefix('-') {
        Some(rest) if operation == Operation::Shift => (rest.trim_start(), true),
        _ => (number, false),
    };
    let dial = SceneParameter::find(text, name)
        .map_err(|wrong| Failure::usage(&wrong.message, &wrong.help))?;
    Ok(FactorParameter { parameter: dial, opposite })
}

fn measuring(
    args: &args::Sweep,
    scene: &Scene,
    columns: &[FigureColumn],
) -> Result<MetricPlan, Failure> {
    let choice = args::Choice {
        variant: None,
        listeners: args.listeners.clone(),
        speakers: args.speakers.clone(),
    };
    let selection = select::select(scene, &choice)?;
    let wanted: Vec<_> = columns.iter().map(|column| column.wanted).collect();
    let rays = args.rays.request();
    if rays.is_none() && columns.iter().any(FigureColumn::has_error) {
        return Err(Failure::usage(
            "figures of the decay need rays",
            "leave --rays 0 out, or ask for figures by formula, as eyring_s@1000",
        ));
    }
    let list = args.listed.request(selection.speakers, selection.listeners);
    let early_s = EARLY_RESPONSE_S.max(list.window_s);
    let response = ResponseRequest { rays, ..ResponseRequest::early(early_s) };
    let request = Request { response: Some(response), ..list };
    Ok(MetricPlan { wanted, request, limit: args.listed.limit })
}

/// Whose row each is, in the order of a run's values.
fn keys(
    scene: &Scene,
    variants: &[Option<String>],
    plan: &Request,
) -> Result<Vec<RowKey>, Failure> {
    let mut keys = Vec::new();
    for variant in variants {
        let state = select::state(scene, variant.as_deref())?;
        for &listener in &plan.listeners {
            for &speaker in &plan.speakers {
                keys.push(RowKey {
                    variant: state.name.unwrap_or_default().to_owned(),
                    speaker: scene[speaker].name.clone(),
                    listener: scene[listener].name.clone(),
                });
            }
        }
    }
    Ok(keys)
}

fn identity(
    args: &args::Sweep,
    loaded: &Loaded,
    design: &Design,
    columns: &[FigureColumn],
    keys: &[RowKey],
) -> Identity {
    let recorder = RecordingAttachments::new(&loaded.attachments);
    // Only to see which files it names: the text is a scene.
    let _ = Scene::parse(&loaded.text, &recorder);
    let levels = |factor: &Factor| match &factor.levels {
        Levels::Each(levels) => format!("{levels:?}"),
        Levels::Between(from, to) => format!("{from}..{to}"),
    };
    let factors = design.factors().iter();
    Identity {
        schema: SCHEMA.to_owned(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
        factors: factors.map(|f| format!("{}={} {}", f.name, levels(f), f.is_length)).collect(),
        draws: design.draws(),
        rows: keys
            .iter()
            .map(|k| format!("{}, {}, {}", k.variant, k.speaker, k.listener))
            .collect(),
        figures: columns.iter().map(|column| column.name.clone()).collect(),
        settings: format!(
            "order {}, window {} ms, limit {}, rays {:?}, floor {} dB, seed {}",
            args.listed.order,
            args.listed.window,
            args.listed.limit.key,
            args.rays.count(),
            args.rays.floor_db,
            args.rays.seed
        ),
        scene: loaded.text.clone(),
        attachments: recorder.into_read(),
    }
}
