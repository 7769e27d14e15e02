//! Parts of every sheet: frame, scale and lengths, labels, badges and dimensions, and lists of paths.

pub(crate) mod badge;
pub(crate) mod drawing_scale;
pub(crate) mod frame;
pub(crate) mod labels;
pub(crate) mod legend;
pub(crate) mod lengths;
pub(crate) mod ordinate;
pub(crate) mod path_list;
pub(crate) mod scale_bar;
pub(crate) mod speaker_key;
pub(crate) mod viewport;
