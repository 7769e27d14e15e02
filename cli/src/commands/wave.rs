//! `earline wave`.

use crate::args;
use crate::content;
use crate::content::wavefront::{Film, MOST_PICTURES, Shot, WavefrontView, file_name};
use crate::export::to_json;
use crate::export::wave::WaveDocument;
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::select::select;
use crate::io::terminal;
use crate::io::write::Stop;
use crate::plot;
use crate::plot::figures::PictureFormats;
use anyhow::Context;
use earline_engine::analysis::wavefront::WavefrontError;
use earline_engine::scene::SpeakerId;
use std::path::Path;

pub(super) fn run(args: &args::Wave, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let film = Film { slow: args.slow, until_ms: args.until, band: args.band };
    if MOST_PICTURES < film.pictures() {
        return Err(Failure::usage(
            &format!("this would be {} pictures", film.pictures()),
            &format!(
                "end sooner with --until or go faster with --slow: up to {MOST_PICTURES} are made"
            ),
        ));
    }
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let choice = args::Choice {
        variant: args.variant.clone(),
        listeners: args.listeners.clone(),
        speakers: args.speaker.iter().cloned().collect(),
    };
    let selection = select(scene, &choice)?;
    let speaker = selection.speakers.first().copied().unwrap_or(SpeakerId::new(0));
    let progress = Progress::start("following the sound", waiting, args.destination.json);
    let shots: Vec<Shot<'_>> = args
        .cuts()
        .into_iter()
        .map(|cut| Shot::new(scene, &selection.state, speaker, cut, &film))
        .collect::<Result<_, _>>()
        .map_err(|wrong| refused(&wrong))?;
    let happenings =
        shots.first().map(|shot| shot.wave.events(&selection.listeners)).unwrap_or_default();
    let filmed = WavefrontView {
        scene,
        state: &selection.state,
        speaker,
        listeners: &selection.listeners,
        film,
        shots,
        happenings,
    };
    let json = to_json(&WaveDocument::new(&filmed))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    outputs.add("wave.json", json);
    let total = (film.pictures() * filmed.shots.len()) as u64;
    let counted = progress.counted("drawing pictures", Some(total));
    let mut reels = Vec::new();
    for shot in &filmed.shots {
        outputs.extend(PictureFormats::SvgAndPng.files(&plot::poster(&filmed, shot), "")?);
        let reel = plot::shoot(&filmed, shot, &|more| counted.add(more))?;
        reels.push(reel.sizes());
        outputs.extend(reel.outputs);
    }
    progress.stage("writing");
    outputs.write(&stop)?;
    drop(progress);
    super::show(&content::wavefront::document::document(&filmed, &reels))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, None);
        let left_over = left_over(&filmed, outputs.folder());
        if !left_over.is_empty() {
            terminal::closing_notes(&left_over);
        }
    }
    Ok(Done::Well)
}

/// Pictures of a longer film in the same folder, which whoever cuts films would take for this one's.
fn left_over(filmed: &WavefrontView<'_>, folder: &Path) -> Vec<String> {
    let next = filmed.film.pictures() + 1;
    let names = filmed.shots.iter().map(|shot| file_name(shot.wave.cut()));
    names
        .filter(|name| folder.join(format!("{name}/{next:04}.png")).exists())
        .map(|name| {
            format!(
                "Pictures from {next:04} on in {name} are of an older, longer film: delete them."
            )
        })
        .collect()
}

fn refused(wrong: &WavefrontError) -> Failure {
    Failure::usage(&wrong.to_string(), "ask for another moment with --until")
}
