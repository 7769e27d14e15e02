//! The bass of a 60 m³ room with eight panels: two speakers, a head that moves, and a thousand seats.

#![expect(clippy::expect_used, reason = "a bench without its scene has nothing to measure")]

use criterion::{Criterion, criterion_group, criterion_main};
use earline_engine::scene::{NoAttachments, Scene};
use earline_engine::wave_field::{WaveFieldRequest, log_spaced_hz, solve_wave_field};
use std::fmt::Write;
use std::time::Duration;

fn scene(seats: usize) -> Scene {
    let mut text = String::from(
        "[room]\nlength = 5.6\nwidth = 4.3\nheight = 2.5\n[surfaces]\nfront = \"painted brick\"\nback = \"gypsum board on studs\"\nleft = \"gypsum board on studs\"\nright = \"gypsum board on studs\"\nfloor = \"wood floor on joists\"\nceiling = \"gypsum board on studs\"\n[[material]]\nname = \"wool\"\nporous = { thickness = \"100 mm\", flow_resistivity = 12000, gap = \"50 mm\" }\n",
    );
    for (side, y) in [("left", 1.35), ("right", 2.95)] {
        write!(text, "[[speaker]]\nname = \"{side}\"\npair = \"mains\"\nside = \"{side}\"\nat = [0.8, {y}, 1.2]\ndirectivity = {{ kind = \"omni\" }}\n").expect("room for text");
    }
    for (index, (on, x)) in ["left", "right", "back", "ceiling"]
        .into_iter()
        .flat_map(|on| [1.2, 2.9].map(|x| (on, x)))
        .enumerate()
    {
        write!(text, "[[panel]]\nname = \"p{index}\"\non = \"{on}\"\ncentre = [{x}, 1.25]\nsize = [1.2, 0.6]\nmaterial = \"wool\"\n").expect("room for text");
    }
    for seat in 0..seats {
        let (row, column) = (seat / 40, seat % 40);
        let (x, y) = (1.5 + 0.14 * row as f64, 0.2 + 0.095 * column as f64);
        write!(text, "[[listener]]\nname = \"l{seat}\"\nat = [{x:.3}, {y:.3}, 1.2]\n")
            .expect("room for text");
    }
    Scene::parse(&text, &NoAttachments).expect("a scene of our own").scene
}

fn responses(c: &mut Criterion) {
    let mut group = c.benchmark_group("bass, 60 m3, two speakers, eight panels, 20 to 300 Hz");
    for (name, seats, head_half_m) in [("27 places of one head", 1, 0.1), ("1000 seats", 1000, 0.0)]
    {
        let scene = scene(seats);
        let state = scene.variant(None).expect("everything");
        let plan = WaveFieldRequest {
            speakers: scene.speaker_ids().collect(),
            listeners: scene.listener_ids().collect(),
            hz: log_spaced_hz(20.0, 300.0),
            head_half_m,
            curves_to_hz: None,
        };
        group.bench_function(name, |b| b.iter(|| solve_wave_field(&scene, &state, &plan, &())));
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(5));
    targets = responses
}
criterion_main!(benches);
