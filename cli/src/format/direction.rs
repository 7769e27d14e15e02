//! Directions in plain words, as the listener faces.

/// Where a sound comes from in words: `from your left, 42° forward`, `from ahead, 30° up`.
///
/// Azimuth is 0° straight ahead and positive to the left, elevation positive upward. Angles are
/// rounded to whole degrees first, so the words and the numbers in them agree.
pub(crate) fn words(azimuth_deg: f64, elevation_deg: f64) -> String {
    let azimuth = whole(azimuth_deg.rem_euclid(360.0));
    let elevation = whole(elevation_deg);
    if elevation.abs() >= OVERHEAD_DEG {
        return if elevation > 0 { "from straight above" } else { "from straight below" }
            .to_owned();
    }
    let (side, off) = if azimuth <= 180 { ("left", azimuth) } else { ("right", 360 - azimuth) };
    let level = around(side, off);
    if elevation.abs() < SLIGHT_DEG {
        return level;
    }
    let way = if elevation > 0 { "up" } else { "down" };
    format!("{level}, {}° {way}", elevation.abs())
}

/// Above this elevation the compass no longer helps.
const OVERHEAD_DEG: i32 = 80;

/// Below this an angle is not worth a word.
const SLIGHT_DEG: i32 = 4;

/// Words for a turn of `off` degrees, 0 to 180, toward one side.
fn around(side: &str, off: i32) -> String {
    match off {
        ..SLIGHT_DEG => "from straight ahead".to_owned(),
        SLIGHT_DEG..=45 => format!("from ahead, {off}° to your {side}"),
        46..=86 => format!("from your {side}, {}° forward", 90 - off),
        87..=93 => format!("from your {side}"),
        94..=134 => format!("from your {side}, {}° backward", off - 90),
        135..=176 => format!("from behind, {}° to your {side}", 180 - off),
        _ => "from directly behind".to_owned(),
    }
}

fn whole(degrees: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "rounded, and angles are small")]
    let rounded = degrees.round() as i32;
    rounded
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Signs as ITU-R BS.2076 has them: positive azimuth is to the left.
    #[test]
    fn every_way_round() {
        for (azimuth, elevation, expected) in [
            (0.0, 0.0, "from straight ahead"),
            (3.4, 0.0, "from straight ahead"),
            (0.0, 30.2, "from straight ahead, 30° up"),
            (-30.0, 0.0, "from ahead, 30° to your right"),
            (30.0, -12.0, "from ahead, 30° to your left, 12° down"),
            (48.0, 0.0, "from your left, 42° forward"),
            (-48.0, 3.4, "from your right, 42° forward"),
            (90.0, 0.0, "from your left"),
            (-92.0, 0.0, "from your right"),
            (120.0, 0.0, "from your left, 30° backward"),
            (150.0, 20.0, "from behind, 30° to your left, 20° up"),
            (-150.0, 0.0, "from behind, 30° to your right"),
            (180.0, 0.0, "from directly behind"),
            (-179.9, 0.0, "from directly behind"),
            (77.0, 88.0, "from straight above"),
            (77.0, -88.0, "from straight below"),
        ] {
            assert_eq!(words(azimuth, elevation), expected);
        }
    }

    /// Left and right mirror each other at every whole degree.
    #[test]
    fn mirrored() {
        for azimuth in 1..180 {
            let left = words(f64::from(azimuth), 10.0);
            let right = words(-f64::from(azimuth), 10.0);
            assert_eq!(left.replace("left", "right"), right);
        }
    }
}
