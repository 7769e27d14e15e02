//! Everything that the rays of one speaker share.

use super::air_transmission::AirTransmission;
use super::emission::Emission;
use super::frame_recorder::FrameRecorder;
use super::ray_plan::{RayPlan, Receiver, Source};
use super::receiver_sphere::ReceiverSphere;
use super::reflectance::ReflectanceTable;
use super::shoebox::ShoeboxAttenuation;
use super::surface_materials::SurfaceMaterials;
use crate::geometry::enclosure::Enclosure;
use crate::geometry::ray_cast::packet::PacketCaster;
use crate::numerics::single_precision::to_f32;
use crate::scene::Scene;
use glam::DVec3;
use std::f64::consts::LN_10;

/// Room, speaker and receivers, prepared for tracing.
#[derive(Debug)]
pub(super) struct TraceContext {
    pub(super) caster: PacketCaster,
    pub(super) surface_materials: SurfaceMaterials,
    pub(super) reflectance: ReflectanceTable,
    /// Whether any material of the scene scatters.
    pub(super) scatters: bool,
    pub(super) emission: Emission,
    /// Reference point of the speaker, metres.
    pub(super) speaker: DVec3,
    pub(super) receivers: Vec<ReceiverSphere>,
    /// Bins of a histogram.
    pub(super) bins: usize,
    pub(super) air: AirTransmission,
    /// In an empty room of six uniform specular surfaces.
    pub(super) shoebox: Option<ShoeboxAttenuation>,
    /// Longest path traced, metres.
    pub(super) longest_m: f32,
    /// Energy below which, in every band, a ray undergoes Russian roulette.
    pub(super) floor: f32,
    /// Where energy-density frames are recorded.
    pub(super) frames: Option<FrameRecorder>,
}

impl TraceContext {
    /// Prepares a trace without frames.
    pub(super) fn new(
        scene: &Scene,
        enclosure: &Enclosure,
        source: Source,
        receivers: &[Receiver],
        plan: &RayPlan,
    ) -> Self {
        let faces = enclosure.faces().all();
        let speed = enclosure.speed_of_sound_m_s();
        let sphere = |receiver: &Receiver| {
            let distances_m = faces.iter().map(|face| face.rectangle.distance_m(receiver.at));
            let clear_m = distances_m.fold(f64::INFINITY, f64::min);
            ReceiverSphere::new(receiver, clear_m, plan.bin_s * speed)
        };
        let nepers_per_m = enclosure.attenuation_db_per_m().map(|db| db * LN_10 / 10.0);
        let farthest_m = receivers.iter().map(|r| r.direct_m).fold(0.0, f64::max);
        #[expect(clippy::cast_sign_loss, reason = "plans are positive")]
        let bins = (plan.length_s / plan.bin_s).ceil() as usize;
        let size = enclosure.room().size();
        let reflectance = ReflectanceTable::new(scene, enclosure);
        let caster = PacketCaster::new(faces, size);
        let surface_materials = SurfaceMaterials::new(enclosure);
        let scatters = reflectance.has_scattering();
        let is_shoebox = !caster.has_obstacles() && surface_materials.is_uniform() && !scatters;
        let shoebox = is_shoebox.then(|| ShoeboxAttenuation::new(reflectance.rows(), nepers_per_m));
        Self {
            caster,
            surface_materials,
            reflectance,
            scatters,
            emission: Emission::new(source.radiator, source.axis),
            speaker: source.at,
            receivers: receivers.iter().map(sphere).collect(),
            bins,
            air: AirTransmission::new(nepers_per_m, size.length()),
            shoebox,
            longest_m: to_f32(farthest_m + bins as f64 * plan.bin_s * speed),
            floor: to_f32(10f64.powf(0.1 * plan.floor_db)),
            frames: None,
        }
    }
}
