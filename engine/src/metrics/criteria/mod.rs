//! Published criteria of listening rooms, by the document that states them: early reflections
//! ([`EarlyLimit`]) and reverberation ([`ReverberationCriterion`]).

mod early;
mod mask;
mod reverberation;

pub use early::{EARLY_LIMITS, EarlyLimit, Verdict, is_within};
pub use mask::{MaskPoint, ToleranceMask};
pub(crate) use reverberation::MEAN_BANDS;
pub use reverberation::{
    BandJudgement, FigureProvenance, Judgement, NEAR_S, REVERBERATION_CRITERIA,
    ReverberationCriterion, mean_reverberation_s,
};
