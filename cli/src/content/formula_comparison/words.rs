//! Formulas, bands and causes in words.

use super::FormulaComparison;
use crate::format::{frequency, labels, number};
use earline_engine::medium::bands::BAND_COUNT;
use earline_engine::metrics::diffuse_field::{DeviationCause, Formula};
use earline_engine::scene::Scene;

/// The name a formula goes by.
pub(crate) fn formula(formula: Formula) -> &'static str {
    match formula {
        Formula::Sabine => "Sabine",
        Formula::Eyring => "Eyring",
        Formula::Millington => "Millington",
        Formula::Fitzroy => "Fitzroy",
        Formula::ArauPuchades => "Arau-Puchades",
        Formula::Kuttruff => "Kuttruff",
    }
}

/// A cause in a sentence without its full stop, with the figures of one band.
pub(crate) fn cause(
    scene: &Scene,
    beside: &FormulaComparison<'_>,
    cause: &DeviationCause,
    band: usize,
) -> String {
    let at = frequency::band(band);
    match *cause {
        DeviationCause::SeparateModes => {
            "so low, sound is a few modes, each of which decays by itself; \
            the formula takes it to come evenly from all directions"
                .to_owned()
        }
        DeviationCause::UnevenAxes { holds, mean_absorption } => {
            let mut others = mean_absorption.iter().enumerate().filter(|(axis, _)| *axis != holds);
            let [one, other] =
                [others.next(), others.next()].map(|of| of.map_or(0.0, |(_, mean)| *mean));
            format!(
                "sound between {} outlasts the rest (mean absorption at {at}: {:.2} there, {one:.2} \
                 and {other:.2} along the other two), and the formula takes sound to run evenly in \
                 all directions",
                AXES[holds.min(2)],
                mean_absorption[holds.min(2)],
            )
        }
        DeviationCause::LowScattering { mean } => format!(
            "the surfaces scatter little ({mean:.2} on average at {at}), so sound keeps its \
             direction and hardly mixes"
        ),
        DeviationCause::StrongAbsorber { index, absorption, area_share } => {
            let what = beside.piece(index).map_or_else(
                || "one surface".to_owned(),
                |piece| format!("{} ({})", labels::piece(&piece), labels::finish(scene, &piece)),
            );
            format!(
                "{what}, {} of all area, takes {absorption:.2} of the sound that meets it at {at}, \
                 so that sound cannot be even before it",
                number::percent(area_share)
            )
        }
        DeviationCause::Air { share } => format!(
            "the air does {} of the absorbing at {at}, and for that each path's own length \
             counts, not the mean",
            number::percent(share)
        ),
    }
}

/// Pairs of opposite surfaces along x, y and z.
const AXES: [&str; 3] = ["front and back wall", "left and right wall", "floor and ceiling"];

/// Octave bands, in rising order, after a preposition: `at 63 Hz and from 500 Hz to 4 kHz`.
pub(crate) fn bands(of: &[usize]) -> String {
    if of.len() == BAND_COUNT {
        return "in every band".to_owned();
    }
    let mut runs: Vec<[usize; 2]> = Vec::new();
    for &band in of {
        match runs.last_mut() {
            Some([_, last]) if *last + 1 == band => *last = band,
            _ => runs.push([band, band]),
        }
    }
    let words = runs.iter().map(|&[first, last]| match last - first {
        0 => format!("at {}", frequency::band(first)),
        1 => format!("at {} and {}", frequency::band(first), frequency::band(last)),
        _ => format!("from {} to {}", frequency::band(first), frequency::band(last)),
    });
    joined(&words.collect::<Vec<_>>())
}

/// `one`, `one and two`, `one, two and three`.
fn joined(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_are_said_as_people_say_them() {
        assert_eq!(bands(&[0]), "at 63 Hz");
        assert_eq!(bands(&[3, 4]), "at 500 Hz and 1 kHz");
        assert_eq!(bands(&[0, 3, 4, 5, 7]), "at 63 Hz, from 500 Hz to 2 kHz and at 8 kHz");
        assert_eq!(bands(&[0, 1, 2, 3, 4, 5, 6, 7]), "in every band");
    }
}
