//! The flags of `earline start`.

use super::number::whole;
use super::wall_piece::wall_piece;
use super::{AskedUnits, Measured, WallPiece, measured};
use crate::content::first_scene::PieceKind;
use clap::{Args, ValueEnum};
use earline_engine::analysis::setting_out;
use earline_engine::medium::directivity::ReferencePoint;
use earline_engine::medium::materials::catalogue;
use earline_engine::scene::nearest_name;
use earline_engine::simulate::defaults::SEATED_PERCENT;
use std::path::PathBuf;

/// The flags of `earline start`.
#[derive(Debug, Clone, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Start {
    /// The scene file to write. [default: room.toml]
    #[arg(value_name = "FILE", conflicts_with = "json")]
    pub(crate) scene: Option<PathBuf>,
    /// Front wall to back wall, inside.
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) length: Option<Measured>,
    /// Left wall to right wall, inside.
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) width: Option<Measured>,
    /// Floor to ceiling.
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) height: Option<Measured>,
    /// Fire across the short side: the room is taken as it was measured.
    #[arg(long)]
    pub(crate) across: bool,
    /// Height of the ears, seated. [default: from published body measurements]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) ear: Option<Measured>,
    /// Height of the ears, standing. [default: from published body measurements]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) standing_ear: Option<Measured>,
    /// Distance between the speakers. [default: what fits, at most 3 m]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) base: Option<Measured>,
    /// Distance of the ears from the front wall. [default: 38 % of the length]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) seat: Option<Measured>,
    /// What the walls are made of: a name of `earline materials`, or drywall, brick, concrete, plaster.
    #[arg(long, value_name = "MATERIAL", value_parser = finish)]
    pub(crate) walls: Option<String>,
    /// What the floor is made of: likewise, or floorboards, parquet, carpet, tiles.
    #[arg(long, value_name = "MATERIAL", value_parser = finish)]
    pub(crate) floor: Option<String>,
    /// What the ceiling is made of.
    #[arg(long, value_name = "MATERIAL", value_parser = finish)]
    pub(crate) ceiling: Option<String>,
    /// Width of a desk before the seat. [default: no desk]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) desk: Option<Measured>,
    /// Distance between the speakers of a second pair at the same seat. [default: no second pair]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) second_base: Option<Measured>,
    /// A window: its wall, and what is known of it, as 'left,at=1.2 m,width=90 cm,height=1 m,sill=1 m';
    /// may be given again. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Window))]
    pub(crate) window: Vec<WallPiece>,
    /// A door: likewise, with at, width and height; may be given again. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Door))]
    pub(crate) door: Vec<WallPiece>,
    /// A sofa: the wall behind it, and what is known of it, with at, width, height and depth; may be given
    /// again. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Sofa))]
    pub(crate) sofa: Vec<WallPiece>,
    /// A bookshelf: likewise. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Bookshelf))]
    pub(crate) bookshelf: Vec<WallPiece>,
    /// A rack: likewise. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Rack))]
    pub(crate) rack: Vec<WallPiece>,
    /// A subwoofer: likewise. [default: none]
    #[arg(long, value_name = "WALL", allow_hyphen_values = true)]
    #[arg(value_parser = wall_piece(PieceKind::Subwoofer))]
    pub(crate) subwoofer: Vec<WallPiece>,
    /// How far behind the ears the speakers aim; about 10 cm is the back of the head. [default: 0]
    #[arg(long, value_name = "LENGTH", value_parser = measured, allow_hyphen_values = true)]
    pub(crate) converge: Option<Measured>,
    /// The point of a speaker that its place means.
    #[arg(long, value_enum, default_value_t = Reference::Between)]
    pub(crate) reference: Reference,
    /// Whose ears that point is level with.
    #[arg(long, value_enum, default_value_t = Level::Seated)]
    pub(crate) level: Level,
    /// With `--level half-way`: share of the time spent seated, per cent. [default: 50]
    #[arg(long, value_name = "PERCENT", value_parser = whole(0u8..=100), allow_hyphen_values = true)]
    pub(crate) seated: Option<u8>,
    /// How lengths are written. [default: as they were given]
    #[arg(long, value_enum)]
    pub(crate) units: Option<AskedUnits>,
    /// Replace the file if it is there already.
    #[arg(long, conflicts_with = "json")]
    pub(crate) replace: bool,
    /// One JSON document on stdout, with the scene in it; writes nothing.
    #[arg(long)]
    pub(crate) json: bool,
}

/// The point of a speaker that its place means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Reference {
    /// The middle of the tweeter.
    Tweeter,
    /// Half-way between tweeter and woofer.
    Between,
    /// The middle of the woofer.
    Woofer,
}

/// Whose ears the reference points are level with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Level {
    /// The seated ones.
    Seated,
    /// The standing ones.
    Standing,
    /// The mean of both.
    HalfWay,
}

impl From<Reference> for ReferencePoint {
    fn from(asked: Reference) -> Self {
        match asked {
            Reference::Tweeter => Self::Tweeter,
            Reference::Between => Self::Between,
            Reference::Woofer => Self::Woofer,
        }
    }
}

impl Start {
    /// The things of a kind at the walls.
    pub(crate) fn pieces(&self, kind: PieceKind) -> &[WallPiece] {
        match kind {
            PieceKind::Window => &self.window,
            PieceKind::Door => &self.door,
            PieceKind::Sofa => &self.sofa,
            PieceKind::Bookshelf => &self.bookshelf,
            PieceKind::Rack => &self.rack,
            PieceKind::Subwoofer => &self.subwoofer,
        }
    }

    /// The things of a kind at the walls, for more of them.
    pub(crate) fn pieces_mut(&mut self, kind: PieceKind) -> &mut Vec<WallPiece> {
        match kind {
            PieceKind::Window => &mut self.window,
            PieceKind::Door => &mut self.door,
            PieceKind::Sofa => &mut self.sofa,
            PieceKind::Bookshelf => &mut self.bookshelf,
            PieceKind::Rack => &mut self.rack,
            PieceKind::Subwoofer => &mut self.subwoofer,
        }
    }

    /// The same room with nothing else asked for.
    pub(crate) fn room_alone(&self) -> Self {
        let mut room = self.clone();
        for wish in [&mut room.ear, &mut room.standing_ear, &mut room.base, &mut room.seat] {
            *wish = None;
        }
        for wish in [&mut room.desk, &mut room.second_base, &mut room.converge] {
            *wish = None;
        }
        for kind in PieceKind::ALL {
            room.pieces_mut(kind).clear();
        }
        room.level = Level::Seated;
        room
    }

    /// Whose ears the reference points are level with, with the share of time spent seated.
    pub(crate) fn level(&self) -> setting_out::EarLevel {
        match self.level {
            Level::Seated => setting_out::EarLevel::Seated,
            Level::Standing => setting_out::EarLevel::Standing,
            Level::HalfWay => {
                let percent = self.seated.unwrap_or(SEATED_PERCENT);
                setting_out::EarLevel::Between { seated_share: f64::from(percent) / 100.0 }
            }
        }
    }
}

/// Reads what a surface is made of: a name of the catalogue, or a word people use for one.
///
/// # Errors
/// Neither is known; with the nearest name.
pub(crate) fn finish(text: &str) -> Result<String, String> {
    let word = text.trim();
    let known = catalogue::names().find(|name| name.eq_ignore_ascii_case(word));
    if let Some(name) = known.or_else(|| catalogue::everyday(word)) {
        return Ok(name.to_owned());
    }
    let near = nearest_name(word, catalogue::names());
    let near = near.map_or_else(String::new, |near| format!("did you mean \"{near}\"? "));
    Err(format!("no such material; {near}`earline materials` lists all"))
}

const EXAMPLES: &str = "\
Examples:
  earline start
      Asks for what it needs, on a terminal, and writes room.toml.

  earline start attic.toml --length '5.8 m' --width '4.1 m' --height '2.45 m'
      No questions; the rest is chosen.

  earline start shed.toml --length '26 ft' --width '14 ft' --height '9 ft' --base '8 ft'
      Sides of eight feet, everything in feet and inches.

  earline start --length 5.1 --width 3.6 --height 2.5 --walls brick --floor carpet --desk '1.6 m'
      What the room is made of, in everyday words, and a desk before the seat.

  earline start --length 5.1 --width 3.6 --height 2.5 --window left --door 'back,at=3 m' --sofa back
      A window, a door and a sofa, of everyday sizes where nothing else is said.

  earline start --length 5.8 --width 4.1 --height 2.45 --ear '1.2 m' --converge '10 cm'
      Ears at 1.2 m, speakers aimed at the back of the head.

  earline start --length 5.8 --width 4.1 --height 2.45 --reference tweeter --level half-way
      Tweeters half-way between seated and standing ears.

Lengths look like '2.9 m', '290 cm' or '9 ft 6 in'; a bare number is metres. 38 %, the equilateral
triangle and ear height are common practice: starting points to experiment from.";
