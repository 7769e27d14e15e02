//! Heights of a sheet's pairs, and how far its marks may be off: traced.

use earline_engine::analysis::setting_out::{PairLayout, SettingOut};
use earline_engine::analysis::tolerance::{Thresholds, Tolerance, TolerancePlan, tolerances};
use earline_engine::explore::height::{
    HeightComparison, HeightPlan, HeightResult, compare_heights,
};
use earline_engine::scene::{Attachments, ListenerId, Scene, SpeakerId, Variant};

/// Heights and tolerances of a sheet.
#[derive(Debug)]
pub(crate) struct PlacementTolerance {
    /// Share of the time spent seated, 0 to 1.
    pub(crate) seated_share: f64,
    /// For each pair of the sheet that has two heights of ears to choose between.
    pub(crate) heights: Vec<PairHeights>,
    /// What counts as a change.
    pub(crate) thresholds: Thresholds,
    /// How far each mark may be off.
    pub(crate) tolerances: Vec<Tolerance>,
}

/// The choices of one pair.
#[derive(Debug)]
pub(crate) struct PairHeights {
    /// The pair, by its place in the sheet.
    pub(crate) pair: usize,
    /// What they give.
    pub(crate) found: HeightComparison,
}

impl PlacementTolerance {
    /// Traces what the sheet of these speakers and listeners has to say.
    ///
    /// # Errors
    /// Why the scene cannot be traced as it stands.
    pub(crate) fn of(
        scene: &Scene,
        attachments: &(dyn Attachments + Sync),
        state: &Variant<'_>,
        out: &SettingOut,
        (speakers, listeners): (&[SpeakerId], &[ListenerId]),
        seated_share: f64,
    ) -> Result<Self, String> {
        let variant = state.name;
        let of_pair = |(pair, set): (usize, &PairLayout)| {
            let plan = HeightPlan { variant, pair: [set.left, set.right], listeners, seated_share };
            compare_heights(scene, attachments, &plan).map(|found| PairHeights { pair, found })
        };
        let thresholds = Thresholds::default();
        let plan = TolerancePlan { variant, speakers, listeners, thresholds };
        Ok(Self {
            seated_share,
            heights: out.pairs.iter().enumerate().filter_map(of_pair).collect(),
            thresholds,
            tolerances: tolerances(scene, attachments, &plan)?,
        })
    }
}

impl PairHeights {
    /// The choice whose direct sound is coloured least over the time spent at both heights, as long
    /// as it is better than all others by more than a tenth of a decibel.
    pub(crate) fn evenest(&self, seated_share: f64) -> Option<(&HeightResult, f64)> {
        let mut found: Vec<(&HeightResult, f64)> = Vec::new();
        for choice in &self.found.choices {
            let Some(db) = choice.weighted_direct_db(seated_share) else { continue };
            // A pair that stands level with some ears is in the list twice.
            if found.iter().all(|(_, other)| 1e-6 < (db - other).abs()) {
                found.push((choice, db));
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1));
        let second = found.get(1).map_or(f64::INFINITY, |(_, db)| *db);
        found.first().copied().filter(|(_, db)| 0.1 < second - db)
    }
}
