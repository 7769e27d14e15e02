//! Likely causes of a peak or a dip in words: those at its own frequency, what mirrors itself named once.

use super::sounding::Sounding;
use super::{WaveFieldView, between, cancels, counts};
use crate::format::frequency::frequency;
use crate::format::{labels, length};
use earline_engine::scene::Surface;
use earline_engine::wave_field::{BoundaryInterference, Extremum, ExtremumCause, Mode};

/// A likely cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum LikelyCause {
    /// A mode, with its frequency in hertz.
    Mode(Mode, f64),
    /// A surface that cancels the sound of one speaker, or that of both alike.
    Boundary(BoundaryInterference, Option<BoundaryInterference>),
}

/// Of nulls this near each other one is enough, hertz.
const SAME_HZ: f64 = 1.0;
/// Distances this near each other are told as one, metres.
const SAME_M: f64 = 0.02;

impl WaveFieldView<'_> {
    /// What likely makes a peak or a dip, most likely first.
    pub(super) fn likely(&self, extreme: &Extremum) -> Vec<LikelyCause> {
        let mut likely: Vec<LikelyCause> = Vec::new();
        for cause in extreme.likely_causes(&self.found.modes) {
            match cause {
                ExtremumCause::Mode { mode, hz, .. } => likely.push(LikelyCause::Mode(mode, hz)),
                ExtremumCause::Boundary(found) => {
                    let twin = likely.iter_mut().find_map(|other| match other {
                        LikelyCause::Boundary(first, second @ None) => {
                            mirrors(first, &found).then_some(second)
                        }
                        _ => None,
                    });
                    match twin {
                        Some(second) => *second = Some(found),
                        None => likely.push(LikelyCause::Boundary(found, None)),
                    }
                }
            }
        }
        likely
    }

    /// The likeliest in a word or two, for where there is no room for more: `back wall`, `mode 2·0·0`.
    pub(crate) fn likely_label(&self, extreme: &Extremum) -> Option<String> {
        let label = match self.likely(extreme).first()? {
            LikelyCause::Mode(mode, _) => format!("mode {}", counts(mode)),
            LikelyCause::Boundary(first, Some(second)) if second.surface != first.surface => {
                format!("{} side walls", if is_near_side(self, first) { "near" } else { "far" })
            }
            LikelyCause::Boundary(first, _) => labels::surface(first.surface),
        };
        Some(label)
    }

    /// So many of them in words: `front wall, 0.81 m from both speakers, cancels at 114 Hz`.
    pub(super) fn likely_words(
        &self,
        sounding: &Sounding<'_>,
        extreme: &Extremum,
        most: usize,
    ) -> String {
        let mut causes = self.likely(extreme);
        causes.truncate(most);
        if let [LikelyCause::Mode(one, one_hz), LikelyCause::Mode(other, other_hz)] = causes[..]
            && between(&one) == between(&other)
        {
            let hz = frequency(other_hz);
            return format!("modes between {} at {one_hz:.0} and {hz}", between(&one));
        }
        let word = |cause: &LikelyCause| match cause {
            LikelyCause::Mode(mode, hz) => {
                format!("mode between {} at {}", between(mode), frequency(*hz))
            }
            LikelyCause::Boundary(first, second) => self.boundary(sounding, first, second.as_ref()),
        };
        let words: Vec<String> = causes.iter().map(word).collect();
        if words.is_empty() {
            "no single cause: modes and reflections add up".to_owned()
        } else {
            words.join("; ")
        }
    }

    fn boundary(
        &self,
        sounding: &Sounding<'_>,
        first: &BoundaryInterference,
        second: Option<&BoundaryInterference>,
    ) -> String {
        match second {
            Some(second) if second.surface != first.surface => format!(
                "{} side wall of each speaker, {} away, cancels at {}",
                if is_near_side(self, first) { "near" } else { "far" },
                length::length(first.distance_m, self.scene.units()),
                frequency(first.null_hz),
            ),
            _ if first.head_distance_m < first.distance_m => {
                cancels(self.scene, first, first.head_distance_m, "the ears")
            }
            Some(_) => cancels(self.scene, first, first.distance_m, "both speakers"),
            None if sounding.speakers.len() == 1 => {
                cancels(self.scene, first, first.distance_m, "the speaker")
            }
            None => {
                let speaker = format!("speaker {}", self.speaker(first.speaker));
                cancels(self.scene, first, first.distance_m, &speaker)
            }
        }
    }
}

/// Whether two nulls are one thing: of two speakers, at one surface or at opposite side walls.
fn mirrors(one: &BoundaryInterference, other: &BoundaryInterference) -> bool {
    let sides = [Surface::Left, Surface::Right];
    let is_alike = one.surface == other.surface
        || sides.contains(&one.surface) && sides.contains(&other.surface);
    one.speaker != other.speaker
        && is_alike
        && (one.null_hz - other.null_hz).abs() < SAME_HZ
        && (one.distance_m - other.distance_m).abs() < SAME_M
}

/// Whether a side wall is the one that a speaker stands nearer to.
pub(super) fn is_near_side(view: &WaveFieldView<'_>, boundary: &BoundaryInterference) -> bool {
    2.0 * boundary.distance_m <= view.scene.room().width_m
}
