//! One number everywhere: terminal, JSON, CSV, SVG and page of a scene tell the same figures.

use crate::report::{PAGES, island, select, text, unpacked};
use crate::{earline, scene, stdout};
use scraper::Html;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

/// What a run tells of a reflection to people: its delay and level as written.
type Told = BTreeMap<usize, [String; 2]>;

fn json(args: &[&str], path: &Path) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let text = stdout(earline(folder.path()).args(args).arg(path).arg("--json"));
    serde_json::from_str(&text).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Rows of the terminal's list: `1, 2  both  0.71 ms  −3.2 dB  over  top of desk`.
fn of_terminal(answer: &str) -> Told {
    let mut told = Told::new();
    for line in answer.lines() {
        let Some((head, rest)) = line.split_once(" ms ") else { continue };
        let Some((level, _)) = rest.trim_start().split_once(" dB ") else { continue };
        let delay = head.rsplit(' ').next().unwrap();
        let numbers: String = head.chars().take_while(|c| "0123456789, ".contains(*c)).collect();
        for number in numbers.split(',').filter_map(|number| number.trim().parse().ok()) {
            told.insert(number, [delay.to_owned(), level.to_owned()]);
        }
    }
    told
}

/// Rows of the list on the page, of the state and seat that it answers for.
fn of_page(page: &Html) -> Told {
    let cell = |row: &scraper::ElementRef<'_>, query: &str| {
        let all = scraper::Selector::parse(query).unwrap();
        row.select(&all).next().map(text).unwrap()
    };
    let rows = select(page, "#early .alt:not([data-held]) tr[data-path]");
    rows.iter()
        .map(|row| {
            let number = row.value().attr("data-path").unwrap().parse().unwrap();
            (number, [cell(row, "td.n:not(.level)"), cell(row, "td.level")])
        })
        .collect()
}

/// Lists of the plan: after `ms` and `dB` a number, what is hit, the marks, a delay and a level.
fn of_plan(svg: &str) -> Told {
    let texts: Vec<&str> =
        svg.split("</text>").filter_map(|part| part.rsplit_once('>').map(|(_, t)| t)).collect();
    let from = texts.windows(2).position(|pair| pair == ["ms", "dB"]).unwrap() + 2;
    let is_decimal = |text: &str| text.replace('−', "-").parse::<f64>().is_ok();
    let mut told = Told::new();
    let mut last = None;
    for pair in texts[from..].windows(2) {
        if let Ok(number) = pair[0].parse::<usize>() {
            last = Some(number);
        } else if let (Some(number), true) =
            (last, pair.iter().all(|t| t.contains('.') && is_decimal(t)))
        {
            told.insert(number, [pair[0].to_owned(), pair[1].to_owned()]);
            last = None;
        }
    }
    told
}

/// Reflections of a trace by number at a seat: surfaces, delay in milliseconds, level in decibels.
fn by_number(pairs: &Value, listener: &str) -> BTreeMap<usize, (Value, f64, f64)> {
    let here = pairs.as_array().unwrap().iter().filter(|pair| pair["listener"] == listener);
    here.flat_map(|pair| pair["reflections"].as_array().unwrap())
        .filter(|path| path["level_db"].is_number())
        .map(|path| {
            let number_of = usize::try_from(path["number"].as_u64().unwrap()).unwrap();
            let figures = (number(&path["after_direct_ms"]), number(&path["level_db"]));
            (number_of, (path["surfaces"].clone(), figures.0, figures.1))
        })
        .collect()
}

/// A figure as people read it and as a program reads it: equal within half a step of what is written.
fn is_near(written: &str, figure: f64) -> bool {
    let places = written.split_once('.').map_or(0, |(_, places)| places.len());
    let half = 0.5 / 10_f64.powi(i32::try_from(places).unwrap());
    // The program's own figures are to a ten-thousandth.
    (written.replace('−', "-").parse::<f64>().unwrap() - figure).abs() <= half + 0.0006
}

/// A reflection has one number, one delay and one level in JSON, CSV, terminal, plan and page.
#[test]
fn reflections_are_the_same_everywhere() {
    for (name, page) in PAGES.iter() {
        let page = Html::parse_document(&unpacked(page));
        let document = island(&page);
        let at = |path: &str| document.pointer(path).unwrap().clone();
        // The garage of this page is held against its first state, which the numbers are of.
        let state = if name == "garage" { Value::from(0) } else { at("/answered") };
        let listener = at("/listeners/0/name");
        let variant = at(&format!("/states/{state}/name"));
        let (listener, variant) = (listener.as_str().unwrap(), variant.as_str().unwrap());
        let mut args = vec!["--listener", listener, "--rays", "0", "--no-png", "--out", "out"];
        if name != "teaching-box" {
            args.extend(["--variant", variant]);
        }
        let folder = tempfile::tempdir().unwrap();
        let answer = stdout(earline(folder.path()).arg("trace").arg(scene(name)).args(args));
        let file =
            |file: &str| std::fs::read_to_string(folder.path().join("out").join(file)).unwrap();
        let traced: Value = serde_json::from_str(&file("trace.json")).unwrap();
        let traced = by_number(&traced["pairs"], listener);
        assert!(traced.len() > 20, "{name}");

        let mut rows = 0;
        for row in rows_of(&file("reflections.csv")) {
            let (_, delay_ms, level_db) = &traced[&row["number"].parse().unwrap()];
            let figure = |column: &str| row[column].parse::<f64>().unwrap();
            assert!((figure("after_direct_ms") - delay_ms).abs() < 1e-12, "{name}: {row:?}");
            assert!((figure("level_db") - level_db).abs() < 1e-12, "{name}: {row:?}");
            rows += 1;
        }
        assert_eq!(rows, traced.len(), "{name}");

        let seat = at(&format!("/states/{state}/seats/0/pairs"));
        let listed = seat
            .as_array()
            .unwrap()
            .iter()
            .flat_map(|pair| pair["reflections"].as_array().unwrap().iter());
        for path in listed {
            let (surfaces, delay_ms, level_db) =
                &traced[&usize::try_from(path["number"].as_u64().unwrap()).unwrap()];
            assert_eq!(path["surfaces"], *surfaces, "{name}");
            assert!((number(&path["after_direct_ms"]) - delay_ms).abs() < 0.0006, "{name}");
            assert!((number(&path["level_db"]) - level_db).abs() < 0.051, "{name}");
        }

        let terminal = of_terminal(&answer);
        let plan = of_plan(&file("plan.svg"));
        for (what, told, least) in [("terminal", &terminal, 4), ("plan", &plan, 4)] {
            assert!(told.len() >= least, "{name}: {what} {told:?}");
            for (number, [delay, level]) in told {
                let (_, delay_ms, level_db) = &traced[number];
                assert!(is_near(delay, *delay_ms), "{name}: {what} {number} {delay} {delay_ms}");
                assert!(is_near(level, *level_db), "{name}: {what} {number} {level} {level_db}");
            }
        }
        if name != "garage" {
            let rows = of_page(&page);
            let both = terminal.iter().filter_map(|(number, told)| Some((told, rows.get(number)?)));
            let both: Vec<_> = both.collect();
            assert!(both.len() >= 4, "{name}");
            for (told, row) in both {
                assert_eq!(told, row, "{name}: terminal and page");
            }
        }
    }
}

/// The rows of a table by the names of their columns.
fn rows_of(text: &str) -> Vec<BTreeMap<String, String>> {
    csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
}

/// A comparison numbers the paths of the room as it stands as a trace does, and has their levels.
#[test]
fn a_comparison_has_the_numbers_of_a_trace() {
    let path = scene("attic");
    let states = ["--variant", "bare", "--variant", "treated", "--listener", "seated"];
    let compared = json(&[&["compare"], &states[..]].concat(), &path);
    let traced = json(&["trace", "--rays", "0", "--listener", "seated"], &path);
    let traced = by_number(&traced["pairs"], "seated");
    let arrivals = compared["comparisons"][0]["pairs"].as_array().unwrap().iter();
    let arrivals = arrivals.flat_map(|pair| pair["arrivals"].as_array().unwrap());
    let mut here = 0;
    for arrival in arrivals {
        let known = traced.get(&usize::try_from(arrival["number"].as_u64().unwrap()).unwrap());
        match (known, arrival["level_db"][1].as_f64()) {
            (Some((surfaces, _, level_db)), Some(db)) => {
                assert_eq!(arrival["surfaces"][1], *surfaces);
                assert!((db - level_db).abs() < 0.0011, "{db} {level_db}");
                here += 1;
            }
            (Some(_), None) => assert_eq!(arrival["became"], "vanished"),
            // Past the window of the list, or only in the bare room.
            (None, _) => {}
        }
    }
    assert_eq!(here, traced.len());
}

/// A film tells the level that a trace tells.
#[test]
fn a_film_has_the_levels_of_a_trace() {
    let path = scene("attic");
    let film = json(&["wave"], &path);
    let traced = json(&["trace", "--rays", "0"], &path);
    let mut compared = 0;
    for event in film["happenings"].as_array().unwrap() {
        let Some(level_db) = event["level_db"].as_f64() else { continue };
        let pairs = traced["pairs"].as_array().unwrap().iter();
        let mut reflections = pairs
            .filter(|p| p["listener"] == event["listener"] && p["speaker"] == film["speaker"])
            .flat_map(|pair| pair["reflections"].as_array().unwrap());
        let same = reflections.find(|path| path["surfaces"] == event["surfaces"]).unwrap();
        assert!((number(&same["level_db"]) - level_db).abs() < 1e-9, "{same} {level_db}");
        compared += 1;
    }
    assert_eq!(compared, 2, "the first and loudest at each of two seats");
}

/// Unevenness and deepest dip of what sounds together, in `bass`, `compare` and the page.
#[test]
fn the_bass_is_the_same_everywhere() {
    let path = scene("attic");
    let folder = tempfile::tempdir().unwrap();
    let answer =
        stdout(earline(folder.path()).args(["bass", "--no-png", "--out", "out"]).arg(&path));
    let solved = std::fs::read_to_string(folder.path().join("out/bass.json")).unwrap();
    let solved: Value = serde_json::from_str(&solved).unwrap();
    let states = ["--variant", "bare", "--variant", "treated", "--listener", "seated"];
    let compared = json(&[&["compare"], &states[..]].concat(), &path);
    let row = &compared["states"][1]["bass"]["seats"][0];
    let together = solved["together"].as_array().unwrap().iter();
    let seated = together.clone().find(|sum| sum["listener"] == "seated").unwrap();
    assert_eq!(row["unevenness_db"], seated["unevenness_db"]);
    assert_eq!(compared["states"][1]["bass"]["from_to_hz"], solved["unevenness_from_to_hz"]);

    // `standing, both speakers: uneven by 7.8 dB; deepest dip 18.9 dB at 127 Hz; …`
    let flat: String = answer.split_whitespace().collect::<Vec<_>>().join(" ");
    let page = Html::parse_document(&PAGES["attic"]);
    let figures = island(&page)["says"]["figures"].clone();
    let bass = figures.as_array().unwrap().iter().find(|f| f["name"] == "Bass, uneven by").unwrap();
    let told = bass["text"].as_str().unwrap().strip_prefix("Bass at ").unwrap();
    let told = told.split_once(" (").unwrap().0;
    assert!(flat.contains(told), "{told}\n{flat}");
    let worst = together.map(|sum| number(&sum["unevenness_db"])).fold(0.0, f64::max);
    assert_eq!(bass["value"], format!("{worst:.1} dB"));

    // The dip at the seat, as the terminal and the comparison have it.
    let dip = |text: &str| -> String {
        let of = text.split_once("seated, both speakers: ").unwrap().1;
        let of = of.split_once("deepest dip ").unwrap().1;
        of.split_once(" Hz").unwrap().0.to_owned()
    };
    let (db, hz) = (number(&row["dip_db"]), number(&row["dip_hz"]));
    assert_eq!(dip(&flat), format!("{:.1} dB at {hz:.0}", db.abs()));
}
