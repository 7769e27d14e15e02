//! First scenes at both ends of every limit, in both systems of units.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use super::document::impossible;
use super::{CABINET, Desk, Finishes, FirstScene, SPACING_M, text};
use earline_engine::analysis::setting_out::{EarLevel, LayoutRequest, first_layout};
use earline_engine::medium::directivity::ReferencePoint;
use earline_engine::scene::{NoAttachments, Room, Scene, Units, parse_length};

fn request(units: Units, [length_m, width_m, height_m]: [f64; 3]) -> LayoutRequest {
    LayoutRequest {
        room: Room { length_m, width_m, height_m },
        across: true,
        seated_m: None,
        standing_m: None,
        base_m: None,
        seat_m: None,
        converge_m: 0.0,
        level: EarLevel::Seated,
        cabinet: CABINET,
        spacing_m: SPACING_M,
        reference: ReferencePoint::Between,
        units,
    }
}

/// Whether there is a scene, which then has to hold; else what is offered instead.
fn made(request: &LayoutRequest) -> Result<(), String> {
    let units = request.units;
    let layout = first_layout(request).map_err(|why| {
        let (message, remedy) = impossible(&why, units);
        format!("{message}; {remedy}")
    })?;
    let finishes = Finishes::new([None, Some("parquet on concrete"), None]);
    // As wide as one can be, where one stands at all.
    let desk = match Desk::before(&layout, f64::INFINITY) {
        Err(Some(widths_m)) => Some(Desk::before(&layout, *widths_m.end()).unwrap()),
        _ => None,
    };
    let (request, second, pieces) = (*request, None, Vec::new());
    let first = FirstScene { layout, request, units, finishes, desk, second, pieces };
    let text = text(&first);
    match Scene::parse(&text, &NoAttachments) {
        Ok(_) => Ok(()),
        Err(problems) => panic!("{}\n{text}", problems[0].message),
    }
}

/// The length after an option in a message.
fn offered(message: &str, option: &str) -> Option<f64> {
    let (_, after) = message.split_once(&format!("{option} '"))?;
    Some(parse_length(after.split_once('\'')?.0).unwrap())
}

/// Just inside a limit, at it, and just outside.
fn about(limit_m: f64) -> [f64; 5] {
    [limit_m - 1e-3, limit_m - 1e-9, limit_m, limit_m + 1e-9, limit_m + 1e-3]
}

/// No room between the limits makes a scene that does not hold, and none beyond them is taken.
#[test]
fn rooms_at_the_limits_hold() {
    let usual = [5.8, 4.1, 2.45];
    let mut held = 0;
    for units in [Units::Metric, Units::Imperial] {
        for side in 0..3 {
            for size_m in about(0.5).into_iter().chain(about(100.0)).chain(about(0.53)) {
                let mut size = usual;
                size[side] = size_m;
                let answer = made(&request(units, size));
                let is_taken = (0.5..=100.0).contains(&size_m);
                held += usize::from(answer.is_ok());
                match answer {
                    Ok(()) => assert!(is_taken, "{size:?}"),
                    Err(message) => {
                        assert_eq!(message.contains(" cannot be "), !is_taken, "{message}");
                    }
                }
            }
        }
        made(&request(units, [100.0; 3])).unwrap();
    }
    assert!(held > 15, "{held}");
}

/// What is asked for at a limit makes a scene that holds, or a refusal whose offers hold.
#[test]
fn wishes_at_the_limits_hold() {
    type Wish = fn(&mut LayoutRequest, f64);
    let wishes: [(Wish, &[f64]); 5] = [
        (|of, m| of.base_m = Some(m), &[0.3, 0.6, 1.99, 3.0, 3.439, 100.0]),
        (|of, m| of.seat_m = Some(m), &[0.3, 0.85, 2.9, 5.55, 100.0]),
        (|of, m| of.seated_m = Some(m), &[0.17, 0.4, 2.28, 2.317, 100.0]),
        (|of, m| of.standing_m = Some(m), &[0.17, 0.4, 2.28, 2.317, 100.0]),
        (|of, m| of.converge_m = m, &[0.0, 1.0, 2.0]),
    ];
    let mut held = 0;
    for units in [Units::Metric, Units::Imperial] {
        for (wish, limits) in wishes {
            for metres in limits.iter().flat_map(|limit_m| about(*limit_m)) {
                let mut asked = request(units, [5.8, 4.1, 2.45]);
                wish(&mut asked, metres);
                let Err(message) = made(&asked) else {
                    held += 1;
                    continue;
                };
                // Each offer is one that holds when it is taken alone.
                let (base_m, seat_m) = (offered(&message, "--base"), offered(&message, "--seat"));
                if base_m.is_some() {
                    made(&LayoutRequest { base_m, ..asked }).unwrap();
                }
                if seat_m.is_some() {
                    made(&LayoutRequest { seat_m, ..asked }).unwrap();
                }
            }
        }
    }
    assert!(held > 100, "{held}");
}
