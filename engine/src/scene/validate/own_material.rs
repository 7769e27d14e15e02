//! A material the scene describes itself.

use super::context::{RuleContext, called};
use super::limits::shown;
use super::porous::porous;
use crate::medium::bands::PerBand;
use crate::medium::materials::{Material, SurfaceModel, catalogue};
use crate::scene::problem::Problem;
use crate::scene::raw::{RawImpedance, RawMaterial, RawPerBand, RawSurfaceModel, Spanned};
use num_complex::Complex64;

/// Laboratory absorption may exceed 1 by the edges of the sample; above this it is a slip.
const ABSORPTION_MAX: f64 = 1.5;

/// Source of a material that names none.
const UNNAMED_SOURCE: &str = "the scene";

pub(super) fn own_material(context: &RuleContext<'_>, raw: &RawMaterial) -> Option<Material> {
    let what = called("material", raw.name.as_ref());
    if let Some(name) = raw.name.as_ref().filter(|name| catalogue::find(&name.value).is_some()) {
        context.add(
            Problem::warning(
                "scene::own-over-catalogue",
                name.span.clone(),
                format!("{what} takes the place of the catalogue's"),
            )
            .label("the catalogue has this name too")
            .help("nothing to do if that is what you want; otherwise give it another name"),
        );
    }
    let build = raw.build.as_ref().and_then(|build| build_of(context, &what, build));
    let scattering = match &raw.scattering {
        None => Some([0.0; 8]),
        Some(values) => per_band(values, |value| {
            context.number_within(
                &format!("the scattering of {what}"),
                value,
                0.0..=1.0,
                "",
                "0 is a mirror, 1 scatters everything; 30 % is written 0.3",
            )
        }),
    };
    Some(Material {
        name: raw.name.as_ref()?.value.clone(),
        surface_model: build?,
        scattering: scattering?,
        source: raw
            .source
            .as_ref()
            .map_or_else(|| UNNAMED_SOURCE.to_owned(), |source| source.value.clone()),
    })
}

fn build_of(context: &RuleContext<'_>, what: &str, raw: &RawSurfaceModel) -> Option<SurfaceModel> {
    match raw {
        RawSurfaceModel::Absorption(values) => {
            absorption(context, what, values).map(SurfaceModel::Absorption)
        }
        RawSurfaceModel::Impedance(values) => {
            impedance(context, what, values).map(SurfaceModel::Impedance)
        }
        RawSurfaceModel::Porous(build) => porous(context, what, build).map(SurfaceModel::Porous),
    }
}

fn absorption(context: &RuleContext<'_>, what: &str, values: &RawPerBand) -> Option<PerBand<f64>> {
    let name = format!("the absorption of {what}");
    let checked = per_band(values, |value| {
        context.number_within(
            &name,
            value,
            0.0..=ABSORPTION_MAX,
            "",
            "0 reflects everything, 1 nothing; 45 % is written 0.45",
        )
    })?;
    let above = checked.iter().copied().fold(0.0, f64::max);
    if 1.0 < above {
        let message = format!("{name} goes up to {above}; 1 is taken instead");
        context.add(
            Problem::warning("scene::absorption-above-one", values.span.clone(), message)
                .label("more than all the sound")
                .help("laboratory values above 1 come from the edges of the sample; no need to change them"),
        );
    }
    Some(checked.map(|alpha| alpha.min(1.0)))
}

fn impedance(
    context: &RuleContext<'_>,
    what: &str,
    values: &RawImpedance,
) -> Option<PerBand<Complex64>> {
    per_band(values, |value| {
        let z = value.value;
        let sensible = 0.0 <= z.re && z != Complex64::ZERO && z.re <= 1.0e9 && z.im.abs() <= 1.0e9;
        if sensible {
            return Some(z);
        }
        let problem = Problem::error(
            "scene::out-of-range",
            value.span.clone(),
            format!(
                "the impedance of {what} cannot be {} with {} imaginary",
                shown(z.re),
                shown(z.im)
            ),
        )
        .label("the real part must not be negative, and not all of it zero")
        .help("give Z/(ρc): 1 swallows a wave that comes straight on, 1000 is a hard wall");
        context.add(problem);
        None
    })
}

/// Checks eight values. One number written for all bands is checked once, so that a slip is said once.
fn per_band<T: Copy>(
    values: &Spanned<PerBand<Spanned<T>>>,
    check: impl Fn(&Spanned<T>) -> Option<T>,
) -> Option<PerBand<T>> {
    let [first, rest @ ..] = &values.value;
    if rest.iter().all(|value| value.span == first.span) {
        return check(first).map(|value| [value; 8]);
    }
    let checked: Vec<Option<T>> = values.value.iter().map(check).collect();
    checked.into_iter().collect::<Option<Vec<T>>>()?.try_into().ok()
}
