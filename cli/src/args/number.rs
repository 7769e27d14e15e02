//! Numbers on the command line: each is read with its range, and a wrong one is told the range.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// Reader of a whole number from a range.
pub(super) fn whole<T>(
    range: RangeInclusive<T>,
) -> impl Fn(&str) -> Result<T, String> + Clone + Send + Sync + 'static
where
    T: FromStr + PartialOrd + Display + Clone + Send + Sync + 'static,
{
    move |text| {
        let read = text.trim().parse().ok().filter(|number| range.contains(number));
        read.ok_or_else(|| format!("give a whole number from {} to {}", range.start(), range.end()))
    }
}

/// Reader of a number from a range; `what` says what is counted, as in "milliseconds".
pub(super) fn number(
    what: &'static str,
    range: RangeInclusive<f64>,
) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync + 'static {
    move |text| {
        let read = text.trim().parse().ok().filter(|number| range.contains(number));
        read.ok_or_else(|| {
            let comma = if text.contains(',') { "; the decimal mark is a point" } else { "" };
            format!("give {what} from {} to {}{comma}", range.start(), range.end())
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_in_and_all_else_is_told_the_range() {
        let order = whole(0u8..=8);
        assert_eq!((order("0"), order(" 8 ")), (Ok(0), Ok(8)));
        for wrong in ["-1", "9", "256", "1.5", "", "two", "--json"] {
            assert_eq!(order(wrong), Err("give a whole number from 0 to 8".to_owned()));
        }
        let share = number("a share", 0.01..=1.0);
        assert_eq!((share("0.01"), share(".5"), share("1")), (Ok(0.01), Ok(0.5), Ok(1.0)));
        for wrong in ["-1", "0", "nan", "inf", "1e-300", "1.0000001", "", "half"] {
            assert_eq!(share(wrong), Err("give a share from 0.01 to 1".to_owned()));
        }
        assert!(share("0,5").is_err_and(|says| says.ends_with("the decimal mark is a point")));
    }
}
