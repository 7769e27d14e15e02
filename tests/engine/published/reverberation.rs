//! Recommended reverberation times of listening rooms.
//!
//! EBU Tech 3276 (1998): formula and range read second-hand, mask from memory. ITU-R BS.1116-3
//! §8.2.3.1 and figure 1, and AES TD1001: from memory. Times for volumes were computed.

use super::close;
use earline_engine::medium::bands::NOMINAL_HZ;
use earline_engine::metrics::criteria::{
    FigureProvenance, Judgement, REVERBERATION_CRITERIA, ReverberationCriterion,
    mean_reverberation_s,
};
use earline_engine::metrics::decay::Estimate;

fn by_key(key: &str) -> &'static ReverberationCriterion {
    REVERBERATION_CRITERIA.iter().find(|c| c.key == key).unwrap()
}

#[test]
fn nominal_time_of_a_volume() {
    let table = [
        (30.0, 0.1674),
        (40.0, 0.1842),
        (60.0, 0.2109),
        (80.0, 0.2321),
        (100.0, 0.2500),
        (200.0, 0.3150),
        (300.0, 0.3606),
        (6.0 * 3.65 * 3.12, 0.22019),
        (139.593, 0.2794),
    ];
    for (volume, time) in table {
        for key in ["itu-bs1116", "aes-td1001"] {
            close(by_key(key).nominal_s(volume), time, 1e-4);
        }
        // EBU: 0.2 s < Tm < 0.4 s.
        close(by_key("ebu-3276").nominal_s(volume), time.max(0.2), 1e-4);
    }
    close(by_key("ebu-3276").nominal_s(1000.0), 0.4, 0.0);
}

#[test]
fn mask_corners_and_what_lies_between() {
    for criterion in &REVERBERATION_CRITERIA {
        let limit = |hz: f64| criterion.mask.at(hz).unwrap();
        for (hz, lower, upper) in [
            (63.0, -0.05, 0.30),
            (200.0, -0.05, 0.05),
            (1000.0, -0.05, 0.05),
            (4000.0, -0.05, 0.05),
            (8000.0, -0.10, 0.10),
            // The geometric mean of two corners lies halfway over log frequency.
            ((63.0f64 * 200.0).sqrt(), -0.05, 0.175),
            ((4000.0f64 * 8000.0).sqrt(), -0.075, 0.075),
        ] {
            close(limit(hz).lower_s, lower, 1e-12);
            close(limit(hz).upper_s, upper, 1e-12);
        }
        assert!(criterion.mask.at(50.0).is_none() && criterion.mask.at(10_000.0).is_none());
        // Computed: 0.05 + 0.25·ln(200/125)/ln(200/63).
        close(criterion.band_limits(100.0, 1).unwrap().upper_s, 0.25 + 0.151_71, 1e-5);
        assert!((0..8).all(|band| criterion.band_limits(60.0, band).is_some()));
        let drawn = criterion.limits(100.0);
        assert!(drawn.windows(2).all(|pair| pair[0].hz < pair[1].hz));
        close(drawn[0].upper_s, 0.55, 1e-12);
        assert!((drawn[0].hz - NOMINAL_HZ[0]).abs() < 1e-9);
        assert!((drawn[3].hz - NOMINAL_HZ[7]).abs() < 1e-9);
    }
}

#[test]
fn pass_near_and_miss() {
    // 100 m³ at 1 kHz: 0.20 to 0.30 s.
    let judged = |value: f64, standard_error: f64| {
        let time_s = Estimate { value, standard_error: Some(standard_error) };
        by_key("itu-bs1116").judge(100.0, 4, time_s).unwrap()
    };
    for (value, error, judgement, outside) in [
        (0.25, 0.0, Judgement::Pass, 0.0),
        (0.30, 0.0, Judgement::Pass, 0.0),
        (0.20, 0.0, Judgement::Pass, 0.0),
        (0.319, 0.0, Judgement::Near, 0.019),
        (0.321, 0.0, Judgement::Miss, 0.021),
        (0.321, 0.03, Judgement::Near, 0.021),
        (0.185, 0.001, Judgement::Near, -0.015),
        (0.15, 0.03, Judgement::Miss, -0.05),
    ] {
        let found = judged(value, error);
        assert_eq!(found.judgement, judgement, "{value}");
        close(found.outside_s, outside, 1e-12);
        assert!(found.from_memory);
    }
    // Without an error of its own a value is near by the fixed bound alone.
    let bare = Estimate { value: 0.33, standard_error: None };
    let found = by_key("ebu-3276").judge(100.0, 4, bare).unwrap();
    assert_eq!(found.judgement, Judgement::Miss);
}

#[test]
fn what_is_from_memory_says_so() {
    for criterion in &REVERBERATION_CRITERIA {
        assert_eq!(criterion.mask_known, FigureProvenance::Memory);
        assert_eq!(
            criterion.nominal_known == FigureProvenance::SecondHand,
            criterion.nominal_provenance.contains("second-hand")
        );
        assert!(criterion.mask_provenance.starts_with("from memory"));
    }
    assert_eq!(by_key("ebu-3276").nominal_known, FigureProvenance::SecondHand);
}

#[test]
fn mean_over_the_speaking_bands() {
    let mut times = [0.9, 0.9, 0.2, 0.3, 0.4, 0.3, 0.3, 0.9].map(Some);
    close(mean_reverberation_s(&times).unwrap(), 0.3, 1e-12);
    times[0] = None;
    close(mean_reverberation_s(&times).unwrap(), 0.3, 1e-12);
    times[4] = None;
    assert_eq!(mean_reverberation_s(&times), None);
}
