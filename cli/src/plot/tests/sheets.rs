//! Paper of sheets, and what single ones say.

#![expect(clippy::unwrap_used, reason = "a test may stop")]

use super::{ROOMS, rooms, says};
use crate::canvas::{Drawing, Item, Outline, Paper, Rect, Shape, typeface};
use crate::plot::data::input;
use crate::plot::{ELEVATIONS, hangings, plan, section};
use earline_engine::scene::Units;

/// 297 mm at 200 dots an inch are 2339 dots, 11 inches 2200; at a quarter inch to the foot 20 ft are 5 in or
/// 1000 dots, on whatever paper.
#[test]
fn png_is_a_sheet_of_paper_at_its_resolution() {
    let dimensions = |drawing: &Drawing| {
        image::load_from_memory(&drawing.png().unwrap()).unwrap().to_rgb8().dimensions()
    };
    assert_eq!(dimensions(&section(&rooms::attic())), (2339, 1654));
    let tape = ROOMS[2].sheet(Units::Imperial);
    assert_eq!((tape.paper, dimensions(&tape)), (Paper::Letter, (2200, 1700)));
    let inch = 25.4 / tape.paper.mm_per_unit(tape.size);
    let is_room = |rect: &Rect| (rect.size().y - 5.0 * inch).abs() < 0.01;
    let outlines = tape.items.iter().filter_map(|item| match item {
        Item::Shape(Shape { outline: Outline::Rect { rect, .. }, .. }) => Some(*rect),
        _ => None,
    });
    assert!(outlines.into_iter().any(|rect| is_room(&rect)), "20 ft at 1:48");
    let png = section(&rooms::attic()).png().unwrap();
    let picture = image::load_from_memory(&png).unwrap().to_rgb8();
    assert_eq!(&png[37..41], b"pHYs", "so that it prints at its scale");
    let dark = picture.pixels().filter(|pixel| pixel.0.iter().all(|&c| c < 100)).count();
    assert!(dark > 20_000, "walls and words are there: {dark}");
}

/// A sheet to hang from says in which step each piece goes up and how high it hangs, and what its lines are; one
/// of a ceiling says in large letters how it is drawn.
#[test]
fn a_sheet_to_hang_from_says_step_and_height() {
    let mut input = rooms::attic();
    let name = "cloud".to_owned();
    input.hung = vec![input::NewPiece { name, step: 2, below_ceiling_m: Some(0.25) }];
    let sheets = hangings(&input);
    let ceiling = sheets.iter().find(|sheet| sheet.name() == "hang-ceiling").unwrap();
    assert!(says(ceiling, "step 2"));
    assert!(says(ceiling, "its middle 250 mm below the ceiling, 2200 mm up"));
    assert!(says(ceiling, "zone of main left"));
    let large = typeface::all(&ceiling.items)
        .into_iter()
        .find(|text| 3.5 < text.size && text.content.contains("from above"));
    assert!(large.is_some_and(|text| text.content.contains("lay it on the floor")));
    assert!(!says(&ELEVATIONS[3](&rooms::attic()), "step 2"));
}

/// From the side two mirrored speakers are one, in a line of their own; from above the floor, the desk and the
/// ceiling between a speaker and the ears are one mark with their numbers side by side.
#[test]
fn what_lies_on_each_other_is_drawn_as_one() {
    let section = section(&rooms::attic());
    let plan = plan(&rooms::attic());
    assert!(says(&section, "both speakers") && !says(&plan, "both speakers"));
    assert!(says(&plan, "several, one over another"));
}
