//! One text for what mirrors itself left for right.

/// Two texts as one: `left / right side panel`. Phrase by phrase, what differs stands side by side; texts of
/// unlike build are given one after the other.
pub(crate) fn both_sides(left: &str, right: &str) -> String {
    let [one, other] =
        [left, right].map(|text| text.split_inclusive([',', ';']).collect::<Vec<_>>());
    if one.len() != other.len() {
        return format!("{left} / {right}");
    }
    one.iter().zip(&other).map(|(a, b)| phrase(a, b)).collect()
}

/// A phrase with its mark and the space before it.
fn phrase(left: &str, right: &str) -> String {
    if let (Some(left), Some(right)) = (left.strip_prefix(' '), right.strip_prefix(' ')) {
        return format!(" {}", phrase(left, right));
    }
    let [one, other] = [left, right].map(|text| text.split(' ').collect::<Vec<_>>());
    let mut begins = one.iter().zip(&other).take_while(|(a, b)| a == b).count();
    let least = one.len().min(other.len());
    if begins == one.len() && begins == other.len() {
        return left.to_owned();
    }
    // No length is torn apart.
    while 0 < begins && is_of_a_length(one[begins - 1]) {
        begins -= 1;
    }
    let ends = one.iter().rev().zip(other.iter().rev()).take_while(|(a, b)| a == b).count();
    let mut ends = ends.min(least - begins);
    let is_torn = |ends: usize| {
        let before = [one.iter().rev().nth(ends), other.iter().rev().nth(ends)];
        is_of_a_length(one[one.len() - ends])
            && before.into_iter().flatten().any(|word| is_of_a_length(word))
    };
    while 0 < ends && is_torn(ends) {
        ends -= 1;
    }
    let (same, rest) = one.split_at(begins);
    let (differs, last) = rest.split_at(rest.len() - ends);
    let also = &other[begins..other.len() - ends];
    // What ends the phrase stands once, behind both.
    let differs = differs.join(" ");
    let mark =
        if last.is_empty() { differs.trim_start_matches(|c| c != ',' && c != ';') } else { "" };
    let first = differs.trim_end_matches(mark);
    [same.join(" "), format!("{first} / {}", also.join(" ")), last.join(" ")]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

fn is_of_a_length(word: &str) -> bool {
    INCHES_AND_FEET.contains(&word) || word.starts_with(|c: char| c.is_ascii_digit())
}

/// Units of lengths in two parts, which say nothing behind the second alone.
const INCHES_AND_FEET: [&str; 2] = ["in", "ft"];

#[cfg(test)]
mod tests {
    use super::both_sides;

    #[test]
    fn only_what_differs_is_said_twice() {
        let places =
            ["at 1.51 m from front wall, 1.65 m up", "at 1.51 m from front wall, 2.45 m up"];
        assert_eq!(both_sides(places[0], places[1]), "at 1.51 m from front wall, 1.65 / 2.45 m up");
        assert_eq!(both_sides("left, then floor", "right, then floor"), "left / right, then floor");
        assert_eq!(
            both_sides(
                "4 ft 4 in from left wall, 2 ft up",
                "6 ft 1 1/2 in from left wall, 2 ft up"
            ),
            "4 ft 4 in / 6 ft 1 1/2 in from left wall, 2 ft up"
        );
        assert_eq!(
            both_sides("3 ft 6 in from left wall", "7 ft 6 in from left wall"),
            "3 ft 6 in / 7 ft 6 in from left wall"
        );
        assert_eq!(
            both_sides("on the left wall 4 ft up", "on the right wall 4 ft up"),
            "on the left / right wall 4 ft up"
        );
        assert_eq!(both_sides("ft", "5 ft"), "ft / 5 ft");
        assert_eq!(both_sides("5 ft up", "5 ft 3 in up"), "5 ft / 5 ft 3 in up");
        assert_eq!(both_sides("floor", "floor"), "floor");
        assert_eq!(both_sides("−15.2 dB", "−15.1 dB"), "−15.2 / −15.1 dB");
        assert_eq!(both_sides("floor", "floor, then left"), "floor / floor, then left");
    }
}
