//! What the bass does over the room and over time, seat by seat: the same for terminal, JSON and
//! pictures.

pub(crate) mod document;

use crate::content::wave_field::WaveFieldView;
use crate::format::frequency;
use earline_engine::scene::{Ensemble, ListenerId, SpeakerId};
use earline_engine::wave_field::{
    MapPlane, NarrowBandDecay, NarrowBandDecayRequest, PressureMap, SeatMap, SeatMapRequest,
    UNEVENNESS_BAND_HZ, WaveFieldError, WaveFieldRequest, deepest_dip_hz, narrow_band_decay,
    pressure_map, seat_map, solve_wave_field, unevenness_db, unevenness_range_hz,
};

/// Places of the seat map are no farther apart, metres.
const SEAT_STEP_M: f64 = 0.15;
/// Places of the maps of level are no farther apart, metres, but where there would be more along the
/// longer side than [`MOST_ALONG`].
const LEVEL_STEP_M: f64 = 0.1;
const MOST_ALONG: f64 = 100.0;

/// The speakers that sound alike on the maps.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ActiveSpeakers {
    /// The speakers.
    pub(crate) speakers: Vec<SpeakerId>,
    /// In words: `both of mains`, `main left`, `all 3 speakers`.
    group: String,
}

/// Everything mapped for one listener.
#[derive(Debug, Clone)]
pub(crate) struct SeatMaps {
    /// The listener.
    pub(crate) listener: ListenerId,
    /// What its seat has now, decibels.
    pub(crate) unevenness_db: Option<f64>,
    /// Unevenness over the floor at its ears; `None` where too few frequencies are asked for.
    pub(crate) seats: Option<SeatMap>,
    /// How the bands die away; `None` where too few frequencies are asked for.
    pub(crate) ringing: Option<NarrowBandDecay>,
    /// The frequency of the deepest dip at the seat, hertz.
    pub(crate) dip_hz: Option<f64>,
}

/// The maps of every listener, and what sounds on them.
#[derive(Debug, Clone)]
pub(crate) struct Maps {
    /// What sounds.
    pub(crate) active: ActiveSpeakers,
    /// In the order of the plan.
    pub(crate) seats: Vec<SeatMaps>,
}

/// The level of one frequency through one listener's head.
#[derive(Debug, Clone)]
pub(crate) struct LevelMaps {
    /// The listener.
    pub(crate) listener: ListenerId,
    /// The level at the middle of the head, decibels.
    pub(crate) here_db: f64,
    /// Plan and section.
    pub(crate) maps: Vec<PressureMap>,
}

impl ActiveSpeakers {
    /// The first pair that is asked for whole, with the subwoofers; without one all that is asked for.
    fn of(view: &WaveFieldView<'_>) -> Self {
        let ensembles = view.scene.ensembles(&view.plan.speakers);
        let whole = ensembles.iter().find(|all| all.mains.len() == 2);
        let speakers = whole.map_or_else(|| view.plan.speakers.clone(), Ensemble::speakers);
        Self { group: view.group(&speakers, |pair| format!("both of {pair}")), speakers }
    }

    /// Range of their unevenness, hertz.
    pub(crate) fn range_hz(&self, view: &WaveFieldView<'_>) -> [f64; 2] {
        unevenness_range_hz(view.scene, &self.speakers)
    }

    /// Who sounds: `both of mains together`, or a speaker's name.
    pub(crate) fn together(&self) -> String {
        let is_one = self.speakers.len() == 1;
        if is_one { self.group.clone() } else { format!("{} together", self.group) }
    }
}

impl Maps {
    /// Works them out.
    ///
    /// # Errors
    /// What is asked for cannot be solved.
    pub(crate) fn of(view: &WaveFieldView<'_>) -> Result<Self, WaveFieldError> {
        let (scene, state, plan) = (view.scene, view.state, view.plan);
        let ends = [plan.hz.first(), plan.hz.last()].map(|hz| hz.copied().unwrap_or_default());
        let ringing_plan = NarrowBandDecayRequest {
            speakers: ActiveSpeakers::of(view).speakers,
            listeners: plan.listeners.clone(),
            range_hz: ends,
        };
        let ringing = unless_too_few(narrow_band_decay(scene, state, &ringing_plan))?;
        Self::with(view, ringing.unwrap_or_default())
    }

    /// The same but for how the bass dies away.
    ///
    /// # Errors
    /// As [`Maps::of`].
    pub(crate) fn of_seats(view: &WaveFieldView<'_>) -> Result<Self, WaveFieldError> {
        Self::with(view, Vec::new())
    }

    fn with(
        view: &WaveFieldView<'_>,
        mut ringing: Vec<NarrowBandDecay>,
    ) -> Result<Self, WaveFieldError> {
        let (scene, state, plan) = (view.scene, view.state, view.plan);
        let active = ActiveSpeakers::of(view);
        let mut seats: Vec<SeatMaps> = Vec::new();
        for &listener in &plan.listeners {
            let height_m = scene[listener].at.z;
            let same = seats.iter().filter_map(|other| other.seats.as_ref());
            let known =
                same.into_iter().find(|map| (map.height_m - height_m).abs() < 1e-9).cloned();
            let map = if known.is_some() {
                known
            } else {
                let plan = SeatMapRequest {
                    speakers: active.speakers.clone(),
                    height_m,
                    step_m: SEAT_STEP_M,
                    hz: plan.hz.clone(),
                };
                unless_too_few(seat_map(scene, state, &plan))?
            };
            let level_db = view.found.coherent_sum_db(&active.speakers, listener);
            let range_hz = unevenness_range_hz(scene, &active.speakers);
            let rings = ringing.iter().position(|rings| rings.listener == listener);
            seats.push(SeatMaps {
                listener,
                unevenness_db: unevenness_db(&plan.hz, &level_db, range_hz),
                seats: map,
                ringing: rings.map(|index| ringing.swap_remove(index)),
                dip_hz: deepest_dip_hz(&plan.hz, &level_db, range_hz),
            });
        }
        Ok(Self { active, seats })
    }

    /// The level over plan and section through one listener's head at a frequency.
    ///
    /// # Errors
    /// The frequency cannot be solved for.
    pub(crate) fn levels(
        &self,
        view: &WaveFieldView<'_>,
        listener: ListenerId,
        hz: f64,
    ) -> Result<LevelMaps, WaveFieldError> {
        let (scene, state, speakers) = (view.scene, view.state, &self.active.speakers);
        let head = scene[listener].at;
        let here = WaveFieldRequest {
            speakers: speakers.clone(),
            listeners: vec![listener],
            hz: vec![hz],
            head_half_m: 0.0,
            curves_to_hz: None,
        };
        let here_db =
            solve_wave_field(scene, state, &here, &())?.coherent_sum_db(speakers, listener);
        let planes = [MapPlane::Plan { height_m: head.z }, MapPlane::Section { left_m: head.y }];
        let step_m = LEVEL_STEP_M.max(scene.room().size().max_element() / MOST_ALONG);
        let map = |plane| pressure_map(scene, state, speakers, hz, plane, step_m);
        Ok(LevelMaps {
            listener,
            here_db: here_db.first().copied().unwrap_or(f64::NEG_INFINITY),
            maps: planes.into_iter().map(map).collect::<Result<_, _>>()?,
        })
    }
}

/// The part of [`UNEVENNESS_BAND_HZ`] that was asked for, in words: `30 to 200 Hz`; all of it where no
/// frequency of it was.
pub(crate) fn uneven_span(view: &WaveFieldView<'_>) -> String {
    uneven_span_of(view, UNEVENNESS_BAND_HZ)
}

/// The part of a range of the unevenness, hertz, that was asked for, in words.
pub(crate) fn uneven_span_of(view: &WaveFieldView<'_>, [low_hz, high_hz]: [f64; 2]) -> String {
    let within = |hz: &&f64| (low_hz..=high_hz).contains(*hz);
    let first = view.plan.hz.iter().find(within).copied().unwrap_or(low_hz);
    let beyond = view.plan.hz.last().is_some_and(|last| high_hz <= *last);
    let last = view.plan.hz.iter().rfind(within).copied().unwrap_or(high_hz);
    let last = if beyond { high_hz } else { last };
    frequency::range(first, last)
}

/// A narrow range of frequencies has no map, and that is no failure.
fn unless_too_few<T>(found: Result<T, WaveFieldError>) -> Result<Option<T>, WaveFieldError> {
    match found {
        Ok(found) => Ok(Some(found)),
        Err(WaveFieldError::TooFewFrequencies) => Ok(None),
        Err(wrong) => Err(wrong),
    }
}
