//! Everything that a report speaks of, computed once.

use crate::args::Rays;
use crate::content::comparison::{
    ComparisonView, TracedVariant, VariantSeat, compare_variants, is_standing, side_by_side,
};
use crate::content::formula_comparison::FormulaComparison;
use crate::content::placement_tolerance::result::PlacementTolerance;
use crate::content::setting_out::SettingOutSheet;
use crate::content::trace::TraceReport;
use crate::content::wave_field::WaveFieldView;
use crate::content::wave_maps::Maps;
use crate::io::input::Loaded;
use crate::io::progress::Progress;
use crate::plot::{self, ShownState};
use anyhow::{Context, Result};
use earline_engine::analysis::room_summary::{RoomSummary, room_summary};
use earline_engine::analysis::setting_out::{SettingOut, setting_out};
use earline_engine::analysis::zones::{SeatZones, ZonePlan, zones};
use earline_engine::metrics::criteria::{EarlyLimit, ReverberationCriterion};
use earline_engine::scene::{ListenerId, Scene, SpeakerId, Units, Variant};
use earline_engine::simulate::{
    Request, ResponseRequest, RoomDecay, Simulation, defaults, simulate,
};
use earline_engine::wave_field::{
    LowFrequencySummary, UNEVENNESS_BAND_HZ, WaveField, WaveFieldRequest, log_spaced_hz,
};

/// What was asked for.
#[derive(Debug, Clone)]
pub(crate) struct ReportRequest<'a> {
    /// States of the room; the first is what the others are compared with.
    pub(crate) states: Vec<Variant<'a>>,
    /// Speakers.
    pub(crate) speakers: Vec<SpeakerId>,
    /// Listeners.
    pub(crate) listeners: Vec<ListenerId>,
    /// Whose zones, and how.
    pub(crate) zone_plan: ZonePlan,
    /// The limit for early reflections.
    pub(crate) limit: &'static EarlyLimit,
    /// The recommendation for the decay.
    pub(crate) criterion: &'static ReverberationCriterion,
    /// How many rays.
    pub(crate) rays: Rays,
}

/// Everything on the page.
#[derive(Debug)]
pub(crate) struct ReportData<'a> {
    /// The scene with its text.
    pub(crate) loaded: &'a Loaded,
    /// The request.
    pub(crate) request: &'a ReportRequest<'a>,
    /// How it was traced.
    pub(crate) plan: Request,
    /// How the bass was solved.
    pub(crate) bass_plan: WaveFieldRequest,
    /// One for each state that was asked for.
    pub(crate) variants: Vec<VariantResult<'a>>,
    /// Which of them the page answers for: the room as it stands, or where that was not asked for the last.
    pub(crate) answered: usize,
    /// How even the bass is over the floor, in the state answered for; or why that cannot be said.
    pub(crate) bass_maps: Result<Maps, String>,
    /// One for each listener: all states at that seat, with one number for a path in all of them.
    pub(crate) seats: Vec<ComparisonView<'a>>,
    /// The same for drawing, seat by seat, state by state.
    pub(crate) shown: Vec<Vec<ShownState<'a>>>,
    /// The seats against the first of them, in the state answered for; where there are several.
    pub(crate) between: Option<ComparisonView<'a>>,
    /// What room it is, in the state answered for.
    pub(crate) survey: RoomSummary,
    /// Where to put the tape.
    pub(crate) out: SettingOut,
    /// With how much care.
    pub(crate) care: PlacementTolerance,
}

/// What was found in one state of the room.
#[derive(Debug)]
pub(crate) struct VariantResult<'a> {
    /// The state.
    pub(crate) state: Variant<'a>,
    /// Its name, or what stands for it.
    pub(crate) name: &'a str,
    /// Its simulation, with rays where some were followed; the wave field is in `bass`.
    pub(crate) trace: Simulation,
    /// Where panels would work.
    pub(crate) zones: Vec<SeatZones>,
    /// What statistics make of it.
    pub(crate) formula_comparison: FormulaComparison<'a>,
    /// What the room does to the bass; or why that cannot be said.
    pub(crate) bass: Result<WaveField, String>,
}

/// What the only state of a scene without variants is called.
const EVERYTHING_IN: &str = "everything in";
impl<'a> ReportData<'a> {
    /// Computes it all; `stage` gets the name of each step.
    ///
    /// # Errors
    /// When a state cannot be traced.
    pub(crate) fn new(
        loaded: &'a Loaded,
        request: &'a ReportRequest<'a>,
        progress: &Progress,
    ) -> Result<Self> {
        let scene = &loaded.scene;
        let [from_hz, to_hz] = defaults::WAVE_FIELD_HZ.map(f64::from);
        let bass_plan = WaveFieldRequest {
            speakers: scene.with_subwoofers(&request.speakers),
            listeners: request.listeners.clone(),
            hz: log_spaced_hz(from_hz, to_hz),
            head_half_m: defaults::HEAD_HALF_M,
            curves_to_hz: Some(UNEVENNESS_BAND_HZ[1]),
        };
        let response = ResponseRequest {
            rays: request.rays.request(),
            ..ResponseRequest::early(defaults::EARLY_RESPONSE_S)
        };
        let plan = Request {
            response: Some(response),
            wave_field: Some(bass_plan.clone()),
            ..Request::list(request.speakers.clone(), request.listeners.clone())
        };
        let variants: Vec<VariantResult<'a>> = request
            .states
            .iter()
            .map(|state| VariantResult::new(scene, state, request, &plan, progress))
            .collect::<Result<_>>()?;
        progress.stage("comparing");
        let seats: Vec<ComparisonView<'a>> = request
            .listeners
            .iter()
            .map(|&listener| at_seat(scene, &variants, listener, &plan, request))
            .collect();
        let shown = seats.iter().map(plot::from_compared).collect();
        let standing = variants.iter().position(|found| is_standing(scene, &found.state));
        let answered = standing.unwrap_or(variants.len().saturating_sub(1));
        let present = variants.get(answered).context("a room without a state")?;
        progress.stage("mapping the bass");
        let bass_maps = bass_maps(scene, present, &bass_plan);
        let between = between(scene, present, &plan, request, progress)?;
        let out = setting_out(scene, &request.speakers, &request.listeners);
        let care = PlacementTolerance::of(
            scene,
            &loaded.attachments,
            &present.state,
            &out,
            (&request.speakers, &request.listeners),
            f64::from(defaults::SEATED_PERCENT) / 100.0,
        )
        .map_err(anyhow::Error::msg)?;
        let survey = room_summary(scene, &present.state);
        Ok(Self {
            loaded,
            request,
            plan,
            bass_plan,
            variants,
            answered,
            bass_maps,
            seats,
            shown,
            between,
            survey,
            out,
            care,
        })
    }

    /// The state that the page answers for.
    pub(crate) fn present(&self) -> Option<&VariantResult<'a>> {
        self.variants.get(self.answered)
    }

    /// Rays that were followed from each speaker; none where none were asked for.
    pub(crate) fn rays(&self) -> Option<u64> {
        let followed = self.variants.iter().filter_map(VariantResult::decay);
        followed.flat_map(|decay| &decay.speakers).map(|speaker| speaker.rays).max()
    }

    /// The scene.
    pub(crate) fn scene(&self) -> &'a Scene {
        &self.loaded.scene
    }

    /// The scene file without its folders.
    pub(crate) fn file_name(&self) -> &'a str {
        let name = self.loaded.name.as_str();
        name.rsplit(['/', '\\']).next().unwrap_or(name)
    }

    /// How lengths are written.
    pub(crate) fn units(&self) -> Units {
        self.scene().units()
    }

    /// A listener's name.
    pub(crate) fn listener(&self, id: ListenerId) -> &'a str {
        &self.scene()[id].name
    }

    /// A speaker's name.
    pub(crate) fn speaker(&self, id: SpeakerId) -> &'a str {
        &self.scene()[id].name
    }

    /// A state as the answer of a trace speaks of it.
    pub(crate) fn trace_report<'b>(&'b self, found: &'b VariantResult<'a>) -> TraceReport<'b> {
        TraceReport {
            scene: self.scene(),
            state: &found.state,
            plan: &self.plan,
            trace: &found.trace,
            decay: found.decay(),
            snapshots: None,
            zone_plan: &self.request.zone_plan,
            zones: &found.zones,
            limit: self.request.limit,
            bands: false,
            formula_comparison: &found.formula_comparison,
            criterion: self.request.criterion,
            formulas: false,
            crossover_hz: found.trace.crossover_hz,
        }
    }

    /// The setting-out sheet.
    pub(crate) fn setting(&self) -> Option<SettingOutSheet<'_>> {
        let present = self.present()?;
        Some(SettingOutSheet {
            scene: self.scene(),
            state: &present.state,
            units: self.units(),
            out: &self.out,
            care: &self.care,
        })
    }

    /// The bass of a state.
    pub(crate) fn wave_field<'b>(
        &'b self,
        found: &'b VariantResult<'a>,
    ) -> Option<WaveFieldView<'b>> {
        let bass = found.bass.as_ref().ok()?;
        let scene = self.scene();
        Some(WaveFieldView { scene, state: &found.state, plan: &self.bass_plan, found: bass })
    }
}

impl<'a> VariantResult<'a> {
    fn new(
        scene: &'a Scene,
        state: &Variant<'a>,
        asked: &ReportRequest<'a>,
        request: &Request,
        progress: &Progress,
    ) -> Result<Self> {
        let mut simulation =
            simulate(scene, state, request, progress).context("cannot trace this plan")?;
        let bass = simulation.wave_field.take().context("a page without its wave field")?;
        Ok(Self {
            state: state.clone(),
            name: state.name.unwrap_or(EVERYTHING_IN),
            trace: simulation,
            zones: zones(scene, state, &asked.zone_plan).context("cannot find these zones")?,
            formula_comparison: FormulaComparison::new(scene, state),
            bass: bass.map_err(|wrong| wrong.to_string()),
        })
    }

    /// Decay, where rays were followed.
    pub(crate) fn decay(&self) -> Option<&RoomDecay> {
        self.trace.decay.as_ref()
    }
}

/// How even the bass of a state is over the floor.
fn bass_maps(
    scene: &Scene,
    found: &VariantResult<'_>,
    plan: &WaveFieldRequest,
) -> Result<Maps, String> {
    let solved = found.bass.as_ref().map_err(Clone::clone)?;
    let sounded = WaveFieldView { scene, state: &found.state, plan, found: solved };
    Maps::of_seats(&sounded).map_err(|wrong| wrong.to_string())
}

/// All states at one seat.
fn at_seat<'a>(
    scene: &'a Scene,
    states: &[VariantResult<'a>],
    listener: ListenerId,
    plan: &Request,
    request: &ReportRequest<'a>,
) -> ComparisonView<'a> {
    let of = |found: &VariantResult<'a>| {
        let zones = found.zones.iter().filter(|seat| seat.listener == listener);
        let solved = found.bass.as_ref().ok();
        TracedVariant {
            at: VariantSeat { name: found.name.to_owned(), state: found.state.clone(), listener },
            trace: found.trace.at_listener(listener),
            zones: zones.cloned().collect(),
            low_end: solved.map(|field| LowFrequencySummary::of(scene, field, &[listener])),
        }
    };
    let traced = states.iter().map(of).collect();
    side_by_side(scene, traced, plan.window_s, request.zone_plan.clone(), request.limit)
}

/// All seats in one state; nothing where there is only one.
fn between<'a>(
    scene: &'a Scene,
    found: &VariantResult<'a>,
    plan: &Request,
    request: &ReportRequest<'a>,
    progress: &Progress,
) -> Result<Option<ComparisonView<'a>>> {
    if request.listeners.len() < 2 {
        return Ok(None);
    }
    let at = |&listener: &ListenerId| VariantSeat {
        name: scene[listener].name.clone(),
        state: found.state.clone(),
        listener,
    };
    let seats = request.listeners.iter().map(at).collect();
    let plan = Request { listeners: Vec::new(), ..plan.clone() };
    let zone_plan = request.zone_plan.clone();
    compare_variants(scene, seats, &plan, zone_plan, request.limit, progress).map(Some)
}
