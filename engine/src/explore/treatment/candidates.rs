//! Candidate placements, from the zones where a panel is effective.

use super::free_area::FreeArea;
use super::placed_absorber::{across, tidy};
use super::plan::TreatmentPlan;
use super::{PlacedAbsorber, Product, Products, TreatmentError, is_mirrored};
use crate::analysis::zones::{SeatZones, ZoneExtent, ZonePlan, zones};
use crate::scene::{INCH_M, Scene, SpeakerId, Surface, Units, Variant};
use glam::DVec2;
use std::collections::BTreeSet;

/// A candidate: one absorber, or an absorber and its mirror image.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// One piece, or two of a kind.
    pub pieces: Vec<PlacedAbsorber>,
}

impl Candidate {
    /// Its product, by index in [`Products::all`].
    pub fn product(&self) -> usize {
        self.pieces.first().map_or(0, |piece| piece.product)
    }

    /// Area of all its pieces, square metres.
    pub fn area_m2(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.size_m[0] * piece.size_m[1]).sum()
    }

    /// Its cost in the scene's currency, where that is known.
    pub fn cost(&self, products: &Products) -> Option<f64> {
        self.pieces.iter().map(|piece| products.all.get(piece.product)?.cost).sum()
    }
}

/// Places nearer to each other than this are one, metres.
const SAME_M: f64 = 0.05;
/// Middles nearer to each other than this are one, metres.
const SAME_AIM_M: f64 = 0.08;

/// All candidates whose place is free.
///
/// # Errors
/// The reason where no product fits anywhere.
pub(super) fn candidates(
    scene: &Scene,
    variant: &Variant<'_>,
    plan: &TreatmentPlan,
    products: &Products,
) -> Result<Vec<Candidate>, TreatmentError> {
    let zone_plan = ZonePlan {
        speakers: plan.speakers.clone(),
        listeners: plan.listeners.clone(),
        head_half_m: plan.head_half_m,
        frequency_hz: plan.frequency_hz,
    };
    let seats = zones(scene, variant, &zone_plan).map_err(TreatmentError::Zones)?;
    let generator = CandidateGenerator {
        scene,
        left: FreeArea::new(scene, variant),
        mirrored: is_mirrored(scene, plan) && !plan.allow_asymmetric,
    };
    let mut found = Vec::new();
    let mut fits = false;
    for (index, product) in products.all.iter().enumerate() {
        for &on in &product.on {
            let aims = generator.aims(&seats, on);
            for size_m in product.sizes_m() {
                let large = |axis: usize| scene.room().size()[on.tape_axes()[axis]] < size_m[axis];
                if large(0) || large(1) {
                    continue;
                }
                fits = true;
                let hang_m = product.hang_on(on);
                let blank =
                    PlacedAbsorber { product: index, on, centre_m: [0.0; 2], size_m, hang_m };
                found.extend(generator.on_surface(product, &blank, &aims));
            }
        }
    }
    if !fits {
        return Err(TreatmentError::TooLarge);
    }
    if found.is_empty() {
        return Err(TreatmentError::NowhereFree { mirrored: generator.mirrored });
    }
    Ok(found)
}

/// Generator of candidates in one room.
struct CandidateGenerator<'a> {
    scene: &'a Scene,
    left: FreeArea,
    mirrored: bool,
}

impl CandidateGenerator<'_> {
    /// Middles to aim at on a surface: reflection points and middles of zones, of each speaker at
    /// each seat, of a speaker at all seats, and of everything together. A layout that is its own
    /// mirror image has those of the right wall on the left.
    fn aims(&self, seats: &[SeatZones], on: Surface) -> Vec<DVec2> {
        if self.mirrored && on == Surface::Right {
            return Vec::new();
        }
        let mut aims: Vec<DVec2> = Vec::new();
        let mut add = |aim: DVec2| {
            if aims.iter().all(|known| known.distance(aim) >= SAME_AIM_M) {
                aims.push(aim);
            }
        };
        let here = || {
            let is_here = move |surface: Surface| {
                surface == on || (self.mirrored && on == Surface::Left && surface == Surface::Right)
            };
            seats.iter().flat_map(|s| &s.surfaces).filter(move |s| is_here(s.surface))
        };
        let middle = |patch: &ZoneExtent| (patch.low_m + patch.high_m) / 2.0;
        let zones = || {
            here().flat_map(|surface| surface.speakers.iter().map(move |z| (surface.surface, z)))
        };
        for (surface, zone) in zones().filter(|(_, zone)| zone.behind.is_none()) {
            add(DVec2::from(surface.tape(zone.point)));
        }
        for (_, zone) in zones() {
            add(middle(&zone.extent));
        }
        let together = |these: Vec<&ZoneExtent>| {
            let low = these.iter().map(|patch| patch.low_m).reduce(DVec2::min)?;
            let high = these.iter().map(|patch| patch.high_m).reduce(DVec2::max)?;
            Some((low + high) / 2.0)
        };
        let speakers: BTreeSet<SpeakerId> = zones().map(|(_, zone)| zone.speaker).collect();
        for speaker in speakers {
            let own = zones().filter(|(_, zone)| zone.speaker == speaker);
            together(own.map(|(_, zone)| &zone.extent).collect()).into_iter().for_each(&mut add);
        }
        here().for_each(|surface| add(middle(&surface.together)));
        together(here().map(|surface| &surface.together).collect()).into_iter().for_each(&mut add);
        aims
    }

    /// All candidates of one product on one surface: over each aim, and beside it by half its size and its
    /// whole size, so that several can share one.
    fn on_surface(
        &self,
        product: &Product,
        blank: &PlacedAbsorber,
        aims: &[DVec2],
    ) -> Vec<Candidate> {
        let shifts = [
            [0.0, 0.0],
            [-0.5, 0.0],
            [0.5, 0.0],
            [0.0, -0.5],
            [0.0, 0.5],
            [-1.0, 0.0],
            [1.0, 0.0],
            [0.0, -1.0],
            [0.0, 1.0],
        ];
        let mut found: Vec<Candidate> = Vec::new();
        let mut known: BTreeSet<Vec<[i64; 2]>> = BTreeSet::new();
        for aim in aims {
            for shift in shifts {
                let wanted = *aim + DVec2::from(shift) * DVec2::from(blank.size_m);
                for pieces in self.around(product, blank, wanted) {
                    if known.insert(pieces.iter().map(|piece| near(piece.centre_m)).collect()) {
                        found.push(Candidate { pieces });
                    }
                }
            }
        }
        found
    }

    /// The candidates nearest to a desired centre: there, or beside the obstacle in its way.
    fn around(
        &self,
        product: &Product,
        blank: &PlacedAbsorber,
        wanted: DVec2,
    ) -> Vec<Vec<PlacedAbsorber>> {
        let piece = PlacedAbsorber { centre_m: self.set_down(blank, wanted), ..blank.clone() };
        let placed = self.complete(product, &piece);
        if !placed.is_empty() {
            return placed;
        }
        let beside = self.left.beside(&piece, product);
        beside.iter().flat_map(|moved| self.complete(product, moved)).collect()
    }

    /// A piece, with its mirror image where the layout has one; nothing where one of them is not free.
    fn complete(&self, product: &Product, piece: &PlacedAbsorber) -> Vec<Vec<PlacedAbsorber>> {
        let room = self.scene.room();
        let free =
            |pieces: &Vec<PlacedAbsorber>| pieces.iter().all(|p| self.left.is_free(p, product));
        if !self.mirrored {
            return Some(vec![piece.clone()]).filter(free).into_iter().collect();
        }
        let both = |piece: &PlacedAbsorber| vec![piece.clone(), piece.mirrored(room)];
        let Some(axis) = across(piece.on) else {
            let twin = piece.mirrored(room);
            let allowed = product.on.contains(&twin.on);
            return Some(both(piece)).filter(|pair| allowed && free(pair)).into_iter().collect();
        };
        let (middle, half) = (room.width_m / 2.0, piece.size_m[axis] / 2.0);
        let at = |along: f64| {
            let mut moved = piece.clone();
            moved.centre_m[axis] = tidy(along);
            moved
        };
        let off = (piece.centre_m[axis] - middle).abs();
        let mut found = Vec::new();
        if off < half {
            found.push(vec![at(middle)]);
            // Side by side, where there is room for both.
            if piece.size_m[axis] <= middle {
                found.push(both(&at(middle - half)));
            }
        } else {
            found.push(both(&at(middle - off)));
        }
        found.retain(free);
        found
    }

    /// A desired centre, moved so that the piece is within its surface, to a round distance.
    fn set_down(&self, piece: &PlacedAbsorber, wanted: DVec2) -> [f64; 2] {
        let step = match self.scene.units() {
            Units::Metric => 0.01,
            Units::Imperial => INCH_M / 2.0,
        };
        std::array::from_fn(|index| {
            let length = self.scene.room().size()[piece.on.tape_axes()[index]];
            let half = piece.size_m[index] / 2.0;
            let round = (wanted[index] / step).round() * step;
            tidy(round.min(length - half).max(half))
        })
    }
}

/// A place, in steps of [`SAME_M`].
#[expect(clippy::cast_possible_truncation, reason = "within a room")]
fn near(centre_m: [f64; 2]) -> [i64; 2] {
    centre_m.map(|along| (along / SAME_M).round() as i64)
}
