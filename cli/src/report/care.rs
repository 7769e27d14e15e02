//! What the figures of a report are worth, and what to take care of, in sentences.

use super::gather::ReportData;
use crate::content::comparison::document::uncertainty;
use crate::content::criterion::{early_limit, reverberation_criterion};
use crate::content::safety_notes;
use crate::content::setting_out::CAUTIONS;
use crate::format::number::percent;
use earline_engine::medium::materials::{ReflectionLaw, SurfaceModel};
use earline_engine::metrics::decay::Metric;
use earline_engine::scene::Surface;

/// What the figures are worth.
pub(super) fn how_sure(data: &ReportData<'_>) -> Vec<String> {
    let scene = data.scene();
    let mut all = vec![
        "Delays and places are geometry: as good as the tape that went into the scene.".to_owned(),
        uncertainty(),
    ];
    all.extend(rays_error(data));
    all.push(match scene.model().reflection {
        ReflectionLaw::Angle => "Surfaces reflect by an impedance found from their laboratory absorption, so that \
             more is reflected at grazing angles. It is an average of laboratories, and these differ by \
             0.1 and more.".to_owned(),
        ReflectionLaw::Constant => "The scene asks for the same reflection at every angle: a textbook form, \
             for checks.".to_owned(),
    });
    if !scene.model().edges {
        all.push(
            "The scene asks for sharp edges: panels act fully inside their outline and not at all \
             outside. Real ones fade over their edges."
                .to_owned(),
        );
    }
    all.push(
        "The room is a box with flat surfaces. Sloping ceilings, bays, open doors and thin walls that \
         sound goes through are not in it."
            .to_owned(),
    );
    all.push(
        "Below a few hundred hertz the list tells what arrives when, not how the bass sounds; that is \
         the section on bass."
            .to_owned(),
    );
    if let Some(found) = data.present() {
        all.push(early_limit(data.request.limit));
        if found.decay().is_some() {
            all.push(reverberation_criterion(data.request.criterion));
        }
    }
    all.push("All of it is a starting point to experiment from. The ear and a measurement in the finished \
         room decide.".to_owned());
    all
}

/// How far more rays could move the decay.
fn rays_error(data: &ReportData<'_>) -> Option<String> {
    let rays = data.rays()?;
    let figures = data.variants.iter().filter_map(|found| found.decay());
    let errors = figures
        .flat_map(|decay| &decay.pairs)
        .flat_map(|pair| &pair.metrics)
        .filter_map(|figures| figures[Metric::T20].ok()?.relative_error());
    let most = errors.fold(0.0, f64::max);
    Some(format!(
        "Decay: {rays} rays from each speaker; one standard error of T20 is at most {} of it in any \
         band. Single late peaks of the energy-time curve are those of one draw (seed {}), not of your \
         room.",
        percent((most * 100.0).ceil() / 100.0),
        data.request.rays.seed,
    ))
}

/// What to take care of with what hangs, stands and sounds.
pub(super) fn cautions(data: &ReportData<'_>) -> Vec<String> {
    let scene = data.scene();
    let states = || data.variants.iter().map(|found| &found.state);
    let overhead = states().any(|state| {
        !state.screens.is_empty() || state.panels.iter().any(|panel| panel.on == Surface::Ceiling)
    });
    let hangs = states().any(|state| !state.panels.is_empty() || !state.screens.is_empty());
    let is_porous = |material: usize| {
        scene
            .materials()
            .get(material)
            .is_some_and(|m| matches!(m.surface_model, SurfaceModel::Porous(_)))
    };
    let porous = states().any(|state| {
        state.panels.iter().any(|panel| is_porous(panel.material))
            || state.screens.iter().any(|screen| is_porous(screen.material))
    });
    let mut all = safety_notes::for_room(overhead, hangs, porous);
    all.extend(CAUTIONS.map(str::to_owned));
    all.push("Keep test signals quiet; 85 dBA is already a working day's limit.".to_owned());
    all
}
