//! A scene back to text: canonical, in metres, every digit kept.

use super::model::{Aim, Scene, Screen, Side, Speaker, SpeakerKind, Units};
use super::room::Surface;
use crate::medium::bands::PerBand;
use crate::medium::directivity::{Cabinet, Directivity, ReferencePoint};
use crate::medium::materials::{AbsorberLayer, Material, ReflectionLaw, SurfaceModel};
use crate::medium::signal_chain::{LinkwitzRiley, Polarity, SignalChain};
use glam::DVec3;
use num_complex::Complex64;

impl Scene {
    /// The scene as text that [`Scene::parse`] reads back to an equal scene.
    ///
    /// Lengths are in metres whatever the scene's units, defaults are written out, and comments of
    /// the text it came from are gone. A directivity table is named, not copied: reading the text
    /// back takes the same attachment.
    pub fn to_toml(&self) -> String {
        let mut page = Page::default();
        self.print_head(&mut page);
        for material in self.own_materials() {
            print_material(&mut page, material);
        }
        for speaker in &self.speakers {
            self.print_speaker(&mut page, speaker);
        }
        self.print_listeners(&mut page);
        self.print_panels(&mut page);
        for screen in &self.screens {
            self.print_screen(&mut page, screen);
        }
        self.print_furniture(&mut page);
        for variant in &self.variants {
            page.section("[[variant]]");
            page.line("name", &quote(&variant.name));
            page.line("with", &array(variant.with.iter().map(|name| quote(name))));
            if variant.now {
                page.line("now", "true");
            }
        }
        self.print_constraints(&mut page);
        page.section("[model]");
        page.line(
            "reflection",
            match self.model.reflection {
                ReflectionLaw::Angle => "\"angle\"",
                ReflectionLaw::Constant => "\"constant\"",
            },
        );
        page.line("edges", &self.model.edges.to_string());
        page.text
    }

    fn print_head(&self, page: &mut Page) {
        page.line("title", &quote(&self.title));
        page.line(
            "units",
            match self.units {
                Units::Metric => "\"metric\"",
                Units::Imperial => "\"imperial\"",
            },
        );
        page.section("[room]");
        page.line("length", &metres(self.room.length_m));
        page.line("width", &metres(self.room.width_m));
        page.line("height", &metres(self.room.height_m));
        page.section("[air]");
        page.line("temperature_c", &number(self.air.temperature_c));
        page.line("humidity_percent", &number(self.air.humidity_percent));
        page.line("pressure_kpa", &number(self.air.pressure_kpa));
        page.line("absorption", &self.air.absorption.to_string());
        page.section("[surfaces]");
        for surface in Surface::ALL {
            page.line(surface.name(), &quote(&self.surface_material(surface).name));
        }
    }

    fn print_speaker(&self, page: &mut Page, speaker: &Speaker) {
        page.section("[[speaker]]");
        page.line("name", &quote(&speaker.name));
        if speaker.kind == SpeakerKind::Subwoofer {
            page.line("kind", "\"subwoofer\"");
        }
        if let Some((pair, side)) = &speaker.pair {
            page.line("pair", &quote(pair));
            page.line(
                "side",
                match side {
                    Side::Left => "\"left\"",
                    Side::Right => "\"right\"",
                },
            );
        }
        page.line("at", &point(speaker.at));
        match &speaker.aim {
            Aim::Straight => {}
            Aim::Point(target) => page.line("aim", &point(*target)),
            Aim::Listener(id) => {
                if let Some(listener) = self.listener(*id) {
                    page.line("aim", &quote(&listener.name));
                }
            }
        }
        page.line("directivity", &directivity(&speaker.directivity));
        print_chain(page, &speaker.chain);
        page.line("solid", &speaker.solid.is_some().to_string());
        if let Some(finish) = speaker.solid {
            page.line("finish", &quote(self.material_name(finish)));
        }
    }

    fn print_listeners(&self, page: &mut Page) {
        for listener in &self.listeners {
            page.section("[[listener]]");
            page.line("name", &quote(&listener.name));
            page.line("at", &point(listener.at));
            if let Some(faces) = listener.faces {
                page.line("faces", &point(faces));
            }
        }
    }

    fn print_panels(&self, page: &mut Page) {
        for panel in &self.panels {
            page.section("[[panel]]");
            page.line("name", &quote(&panel.name));
            page.optional_text("set", panel.set.as_deref());
            page.line("on", &quote(panel.on.name()));
            page.line("centre", &array(panel.centre_m.map(metres)));
            page.line("size", &array(panel.size_m.map(metres)));
            page.line("material", &quote(self.material_name(panel.material)));
            page.optional_number("cost", panel.cost);
        }
    }

    fn print_screen(&self, page: &mut Page, screen: &Screen) {
        page.section("[[screen]]");
        page.line("name", &quote(&screen.name));
        page.optional_text("set", screen.set.as_deref());
        page.line("centre", &point(screen.centre));
        page.line("size", &array(screen.size_m.map(metres)));
        page.line("facing", &array(screen.facing.to_array().map(number)));
        page.line("material", &quote(self.material_name(screen.material)));
        page.optional_number("cost", screen.cost);
    }

    fn print_furniture(&self, page: &mut Page) {
        for piece in &self.furniture {
            page.section("[[furniture]]");
            page.line("name", &quote(&piece.name));
            page.optional_text("set", piece.set.as_deref());
            page.line("corner", &point(piece.corner));
            page.line("size", &point(piece.size));
            page.line("turn_deg", &number(piece.turn_deg));
            page.line("material", &quote(self.material_name(piece.material)));
        }
    }

    fn print_constraints(&self, page: &mut Page) {
        for keep_out in &self.keep_outs {
            page.section("[[keep_out]]");
            page.line("name", &quote(&keep_out.name));
            page.line("corner", &array(keep_out.corner_m.map(metres)));
            page.line("size", &array(keep_out.size_m.map(metres)));
        }
        for keep_clear in &self.keep_clears {
            page.section("[[keep_clear]]");
            page.line("name", &quote(&keep_clear.name));
            page.line("on", &quote(keep_clear.on.name()));
            page.line("centre", &array(keep_clear.centre_m.map(metres)));
            page.line("size", &array(keep_clear.size_m.map(metres)));
        }
        for absorber in &self.absorbers {
            page.section("[[absorber]]");
            page.line("name", &quote(&absorber.name));
            page.line("size", &array(absorber.size_m.map(metres)));
            page.line("material", &quote(self.material_name(absorber.material)));
            page.optional_number("cost", absorber.cost);
            page.line("count", &absorber.count.to_string());
            page.optional_number("weight_kg", absorber.weight_kg);
            page.line("on", &array(absorber.on.iter().map(|surface| quote(surface.name()))));
            page.line("may_turn", &absorber.may_turn.to_string());
            if let Some(hang_m) = absorber.hang_m {
                page.line("hang", &metres(hang_m));
            }
        }
    }

    fn material_name(&self, index: usize) -> &str {
        self.materials.get(index).map_or("", |material| material.name.as_str())
    }
}

/// The text while it is being written.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn section(&mut self, header: &str) {
        self.text.push('\n');
        self.text.push_str(header);
        self.text.push('\n');
    }

    fn line(&mut self, key: &str, value: &str) {
        self.text.push_str(key);
        self.text.push_str(" = ");
        self.text.push_str(value);
        self.text.push('\n');
    }

    fn optional_text(&mut self, key: &str, value: Option<&str>) {
        if let Some(value) = value {
            self.line(key, &quote(value));
        }
    }

    fn optional_number(&mut self, key: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.line(key, &number(value));
        }
    }
}

fn print_chain(page: &mut Page, chain: &SignalChain) {
    if let Some(limit) = chain.low_limit {
        page.line("low_hz", &number(limit.hz));
        page.line("low_order", &limit.order.to_string());
    }
    let filter =
        |LinkwitzRiley { hz, order }| format!("{{ hz = {}, order = {order} }}", number(hz));
    for (key, pass) in [("high_pass", chain.high_pass), ("low_pass", chain.low_pass)] {
        if let Some(pass) = pass {
            page.line(key, &filter(pass));
        }
    }
    for (key, value) in [("level_db", chain.level_db), ("delay_ms", chain.delay_ms)] {
        page.optional_number(key, Some(value).filter(|value| *value != 0.0));
    }
    if chain.polarity == Polarity::Inverted {
        page.line("polarity", "\"inverted\"");
    }
}

fn print_material(page: &mut Page, material: &Material) {
    page.section("[[material]]");
    page.line("name", &quote(&material.name));
    match &material.surface_model {
        SurfaceModel::Absorption(values) => page.line("absorption", &per_band(values)),
        SurfaceModel::Impedance(values) => page.line("impedance", &array(values.map(complex))),
        SurfaceModel::Porous(build) => page.line("porous", &porous(build.layers())),
    }
    page.line("scattering", &per_band(&material.scattering));
    page.line("source", &quote(&material.source));
}

/// One layer with what is behind it in short, more of them as a list.
fn porous(layers: &[AbsorberLayer]) -> String {
    let short = |thickness_m: f64, flow_resistivity: f64, gap_m: f64| {
        format!(
            "{{ thickness = {}, flow_resistivity = {}, gap = {} }}",
            metres(thickness_m),
            number(flow_resistivity),
            metres(gap_m),
        )
    };
    match *layers {
        [AbsorberLayer::Porous { thickness_m, flow_resistivity }] => {
            short(thickness_m, flow_resistivity, 0.0)
        }
        [
            AbsorberLayer::Porous { thickness_m, flow_resistivity },
            AbsorberLayer::Air { thickness_m: gap_m },
        ] => short(thickness_m, flow_resistivity, gap_m),
        _ => format!("{{ layers = {} }}", array(layers.iter().map(layer))),
    }
}

fn layer(layer: &AbsorberLayer) -> String {
    match *layer {
        AbsorberLayer::Porous { thickness_m, flow_resistivity } => format!(
            "{{ thickness = {}, flow_resistivity = {} }}",
            metres(thickness_m),
            number(flow_resistivity)
        ),
        AbsorberLayer::Air { thickness_m } => format!("{{ air = {} }}", metres(thickness_m)),
    }
}

fn directivity(directivity: &Directivity) -> String {
    match directivity {
        Directivity::Omni => "{ kind = \"omni\" }".to_owned(),
        Directivity::Cardioid => "{ kind = \"cardioid\" }".to_owned(),
        Directivity::Piston { diameter_m, cabinet } => {
            format!(
                "{{ kind = \"piston\", diameter = {}, cabinet = {} }}",
                metres(*diameter_m),
                sides(cabinet)
            )
        }
        Directivity::TwoWay {
            woofer_m,
            tweeter_m,
            spacing_m,
            crossover_hz,
            reference,
            cabinet,
        } => format!(
            "{{ kind = \"two-way\", woofer = {}, tweeter = {}, spacing = {}, crossover_hz = {}, reference = \"{}\", cabinet = {} }}",
            metres(*woofer_m),
            metres(*tweeter_m),
            metres(*spacing_m),
            number(*crossover_hz),
            match reference {
                ReferencePoint::Tweeter => "tweeter",
                ReferencePoint::Between => "between",
                ReferencePoint::Woofer => "woofer",
            },
            sides(cabinet),
        ),
        Directivity::Table(table) => {
            format!("{{ kind = \"table\", file = {} }}", quote(&table.file))
        }
    }
}

fn sides(cabinet: &Cabinet) -> String {
    array([cabinet.height_m, cabinet.width_m, cabinet.depth_m].map(metres))
}

fn point(point: DVec3) -> String {
    array(point.to_array().map(metres))
}

fn per_band(values: &PerBand<f64>) -> String {
    array(values.map(number))
}

fn complex(value: Complex64) -> String {
    array([number(value.re), number(value.im)])
}

fn array(values: impl IntoIterator<Item = String>) -> String {
    let values: Vec<String> = values.into_iter().collect();
    format!("[{}]", values.join(", "))
}

/// Metres with their unit. `Display` never writes an exponent, and its digits read back exactly.
fn metres(value: f64) -> String {
    format!("\"{value} m\"")
}

/// A TOML float, read back exactly.
fn number(value: f64) -> String {
    format!("{value:?}")
}

/// A TOML basic string.
pub(super) fn quote(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            c if c.is_control() => quoted.extend(format!("\\u{:04X}", u32::from(c)).chars()),
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}
