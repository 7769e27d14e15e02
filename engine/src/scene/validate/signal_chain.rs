//! Filters, level, delay and polarity of a speaker, and how low it reaches.

use super::context::RuleContext;
use super::limits::shown;
use super::solid::Reported;
use crate::medium::signal_chain::{LinkwitzRiley, LowLimit, SignalChain};
use crate::scene::model::SpeakerKind;
use crate::scene::problem::Problem;
use crate::scene::raw::{RawFilter, RawSpeaker, Spanned};
use std::ops::RangeInclusive;

/// Orders of the lower limit, the first where none is given: that of a vented box, as most speakers are (common
/// practice).
const LOW_ORDERS: [u32; 8] = [4, 1, 2, 3, 5, 6, 7, 8];
const LOW_HELP: &str = "6 dB an octave each: 2 for a closed box, 4 for a vented one";
/// Orders of a crossover filter, the first where none is given (common practice).
const CROSSOVER_ORDERS: [u32; 4] = [4, 2, 6, 8];
const CROSSOVER_HELP: &str =
    "6 dB an octave each; the filters are those of Linkwitz and Riley, order = 4 is the usual one";
/// Low-pass of a subwoofer that gives none (common practice).
const USUAL_LOW_PASS: LinkwitzRiley = LinkwitzRiley { hz: 80.0, order: CROSSOVER_ORDERS[0] };

/// The chain of a speaker; `None` with at least one error reported.
pub(super) fn signal_chain(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawSpeaker,
) -> Option<SignalChain> {
    let chain = &raw.chain;
    let low_limit = low_limit(context, what, raw);
    let high_pass = filter(context, &format!("the high-pass of {what}"), &chain.high_pass);
    let low_pass = filter(context, &format!("the low-pass of {what}"), &chain.low_pass);
    let low_pass = low_pass.and_then(|filter| subwoofer_low_pass(context, what, raw, filter));
    let level_db = number_or_nought(
        context,
        &format!("the level of {what}"),
        chain.level_db.as_ref(),
        (-40.0..=40.0, " dB"),
        "give decibels against the other speakers: level_db = -3 plays it 3 dB softer",
    );
    let delay_ms = number_or_nought(
        context,
        &format!("the delay of {what}"),
        chain.delay_ms.as_ref(),
        (0.0..=100.0, " ms"),
        "give milliseconds; one is 34 cm of sound's way. A speaker cannot play ahead: delay the others instead",
    );
    Some(SignalChain {
        low_limit: low_limit.ok()?,
        high_pass: high_pass.ok()?,
        low_pass: low_pass.ok()?,
        level_db: level_db?,
        delay_ms: delay_ms?,
        polarity: chain.polarity.as_ref().map_or_else(Default::default, |word| word.value),
    })
}

/// A number within limits in a unit, or nought where none is given.
fn number_or_nought(
    context: &RuleContext<'_>,
    what: &str,
    value: Option<&Spanned<f64>>,
    (limits, unit): (RangeInclusive<f64>, &str),
    help: &str,
) -> Option<f64> {
    value.map_or(Some(0.0), |value| context.number_within(what, value, limits, unit, help))
}

/// The lower limit, where one is given.
fn low_limit(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawSpeaker,
) -> Result<Option<LowLimit>, Reported> {
    let Some(hz) = &raw.chain.low_hz else {
        let Some(order) = &raw.chain.low_order else { return Ok(None) };
        let message = format!("{what} has a `low_order` but no `low_hz`");
        context.add(
            Problem::error("scene::low-limit", order.span.clone(), message)
                .label("the order of what?")
                .help("add low_hz, where its level has fallen by 3 dB, or leave `low_order` out"),
        );
        return Err(Reported);
    };
    let hz = context.number_within(
        &format!("the lower limit of {what}"),
        hz,
        10.0..=500.0,
        " Hz",
        "give the frequency in hertz at which it has fallen by 3 dB; its data sheet has it",
    );
    let order = raw.chain.low_order.as_ref().map_or(Some(LOW_ORDERS[0]), |order| {
        order_among(context, &format!("the `low_order` of {what}"), order, &LOW_ORDERS, LOW_HELP)
    });
    let limit = |(hz, order)| LowLimit { hz, order };
    hz.zip(order).map(limit).map(Some).ok_or(Reported)
}

/// A crossover filter, where one is given.
fn filter(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawFilter,
) -> Result<Option<LinkwitzRiley>, Reported> {
    let (hz, order) = match raw {
        RawFilter::Absent => return Ok(None),
        RawFilter::Unreadable => return Err(Reported),
        RawFilter::Written { hz, order } => (hz, order),
    };
    let hz = hz.as_ref().and_then(|hz| {
        let help = "give it in hertz; subwoofers cross over at about 60 to 120 Hz";
        context.number_within(what, hz, 20.0..=500.0, " Hz", help)
    });
    let order = order.as_ref().map_or(Some(CROSSOVER_ORDERS[0]), |order| {
        let what = format!("the order of {what}");
        order_among(context, &what, order, &CROSSOVER_ORDERS, CROSSOVER_HELP)
    });
    let filter = |(hz, order)| LinkwitzRiley { hz, order };
    hz.zip(order).map(filter).map(Some).ok_or(Reported)
}

/// An order that is one of some.
fn order_among(
    context: &RuleContext<'_>,
    what: &str,
    written: &Spanned<f64>,
    orders: &[u32],
    help: &str,
) -> Option<u32> {
    let is_written = |order: &&u32| f64::from(**order).total_cmp(&written.value).is_eq();
    let found = orders.iter().find(is_written).copied();
    if found.is_none() {
        let mut sorted = orders.to_vec();
        sorted.sort_unstable();
        let allowed: Vec<String> = sorted.iter().map(u32::to_string).collect();
        let message = format!("{what} cannot be {}", shown(written.value));
        context.add(
            Problem::error("scene::filter-order", written.span.clone(), message)
                .label(format!("taken are {}", allowed.join(", ")))
                .help(help),
        );
    }
    found
}

/// A subwoofer has a low-pass, and nothing else has.
fn subwoofer_low_pass(
    context: &RuleContext<'_>,
    what: &str,
    raw: &RawSpeaker,
    filter: Option<LinkwitzRiley>,
) -> Result<Option<LinkwitzRiley>, Reported> {
    let is_subwoofer = raw.kind.as_ref().is_some_and(|kind| kind.value == SpeakerKind::Subwoofer);
    match filter {
        None if is_subwoofer => {
            let message =
                format!("{what} has no `low_pass`; it is taken as 80 Hz, 24 dB an octave");
            context.add(
                Problem::warning("scene::no-low-pass", raw.span.clone(), message)
                    .label("up to where does it play?")
                    .help("add low_pass = { hz = 80, order = 4 } as it is set, and the same high_pass to the speakers it is joined to, if they have one"),
            );
            Ok(Some(USUAL_LOW_PASS))
        }
        // A kind that cannot be read has been reported, and may have been meant for one.
        Some(_) if !is_subwoofer && (raw.kind.is_some() || !raw.written.has("kind")) => {
            let message = format!("{what} has a `low_pass` but is no subwoofer");
            context.add(
                Problem::error("scene::low-pass", raw.span.clone(), message)
                    .label("nothing would play above it")
                    .help("add kind = \"subwoofer\", or leave `low_pass` out"),
            );
            Err(Reported)
        }
        filter => Ok(filter),
    }
}
