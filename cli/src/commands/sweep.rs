//! `earline sweep`.

use crate::answer;
use crate::args::{self, Varied};
use crate::exit::{Done, Failure};
use crate::input::Loaded;
use crate::progress::Progress;
use crate::report::sweep::SweepDocument;
use crate::report::to_json;
use crate::select;
use crate::swept::{
    Column, IDENTITY_SCHEMA, Identity, Journal, Kept, Noting, Outcome, Part, RowKey, Table,
    figure_width, figures, gather, parquet,
};
use crate::terminal;
use crate::write::{Output, Stop, write_all};
use anyhow::Context;
use earline_engine::rays::RayCount;
use earline_engine::scene::{Dial, Problem, Scene, Severity};
use earline_engine::sweep::{
    Design, DesignError, Factor, Levels, MOST_DRAWS, Measuring, Part as Turned, Way, measure,
};
use earline_engine::trace::Plan;
use earline_engine::whole_decay::ray_plan;
use rayon::prelude::*;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// The curve that traced decays begin from runs so long after the direct sound, seconds; as `trace`.
const CURVE_S: f64 = 0.5;

/// All that is the same in every run.
struct Sweep<'a> {
    loaded: &'a Loaded,
    design: Design,
    columns: Vec<Column>,
    measuring: Measuring,
    /// States by name; `None` where everything is in.
    variants: Vec<Option<String>>,
    keys: Vec<RowKey>,
    identity: Identity,
}

pub(super) fn run(args: &args::Sweep, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    let stopped = stop.watch_gently().context("cannot listen for Ctrl-C")?;
    let loaded = super::load(&args.scene)?;
    let sweep = prepare(args, &loaded)?;
    let folder = super::folder(&args.destination, &args.scene);
    if let Some(run) = args.take {
        return take(&sweep, run, &folder, &stop, quiet);
    }
    let progress = Progress::start("sweeping", quiet || args.destination.json);
    let part = args.shard.unwrap_or(Part::WHOLE);
    let runs = if args.destination.json {
        let all = (0..sweep.design.runs()).collect();
        sweep.done(all, &progress, &stopped, None)?.into_iter().map(|(_, done)| done).collect()
    } else {
        match all_runs(&sweep, &folder, part, args.merge, &progress, &stopped, quiet)? {
            Some(runs) => runs,
            None => return Ok(Done::Well),
        }
    };
    stopped.store(true, Ordering::Relaxed);
    progress.stage("writing");
    let Sweep { design, keys, columns, .. } = &sweep;
    let table = Table { design, keys, columns, runs: &runs };
    let title = loaded.scene.title();
    let json = to_json(&SweepDocument::new(&table, title, args.destination.json))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    let outputs = [
        Output { name: "sweep.csv".to_owned(), bytes: table.csv()? },
        Output { name: "sweep.parquet".to_owned(), bytes: parquet(&table)? },
        Output { name: "sweep.json".to_owned(), bytes: json },
    ];
    write_all(&folder, &outputs, &stop)?;
    // The table has all of it. Files of other parts are not this process's to remove.
    Journal::remove(&folder, Part::WHOLE)?;
    drop(progress);
    terminal::answer(&answer::sweep::text(&table, title, &folder, terminal::width()))?;
    if !quiet {
        super::notes(&loaded, &folder, &outputs);
    }
    Ok(Done::Well)
}

/// Every run of the sweep, those that were kept and the part's that were not; `None` where other
/// parts are still to be done.
fn all_runs(
    sweep: &Sweep<'_>,
    folder: &Path,
    part: Part,
    merge: bool,
    progress: &Progress,
    stopped: &AtomicBool,
    quiet: bool,
) -> Result<Option<Vec<Outcome>>, Failure> {
    let kept = kept(sweep, folder)?;
    let total = sweep.design.runs();
    let missing: Vec<usize> =
        (0..total).filter(|&run| part.holds(run) && !kept.runs.contains_key(&run)).collect();
    if merge && !missing.is_empty() {
        return Err(anyhow::anyhow!(
            "{} of {total} runs are not in {}, the first of them run {}; start the parts that are \
             missing, or leave --merge out and they are done here",
            missing.len(),
            folder.display(),
            missing.first().copied().unwrap_or_default(),
        )
        .into());
    }
    let mut runs = kept.runs;
    if !missing.is_empty() || (part != Part::WHOLE && !folder.join(part.file()).exists()) {
        let journal = Journal::open(folder, part, &sweep.identity)?;
        let done = sweep.done(missing, progress, stopped, Some(&journal));
        journal.finish()?;
        match done {
            Ok(done) => runs.extend(done),
            Err(Failure::Stopped) => {
                if !quiet {
                    terminal::closing_notes(&[format!(
                        "Stopped. What is done is kept in {}; the same command goes on from there.",
                        folder.display()
                    )]);
                }
                return Err(Failure::Stopped);
            }
            Err(failure) => return Err(failure),
        }
    }
    if part == Part::WHOLE {
        return Ok(Some(runs.into_values().collect()));
    }
    let Part { number, of } = part;
    let mine = (0..total).filter(|&run| part.holds(run)).count();
    terminal::answer(&format!(
        "Part {number} of {of} is done: {mine} of {total} runs, kept in {}.\nWhen all parts are there, \
         the same command with --merge in place of --shard writes the table.\n",
        folder.join(part.file()).display()
    ))?;
    Ok(None)
}

/// What earlier processes left in the folder, all of it of this very sweep.
fn kept(sweep: &Sweep<'_>, folder: &Path) -> Result<Kept, Failure> {
    let (rows, width) = (sweep.keys.len(), figure_width(&sweep.columns));
    let total = sweep.design.runs();
    let fits = |run: usize, outcome: &Outcome| run < total && outcome.has_shape(rows, width);
    let kept = gather(folder, &sweep.identity, fits)?;
    if let Some((path, differences)) = &kept.foreign {
        return Err(Failure::usage(
            &format!(
                "`{}` keeps the runs of another sweep; different are {}",
                path.display(),
                differences.join(" and ")
            ),
            "name another folder with --out, or remove that file if its runs are not wanted",
        ));
    }
    if kept.unreadable > 0 {
        terminal::closing_notes(&[format!(
            "{} lines in {} cannot be read; their runs are done again.",
            kept.unreadable,
            folder.display()
        )]);
    }
    Ok(kept)
}

/// Writes the scene of one run.
fn take(
    sweep: &Sweep<'_>,
    run: usize,
    folder: &Path,
    stop: &Stop,
    quiet: bool,
) -> Result<Done, Failure> {
    let (design, loaded) = (&sweep.design, sweep.loaded);
    let total = design.runs();
    if total <= run {
        return Err(Failure::usage(
            &format!("the sweep has no run {run}"),
            &format!("runs are numbered from 0 to {}", total.saturating_sub(1)),
        ));
    }
    let values = design.values(run);
    let said: Vec<String> = design
        .factors()
        .iter()
        .zip(values)
        .map(|(factor, value)| format!("# {} = {value}\n", factor.name))
        .collect();
    let text = format!(
        "# Run {run} of `earline sweep`, with\n{}# A starting point to experiment from.\n\n{}",
        said.concat(),
        design.text(&loaded.text, run)
    );
    let name = format!("run-{run}.toml");
    let outputs = [Output { name, bytes: text.into_bytes() }];
    write_all(folder, &outputs, stop)?;
    if !quiet {
        super::notes(loaded, folder, &outputs);
    }
    let why = match design.scene(&loaded.text, &loaded.attachments, run) {
        Ok(_) => String::new(),
        Err(problems) => format!("The rules of scene files refuse it: {}.\n", first(&problems)),
    };
    let path = folder.join(format!("run-{run}.toml"));
    terminal::answer(&format!("{}\n{why}", path.display()))?;
    Ok(Done::Well)
}

impl Sweep<'_> {
    /// Does runs, keeps each as it is done, and gives them by their number.
    fn done(
        &self,
        runs: Vec<usize>,
        progress: &Progress,
        stopped: &AtomicBool,
        journal: Option<&Journal>,
    ) -> Result<Vec<(usize, Outcome)>, Failure> {
        let counted = progress.counted("sweeping", Some(runs.len() as u64));
        let failed: Mutex<Option<anyhow::Error>> = Mutex::default();
        let one = |run: usize| {
            if stopped.load(Ordering::Relaxed) {
                return None;
            }
            let outcome = self.one(run);
            if let Some(Err(error)) = journal.map(|journal| journal.keep(run, &outcome)) {
                stopped.store(true, Ordering::Relaxed);
                failed
                    .lock()
                    .unwrap_or_else(std::sync::PoisonError::into_inner)
                    .get_or_insert(error);
                return None;
            }
            counted.add(1);
            Some((run, outcome))
        };
        let done: Vec<Option<(usize, Outcome)>> = runs.into_par_iter().map(one).collect();
        if let Some(error) = failed.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner)
        {
            return Err(error.into());
        }
        done.into_iter().collect::<Option<Vec<_>>>().ok_or(Failure::Stopped)
    }

    fn one(&self, run: usize) -> Outcome {
        let loaded = self.loaded;
        let scene = match self.design.scene(&loaded.text, &loaded.attachments, run) {
            Ok(parsed) => parsed.scene,
            Err(problems) => return Outcome::Refused(first(&problems)),
        };
        let mut rows = Vec::new();
        for variant in &self.variants {
            let Some(state) = scene.state(variant.as_deref()) else {
                return Outcome::Refused("the scene has no such state".to_owned());
            };
            match measure(&scene, &state, &self.measuring) {
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
fn first(problems: &[Problem]) -> String {
    let error = problems.iter().find(|problem| problem.severity == Severity::Error);
    error.map_or_else(String::new, |problem| problem.message.clone())
}

fn prepare<'a>(args: &args::Sweep, loaded: &'a Loaded) -> Result<Sweep<'a>, Failure> {
    let scene = &loaded.scene;
    let design = design(args, &loaded.text)?;
    if let Some(factor) = design.ill_fitting(&loaded.text, &loaded.attachments).first() {
        return Err(Failure::usage(
            &format!("`{}` is not a length", factor.name),
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
    let keys = keys(scene, &variants, &measuring.plan)?;
    let identity = identity(args, loaded, &design, &columns, &keys);
    Ok(Sweep { loaded, design, columns, measuring, variants, keys, identity })
}

fn design(args: &args::Sweep, text: &str) -> Result<Design, Failure> {
    let set = args.vary.iter().map(|varied| factor(varied, Way::Set, text));
    let shifted = args.shifts.iter().map(|varied| factor(varied, Way::Shift, text));
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
            DesignError::Draws => format!("give --draws from 1 to {MOST_DRAWS}"),
            _ => "vary fewer numbers, or take larger steps".to_owned(),
        };
        Failure::usage(&wrong.to_string(), &remedy)
    })
}

fn factor(varied: &Varied, way: Way, text: &str) -> Result<Factor, Failure> {
    let Varied { numbers, levels, is_length, .. } = varied;
    // A name may hold the sign that joins several: then it is one number after all.
    let parts = match part(numbers, way, text) {
        Err(_) if numbers.contains('&') => {
            numbers.split('&').map(|one| part(one.trim(), way, text)).collect::<Result<_, _>>()?
        }
        one => vec![one?],
    };
    let name = match way {
        Way::Set => numbers.clone(),
        Way::Shift => format!("shift {numbers}"),
    };
    Ok(Factor { name, parts, way, levels: levels.clone(), is_length: *is_length })
}

fn part(number: &str, way: Way, text: &str) -> Result<Turned, Failure> {
    let (name, opposite) = match number.strip_prefix('-') {
        Some(rest) if way == Way::Shift => (rest.trim_start(), true),
        _ => (number, false),
    };
    let dial =
        Dial::find(text, name).map_err(|wrong| Failure::usage(&wrong.message, &wrong.help))?;
    Ok(Turned { dial, opposite })
}

fn measuring(args: &args::Sweep, scene: &Scene, columns: &[Column]) -> Result<Measuring, Failure> {
    let choice = args::Choice {
        variant: None,
        listeners: args.listeners.clone(),
        speakers: args.speakers.clone(),
    };
    let selection = select::select(scene, &choice)?;
    let window_s = args.window / 1000.0;
    let plan = Plan {
        speakers: selection.speakers,
        listeners: selection.listeners,
        order: usize::from(args.order),
        window_s,
        curve_s: CURVE_S.max(window_s),
    };
    let wanted: Vec<_> = columns.iter().map(|column| column.wanted).collect();
    let count = match args.rays.count() {
        Some(count) => count,
        None if columns.iter().any(Column::has_error) => {
            return Err(Failure::usage(
                "figures of the decay need rays",
                "leave --rays 0 out, or ask for figures by formula, as eyring_s@1000",
            ));
        }
        None => RayCount::Fixed(0),
    };
    let rays = ray_plan(count, args.rays.seed, args.rays.floor_db);
    Ok(Measuring { wanted, plan, limit: args.limit, rays })
}

/// Whose row each is, in the order of a run's values.
fn keys(scene: &Scene, variants: &[Option<String>], plan: &Plan) -> Result<Vec<RowKey>, Failure> {
    let mut keys = Vec::new();
    for variant in variants {
        let state = select::state(scene, variant.as_deref())?;
        for &listener in &plan.listeners {
            for &speaker in &plan.speakers {
                keys.push(RowKey {
                    variant: state.name.unwrap_or_default().to_owned(),
                    speaker: scene.speakers()[speaker].name.clone(),
                    listener: scene.listeners()[listener].name.clone(),
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
    columns: &[Column],
    keys: &[RowKey],
) -> Identity {
    let noting = Noting::new(&loaded.attachments);
    // Only to see which files it names: the text is a scene.
    let _ = Scene::parse(&loaded.text, &noting);
    let levels = |factor: &Factor| match &factor.levels {
        Levels::Each(levels) => format!("{levels:?}"),
        Levels::Between(from, to) => format!("{from}..{to}"),
    };
    let factors = design.factors().iter();
    Identity {
        schema: IDENTITY_SCHEMA.to_owned(),
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
            args.order,
            args.window,
            args.limit.key,
            args.rays.count(),
            args.rays.floor_db,
            args.rays.seed
        ),
        scene: loaded.text.clone(),
        attachments: noting.into_read(),
    }
}
