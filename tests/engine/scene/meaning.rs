//! What the values of a scene text come to.

use earline_engine::medium::directivity::{Directivity, ReferencePoint};
use earline_engine::medium::materials::{
    AbsorberLayer, PorousAbsorber, ReflectionLaw, SurfaceModel,
};
use earline_engine::medium::signal_chain::{LinkwitzRiley, LowLimit, Polarity, SignalChain};
use earline_engine::scene::{
    Aim, Attachments, NoAttachments, Parsed, Scene, SpeakerId, SpeakerKind, Surface, Units,
};
use glam::DVec3;

/// A small valid scene to which a test adds its own sections.
pub(crate) const SMALL: &str = r#"
[room]
length = "4 m"
width = "3 m"
height = "2.5 m"
[surfaces]
front = "painted brick"
back = "painted brick"
left = "painted brick"
right = "painted brick"
floor = "painted brick"
ceiling = "painted brick"
[[listener]]
name = "seat"
at = [1.64, 1.5, 1.2]
"#;

pub(super) const SPEAKER: &str =
    "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = { kind = \"omni\" }\n";

pub(super) fn parse(sections: &str) -> Parsed {
    let text = format!("{SMALL}{sections}");
    Scene::parse(&text, &NoAttachments).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

pub(super) fn codes(sections: &str) -> Vec<&'static str> {
    let text = format!("{SMALL}{sections}");
    match Scene::parse(&text, &NoAttachments) {
        Ok(parsed) => parsed.warnings.iter().map(|problem| problem.code).collect(),
        Err(problems) => problems.iter().map(|problem| problem.code).collect(),
    }
}

#[test]
fn what_is_left_out_gets_the_careful_default() {
    let scene = parse(SPEAKER).scene;
    assert_eq!(scene.units(), Units::Metric);
    assert_eq!(scene.air(), &earline_engine::medium::air::Air::default());
    assert_eq!(scene.model().reflection, ReflectionLaw::Angle);
    assert!(scene.model().edges);
    assert_eq!(scene.speakers()[0].aim, Aim::Straight);
    assert_eq!(scene.speakers()[0].axis, DVec3::X);
    assert_eq!(scene.materials().len(), 1, "one catalogue row in use");
    assert_eq!(scene.surface_material(Surface::Ceiling).name, "painted brick");
}

#[test]
fn a_signal_chain_is_read_with_its_usual_orders() {
    let text = format!(
        "{SPEAKER}low_hz = 55\nhigh_pass = {{ hz = 80 }}\nlevel_db = -2.5\n[[speaker]]\nname = \"sub\"\n\
         kind = \"subwoofer\"\nat = [0.4, 2.4, 0.3]\nlow_pass = {{ hz = 90, order = 2 }}\ndelay_ms = 4\n\
         polarity = \"inverted\"\nlow_hz = 25\nlow_order = 2\n"
    );
    let parsed = parse(&text);
    assert_eq!(parsed.warnings.iter().map(|w| w.code).collect::<Vec<_>>(), Vec::<&str>::new());
    let [main, sub] = parsed.scene.speakers() else { panic!("two speakers") };
    assert_eq!((main.kind, sub.kind), (SpeakerKind::FullRange, SpeakerKind::Subwoofer));
    let chain = SignalChain {
        low_limit: Some(LowLimit { hz: 55.0, order: 4 }),
        high_pass: Some(LinkwitzRiley { hz: 80.0, order: 4 }),
        level_db: -2.5,
        ..SignalChain::default()
    };
    assert_eq!(main.chain, chain);
    let chain = SignalChain {
        low_limit: Some(LowLimit { hz: 25.0, order: 2 }),
        low_pass: Some(LinkwitzRiley { hz: 90.0, order: 2 }),
        delay_ms: 4.0,
        polarity: Polarity::Inverted,
        ..SignalChain::default()
    };
    assert_eq!(sub.chain, chain);
    assert_eq!(sub.directivity, Directivity::Omni);
    super::roundtrip::round_trip(&format!("{SMALL}{text}")).unwrap();
}

/// 80 Hz of the fourth order is common practice.
#[test]
fn a_subwoofer_without_a_low_pass_gets_the_usual_one_and_says_so() {
    let parsed = parse("[[speaker]]\nname = \"sub\"\nkind = \"subwoofer\"\nat = [0.4, 2.4, 0.3]\n");
    let usual = Some(LinkwitzRiley { hz: 80.0, order: 4 });
    assert_eq!(parsed.scene.speakers()[0].chain.low_pass, usual);
    assert_eq!(parsed.warnings[0].code, "scene::no-low-pass");
}

#[test]
fn a_speaker_without_directivity_is_omni_and_says_so() {
    let parsed = parse("[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\n");
    assert_eq!(parsed.scene.speakers()[0].directivity, Directivity::Omni);
    assert_eq!(parsed.warnings[0].code, "scene::no-directivity");
}

#[test]
fn aims_point_where_they_are_told() {
    let scene = parse("[[speaker]]\nname = \"a\"\nat = [0.64, 1.5, 1.2]\naim = \"seat\"\ndirectivity = { kind = \"omni\" }\n[[speaker]]\nname = \"b\"\nat = [1, 1, 1]\naim = [1, 1, \"2 m\"]\ndirectivity = { kind = \"omni\" }\n").scene;
    assert!(scene.speakers()[0].axis.distance(DVec3::X) < 1e-15);
    assert!(scene.speakers()[1].axis.distance(DVec3::Z) < 1e-15);
    assert_eq!(scene.speaker_id("b"), Some(SpeakerId::new(1)));
    assert_eq!(scene.speaker_id("c"), None);
}

#[test]
fn a_two_way_speaker_is_referred_to_between_its_drivers_unless_told() {
    let body = "kind = \"two-way\", woofer = \"6 1/2 in\", tweeter = \"1 in\", spacing = 0, crossover_hz = 2200, cabinet = [0.34, 0.22, 0.27]";
    for (extra, expected) in
        [("", ReferencePoint::Between), (", reference = \"tweeter\"", ReferencePoint::Tweeter)]
    {
        let scene = parse(&format!(
            "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = {{ {body}{extra} }}\n"
        ))
        .scene;
        let Directivity::TwoWay { woofer_m, spacing_m, reference, cabinet, .. } =
            scene.speakers()[0].directivity
        else {
            panic!("two-way")
        };
        assert_eq!((reference, spacing_m), (expected, 0.0));
        assert!((woofer_m - 0.1651).abs() < 1e-12, "6.5 in at 25.4 mm");
        assert_eq!((cabinet.height_m, cabinet.width_m, cabinet.depth_m), (0.34, 0.22, 0.27));
    }
}

#[test]
fn materials_come_by_absorption_impedance_or_build() {
    let scene = parse(&format!(
        "{SPEAKER}
[[material]]
name = \"a\"
absorption = 0.25
scattering = 0.5
[[material]]
name = \"z\"
impedance = [2.0, -1.5]
[[material]]
name = \"zs\"
impedance = [1, 2, 3, 4, 5, [6, -1], 7, 8]
[[material]]
name = \"p\"
porous = {{ thickness = \"100 mm\", flow_resistivity = 12000 }}
source = \"computed\"
"
    ))
    .scene;
    let [a, z, zs, p, brick] = scene.materials() else {
        panic!("own ones first, then the catalogue's")
    };
    assert_eq!(a.surface_model, SurfaceModel::Absorption([0.25; 8]));
    assert_eq!((a.scattering, a.source.as_str()), ([0.5; 8], "the scene"));
    let SurfaceModel::Impedance(values) = z.surface_model else { panic!("impedance") };
    assert!(values.iter().all(|value| (value.re, value.im) == (2.0, -1.5)));
    let SurfaceModel::Impedance(values) = zs.surface_model else { panic!("impedance") };
    assert_eq!((values[4].re, values[5].im, values[7].re), (5.0, -1.0, 8.0));
    assert_eq!(p.surface_model, SurfaceModel::Porous(PorousAbsorber::single(0.1, 12_000.0, 0.0)));
    assert_eq!(brick.name, "painted brick");
    assert_eq!(scene.own_materials().len(), 4);
}

#[test]
fn layers_are_listed_from_the_room_side_to_the_wall() {
    let material =
        |build: &str| format!("[[material]]\nname = \"{}\"\nporous = {build}\n", build.len());
    let scene = parse(&format!(
        "{SPEAKER}{}{}{}",
        material(
            "{ layers = [{ thickness = \"50 mm\", flow_resistivity = 8000 }, { air = 0.06 }, { thickness = 0.04, flow_resistivity = 20000 }] }"
        ),
        material("{ layers = [{ thickness = 0.1, flow_resistivity = 12000 }, { air = \"50 mm\" }] }"),
        material("{ thickness = 0.1, flow_resistivity = 12000, gap = \"50 mm\" }"),
    ))
    .scene;
    let layers = [
        AbsorberLayer::Porous { thickness_m: 0.05, flow_resistivity: 8000.0 },
        AbsorberLayer::Air { thickness_m: 0.06 },
        AbsorberLayer::Porous { thickness_m: 0.04, flow_resistivity: 20_000.0 },
    ];
    assert_eq!(
        scene.materials()[0].surface_model,
        SurfaceModel::Porous(PorousAbsorber::new(&layers).unwrap())
    );
    // A layer of air on the wall is the gap of the short form, exactly.
    assert_eq!(scene.materials()[1].surface_model, scene.materials()[2].surface_model);
    assert_eq!(
        scene.materials()[2].surface_model,
        SurfaceModel::Porous(PorousAbsorber::single(0.1, 12_000.0, 0.05))
    );
}

#[test]
fn laboratory_absorption_above_one_is_taken_as_one() {
    let parsed = parse(&format!(
        "{SPEAKER}[[material]]\nname = \"a\"\nabsorption = [1.2, 1, 1, 1, 1, 1, 1, 0.9]\n"
    ));
    assert_eq!(
        parsed.warnings.iter().map(|w| w.code).collect::<Vec<_>>(),
        ["scene::absorption-above-one"]
    );
    assert_eq!(
        parsed.scene.materials()[0].surface_model,
        SurfaceModel::Absorption([1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 0.9])
    );
}

#[test]
fn a_cloud_is_measured_front_to_back_first_and_a_gobo_along_the_floor_first() {
    let scene = parse(&format!(
        "{SPEAKER}
[[screen]]
name = \"cloud\"
centre = [1.2, 1.5, 2.2]
size = [1.2, 0.8]
facing = \"down\"
material = \"painted brick\"
[[screen]]
name = \"tilted cloud\"
centre = [1.2, 1.5, 1.8]
size = [1.2, 0.8]
facing = [0.3, 0, -1]
material = \"painted brick\"
[[screen]]
name = \"gobo\"
centre = [2.5, 1.5, 1]
size = [1.2, 1.6]
facing = \"front\"
material = \"painted brick\"
"
    ))
    .scene;
    let [cloud, tilted, gobo] = scene.screens() else { panic!("three screens") };
    assert_eq!((cloud.facing, cloud.along), (DVec3::NEG_Z, DVec3::X));
    assert!(tilted.along.y.abs() < 1e-15 && 0.9 < tilted.along.x);
    assert_eq!(gobo.facing, DVec3::NEG_X);
    assert_eq!((gobo.along.x, gobo.along.y.abs(), gobo.along.z), (0.0, 1.0, 0.0));
    for screen in scene.screens() {
        assert!(
            screen.along.dot(screen.facing).abs() < 1e-15
                && (screen.along.length() - 1.0).abs() < 1e-15
        );
    }
}

#[test]
fn panels_that_are_never_up_together_may_share_their_place() {
    let panel = |name: &str, set: &str, y: f64| {
        format!(
            "[[panel]]\nname = \"{name}\"\nset = \"{set}\"\non = \"left\"\ncentre = [{y}, 1.2]\nsize = [1, 1]\nmaterial = \"painted brick\"\n"
        )
    };
    let two = format!("{SPEAKER}{}{}", panel("a", "cheap", 1.0), panel("b", "dear", 1.5));
    assert_eq!(codes(&two), ["scene::panels-overlap"], "without variants everything is in");
    let either = format!(
        "{two}[[variant]]\nname = \"1\"\nwith = [\"cheap\"]\n[[variant]]\nname = \"2\"\nwith = [\"dear\"]\n"
    );
    assert_eq!(codes(&either), Vec::<&str>::new());
    let both = format!("{either}[[variant]]\nname = \"3\"\nwith = [\"dear\", \"cheap\"]\n");
    assert_eq!(codes(&both), ["scene::panels-overlap"]);
    // Edge to edge is not overlapping.
    let touching = format!("{SPEAKER}{}{}", panel("a", "x", 1.0), panel("b", "x", 2.0));
    assert_eq!(codes(&touching), Vec::<&str>::new());
}

#[test]
fn an_item_without_a_set_is_always_in_unless_a_variant_names_it() {
    let box_ = "[[furniture]]\nname = \"chest\"\ncorner = [3, 1, 0]\nsize = [0.5, 0.5, 0.5]\nmaterial = \"painted brick\"\n";
    let bare = "[[variant]]\nname = \"bare\"\nwith = []\n";
    let scene = parse(&format!("{SPEAKER}{box_}{bare}")).scene;
    assert_eq!(scene.variant(Some("bare")).unwrap().furniture.len(), 1);
    let scene =
        parse(&format!("{SPEAKER}{box_}{bare}[[variant]]\nname = \"full\"\nwith = [\"chest\"]\n"))
            .scene;
    assert_eq!(scene.variant(Some("bare")).unwrap().furniture.len(), 0);
    assert_eq!(scene.variant(Some("full")).unwrap().furniture.len(), 1);
}

/// The first variant is the room as it stands, unless another says that it is.
#[test]
fn without_a_name_the_room_stands_as_it_is_now() {
    let state =
        |name: &str, more: &str| format!("[[variant]]\nname = \"{name}\"\nwith = []\n{more}");
    let standing = |states: &str| {
        let scene = parse(&format!("{SPEAKER}{states}")).scene;
        scene.variant(None).unwrap().name.map(str::to_owned)
    };
    assert_eq!(standing(""), None);
    let [first, second] = [state("one", ""), state("two", "")];
    assert_eq!(standing(&(first.clone() + &second)).as_deref(), Some("one"));
    let second = state("two", "now = true\n");
    assert_eq!(standing(&(first + &second)).as_deref(), Some("two"));
}

/// One invented table under one name.
struct OneTable;

impl Attachments for OneTable {
    fn read(&self, name: &str) -> Result<String, String> {
        match name {
            "good.csv" => Ok("angle_deg,63,125,250,500,1000,2000,4000,8000\n0,0,0,0,0,0,0,0,0\n90,-1,-1,-2,-3,-5,-8,-10,-14\n180,-2,-3,-5,-8,-12,-15,-18,-22\n".to_owned()),
            "bad.csv" => Ok("angle,63\n".to_owned()),
            _ => Err("there is no such file".to_owned()),
        }
    }
}

#[test]
fn directivity_tables_come_from_attachments() {
    let text = |file: &str| {
        format!(
            "{SMALL}[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = {{ kind = \"table\", file = \"{file}\" }}\n"
        )
    };
    let scene = Scene::parse(&text("good.csv"), &OneTable).unwrap().scene;
    let Directivity::Table(table) = &scene.speakers()[0].directivity else { panic!("table") };
    assert_eq!(
        (table.file.as_str(), table.angle_deg.as_slice(), table.level_db[1][4]),
        ("good.csv", [0.0, 90.0, 180.0].as_slice(), -5.0)
    );
    assert_eq!(Scene::parse(&scene.to_toml(), &OneTable).unwrap().scene, scene);
    for (file, code) in
        [("bad.csv", "scene::directivity-table"), ("other.csv", "scene::directivity-file")]
    {
        let problems = Scene::parse(&text(file), &OneTable).unwrap_err();
        assert_eq!(problems[0].code, code);
    }
}

#[test]
fn near_misses_are_offered() {
    for (sections, offered) in [
        (
            "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\naim = \"seet\"\ndirectivity = { kind = \"omni\" }\n",
            "\"seat\"",
        ),
        (
            "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = { kind = \"omnii\" }\n",
            "\"omni\"",
        ),
        (
            "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectvity = { kind = \"omni\" }\n",
            "`directivity`",
        ),
        (
            "[[speaker]]\nname = \"s\"\nat = [0.6, 0.9, 1.2]\ndirectivity = { kind = \"omni\" }\n[[panel]]\nname = \"p\"\non = \"left\"\ncentre = [1, 1]\nsize = [1, 1]\nmaterial = \"gypsum board on stud\"\n",
            "\"gypsum board on studs\"",
        ),
    ] {
        let problems = Scene::parse(&format!("{SMALL}{sections}"), &NoAttachments).unwrap_err();
        let help = problems[0].help.clone().unwrap();
        assert!(help.contains("did you mean") && help.contains(offered), "{help}");
    }
}

#[test]
fn fahrenheit_is_recognised() {
    // 72 °F = (72 − 32)/1.8 = 22.2 °C, by definition of the scale.
    let text = format!("{SMALL}{SPEAKER}[air]\ntemperature_c = 72\n");
    let problems = Scene::parse(&text, &NoAttachments).unwrap_err();
    assert!(problems[0].help.as_ref().unwrap().contains("72 °F are 22.2 °C"));
}
