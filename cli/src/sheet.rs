//! From a trace to the picture files of each seat.

use crate::answer::Told;
use crate::compared::Compared;
use crate::picture::{self, Drawing, Input, Shown};
use crate::write::Output;
use anyhow::Result;
use rayon::prelude::*;

/// Plan, section and energy-time curve of every seat, each as SVG and PNG.
///
/// The first seat's files have the plain names; every further seat's carry its name.
///
/// # Errors
/// When a picture cannot be rendered.
pub(crate) fn outputs(told: &Told<'_>) -> Result<Vec<Output>> {
    let mut sheets: Vec<(Input, String)> = Vec::new();
    for (index, &listener) in told.plan.listeners.iter().enumerate() {
        let Some(input) =
            picture::from_trace(told.scene, told.state, told.trace, listener, told.limit)
        else {
            continue;
        };
        let taken: Vec<&str> = sheets.iter().map(|(_, ending)| ending.as_str()).collect();
        let ending =
            if index == 0 { String::new() } else { ending(&input.listener.name, index, &taken) };
        sheets.push((input, ending));
    }
    let views: [fn(&Input) -> Drawing; 3] = [picture::plan, picture::section, picture::energy_time];
    let wanted: Vec<_> = sheets.iter().flat_map(|sheet| views.map(|view| (view, sheet))).collect();
    let files: Vec<[Output; 2]> = wanted
        .into_par_iter()
        .map(|(view, (input, ending))| files(&view(input), ending))
        .collect::<Result<_>>()?;
    Ok(files.into_iter().flatten().collect())
}

/// The states of a comparison: their curves over each other, their plans side by side.
///
/// # Errors
/// When a picture cannot be rendered.
pub(crate) fn comparison(compared: &Compared<'_>) -> Result<Vec<Output>> {
    let shown = picture::from_compared(compared);
    let views: [fn(&[Shown]) -> Drawing; 2] = [picture::overlay, picture::plans];
    let pictures: Vec<[Output; 2]> =
        views.into_par_iter().map(|view| files(&view(&shown), "")).collect::<Result<_>>()?;
    Ok(pictures.into_iter().flatten().collect())
}

/// A drawing's two files.
fn files(drawing: &Drawing, ending: &str) -> Result<[Output; 2]> {
    let picture = picture::render(drawing)?;
    let name = format!("{}{ending}", picture.name);
    Ok([
        Output { name: format!("{name}.svg"), bytes: picture.svg.into_bytes() },
        Output { name: format!("{name}.png"), bytes: picture.png },
    ])
}

/// `-standing`: a listener's name as part of a file name, with its number where names clash.
fn ending(name: &str, index: usize, taken: &[&str]) -> String {
    let letters = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect::<String>();
    let plain = letters.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    let ending = format!("-{plain}");
    if plain.is_empty() || taken.contains(&ending.as_str()) {
        format!("{}-{}", ending.trim_end_matches('-'), index + 1)
    } else {
        ending
    }
}
