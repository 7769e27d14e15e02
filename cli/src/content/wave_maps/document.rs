//! Where the bass is most even at the ears of each listener, in words.

use super::{Maps, SeatMaps, uneven_span_of};
use crate::content::document::Document;
use crate::content::wave_field::WaveFieldView;
use crate::format::length;
use earline_engine::wave_field::FlattestSeat;

/// Places nearer each other are told once, metres.
const SAME_M: f64 = 0.25;

/// A line for each listener that has a map.
pub(crate) fn smoothest_seats(view: &WaveFieldView<'_>, maps: &Maps) -> Document {
    let mut document = Document::default();
    let said: Vec<String> = maps.seats.iter().filter_map(|seat| line(view, seat)).collect();
    if said.is_empty() {
        return document;
    }
    let head = format!(
        "Most even places from {}, {}",
        uneven_span_of(view, maps.active.range_hz(view)),
        maps.active.together()
    );
    document.heading(head);
    document.list(said);
    document
}

/// `seated: 7.5 dB as it is; 5.3 dB with the ears …, to try from there.`
fn line(view: &WaveFieldView<'_>, seat: &SeatMaps) -> Option<String> {
    let map = seat.seats.as_ref()?;
    let best = map.flattest?;
    let units = view.scene.units();
    let place = |spot: FlattestSeat| {
        format!(
            "{:.1} dB with the ears {} from the front wall and {} from the left one",
            spot.unevenness_db,
            length::length(spot.at.x, units),
            length::length(spot.at.y, units)
        )
    };
    let between = map.flattest_on_median.filter(|spot| SAME_M <= spot.at.distance(best.at));
    let between = between.map_or_else(String::new, |spot| {
        format!("; as far from one speaker as from the other, {}", place(spot))
    });
    let here = seat.unevenness_db.map_or_else(String::new, |db| format!("{db:.1} dB as it is; "));
    Some(format!(
        "{}: {here}{}{between}. A place to try from, at this height of ears.",
        view.listener(seat.listener),
        place(best)
    ))
}
