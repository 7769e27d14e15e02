//! From the answers of a person, or the options, to a first scene.

use crate::args::{self, Measured, WallPiece};
use crate::content::first_scene::document::{impossible, no_desk, no_second_pair};
use crate::content::first_scene::{
    self, Desk, Finishes, FirstScene, PieceKind, Refusal, collision,
};
use earline_engine::analysis::setting_out::{Compromise, LayoutRequest, first_layout, second_pair};
use earline_engine::scene::{Room, Units};

/// The scene that is asked for.
///
/// # Errors
/// What cannot be, and what would be right.
pub(super) fn planned(args: &args::Start) -> Result<FirstScene, Refusal> {
    let units = units(args);
    let request = request(args, units)?;
    let layout = first_layout(&request).map_err(|why| impossible(&why, units))?;
    let has_walls = PieceKind::ALL.iter().any(|kind| !args.pieces(*kind).is_empty());
    if has_walls && layout.compromises.contains(&Compromise::Turned) {
        return Err((
            "the room is wider than long and would be turned: which wall is front then is not clear"
                .to_owned(),
            "give --across to keep it as measured, or the longer side as --length".to_owned(),
        ));
    }
    let finishes = Finishes::new([&args.walls, &args.floor, &args.ceiling].map(Option::as_deref));
    let (desk, second, pieces) = (None, None, Vec::new());
    let mut first = FirstScene { layout, request, units, finishes, desk, second, pieces };
    if let Some(width) = args.desk {
        let desk = Desk::before(&first.layout, width.metres);
        first.desk = Some(desk.map_err(|widths_m| no_desk(widths_m.as_ref(), units))?);
        let remedy = "leave --desk out, or raise the speakers";
        collision(&first).map_or(Ok(()), |why| Err((why, remedy.to_owned())))?;
    }
    if let Some(base) = args.second_base {
        let second = second_pair(&first.layout, &first.request, base.metres);
        first.second = Some(second.map_err(|bases_m| no_second_pair(&bases_m, units))?);
        let remedy = "give another --second-base, or leave it out";
        collision(&first).map_or(Ok(()), |why| Err((why, remedy.to_owned())))?;
    }
    for kind in PieceKind::ALL {
        for piece in args.pieces(kind) {
            put(&mut first, kind, piece)?;
        }
    }
    Ok(first)
}

fn put(first: &mut FirstScene, kind: PieceKind, piece: &WallPiece) -> Result<(), Refusal> {
    first.put(kind, piece.on, |measure| piece.get(measure).map(|length| length.metres))
}

/// How lengths are written: as asked, or as the first one that has a unit.
pub(super) fn units(args: &args::Start) -> Units {
    let given = [args.length, args.width, args.height, args.base, args.seat, args.ear];
    let more = [args.standing_ear, args.desk, args.second_base];
    let pieces = PieceKind::ALL.iter().flat_map(|kind| args.pieces(*kind));
    let lengths = given.into_iter().chain(more).flatten();
    let mut lengths = lengths.chain(pieces.flat_map(WallPiece::lengths));
    let written = || lengths.find_map(|length| length.units);
    args.units.map(Units::from).or_else(written).unwrap_or_default()
}

fn request(args: &args::Start, units: Units) -> Result<LayoutRequest, Refusal> {
    let (Some(length), Some(width), Some(height)) = (args.length, args.width, args.height) else {
        return Err(size_is_missing(args));
    };
    let metres = |given: Option<Measured>| given.map(|length| length.metres);
    Ok(LayoutRequest {
        room: Room { length_m: length.metres, width_m: width.metres, height_m: height.metres },
        across: args.across,
        seated_m: metres(args.ear),
        standing_m: metres(args.standing_ear),
        base_m: metres(args.base),
        seat_m: metres(args.seat),
        converge_m: metres(args.converge).unwrap_or(0.0),
        level: args.level(),
        cabinet: first_scene::CABINET,
        spacing_m: first_scene::SPACING_M,
        reference: args.reference.into(),
        units,
    })
}

/// What of the room's size is missing, and how it is given.
pub(super) fn size_is_missing(args: &args::Start) -> Refusal {
    let sides = [("--length", args.length), ("--width", args.width), ("--height", args.height)];
    let missing: Vec<&str> =
        sides.iter().filter(|(_, given)| given.is_none()).map(|(name, _)| *name).collect();
    (
        format!("the room's size is missing: {}", missing.join(", ")),
        "measure wall to wall inside, as in --length '5.8 m' --width '4.1 m' --height '2.45 m'"
            .to_owned(),
    )
}
