//! One text for what mirrors itself left for right.

/// Two texts as one: `left / right side panel`. Words that differ stand beside each other; texts of unlike
/// build are given one after the other.
pub(crate) fn both_sides(left: &str, right: &str) -> String {
    if left == right {
        return left.to_owned();
    }
    let [one, other] = [left, right].map(|text| text.split(' ').collect::<Vec<_>>());
    if one.len() != other.len() {
        return format!("{left} / {right}");
    }
    let words = one.iter().zip(&other).map(|(a, b)| {
        // What ends a phrase stays behind both words.
        let end = a.trim_end_matches([',', ';']).len();
        let (a, mark) = a.split_at(end);
        match b.strip_suffix(mark) {
            Some(b) if a == b => format!("{a}{mark}"),
            Some(b) => format!("{a} / {b}{mark}"),
            None => format!("{a}{mark} / {b}"),
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::both_sides;

    #[test]
    fn only_what_differs_is_said_twice() {
        let places =
            ["at 1.51 m from front wall, 1.65 m up", "at 1.51 m from front wall, 2.45 m up"];
        assert_eq!(both_sides(places[0], places[1]), "at 1.51 m from front wall, 1.65 / 2.45 m up");
        assert_eq!(both_sides("left, then floor", "right, then floor"), "left / right, then floor");
        assert_eq!(both_sides("5 ft up", "5 ft 3 in up"), "5 ft up / 5 ft 3 in up");
        assert_eq!(both_sides("floor", "floor"), "floor");
    }
}
