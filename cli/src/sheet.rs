//! From a trace to the picture files of each seat.

use crate::answer::Told;
use crate::picture::{self, Drawing, ELEVATIONS, Input};
use crate::write::Output;
use anyhow::Result;
use rayon::prelude::*;

/// Plan, section, energy-time curve and elevations of every seat, each as SVG and PNG.
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
        let seat = told.zones.iter().find(|seat| seat.listener == listener);
        let input = match seat {
            Some(seat) => input.with_zones(told.scene, told.state, told.zone_plan, seat),
            None => input,
        };
        let taken: Vec<&str> = sheets.iter().map(|(_, ending)| ending.as_str()).collect();
        let ending =
            if index == 0 { String::new() } else { ending(&input.listener.name, index, &taken) };
        sheets.push((input, ending));
    }
    let mut views: Vec<fn(&Input) -> Drawing> =
        vec![picture::plan, picture::section, picture::energy_time];
    views.extend(ELEVATIONS);
    let wanted: Vec<_> =
        sheets.iter().flat_map(|sheet| views.iter().map(move |view| (view, sheet))).collect();
    let files: Vec<[Output; 2]> = wanted
        .into_par_iter()
        .map(|(view, (input, ending))| {
            let picture = picture::render(&view(input))?;
            let name = format!("{}{ending}", picture.name);
            Ok([
                Output { name: format!("{name}.svg"), bytes: picture.svg.into_bytes() },
                Output { name: format!("{name}.png"), bytes: picture.png },
            ])
        })
        .collect::<Result<_>>()?;
    Ok(files.into_iter().flatten().collect())
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
