//! The files that pictures become.

use crate::plot::figures::PictureFormats;
use clap::Args;

/// Pictures to look at, print and zoom into, or only the last.
#[derive(Debug, Clone, Args)]
pub(crate) struct Pictures {
    /// Write pictures as SVG only, which is quicker.
    #[arg(long, conflicts_with = "json")]
    no_png: bool,
}

impl Pictures {
    /// The formats asked for.
    pub(crate) fn formats(&self) -> PictureFormats {
        if self.no_png { PictureFormats::Svg } else { PictureFormats::SvgAndPng }
    }
}
