//! Proportions of a room and the published rule on them.

use crate::scene::Room;

/// Proportions with the longer plan side as the length, as the rule reads them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Proportions {
    /// Longer plan side over height.
    pub length_to_height: f64,
    /// Shorter plan side over height.
    pub width_to_height: f64,
    /// Least length to height the rule allows for this width: 1.1·W/H.
    pub least: f64,
    /// Greatest length to height the rule allows for this width: 4.5·W/H − 4.
    pub greatest: f64,
    /// Verdict of the rule.
    pub rule: ProportionRule,
}

/// Verdict of the published rule on a room's proportions.
///
/// 1.1·W/H ≤ L/H ≤ 4.5·W/H − 4 with L < 3H and W < 3H (ITU-R BS.1116 and EBU Tech 3276,
/// appendix 2, after R. Walker, BBC RD 1993/8; from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProportionRule {
    /// Inside the rule.
    Met,
    /// Too nearly square in plan for its height.
    TooSquare,
    /// Too long for its width and height.
    TooLong,
    /// A plan side is three heights or more.
    TooLow,
}

/// Room for the rounding of proportions that sit exactly on the rule.
const ROUNDING: f64 = 1e-9;

impl Proportions {
    /// The proportions of a room.
    pub fn of(room: &Room) -> Self {
        let long = room.length_m.max(room.width_m) / room.height_m;
        let short = room.length_m.min(room.width_m) / room.height_m;
        let least = 1.1 * short;
        let greatest = 4.5 * short - 4.0;
        let rule = if long >= 3.0 - ROUNDING {
            ProportionRule::TooLow
        } else if long < least - ROUNDING {
            ProportionRule::TooSquare
        } else if long > greatest + ROUNDING {
            ProportionRule::TooLong
        } else {
            ProportionRule::Met
        };
        Self { length_to_height: long, width_to_height: short, least, greatest, rule }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five rooms worked from the formula, which is from memory of ITU-R BS.1116 and EBU 3276.
    #[test]
    fn worked_rooms() {
        let cases = [
            ([6.0, 4.0, 2.5], 1.760, 2.400, 3.200, ProportionRule::Met),
            ([7.0, 5.18, 2.74], 2.0796, 2.5547, 4.5073, ProportionRule::Met),
            ([5.0, 4.0, 2.5], 1.76, 2.00, 3.20, ProportionRule::Met),
            ([4.0, 4.0, 4.0], 1.1, 1.0, 0.5, ProportionRule::TooSquare),
            ([8.2, 6.7, 2.7], 2.730, 3.037, 7.167, ProportionRule::TooLow),
        ];
        for ([length_m, width_m, height_m], least, ratio, greatest, rule) in cases {
            let found = Proportions::of(&Room { length_m, width_m, height_m });
            assert!((found.least - least).abs() < 1e-3);
            assert!((found.length_to_height - ratio).abs() < 1e-3);
            assert!((found.greatest - greatest).abs() < 1e-3);
            assert_eq!(found.rule, rule);
        }
    }

    /// The rule reads the longer plan side as the length, whichever way the speakers face, and
    /// its bounds themselves are allowed.
    #[test]
    fn either_way_round_and_on_the_line() {
        let along = Proportions::of(&Room { length_m: 6.0, width_m: 4.0, height_m: 2.5 });
        let across = Proportions::of(&Room { length_m: 4.0, width_m: 6.0, height_m: 2.5 });
        assert_eq!(along, across);
        let on_the_line = Room { length_m: 4.4, width_m: 4.0, height_m: 2.5 };
        assert_eq!(Proportions::of(&on_the_line).rule, ProportionRule::Met);
        let long = Room { length_m: 5.9, width_m: 3.0, height_m: 2.5 };
        assert_eq!(Proportions::of(&long).rule, ProportionRule::TooLong);
    }
}
