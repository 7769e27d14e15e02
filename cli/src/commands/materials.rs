//! `earline materials`.

use crate::args;
use crate::content;
use crate::export::materials::{MaterialsDocument, built_in, own};
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::terminal;
use earline_engine::medium::air::Air;

pub(super) fn run(args: &args::Materials) -> Result<Done, Failure> {
    let loaded = args.scene.as_deref().map(super::load).transpose()?;
    let air = loaded.as_ref().map_or_else(Air::default, |loaded| *loaded.scene.air());
    let mut own = loaded.as_ref().map_or_else(Vec::new, |loaded| own(&loaded.scene));
    let built_in = built_in(&air);
    if args.json {
        own.extend(built_in);
        terminal::answer_bytes(&to_json(&MaterialsDocument::new(own))?)?;
    } else {
        super::show(&content::materials::document(&own, &built_in))?;
    }
    Ok(Done::Well)
}
