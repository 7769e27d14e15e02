//! Change of the bass from one state of a room to another.

use crate::content::document::{Finding, Grade};
use crate::content::effect::Effect;
use crate::format::frequency;
use crate::format::number::fixed;
use earline_engine::analysis::compare::EQUAL_DB;
use earline_engine::scene::ListenerId;
use earline_engine::wave_field::{LowFrequencyRow, LowFrequencySummary};

/// A change of unevenness that counts, decibels: our choice.
const UNEVENNESS_DB: f64 = 0.5;

/// Bass of one pair or speaker at one seat, in two states.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LowEndChange<'a> {
    before: &'a LowFrequencyRow,
    after: &'a LowFrequencyRow,
}

/// Everything that sounds, in two states.
pub(crate) fn changes<'a>(
    before: &'a LowFrequencySummary,
    after: &'a LowFrequencySummary,
) -> Vec<LowEndChange<'a>> {
    let rows = before.rows.iter().zip(&after.rows);
    rows.map(|(before, after)| LowEndChange { before, after }).collect()
}

/// The effect on all of them together.
pub(crate) fn effect(changes: &[LowEndChange<'_>]) -> Effect {
    changes.iter().map(LowEndChange::effect).fold(Effect::Equal, Effect::and)
}

/// The effect, with the figures of the one that changes most; `then` names the first state: `before`, `in bare`.
/// `None` where nothing is known.
pub(crate) fn finding<'n>(
    changes: &[LowEndChange<'_>],
    listener: &dyn Fn(ListenerId) -> &'n str,
    then: &str,
) -> Option<Finding> {
    let most = changes.iter().max_by(|a, b| a.size().total_cmp(&b.size()))?;
    let figures = most.figures(then);
    if figures.is_empty() {
        return None;
    }
    let effect = effect(changes);
    let grade = if effect == Effect::Worse { Grade::Poor } else { Grade::Fair };
    let of = format!("{} at {}", most.after.source, listener(most.after.listener));
    let of = if changes.len() == 1 { format!(": {of}") } else { format!(", most for {of}:") };
    Some(Finding::new(grade, format!("Bass {}{of} {}.", effect.word(), figures.join(", "))))
}

impl LowEndChange<'_> {
    fn effect(&self) -> Effect {
        let [uneven_db, dip_db] = self.growth_db();
        Effect::of(uneven_db, UNEVENNESS_DB).and(Effect::of(dip_db, EQUAL_DB))
    }

    /// Growth of the unevenness and of the deepest dip, decibels; nought where one is not known.
    fn growth_db(&self) -> [f64; 2] {
        let growth = |of: fn(&LowFrequencyRow) -> Option<f64>| {
            of(self.after).zip(of(self.before)).map_or(0.0, |(after, before)| after - before)
        };
        [growth(|row| row.unevenness_db), growth(|row| row.dip.map(|[_, level_db]| -level_db))]
    }

    /// How much changes, in changes that count.
    fn size(&self) -> f64 {
        let [uneven_db, dip_db] = self.growth_db();
        uneven_db.abs() / UNEVENNESS_DB + dip_db.abs() / EQUAL_DB
    }

    /// `uneven by 7.5 dB (8.1 dB before)`, `deepest dip 20.4 dB at 110 Hz (24.8 dB at 113 Hz)`.
    fn figures(&self, then: &str) -> Vec<String> {
        let uneven =
            |row: &LowFrequencyRow| row.unevenness_db.map(|db| format!("{} dB", fixed(db, 1)));
        let dip = |row: &LowFrequencyRow| {
            let [hz, level_db] = row.dip?;
            Some([format!("{} dB", fixed(-level_db, 1)), frequency::frequency(hz)])
        };
        let was = uneven(self.before).map_or_else(String::new, |was| format!(" ({was} {then})"));
        let uneven = uneven(self.after).map(|now| format!("uneven by {now}{was}"));
        let dip = dip(self.after).map(|[now, at]| {
            let was = match dip(self.before) {
                None => String::new(),
                Some([was, then_at]) if then_at == at => format!(" ({was})"),
                Some([was, then_at]) => format!(" ({was} at {then_at})"),
            };
            format!("deepest dip {now} at {at}{was}")
        });
        uneven.into_iter().chain(dip).collect()
    }
}
