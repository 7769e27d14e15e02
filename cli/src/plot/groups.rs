//! Names of the groups that a page tells apart: paths, and the direct sound and curve of a speaker.

use crate::canvas::{GroupId, SCALE};

/// The scale of a sheet.
pub(crate) fn scale() -> GroupId {
    GroupId { kind: SCALE, key: String::new() }
}

/// Everything drawn of the path with this number.
pub(crate) fn path(number: String) -> GroupId {
    GroupId { kind: "path", key: number }
}

/// The direct sound of a speaker, by its place in the picture.
pub(crate) fn direct(speaker: usize) -> GroupId {
    GroupId { kind: "direct", key: speaker.to_string() }
}

/// The curve of a speaker, by its place in the picture.
pub(crate) fn curve(speaker: usize) -> GroupId {
    GroupId { kind: "curve", key: speaker.to_string() }
}
