//! `earline bass`: the response of every speaker at every seat, in words, tables and charts.

use super::{contents, earline, scene, scenes_of, stdout};

fn json(folder: &std::path::Path, args: &[&str]) -> serde_json::Value {
    let args = [&["bass", "--json"], args].concat();
    serde_json::from_str(&stdout(earline(folder).args(args).arg(scene("attic")))).unwrap()
}

#[test]
fn the_document_has_every_seat_and_mode() {
    let folder = tempfile::tempdir().unwrap();
    let document = json(folder.path(), &["--to", "120"]);
    assert_eq!(document["schema"], "earline.bass/1");
    let hz = document["frequencies_hz"].as_array().unwrap();
    assert!(hz.windows(2).all(|pair| pair[0].as_f64() < pair[1].as_f64()));
    let pairs = document["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 4, "two speakers at two listeners");
    for pair in pairs {
        let figures = |key: &str| -> Vec<f64> {
            pair[key].as_array().unwrap().iter().map(|db| db.as_f64().unwrap()).collect()
        };
        let (least, level, most) =
            (figures("least_db"), figures("level_db"), figures("greatest_db"));
        assert_eq!(level.len(), hz.len());
        for i in 0..level.len() {
            assert!(least[i] <= level[i] + 1e-9 && level[i] <= most[i] + 1e-9);
        }
    }
    // The lowest mode of a room 5.8 m long: half the speed of sound over the length.
    let lowest = document["modes"][0]["hz"].as_f64().unwrap();
    assert!((lowest - 343.2 / 2.0 / 5.8).abs() < 0.05, "{lowest}");
    // Cloud, desk and sofa are in the solution, and its speakers have no solid cabinets.
    assert_eq!(document["left_out"].as_array().unwrap().len(), 0);
    maps_and_decays(&document);
}

/// Every seat has a map of its height and a decay, and the flattest seat is on the map.
fn maps_and_decays(document: &serde_json::Value) {
    assert_eq!(document["sounding"].as_array().unwrap().len(), 2);
    let figures = |value: &serde_json::Value| -> Vec<f64> {
        value.as_array().unwrap().iter().map(|figure| figure.as_f64().unwrap()).collect()
    };
    let maps = document["seat_map"].as_array().unwrap();
    assert_eq!(maps.len(), 2);
    for (map, together) in maps.iter().zip(document["together"].as_array().unwrap()) {
        assert_eq!(map["listener"], together["listener"]);
        assert_eq!(map["unevenness_here_db"], together["unevenness_db"]);
        let (x_m, y_m) = (figures(&map["x_m"]), figures(&map["y_m"]));
        let rows = map["unevenness_db"].as_array().unwrap();
        assert_eq!((rows.len(), figures(&rows[0]).len()), (x_m.len(), y_m.len()));
        let seats = map["is_seat"].as_array().unwrap();
        let best = map["flattest"]["unevenness_db"].as_f64().unwrap();
        for (row, seats) in rows.iter().zip(seats) {
            for (db, is_seat) in figures(row).iter().zip(seats.as_array().unwrap()) {
                assert!(!is_seat.as_bool().unwrap() || best <= db + 0.006);
            }
        }
        let spot = figures(&map["flattest"]["at_m"]);
        assert!(x_m[0] <= spot[0] && spot[0] <= x_m[x_m.len() - 1]);
        assert!((spot[2] - map["height_m"].as_f64().unwrap()).abs() < 1e-9);
    }
    for decay in document["decay"].as_array().unwrap() {
        let bands = figures(&decay["bands_hz"]);
        assert!(bands.iter().all(|hz| (15.0..120.0).contains(hz)));
        assert_eq!(decay["step_ms"], 5.0);
        let levels = decay["level_db"].as_array().unwrap();
        assert_eq!(levels.len(), bands.len());
        assert!(levels.iter().all(|band| figures(band).iter().all(|db| *db <= 0.0)));
    }
}

/// The maps of level are of the frequency asked for, in a range that need not hold it.
#[test]
fn maps_are_of_the_frequency_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let drawn = |more: &[&str]| {
        let mut command = earline(folder.path());
        command
            .args(["bass", "--listener", "seated", "--to", "60", "--no-png", "--out", "o"])
            .args(more);
        stdout(command.arg(scene("attic")));
        contents(&folder.path().join("o"))
    };
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    let files = drawn(&["--at", "41.9"]);
    for name in ["bass-plan", "bass-section"] {
        assert!(text(&files[&format!("{name}.svg")]).contains("one steady tone of 41.9 Hz"));
    }
    assert!(text(&files["bass-seats.svg"]).contains("most even"));
    assert!(files.contains_key("bass-decay.svg"));
}

#[test]
fn the_same_bytes_on_any_number_of_threads() {
    let folder = tempfile::tempdir().unwrap();
    let on = |threads: &str| json(folder.path(), &["--to", "90", "--threads", threads]);
    assert_eq!(on("1"), on("3"));
}

#[test]
fn files_and_lines() {
    for path in scenes_of("scenes") {
        let folder = tempfile::tempdir().unwrap();
        let mut command = earline(folder.path());
        command
            .env("COLUMNS", "70")
            .args(["bass", "--to", "60", "--no-png", "--out", "o"])
            .arg(&path);
        for line in stdout(&mut command).lines() {
            assert!(line.chars().count() <= 70, "{line}");
        }
        let files = contents(&folder.path().join("o"));
        for name in ["bass.json", "bass.csv", "bass.svg"] {
            assert!(files.contains_key(name), "{name}");
        }
    }
}

/// One screen: what to do stands above the figures, nothing is headed by frequencies that were not asked
/// for, and every cause that is named lies near its peak or dip.
#[test]
fn one_screen_says_what_to_try_first() {
    let folder = tempfile::tempdir().unwrap();
    let answer = |more: &[&str]| {
        let mut command = earline(folder.path());
        command.env("COLUMNS", "80").args(["bass", "--to", "120", "--no-png", "--out", "o"]);
        stdout(command.args(more).arg(scene("attic")))
    };
    let brief = answer(&[]);
    let lines: Vec<&str> = brief.lines().collect();
    assert!(lines.len() <= 60, "{brief}");
    assert!(lines[..15].iter().any(|line| line.starts_with("  1. ")), "{brief}");
    let full = answer(&["--full"]);
    assert!(lines.len() < full.lines().count());
    for text in [&brief, &full] {
        assert!(!text.contains("30 to 200 Hz"), "{text}");
        assert!(text.contains("30 to 120 Hz") || text.contains("30 to 119 Hz"), "{text}");
    }
    let number = |text: &str| text.parse::<f64>().ok();
    let rows =
        lines.iter().skip_while(|line| !line.starts_with("Largest")).take_while(|l| !l.is_empty());
    let mut named = 0;
    for row in rows {
        let mut words = row.split_whitespace();
        let (Some(hz), Some(db)) = (words.next().and_then(number), words.next()) else { continue };
        if !db.starts_with(['+', '\u{2212}']) {
            continue;
        }
        let Some((_, cause)) = row.split_once(" at ") else { continue };
        let cause_hz = cause.split(' ').next().unwrap().parse::<f64>();
        named += 1;
        // Five hundredths, or half of the width of the lowest modes; both are shown in whole hertz.
        assert!((cause_hz.unwrap() - hz).abs() <= (0.05 * hz).max(2.5) + 1.0, "{row}");
    }
    assert!(0 < named, "{brief}");
    // Peaks stand there although every dip is deeper.
    assert!(lines.iter().any(|line| line.contains("   +")), "{brief}");
}

/// Frequencies that give no unevenness and no map: said so, not that no place is better.
#[test]
fn too_narrow_a_range_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let mut command = earline(folder.path());
    let args = ["bass", "--from", "15", "--to", "25", "--no-png", "--out", "o"];
    let answer = stdout(command.args(args).arg(scene("study")));
    assert!(answer.contains("too little was asked for"), "{answer}");
    assert!(answer.contains("Ask for 30 to 200 Hz") && !answer.contains("more even"), "{answer}");
}

#[test]
fn wrong_wishes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        &["--from", "100", "--to", "60"][..],
        &["--from", "5"],
        &["--to", "2000"],
        &["--head", "3 m"],
        &["--at", "5"],
        &["--at", "bass"],
        &["--at", "nan"],
        &["--listener", "nobody"],
    ] {
        let mut command = earline(folder.path());
        let output = command.arg("bass").arg(scene("attic")).args(args).assert().code(2);
        assert!(output.get_output().stdout.is_empty());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
