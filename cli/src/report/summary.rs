//! The summary of a report: how the room does in the state answered for, and what to try first. Each
//! sentence is that of the command which tells the matter alone.

use super::care::{cautions, how_sure};
use super::gather::{ReportData, VariantResult};
use crate::content::document::{Document, Finding};
use crate::content::trace::advice::{ONE_AT_A_TIME, TRY_FIRST, things_to_try};
use crate::content::trace::seat::SeatReflections;
use crate::content::trace::verdict::RoomVerdict;
use crate::content::trace::{TraceReport, decay};
use crate::content::wave_field::brief::{least_even, to_try as against_bass};
use crate::format::level::{loudest_first, with_unit};
use crate::format::number::fixed;
use crate::format::{foreign, time};
use earline_engine::analysis::setting_out::PairLayout;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// The summary by purpose.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Summary {
    /// The figures that say most: early sound, bass and decay, as far as they are known.
    pub(crate) figures: Vec<Figure>,
    /// What else was judged.
    pub(crate) findings: Vec<Judged>,
    /// Starting points to experiment from, those to begin with first.
    pub(crate) to_try: Vec<String>,
    /// The uncertainty of the figures.
    pub(crate) how_sure: Vec<String>,
    /// Safety advice.
    pub(crate) cautions: Vec<String>,
}

/// A figure with what it is held against.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Figure {
    /// What it is.
    pub(crate) name: &'static str,
    /// The figure with its unit.
    pub(crate) value: String,
    /// The judgement on it.
    #[serde(flatten)]
    pub(crate) judged: Judged,
}

/// A finding in words.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct Judged {
    /// The judgement.
    #[schemars(extend("enum" = ["Good", "Fair", "Poor"]))]
    pub(crate) grade: &'static str,
    /// What was found, against which limit.
    pub(crate) text: String,
    #[serde(skip)]
    finding: Finding,
}

impl Judged {
    fn new(finding: Finding) -> Self {
        Self { grade: finding.grade.word(), text: finding.text.clone(), finding }
    }

    /// The finding as every answer has it.
    pub(crate) fn finding(&self) -> &Finding {
        &self.finding
    }
}

/// One in so many of the first things to try is against uneven bass, where there is one.
const AGAINST_BASS: usize = TRY_FIRST;

impl Summary {
    /// The summary of a report.
    pub(super) fn new(data: &ReportData<'_>) -> Self {
        let mut summary = Self {
            figures: Vec::new(),
            findings: Vec::new(),
            to_try: Vec::new(),
            how_sure: how_sure(data),
            cautions: cautions(data),
        };
        if let Some(present) = data.present() {
            let report = data.trace_report(present);
            let seats = seats(data, &report);
            summary.judge(data, present, &report, &seats);
            summary.to_try = to_try(data, present, &report, &seats);
        }
        summary
    }

    fn judge(
        &mut self,
        data: &ReportData<'_>,
        present: &VariantResult<'_>,
        report: &TraceReport<'_>,
        seats: &[SeatReflections<'_>],
    ) {
        let mut figure = |name, value, finding| {
            self.figures.push(Figure { name, value, judged: Judged::new(finding) });
        };
        let verdict = RoomVerdict::new(report, seats);
        let strongest = seats.iter().filter_map(|seat| Some(seat.strongest(report)?.level_db()));
        let strongest = strongest.min_by(|a, b| loudest_first(*a, *b));
        let value = strongest.map_or_else(|| "none".to_owned(), with_unit);
        figure("Strongest early reflection", value, verdict.early);
        let bass = data.wave_field(present).and_then(|view| least_even(&view));
        if let Some((uneven_db, finding)) = bass {
            figure("Bass, uneven by", format!("{} dB", fixed(uneven_db, 1)), finding);
        }
        if let Some((mean_s, finding)) = decay::mean_s(report).zip(verdict.decay) {
            figure("Decay", format!("{} s", time::decay(mean_s)), finding);
        }
        let others = [verdict.blocked, verdict.sides].into_iter().flatten();
        self.findings = others.map(Judged::new).collect();
    }

    /// The answer in the terminal, which points to the page.
    pub(crate) fn document(&self, title: String, page: &Path) -> Document {
        let mut document = Document::default();
        let figures = self.figures.iter().map(|figure| &figure.judged);
        let judged = figures.chain(&self.findings).map(|judged| judged.finding().clone());
        document.title(title).verdict(judged);
        document.heading("Try first").numbered(self.to_try.iter().take(TRY_FIRST).cloned());
        document.pause().paragraph(format!(
            "The whole story is on one page, {}: open it in a browser, print it, or hand it on. A \
             starting point to experiment from.",
            foreign::path(page)
        ));
        document
    }
}

/// The reflections at every seat in a state.
fn seats<'a>(data: &'a ReportData<'_>, report: &TraceReport<'_>) -> Vec<SeatReflections<'a>> {
    let seen = data.seats.iter().filter_map(|view| view.variants.get(data.answered));
    seen.map(|seen| SeatReflections::new(report, seen.at.listener, seen.numbered())).collect()
}

/// Everything to try in the state answered for: against reflections and decay in the order of worth, the
/// first against uneven bass among the first of them, then left against right and who looks for more.
fn to_try(
    data: &ReportData<'_>,
    present: &VariantResult<'_>,
    report: &TraceReport<'_>,
    seats: &[SeatReflections<'_>],
) -> Vec<String> {
    let mut all: Vec<String> =
        things_to_try(report, seats).into_iter().map(|one| one.text).collect();
    let maps = data.bass_maps.as_ref().ok();
    let bass = data.wave_field(present).zip(maps).map(|(view, maps)| against_bass(&view, maps));
    let mut bass = bass.into_iter().flatten();
    if let Some(first) = bass.next() {
        all.insert(all.len().min(AGAINST_BASS - 1), first);
    }
    all.extend(bass);
    all.extend(mismatch(data));
    let file = data.file_name();
    let variant =
        present.state.name.map_or_else(String::new, |name| format!(" --variant \"{name}\""));
    all.push(format!(
        "Let the program look for more: `earline treat \"{file}\"{variant}` says what to buy first and \
         where it goes; `earline place \"{file}\"` looks for a better seat and better places for the \
         speakers. {ONE_AT_A_TIME}"
    ));
    all
}

fn mismatch(data: &ReportData<'_>) -> Option<String> {
    let setting = data.setting()?;
    let of_pair = |pair: &PairLayout| {
        let at = pair.seats.first()?;
        let differ = setting.differ(&at.mismatch)?;
        Some(format!(
            "Left against right: {} at {}: {differ}. Move the speakers, or the chair, until the tape \
             finds no difference; the setting-out sheet has the marks.",
            pair.name,
            data.listener(at.listener),
        ))
    };
    data.out.pairs.iter().find_map(of_pair)
}
