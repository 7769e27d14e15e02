//! From a trace to the picture files of each seat.

use crate::canvas::Drawing;
use crate::content::comparison::ComparisonView;
use crate::content::safety_notes;
use crate::content::trace::TraceReport;
use crate::content::treatment::TreatmentView;
use crate::io::write::{OutputFile, plain};
use crate::plot::data::input::NewPiece;
use crate::plot::{self, ELEVATIONS, Input, ShownState};
use anyhow::Result;
use earline_engine::analysis::zones::{ZonePlan, zones};
use earline_engine::explore::treatment::AFTER;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::ray_tracing::FramePlan;
use earline_engine::scene::{ListenerId, Scene, Surface, Variant};
use earline_engine::simulate::{Request, Simulation, simulate};
use rayon::prelude::*;

const SEAT_VIEWS: [fn(&Input<'_>) -> Drawing; 3] = [plot::plan, plot::section, plot::energy_time];

/// Plan, section and energy-time curve of one seat, in this order.
///
/// `listener` is one of `scene`, and `trace` is a trace of `scene` in `state`; a trace without that
/// seat has no drawings. `limit` is the published limit that the curve shows and the paths keep to.
pub fn seat_drawings(
    scene: &Scene,
    state: &Variant<'_>,
    trace: &Simulation,
    listener: ListenerId,
    limit: &EarlyLimit,
) -> Vec<Drawing> {
    let input = plot::from_trace(scene, state, trace, listener, limit);
    input.map_or_else(Vec::new, |input| SEAT_VIEWS.par_iter().map(|view| view(&input)).collect())
}

/// Plan, section, energy-time curve, elevations and, where rays were followed, decay and
/// reverberation of every seat.
///
/// The first seat's files have the plain names; every further seat's carry its name.
///
/// # Errors
/// When a picture cannot be rendered.
pub(crate) fn outputs(
    report: &TraceReport<'_>,
    formats: PictureFormats,
) -> Result<Vec<OutputFile>> {
    let listeners = &report.plan.listeners;
    let files: Vec<Vec<OutputFile>> = listeners
        .par_iter()
        .zip(endings(report.scene, listeners))
        .map(|(&listener, ending)| {
            let drawings = report_drawings(report, listener);
            let files: Result<Vec<_>> =
                drawings.par_iter().map(|drawing| formats.files(drawing, &ending)).collect();
            Ok(files?.into_iter().flatten().collect())
        })
        .collect::<Result<_>>()?;
    Ok(files.into_iter().flatten().collect())
}

/// Everything that is drawn of one seat.
fn report_drawings(report: &TraceReport<'_>, listener: ListenerId) -> Vec<Drawing> {
    let input = plot::from_trace(report.scene, report.state, report.trace, listener, report.limit);
    let Some(input) = input else { return Vec::new() };
    let mut views: Vec<fn(&Input<'_>) -> Drawing> = SEAT_VIEWS.to_vec();
    let input = match report.zones.iter().find(|seat| seat.listener == listener) {
        Some(seat) => {
            views.extend(ELEVATIONS);
            input.with_zones(report.scene, report.state, report.zone_plan, seat)
        }
        None => input,
    };
    let input = match report.decay {
        Some(decay) => {
            views.extend([plot::decay, plot::reverberation] as [fn(&Input<'_>) -> Drawing; 2]);
            input.with_decay(report, decay, listener)
        }
        None => input,
    };
    // How sound spreads is the same for every seat: the first one's folder of pictures has it.
    let input = match report.snapshots {
        Some(snapshots) if report.plan.listeners.first() == Some(&listener) => {
            views.push(plot::spreading);
            input.with_spreading(report, snapshots)
        }
        _ => input,
    };
    views.into_par_iter().map(|view| view(&input)).collect()
}

/// The moments that are drawn, and the cells of the floor: about 15 cm in a small room.
pub(crate) fn moments(scene: &Scene) -> FramePlan {
    let room = scene.room();
    let cells = |metres: f64| {
        let cell_m = room.length_m.max(room.width_m) / LONGEST_IN_CELLS;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 40")]
        let cells = (metres / cell_m).round().max(1.0) as usize;
        cells
    };
    FramePlan {
        times_s: MOMENTS_MS.iter().map(|ms| ms / 1e3).collect(),
        exposure_s: 1e-3,
        cells: [cells(room.length_m), cells(room.width_m)],
    }
}

/// Cells along the longer side of the floor.
const LONGEST_IN_CELLS: f64 = 40.0;

/// Moments of the picture of how sound spreads, milliseconds after emission.
const MOMENTS_MS: [f64; 6] = [3.0, 6.0, 10.0, 16.0, 25.0, 50.0];

/// The states of a comparison: their curves over each other, their plans and all six surfaces side
/// by side.
///
/// # Errors
/// When a picture cannot be rendered.
pub(crate) fn comparison(
    view: &ComparisonView<'_>,
    formats: PictureFormats,
) -> Result<Vec<OutputFile>> {
    let shown = plot::from_compared(view);
    let views: [fn(&[ShownState]) -> Drawing; 2] = [plot::overlay, plot::plans];
    let whole = views.into_par_iter().map(|view| view(&shown));
    let flat = Surface::ALL.into_par_iter().map(|on| plot::elevations(&shown, on));
    let bass = plot::compared_bass(view).into_par_iter();
    let all = whole.chain(flat).chain(bass);
    let files: Result<Vec<_>> = all.map(|drawing| formats.files(&drawing, "")).collect();
    Ok(files?.into_iter().flatten().collect())
}

/// The surfaces that something new goes on, dimensioned to hang it, with the zones of the first
/// listener as they are covered then.
///
/// # Errors
/// When the room cannot be traced, or a picture cannot be rendered.
pub(crate) fn hangings(
    treated: &TreatmentView<'_>,
    formats: PictureFormats,
) -> Result<Vec<OutputFile>> {
    let scene = &treated.treatment.scene;
    let (Some(state), Some(&listener)) =
        (scene.variant(Some(AFTER)), treated.plan.listeners.first())
    else {
        return Ok(Vec::new());
    };
    let plan = Request { listeners: vec![listener], ..treated.plan.request() };
    let found = simulate(scene, &state, &plan, &())?;
    let zone_plan = ZonePlan {
        speakers: plan.speakers.clone(),
        listeners: vec![listener],
        head_half_m: treated.plan.head_half_m,
        frequency_hz: treated.plan.frequency_hz,
    };
    let seats = zones(scene, &state, &zone_plan)?;
    let input = plot::from_trace(scene, &state, &found, listener, treated.plan.limit);
    let Some((input, seat)) = input.zip(seats.first()) else { return Ok(Vec::new()) };
    let steps = treated.treatment.steps.iter().enumerate();
    let hung = steps
        .flat_map(|(index, step)| step.pieces.iter().map(move |piece| (index + 1, piece)))
        .map(|(step, (name, piece))| NewPiece {
            name: name.clone(),
            step,
            below_ceiling_m: piece.hang_m,
        })
        .collect();
    let cautions = safety_notes::on_sheet(treated);
    let kept_clear = scene.keep_clears();
    let input =
        Input { hung, kept_clear, cautions, ..input.with_zones(scene, &state, &zone_plan, seat) };
    let drawings = plot::hangings(&input);
    let files: Result<Vec<_>> =
        drawings.par_iter().map(|drawing| formats.files(drawing, "")).collect();
    Ok(files?.into_iter().flatten().collect())
}

/// Formats that every drawing is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PictureFormats {
    /// Lines that stay sharp.
    Svg,
    /// And pixels, for what shows no SVG.
    SvgAndPng,
}

impl PictureFormats {
    /// The files of a drawing, its name with an ending.
    ///
    /// # Errors
    /// When it cannot be rendered.
    pub(crate) fn files(self, drawing: &Drawing, ending: &str) -> Result<Vec<OutputFile>> {
        let name = format!("{}{ending}", drawing.name());
        let svg = OutputFile { name: format!("{name}.svg"), bytes: drawing.svg().into_bytes() };
        Ok(match self {
            Self::Svg => vec![svg],
            Self::SvgAndPng => {
                vec![svg, OutputFile { name: format!("{name}.png"), bytes: drawing.png()? }]
            }
        })
    }
}

/// Endings of the file names of each seat, all different.
pub(crate) fn endings(scene: &Scene, listeners: &[ListenerId]) -> Vec<String> {
    let mut endings: Vec<String> = Vec::new();
    for (index, &listener) in listeners.iter().enumerate() {
        let name = &scene[listener].name;
        let added = if index == 0 { String::new() } else { ending(name, index, &endings) };
        endings.push(added);
    }
    endings
}

/// `-standing`: a listener's name as part of a file name, with its number where names clash.
fn ending(name: &str, index: usize, taken: &[String]) -> String {
    let plain = plain(name);
    let ending = format!("-{plain}");
    if plain.is_empty() || taken.contains(&ending) {
        format!("{}-{}", ending.trim_end_matches('-'), index + 1)
    } else {
        ending
    }
}
