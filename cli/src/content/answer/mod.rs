//! What a person reads in the terminal after a command.

pub(crate) mod bass;
mod bass_maps;
mod bass_room;
pub(crate) mod listen;
pub(crate) mod materials;
pub(crate) mod place;
pub(crate) mod plain;
mod set_out_care;
pub(crate) mod setting_out;
pub(crate) mod start;
pub(crate) mod sweep;
pub(crate) mod treat;
mod treat_places;
pub(crate) mod wave;

use crate::content::criterion::early_limit;
use crate::io::terminal::HEADING;
use crate::render::columns::paragraph;
use earline_engine::metrics::criteria::EarlyLimit;
use earline_engine::scene::{Scene, State};

/// An empty line and a heading.
fn heading(text: &str) -> [String; 2] {
    [String::new(), format!("{HEADING}{text}{HEADING:#}")]
}

/// What the scene is called, with the state of the room.
fn title(scene: &Scene, state: &State<'_>, width: usize) -> Vec<String> {
    let name = match state.name {
        Some(variant) => format!("{} ({variant})", scene.title()),
        None => scene.title().to_owned(),
    };
    paragraph(&name, width).iter().map(|line| format!("{HEADING}{line}{HEADING:#}")).collect()
}

fn limit(limit: &EarlyLimit, width: usize) -> Vec<String> {
    paragraph(&early_limit(limit), width)
}

mod list {
    pub(super) use crate::format::frequency::BAND_NAMES;
    pub(super) use crate::format::level::with_unit as level;
}

mod low_end {
    use crate::content::low_end::document;
    use crate::render::terminal;
    use earline_engine::wave_field::LowEnd;

    pub(super) struct Low<'a> {
        pub(super) name: &'a str,
        pub(super) found: &'a LowEnd,
    }

    pub(super) fn lines<'a>(
        states: &[Low<'a>],
        listener: &dyn Fn(usize) -> &'a str,
        width: usize,
    ) -> Vec<String> {
        let variants: Vec<_> = states.iter().map(|low| (low.name, low.found)).collect();
        let text = terminal::text(&document(&variants, listener), width);
        [""].into_iter().chain(text.lines()).map(str::to_owned).collect()
    }
}
