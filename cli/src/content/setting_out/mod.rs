//! A setting-out sheet with what its words need: names, letters and how lengths are written.

pub(crate) mod brief;
pub(crate) mod document;

use crate::content::mismatch::mismatch;
use crate::content::placement_tolerance::result::PlacementTolerance;
use crate::format::{length, number, time};
use earline_engine::analysis::setting_out::{
    CentreImage, CheckDistance, Mark, MarkTarget, Mismatch, PairAtSeat, PairDifference, SettingOut,
    ToeIn,
};
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Units, Variant};

/// A scene, set out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SettingOutSheet<'a> {
    /// The scene.
    pub(crate) scene: &'a Scene,
    /// Its state, for what stands in the way of the tape.
    pub(crate) state: &'a Variant<'a>,
    /// How lengths are written.
    pub(crate) units: Units,
    /// The sheet.
    pub(crate) out: &'a SettingOut,
    /// What heights cost, and how far marks may be off.
    pub(crate) care: &'a PlacementTolerance,
}

/// What the sheet says of heavy things; common practice, save for the tilt, which is statics.
pub(crate) const CAUTIONS: [&str; 3] = [
    "Lift cabinets with two people, and set a cabinet on its stand only when the stand is where it stays.",
    "Stands tip: weigh the foot down or strap it, the wider the foot the better, cables out of the \
     way, nothing within reach of children and pets.",
    "Keep fans, heaters and doors clear of the cabinets.",
];

impl SettingOutSheet<'_> {
    /// A length off the tape.
    pub(crate) fn mark(&self, metres: f64) -> String {
        length::mark(metres, self.units)
    }

    /// The name of what a mark is for.
    pub(crate) fn name(&self, of: MarkTarget) -> &str {
        match of {
            MarkTarget::Listener(id) => self.listener(id),
            MarkTarget::Speaker(id) => self.speaker(id),
        }
    }

    /// The name of a listener.
    pub(crate) fn listener(&self, id: ListenerId) -> &str {
        &self.scene[id].name
    }

    /// The name of a speaker.
    pub(crate) fn speaker(&self, id: SpeakerId) -> &str {
        &self.scene[id].name
    }

    /// The letter of a mark by its number on the sheet: crosses that are one have one letter.
    pub(crate) fn letter(&self, index: usize) -> String {
        let shared = |mark: &Mark| mark.shares_floor_with;
        let index = self.out.marks.get(index).and_then(shared).unwrap_or(index);
        let earlier = self.out.marks.iter().take(index);
        letter(earlier.filter(|mark| shared(mark).is_none()).count())
    }

    /// Every speaker without a partner to every seat.
    pub(crate) fn lone_distances(&self) -> Vec<&CheckDistance> {
        let paired = |speaker: SpeakerId| {
            self.out.pairs.iter().any(|pair| pair.left == speaker || pair.right == speaker)
        };
        self.out.check_distances.iter().filter(|reach| !paired(reach.speaker)).collect()
    }

    /// The marks that are crosses of their own, with their letters.
    pub(crate) fn crosses(&self) -> Vec<(String, &Mark)> {
        let own = self.out.marks.iter().enumerate();
        own.filter(|(_, mark)| mark.shares_floor_with.is_none())
            .map(|(index, mark)| (self.letter(index), mark))
            .collect()
    }

    /// How far a mark is off the centre line: `on it`, `820 mm left`.
    pub(crate) fn off_centre(&self, mark: &Mark) -> String {
        if mark.off_centre_m.abs() < 0.0005 {
            return "on it".to_owned();
        }
        let side = if mark.off_centre_m < 0.0 { "left" } else { "right" };
        format!("{} {side}", self.mark(mark.off_centre_m.abs()))
    }

    /// How a cabinet is turned: `30.0° in`, `straight`, `5.0° out`.
    pub(crate) fn turn(toe_in_deg: f64) -> String {
        match toe_in_deg {
            t if t.abs() < 0.05 => "straight".to_owned(),
            t if t < 0.0 => format!("{:.1}° out", -t),
            t => format!("{t:.1}° in"),
        }
    }

    /// The offset between two edges, or a dash where nothing is known of the cabinet.
    pub(crate) fn edges(&self, offset_m: Option<f64>) -> String {
        number::or_missing(offset_m, |offset_m| self.mark(offset_m.abs()))
    }

    /// Which way a speaker is tilted, where it is.
    pub(crate) fn tilt(turn: &ToeIn) -> Option<String> {
        let way = if turn.tilt_deg < 0.0 { "down" } else { "up" };
        (0.05 <= turn.tilt_deg.abs()).then(|| format!("tilted {:.1}° {way}", turn.tilt_deg.abs()))
    }

    /// How left and right differ: `left is 12 mm farther and 35 µs later, 0.06 dB weaker`; `None` where a tape
    /// cannot tell.
    pub(crate) fn differ(&self, mismatch: &Mismatch) -> Option<String> {
        let farther = self.farther(mismatch)?;
        Some(format!("{farther}, {:.2} dB weaker", mismatch.left_weaker_db.abs()))
    }

    /// The same without the level.
    pub(crate) fn farther(&self, found: &Mismatch) -> Option<String> {
        mismatch(found.left_farther_m, found.left_later_s, self.units)
    }

    /// Another pair against the first at one seat: `bigs against nears at chair: 1 ft later …`.
    pub(crate) fn contrast(&self, contrast: &PairDifference) -> String {
        let name = |index: usize| self.out.pairs.get(index).map_or("", |pair| pair.name.as_str());
        let sooner =
            if contrast.farther_m < 0.0 { ["nearer", "earlier"] } else { ["farther", "later"] };
        let louder = if contrast.weaker_db < 0.0 { "louder" } else { "weaker" };
        let wider = if contrast.wider_deg < 0.0 { "narrower" } else { "wider" };
        let higher = if contrast.higher_m < 0.0 { "lower" } else { "higher" };
        let height = (0.0005 <= contrast.higher_m.abs())
            .then(|| format!(", {} {higher}", length::offset(contrast.higher_m.abs(), self.units)));
        format!(
            "{} against {} at {}: {} {}, {} {}, {:.1} dB {louder} from distance alone, the angle \
             {:.1}° {wider}{}.",
            name(contrast.other),
            name(contrast.first),
            self.listener(contrast.listener),
            length::offset(contrast.farther_m.abs(), self.units),
            sooner[0],
            time::delay(contrast.later_s.abs()),
            sooner[1],
            contrast.weaker_db.abs(),
            contrast.wider_deg.abs(),
            height.unwrap_or_default(),
        )
    }

    /// How far and which way to lean: `120 mm forward and 40 mm to the left`; empty where the ears
    /// are there already, as far as a tape tells.
    pub(crate) fn lean(&self, seat: &PairAtSeat) -> Option<String> {
        let lean = seat.lean?;
        if lean.distance_m() < THERE_M {
            return Some(String::new());
        }
        let part = |metres: f64, [more, less]: [&str; 2]| {
            let way = if metres < 0.0 { less } else { more };
            (0.0005 <= metres.abs())
                .then(|| format!("{} {way}", length::offset(metres.abs(), self.units)))
        };
        let ahead = part(lean.forward_m, ["forward", "back"]);
        let aside = part(lean.left_m, ["to the left", "to the right"]);
        let parts: Vec<String> = ahead.into_iter().chain(aside).collect();
        Some(parts.join(" and "))
    }
}

/// Nearer to the apex than this no head holds still, metres.
const THERE_M: f64 = 0.005;

/// What a delay between left and right does to a voice that should stand in the middle.
pub(crate) fn image(mismatch: &Mismatch) -> &'static str {
    match mismatch.image {
        CentreImage::Steady => "the centre stays where it is: under 10 µs nobody hears it",
        CentreImage::Leans => {
            "the centre leans a little toward the nearer speaker; under 100 µs, where a published \
             recommendation draws its line (from memory)"
        }
        CentreImage::Pulled => {
            "the centre is pulled clearly toward the nearer speaker, which is also the earlier and \
             the louder one; trimming levels brings it back only in part"
        }
        CentreImage::Captured => {
            "the centre collapses into the nearer speaker: from about 1 ms on the earlier sound \
             takes the place (precedence)"
        }
    }
}

/// `A`, `B`, … `Z`, then numbers.
fn letter(index: usize) -> String {
    ('A'..='Z').nth(index).map_or_else(|| (index + 1).to_string(), String::from)
}
