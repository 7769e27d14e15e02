//! Citation of the rule on the proportions of a room.

/// Source of the rule, and of our copy of it.
pub(crate) const RULE_SOURCE: &str =
    "ITU-R BS.1116 and EBU Tech 3276 after Walker, BBC RD 1993/8; from memory";
