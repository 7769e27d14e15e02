//! Numbers as people read them: a fixed count of decimals, a true minus, no sign on nought.
//!
//! Machine output (JSON, CSV, Parquet) never comes through here: it keeps the ASCII hyphen-minus.

/// The minus sign, U+2212: as wide as a plus, and no line is broken after it.
pub(crate) const MINUS: char = '\u{2212}';

/// Mark of a value that does not exist, in a table or a drawing.
pub(crate) const MISSING: &str = "–";

/// A tie up to this share of a number is one: what mirrors itself differs by the last bits.
const ROUNDING: f64 = 1e-9;

/// A number with so many decimals: `12.5`, `−3.2`, `0.0`; half-way between two it goes away from nought.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value * (1.0 + ROUNDING));
    if is_nought(&text) { text.trim_start_matches('-').to_owned() } else { with_minus(&text) }
}

/// A difference with so many decimals and its sign: `+12.5`, `−3.2`, `0.0`.
pub(crate) fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if 0.0 < value && !is_nought(&text) { format!("+{text}") } else { text }
}

/// A number with as many decimals as it needs: `−12`, `0.25`, `0`.
pub(crate) fn shortest(value: f64) -> String {
    with_minus(&(value + 0.0).to_string())
}

/// A share of one in per cent: `35 %`.
pub(crate) fn percent(share: f64) -> String {
    format!("{} %", fixed(100.0 * share, 0))
}

/// A value that may be missing: its text, or [`MISSING`].
pub(crate) fn or_missing<T>(value: Option<T>, text: impl FnOnce(T) -> String) -> String {
    value.map_or_else(|| MISSING.to_owned(), text)
}

/// A text of numbers with true minus signs; no word in it may have a hyphen.
pub(crate) fn with_minus(text: &str) -> String {
    text.replace('-', MINUS.encode_utf8(&mut [0; 4]))
}

/// Whether a written number has no digit but nought.
fn is_nought(text: &str) -> bool {
    text.trim_start_matches('-').bytes().all(|byte| matches!(byte, b'0' | b'.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_true_minus_and_no_sign_on_nought() {
        let tenths = [-10.0, 20.04, -0.04, 0.06, 0.0, -0.0].map(|value| fixed(value, 1));
        assert_eq!(tenths, ["\u{2212}10.0", "20.0", "0.0", "0.1", "0.0", "0.0"]);
        assert_eq!(fixed(-0.5001, 0), "\u{2212}1");
    }

    /// 1.505 is a little less in binary, and mirrored places of it differ by their last bits.
    #[test]
    fn a_tie_rounds_one_way_whatever_the_last_bit_says() {
        let tie: f64 = 1.505;
        for value in [tie.next_down(), tie, tie.next_up()] {
            assert_eq!(fixed(value, 2), "1.51");
        }
        assert_eq!(fixed(-tie, 2), "\u{2212}1.51");
        assert_eq!(fixed(1.504_999, 2), "1.50");
    }

    #[test]
    fn differences_have_a_sign_unless_they_are_nought() {
        let tenths = [-10.0, 20.04, -0.04, 0.04, 0.06].map(|value| signed(value, 1));
        assert_eq!(tenths, ["\u{2212}10.0", "+20.0", "0.0", "0.0", "+0.1"]);
    }

    #[test]
    fn as_many_decimals_as_needed() {
        assert_eq!([-12.0, 0.25, -0.0, 3.5].map(shortest), ["\u{2212}12", "0.25", "0", "3.5"]);
    }

    #[test]
    fn shares_and_what_is_missing() {
        assert_eq!(percent(0.354), "35 %");
        assert_eq!(or_missing(Some(0.354), |value| fixed(value, 2)), "0.35");
        assert_eq!(or_missing(None, |value| fixed(value, 2)), "–");
    }
}
