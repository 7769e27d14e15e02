//! `earline tape`.

use crate::args;
use crate::content;
use crate::content::placement_tolerance::result::PlacementTolerance;
use crate::content::setting_out::SettingOutSheet;
use crate::export::tape::TapeDocument;
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::select::select_with_subwoofers;
use crate::io::terminal;
use crate::io::write::Stop;
use crate::plot;
use anyhow::Context;
use earline_engine::analysis::setting_out::setting_out;
use earline_engine::scene::Units;

pub(super) fn run(args: &args::Tape, quiet: bool) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select_with_subwoofers(scene, &args.choice)?;
    let out = setting_out(scene, &selection.speakers, &selection.listeners);
    let care = PlacementTolerance::of(
        scene,
        &loaded.attachments,
        &selection.state,
        &out,
        (&selection.speakers, &selection.listeners),
        f64::from(args.seated) / 100.0,
    )
    .map_err(anyhow::Error::msg)?;
    let setting = SettingOutSheet {
        scene,
        state: &selection.state,
        units: args.units.map_or(scene.units(), Units::from),
        out: &out,
        care: &care,
    };
    let json = to_json(&TapeDocument::new(&setting))?;
    if args.destination.json {
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    outputs.add("tape.json", json);
    outputs.extend(args.pictures.formats().files(&plot::tape_sheet(&setting), "")?);
    outputs.write(&stop)?;
    let answer = if args.detail.full {
        content::setting_out::document::document(&setting)
    } else {
        content::setting_out::brief::brief(&setting)
    };
    super::show(&answer)?;
    if !quiet {
        super::notes(&loaded, &outputs, (!args.detail.full).then_some("tape"));
    }
    Ok(Done::Well)
}
