//! Things at the walls of a first scene: windows, doors and furniture.

use super::{Refusal, written};
use crate::format::length;
use earline_engine::scene::{INCH_M, Room, Surface, Units};
use std::ops::RangeInclusive;

/// A kind of thing at a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PieceKind {
    /// A pane in the wall.
    Window,
    /// A door in the wall.
    Door,
    /// A sofa with its back to the wall.
    Sofa,
    /// Shelves against the wall.
    Bookshelf,
    /// A rack of equipment against the wall.
    Rack,
    /// A subwoofer at the wall.
    Subwoofer,
}

/// A measure of a thing at a wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    /// Its middle along the wall.
    At,
    /// Along the wall.
    Width,
    /// Upward.
    Height,
    /// The underside of a window above the floor.
    Sill,
    /// Away from the wall.
    Depth,
}

impl Measure {
    /// Its word on the command line.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::At => "at",
            Self::Width => "width",
            Self::Height => "height",
            Self::Sill => "sill",
            Self::Depth => "depth",
        }
    }
}

impl PieceKind {
    /// All kinds, in the order in which they are placed.
    pub(crate) const ALL: [Self; 6] =
        [Self::Window, Self::Door, Self::Sofa, Self::Bookshelf, Self::Rack, Self::Subwoofer];

    /// Its word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Window => "window",
            Self::Door => "door",
            Self::Sofa => "sofa",
            Self::Bookshelf => "bookshelf",
            Self::Rack => "rack",
            Self::Subwoofer => "subwoofer",
        }
    }

    /// The measures it has.
    pub(crate) fn measures(self) -> &'static [Measure] {
        match self {
            Self::Window => &[Measure::At, Measure::Width, Measure::Height, Measure::Sill],
            Self::Door => &[Measure::At, Measure::Width, Measure::Height],
            _ => &[Measure::At, Measure::Width, Measure::Height, Measure::Depth],
        }
    }

    /// Whether it is in the wall, not before it.
    fn is_in_wall(self) -> bool {
        matches!(self, Self::Window | Self::Door)
    }

    /// Whether it usually has the middle of its wall, not an end of it.
    fn is_usually_midway(self) -> bool {
        matches!(self, Self::Window | Self::Sofa)
    }

    /// `None` for a subwoofer, which is a speaker.
    fn material(self) -> Option<&'static str> {
        Some(match self {
            Self::Window => "glass, ordinary window",
            Self::Door => "wood door, hollow core",
            Self::Sofa => "sofa, upholstered",
            Self::Bookshelf => "bookshelf, filled",
            Self::Rack => "wood, solid",
            Self::Subwoofer => return None,
        })
    }

    /// Its everyday size, metres (common practice): round in either system.
    fn usual_m(self, measure: Measure, units: Units) -> f64 {
        // Width, height, sill and depth, in centimetres and in inches.
        let (metric, imperial) = match self {
            Self::Window => ([120, 120, 90, 0], [48, 48, 36, 0]),
            Self::Door => ([80, 200, 0, 0], [32, 80, 0, 0]),
            Self::Sofa => ([190, 45, 0, 90], [76, 18, 0, 36]),
            Self::Bookshelf => ([80, 180, 0, 30], [32, 72, 0, 12]),
            Self::Rack => ([60, 120, 0, 60], [24, 48, 0, 24]),
            Self::Subwoofer => ([35, 40, 0, 40], [14, 16, 0, 16]),
        };
        let of = |[width, height, sill, depth]: [i32; 4]| match measure {
            Measure::Width => width,
            Measure::Height => height,
            Measure::Sill => sill,
            Measure::Depth => depth,
            Measure::At => 0,
        };
        match units {
            Units::Metric => f64::from(of(metric)) / 100.0,
            Units::Imperial => f64::from(of(imperial)) * INCH_M,
        }
    }
}

/// Narrowest and lowest that is taken, metres.
const LEAST_M: f64 = 0.1;
/// Way from the front of a subwoofer to the point it is aimed at, metres.
const AIM_M: f64 = 0.5;
/// A subwoofer at least so wide has a driver of 250 mm, a narrower one of 165 mm (common practice), metres.
const WIDE_M: f64 = 0.3;
/// Left to an edge of the wall, or in a corner, where nobody said otherwise, metres.
const ASIDE_M: f64 = 0.1;
/// Places along a wall that are tried where nobody named one.
const PLACES: u32 = 24;

/// A thing at a wall.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlacedPiece {
    /// Its name in the scene.
    pub(crate) name: String,
    /// Its kind.
    pub(crate) kind: PieceKind,
    /// The wall.
    pub(crate) on: Surface,
    /// Its middle along the wall, metres.
    pub(crate) at_m: f64,
    /// Along the wall, metres.
    pub(crate) width_m: f64,
    /// Upward, metres.
    pub(crate) height_m: f64,
    /// Its underside above the floor, metres.
    pub(crate) sill_m: f64,
    /// Away from the wall, metres; 0 for what is in it.
    pub(crate) depth_m: f64,
}

impl PlacedPiece {
    /// A thing of the measures asked for, of everyday ones for the rest, at the places along its wall where
    /// it could be, the likeliest first. One that was asked for is the only one.
    ///
    /// # Errors
    /// A measure that cannot be, and what can.
    pub(super) fn at_its_places(
        (kind, on): (PieceKind, Surface),
        asked_m: impl Fn(Measure) -> Option<f64>,
        (room, units): (&Room, Units),
        name: &str,
    ) -> Result<Vec<Self>, Refusal> {
        let wall_m = room.size()[on.tape_axes()[0]];
        let measured = |measure: Measure, limits: RangeInclusive<f64>, spare_m: f64| {
            let usual_m = kind.usual_m(measure, units);
            let most_m = (limits.end() - spare_m).max(*limits.start());
            let metres = asked_m(measure).unwrap_or(usual_m.min(most_m));
            if limits.contains(&metres) {
                return Ok(metres);
            }
            Err(out_of_limits((kind, on), measure, metres, (&limits, units)))
        };
        let width_m = measured(Measure::Width, LEAST_M..=wall_m, 2.0 * ASIDE_M)?;
        let highest_m = room.height_m - 2.0 * LEAST_M;
        let sill_m = measured(Measure::Sill, 0.0..=highest_m, 0.5 * room.height_m)?;
        let height_m = measured(Measure::Height, LEAST_M..=room.height_m - sill_m, 0.0)?;
        let away_m = room.size()[on.axis()];
        let depth_m = if kind.is_in_wall() {
            0.0
        } else {
            measured(Measure::Depth, LEAST_M..=away_m, 0.5 * away_m)?
        };
        let half_m = 0.5 * width_m;
        let middles = half_m..=wall_m - half_m;
        let places = match asked_m(Measure::At) {
            Some(at_m) if !middles.contains(&at_m) => {
                return Err(out_of_limits((kind, on), Measure::At, at_m, (&middles, units)));
            }
            Some(at_m) => vec![at_m],
            None => places(kind, &middles),
        };
        let piece = |at_m| Self {
            name: name.to_owned(),
            kind,
            on,
            at_m,
            width_m,
            height_m,
            sill_m,
            depth_m,
        };
        Ok(places.into_iter().map(piece).collect())
    }

    /// A measure, metres.
    pub(crate) fn measure_m(&self, measure: Measure) -> f64 {
        match measure {
            Measure::At => self.at_m,
            Measure::Width => self.width_m,
            Measure::Height => self.height_m,
            Measure::Sill => self.sill_m,
            Measure::Depth => self.depth_m,
        }
    }

    /// Its middle in the two tape coordinates of its wall, metres.
    pub(crate) fn centre_m(&self) -> [f64; 2] {
        [self.at_m, self.sill_m + 0.5 * self.height_m]
    }

    /// Its section of the scene.
    pub(super) fn text(&self, room: &Room, units: Units) -> String {
        let list = |sizes: &[f64]| {
            let sizes: Vec<String> =
                sizes.iter().map(|m| format!("\"{}\"", written(*m, units))).collect();
            sizes.join(", ")
        };
        let name = &self.name;
        let Some(material) = self.kind.material() else { return self.subwoofer(room, list) };
        if self.kind.is_in_wall() {
            return format!(
                "[[panel]]\nname = \"{name}\"\non = \"{}\"\ncentre = [{}]   # from the {}, above the floor\n\
                 size = [{}]\nmaterial = \"{material}\"\n",
                self.on.name(),
                list(&self.centre_m()),
                measured_from(self.on),
                list(&[self.width_m, self.height_m]),
            );
        }
        format!(
            "[[furniture]]\nname = \"{name}\"\ncorner = [{}]\nsize = [{}]   # front to back, left to right, up\n\
             material = \"{material}\"\n",
            list(&self.corner_m(room)),
            list(&self.size_m()),
        )
    }

    /// Section of a subwoofer, which fires away from its wall.
    fn subwoofer(&self, room: &Room, list: impl Fn(&[f64]) -> String) -> String {
        let across = self.on.axis();
        let (corner, size) = (self.corner_m(room), self.size_m());
        let mut front: [f64; 3] = std::array::from_fn(|axis| corner[axis] + 0.5 * size[axis]);
        let away = if self.on.is_far() { -1.0 } else { 1.0 };
        front[across] += 0.5 * away * self.depth_m;
        let mut target = front;
        target[across] += away * AIM_M;
        format!(
            "[[speaker]]\nname = \"{}\"\nkind = \"subwoofer\"   # plays the low end of all speakers\nat = [{}]   # the \
             middle of its front\naim = [{}]\ndirectivity = {{ kind = \"piston\", diameter = \"{}\", cabinet = [{}] }}\n\
             low_hz = 30   # where it has fallen by 3 dB, from its data sheet\n\
             low_pass = {{ hz = 80, order = 4 }}   # as it is set; the others get a high_pass if they have one\n",
            self.name,
            list(&front),
            list(&target),
            if self.width_m < WIDE_M { "165 mm" } else { "250 mm" },
            list(&[self.height_m, self.width_m, self.depth_m]),
        )
    }

    /// Its corner nearest front wall, left wall and floor, metres.
    fn corner_m(&self, room: &Room) -> [f64; 3] {
        let across = self.on.axis();
        let mut corner = [self.at_m - 0.5 * self.width_m; 3];
        corner[2] = self.sill_m;
        corner[across] = if self.on.is_far() { room.size()[across] - self.depth_m } else { 0.0 };
        corner
    }

    /// Its size along x, y and z, metres.
    fn size_m(&self) -> [f64; 3] {
        let mut size = [self.width_m; 3];
        size[2] = self.height_m;
        size[self.on.axis()] = self.depth_m;
        size
    }

    /// Where it is and how large, in words.
    pub(super) fn words(&self, units: Units) -> String {
        let show = |metres| length::length(metres, units);
        let mut name = self.name.clone();
        if let Some(first) = name.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        let relation = if self.kind.is_in_wall() { "in" } else { "at" };
        let above = if self.sill_m > 0.0 {
            format!(", {} above the floor", show(self.sill_m))
        } else {
            String::new()
        };
        format!(
            "{name}: {relation} the {} wall, its middle {} from the {}, {} wide, {} high{above}.",
            self.on.name(),
            show(self.at_m),
            measured_from(self.on),
            show(self.width_m),
            show(self.height_m),
        )
    }
}

/// What a place along a wall is measured from.
pub(crate) fn measured_from(wall: Surface) -> &'static str {
    if wall.axis() == 0 { "left wall" } else { "front wall" }
}

/// The likeliest place along a wall, and others, the nearest to it first, to the centimetre.
fn places(kind: PieceKind, middles: &RangeInclusive<f64>) -> Vec<f64> {
    let (low_m, high_m) = (*middles.start(), *middles.end());
    let usual_m = if kind.is_usually_midway() {
        0.5 * (low_m + high_m)
    } else {
        (high_m - ASIDE_M).max(low_m)
    };
    let step_m = (high_m - low_m) / f64::from(PLACES);
    let round = |m: f64| ((m * 100.0).round() / 100.0).clamp(low_m, high_m);
    let mut places: Vec<f64> =
        (0..=PLACES).map(|place| round(low_m + f64::from(place) * step_m)).collect();
    places.sort_by(|a, b| (a - usual_m).abs().total_cmp(&(b - usual_m).abs()));
    places.insert(0, usual_m);
    places
}

fn out_of_limits(
    (kind, on): (PieceKind, Surface),
    measure: Measure,
    metres: f64,
    (limits, units): (&RangeInclusive<f64>, Units),
) -> Refusal {
    let shown = length::beyond(metres, limits, units);
    let range = length::limits(limits, units);
    let (what, wall) = (kind.word(), on.name());
    let message = match measure {
        Measure::At => format!(
            "a {what} with its middle {shown} from the {} is not within the {wall} wall",
            measured_from(on)
        ),
        Measure::Width => format!("a {what} {shown} wide does not go with the {wall} wall"),
        Measure::Height => format!("a {what} {shown} high does not go with the {wall} wall"),
        Measure::Sill => format!("the sill of a window cannot be {shown} above the floor"),
        Measure::Depth => format!("a {what} {shown} deep does not go before the {wall} wall"),
    };
    (message, format!("it can be {range}"))
}
