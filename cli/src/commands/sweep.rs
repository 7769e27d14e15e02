//! `earline sweep`.

use crate::args;
use crate::content;
use crate::export::sweep::SweepDocument;
use crate::export::to_json;
use crate::format::foreign;
use crate::io::exit::{Done, Failure};
use crate::io::input::Refusal;
use crate::io::progress::{Progress, Waiting};
use crate::io::terminal;
use crate::io::write::{OutputSet, SceneFile, Stop};
use crate::study::{
    CompletedRuns, Journal, Outcome, Shard, SweepPlan, SweepTable, figure_width, parquet,
};
use anyhow::Context;
use rayon::prelude::*;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

pub(super) fn run(args: &args::Sweep, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    let stopped = stop.watch_gently().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let sweep = SweepPlan::new(args, &loaded)?;
    if let Some(run) = args.take {
        return export_run(&sweep, run, &args.scene, outputs, &stop, waiting.quiet);
    }
    let progress = Progress::start("sweeping", waiting, args.destination.json);
    let folder = outputs.folder().to_owned();
    let runs = if args.destination.json {
        let all = (0..sweep.design.runs()).collect();
        sweep.done(all, &progress, &stopped, None)?.into_iter().map(|(_, done)| done).collect()
    } else {
        match all_runs(&sweep, args, &folder, &progress, (&stopped, &stop), waiting.quiet)? {
            Some(runs) => runs,
            None => return Ok(Done::Well),
        }
    };
    stopped.store(true, Ordering::Relaxed);
    progress.stage("writing");
    let SweepPlan { design, keys, columns, .. } = &sweep;
    let table = SweepTable { design, keys, columns, runs: &runs };
    let title = loaded.scene.title();
    let json = to_json(&SweepDocument::new(&table, title, args.destination.json))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    outputs.add("sweep.csv", table.csv()?);
    outputs.add("sweep.parquet", parquet(&table)?);
    outputs.add("sweep.json", json);
    outputs.write(&stop)?;
    // The table has all of it. Files of other shards are not this process's to remove.
    Journal::remove(&folder, Shard::WHOLE)?;
    drop(progress);
    super::show(&content::study::document(&table, title, &folder))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, None);
    }
    Ok(Done::Well)
}

/// Every run of the sweep, those that were kept and the shard's that were not; `None` where other
/// shards are still to be done.
fn all_runs(
    sweep: &SweepPlan<'_>,
    args: &args::Sweep,
    folder: &Path,
    progress: &Progress,
    (stopped, stop): (&AtomicBool, &Stop),
    quiet: bool,
) -> Result<Option<Vec<Outcome>>, Failure> {
    let shard = args.shard.unwrap_or(Shard::WHOLE);
    let kept = completed_runs(sweep, folder)?;
    let total = sweep.design.runs();
    let missing: Vec<usize> =
        (0..total).filter(|&run| shard.holds(run) && !kept.runs.contains_key(&run)).collect();
    if args.merge && !missing.is_empty() {
        return Err(anyhow::anyhow!(
            "{} of {total} runs are not in {}, the first of them run {}; start the parts that are \
             missing, or leave --merge out and they are done here",
            missing.len(),
            foreign::path(folder),
            missing.first().copied().unwrap_or_default(),
        )
        .into());
    }
    let mut runs = kept.runs;
    if !missing.is_empty() || (shard != Shard::WHOLE && !folder.join(shard.file()).exists()) {
        let journal = Journal::open(folder, shard, &sweep.identity, stop)?;
        let done = sweep.done(missing, progress, stopped, Some(&journal));
        journal.finish()?;
        match done {
            Ok(done) => runs.extend(done),
            Err(Failure::Stopped) => {
                if !quiet {
                    terminal::closing_notes(&[format!(
                        "Stopped. What is done is kept in {}; the same command goes on from there.",
                        foreign::path(folder)
                    )]);
                }
                return Err(Failure::Stopped);
            }
            Err(failure) => return Err(failure),
        }
    }
    if shard == Shard::WHOLE {
        return Ok(Some(runs.into_values().collect()));
    }
    let Shard { number, of } = shard;
    let mine = (0..total).filter(|&run| shard.holds(run)).count();
    terminal::answer(&format!(
        "Part {number} of {of} is done: {mine} of {total} runs, kept in {}.\nWhen all parts are there, \
         the same command with --merge in place of --shard writes the table.\n",
        foreign::path(folder.join(shard.file()))
    ))?;
    Ok(None)
}

/// Runs that earlier processes left in the folder, all of them of this very sweep.
fn completed_runs(sweep: &SweepPlan<'_>, folder: &Path) -> Result<CompletedRuns, Failure> {
    let (rows, width) = (sweep.keys.len(), figure_width(&sweep.columns));
    let total = sweep.design.runs();
    let fits = |run: usize, outcome: &Outcome| run < total && outcome.has_shape(rows, width);
    let kept = CompletedRuns::read(folder, &sweep.identity, fits)?;
    if let Some((path, differences)) = &kept.foreign {
        return Err(Failure::usage(
            &format!(
                "`{}` keeps the runs of another sweep; different are {}",
                foreign::path(path),
                differences.join(" and ")
            ),
            "name another folder with --out, or remove that file if its runs are not wanted",
        ));
    }
    if kept.unreadable > 0 {
        terminal::closing_notes(&[format!(
            "{} lines in {} cannot be read; their runs are done again.",
            kept.unreadable,
            foreign::path(folder)
        )]);
    }
    Ok(kept)
}

/// Writes the scene of one run. One that the rules refuse is shown as `check` would show it.
fn export_run(
    sweep: &SweepPlan<'_>,
    run: usize,
    scene: &Path,
    mut outputs: OutputSet,
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
    let (name, text) = (format!("run-{run}.toml"), design.text(&loaded.text, run));
    outputs.spares(scene, std::slice::from_ref(&name))?;
    if let Err(problems) = design.scene(&loaded.text, &loaded.attachments, run) {
        let refusal = Refusal::Scene { name, text, problems };
        return Err(Failure::Input(refusal.render(terminal::stderr_look())));
    }
    let values = design.factors().iter().zip(design.values(run));
    let mut comment = vec![format!("Run {run} of `earline sweep`, with")];
    comment.extend(values.map(|(factor, value)| format!("{} = {value}", factor.name)));
    comment.push("A starting point to experiment from.".to_owned());
    outputs.add_scene(&SceneFile {
        name: &name,
        comment: &comment,
        text: &text,
        attachments: &loaded.attachments,
    })?;
    outputs.write(stop)?;
    if !quiet {
        super::notes(loaded, &outputs, None);
    }
    terminal::answer(&format!("{}\n", foreign::path(outputs.folder().join(&name))))?;
    Ok(Done::Well)
}

impl SweepPlan<'_> {
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
                failed.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(error);
                return None;
            }
            counted.add(1);
            Some((run, outcome))
        };
        let done: Vec<Option<(usize, Outcome)>> = runs.into_par_iter().map(one).collect();
        if let Some(error) = failed.into_inner().unwrap_or_else(PoisonError::into_inner) {
            return Err(error.into());
        }
        done.into_iter().collect::<Option<Vec<_>>>().ok_or(Failure::Stopped)
    }
}
