//! `earline materials`.

use crate::args;
use crate::content;
use crate::content::material_list::{of_catalogue, of_scene};
use crate::export::materials::MaterialsDocument;
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::terminal;
use earline_engine::medium::air::Air;

pub(super) fn run(args: &args::Materials) -> Result<Done, Failure> {
    let loaded = args.scene.as_deref().map(super::load).transpose()?;
    let air = loaded.as_ref().map_or_else(Air::default, |loaded| *loaded.scene.air());
    let own = loaded.as_ref().map_or_else(Vec::new, |loaded| of_scene(&loaded.scene));
    let built_in = of_catalogue(&air);
    if args.json {
        let all = own.iter().chain(&built_in);
        terminal::answer_bytes(&to_json(&MaterialsDocument::new(all))?)?;
    } else {
        super::show(&content::materials::document(&own, &built_in))?;
    }
    Ok(Done::Well)
}
