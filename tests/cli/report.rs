//! The report: one file that a browser reads without a complaint and that asks for nothing. What
//! moves in it is tried in a browser by `.ci/page`.

use crate::{contents, earline, scene, scenes_of, stdout};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::read::GzDecoder;
use scraper::{ElementRef, Html, Selector};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

const MOST_BYTES: usize = 1_500_000;

/// What is looked at here does not hang on how many rays there are.
const FEW_RAYS: [&str; 2] = ["--rays", "512"];

/// The pages of a room in metres with two states and two seats, of one in feet and inches, and of a bare
/// one, by file stem. `.ci/page` opens those of all rooms.
pub(crate) static PAGES: LazyLock<BTreeMap<String, String>> = LazyLock::new(|| {
    let page = |stem: &str| (stem.to_owned(), report(&shortened(stem), &scene(stem)));
    ["attic", "garage", "teaching-box"].map(page).into()
});

/// Few rays, and one seat in two states of the room that has four speakers.
fn shortened(stem: &str) -> Vec<&'static str> {
    let one_seat = ["--listener", "chair", "--variant", "as found", "--variant", "side panels up"];
    [&FEW_RAYS[..], if stem == "garage" { &one_seat } else { &[] }].concat()
}

/// The page that a run leaves, which leaves nothing else.
fn report(args: &[&str], path: &Path) -> String {
    let folder = tempfile::tempdir().unwrap();
    stdout(earline(folder.path()).arg("report").arg(path).args(args));
    let out = folder.path().join("earline-out").join(path.file_stem().unwrap());
    let files = contents(&out);
    assert_eq!(files.keys().collect::<Vec<_>>(), ["report.html"]);
    String::from_utf8(files["report.html"].clone()).unwrap()
}

/// A page as its script leaves it: the other states and seats unpacked and in their places.
pub(crate) fn unpacked(page: &str) -> String {
    let parsed = Html::parse_document(page);
    let packed = STANDARD.decode(text(select(&parsed, "script#held")[0])).unwrap();
    let parts: Vec<String> = serde_json::from_reader(GzDecoder::new(packed.as_slice())).unwrap();
    let mut whole = page.to_owned();
    for (index, part) in parts.iter().enumerate() {
        let place = format!("data-held=\"{index}\">");
        let from = whole.find(&place).unwrap() + place.len();
        let to = from + whole[from..].find("</div>").unwrap();
        whole.replace_range(from..to, part);
    }
    assert_eq!(whole.matches("data-held=\"").count(), parts.len());
    whole
}

pub(crate) fn select<'a>(page: &'a Html, query: &str) -> Vec<ElementRef<'a>> {
    page.select(&Selector::parse(query).unwrap()).collect()
}

pub(crate) fn text(element: ElementRef<'_>) -> String {
    element.text().collect()
}

/// The document within a page.
pub(crate) fn island(page: &Html) -> Value {
    serde_json::from_str(&text(select(page, "script#data")[0])).unwrap()
}

#[test]
fn every_page_is_read_without_a_complaint() {
    for (name, page) in PAGES.iter() {
        assert!(page.len() < MOST_BYTES, "{name}: {} bytes", page.len());
        let page = Html::parse_document(&unpacked(page));
        assert!(page.errors.is_empty(), "{name}: {:?}", page.errors);
        let mut ids = BTreeSet::new();
        for element in select(&page, "[id]") {
            let id = element.value().id().unwrap();
            assert!(ids.insert(id), "{name}: {id} twice");
        }
        for reference in ["for", "aria-labelledby", "aria-describedby"] {
            for element in select(&page, &format!("[{reference}]")) {
                let id = element.value().attr(reference).unwrap();
                assert!(ids.contains(id), "{name}: no {id}");
            }
        }
        for link in select(&page, "a[href]") {
            let to = link.value().attr("href").unwrap();
            assert!(to.strip_prefix('#').is_some_and(|id| ids.contains(id)), "{name}: {to}");
        }
        for clipped in select(&page, "[clip-path]") {
            let of = clipped.value().attr("clip-path").unwrap();
            let id = of.strip_prefix("url(#").and_then(|id| id.strip_suffix(')')).unwrap();
            assert!(ids.contains(id), "{name}: {of}");
        }
    }
}

/// A drawing on a page is as large as the page has room for, so no scale stands beside it.
#[test]
fn no_scale_is_told_where_it_is_not_true() {
    for (name, page) in PAGES.iter() {
        let page = Html::parse_document(&unpacked(page));
        let texts = select(&page, "svg text").into_iter().map(text);
        let is_scale =
            |t: &String| ["1:", "on A4", "on Letter"].iter().any(|says| t.contains(says));
        let scales: Vec<String> = texts.filter(is_scale).collect();
        assert!(scales.is_empty(), "{name}: {scales:?}");
    }
}

/// Every control has its label, every drawing and canvas its name, every table its caption.
#[test]
fn nothing_is_left_to_the_eye_alone() {
    for (name, page) in PAGES.iter() {
        let page = Html::parse_document(&unpacked(page));
        assert_eq!(select(&page, "html[lang=en] h1").len(), 1);
        for control in select(&page, "select, input") {
            let id = control.value().id().unwrap();
            assert_eq!(select(&page, &format!("label[for={id}]")).len(), 1, "{name}: {id}");
        }
        for named in select(&page, "svg:not([aria-hidden]), canvas, [role=region]") {
            let label = named.value().attr("aria-label");
            let label = label.or(named.value().attr("aria-labelledby"));
            assert!(label.is_some_and(|label| !label.is_empty()), "{name}: {:?}", named.value());
        }
        for button in select(&page, "button") {
            assert!(!text(button).trim().is_empty());
        }
        let tables = select(&page, "table");
        assert_eq!(select(&page, "table > caption").len(), tables.len());
        assert!(!tables.is_empty() && !select(&page, "svg").is_empty());
    }
}

/// Nothing in the page makes a browser ask for anything, and its own policy forbids it too.
#[test]
fn the_page_asks_for_nothing() {
    for (name, page) in PAGES.iter() {
        let page = Html::parse_document(&unpacked(page));
        let policy = select(&page, "meta[http-equiv=Content-Security-Policy]")[0];
        assert!(policy.value().attr("content").unwrap().starts_with("default-src 'none'"));
        for asked in ["src", "srcset", "action", "poster", "data", "background", "xlink:href"] {
            let query = format!("[{}]", asked.replace(':', "\\:"));
            assert!(select(&page, &query).is_empty(), "{name}: {asked}");
        }
        let links = select(&page, "link");
        assert!(links.iter().all(|link| link.value().attr("href").unwrap().starts_with("data:")));
        for style in select(&page, "style") {
            let style = text(style);
            assert!(!style.contains("@import"));
            let urls = style.matches("url(").count();
            assert_eq!(urls, style.matches("url(data:").count(), "{name}");
        }
        for script in select(&page, "script:not([type])") {
            let script = text(script);
            for way in
                ["fetch(", "XMLHttpRequest", "WebSocket", "EventSource", "import(", "sendBeacon"]
            {
                assert!(!script.contains(way), "{name}: {way}");
            }
        }
    }
}

/// The answer comes first; what says nothing in a scene is not there.
#[test]
fn the_story_is_there_in_its_order() {
    let of = |name: &str| -> &[&str] {
        match name {
            "attic" => {
                &["What changes from bare to treated", "Bass", "Decay", "Seated against standing"]
            }
            "garage" => &["What changes from as found to side panels up", "Bass", "Decay"],
            _ => &["Bass", "Decay"],
        }
    };
    for (name, page) in PAGES.iter() {
        let parsed = Html::parse_document(page);
        let headings: Vec<String> = select(&parsed, "section > h2").into_iter().map(text).collect();
        let first = ["How the room does, and what to try first", "What arrives early"];
        let last =
            ["Where to put the tape", "What else", "How sure", "Take care", "The room", "again"];
        let expected: Vec<&str> = [&first, of(name), &last].concat();
        assert_eq!(headings.len(), expected.len(), "{name}: {headings:?}");
        for (heading, says) in headings.iter().zip(expected) {
            assert!(heading.contains(says), "{name}: {heading}");
        }
        // Few rays may leave the decay unknown.
        assert!((2..=3).contains(&select(&parsed, "#short .figures li").len()), "{name}");
        assert!((1..=3).contains(&select(&parsed, "#short .first li").len()), "{name}");
        assert_eq!(select(&parsed, "#short figure.plan svg").len(), 1, "{name}");
        // All of the scene, word for word.
        let own = std::fs::read_to_string(scene(name)).unwrap();
        let shown: Vec<String> = select(&parsed, "#again pre").into_iter().map(text).collect();
        assert_eq!(shown[1].trim(), own.trim());
        assert!(shown[0].contains(&format!("earline report {name}.toml")));
    }
}

/// The first state and seat needs no script; all others are unpacked by it.
#[test]
fn every_state_and_seat_is_drawn() {
    for (name, page) in PAGES.iter() {
        let figures = |page: &Html, alternatives: &str| -> Vec<usize> {
            let drawn = Selector::parse("figure.live svg").unwrap();
            let parts = select(page, alternatives).into_iter();
            parts.map(|part| part.select(&drawn).count()).collect()
        };
        let parsed = Html::parse_document(page);
        assert_eq!(figures(&parsed, "#early .alt:not([data-held])"), [9], "{name}");
        let document = island(&parsed);
        let count = |what: &str| document[what].as_array().unwrap().len();
        let all = figures(&Html::parse_document(&unpacked(page)), "#early .alt");
        // Plan, section, curve and six surfaces.
        assert_eq!(all, vec![9; count("states") * count("listeners")], "{name}");
        let first = select(&parsed, "#early .alt:not([data-held])")[0];
        assert_eq!(first.value().attr("data-state"), Some(&*document["answered"].to_string()));
        for state in document["states"].as_array().unwrap() {
            assert!(page.contains(state["name"].as_str().unwrap()));
        }
    }
}

/// The command and the scene of a page make it again, byte for byte, in another folder.
#[cfg(unix)]
#[test]
fn a_page_says_how_to_make_it_again() {
    for name in ["attic", "teaching-box"] {
        let page = &PAGES[name];
        let parsed = Html::parse_document(page);
        let shown: Vec<String> = select(&parsed, "#again pre").into_iter().map(text).collect();
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(format!("{name}.toml")), shown[1].trim_start()).unwrap();
        let command = shown[0].replacen("earline", env!("CARGO_BIN_EXE_earline"), 1);
        let done = std::process::Command::new("sh")
            .args(["-c", &command])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert!(done.status.success(), "{name}: {}", String::from_utf8_lossy(&done.stderr));
        let again = folder.path().join("earline-out").join(name).join("report.html");
        let again = std::fs::read_to_string(again).unwrap();
        assert!(again == *page, "{name}");
        assert!(!page.contains(env!("CARGO_MANIFEST_DIR")), "{name}: a path of the machine");
    }
}

/// Every path of the document has its row in the list, and each row says what the document says.
#[test]
fn list_and_document_agree() {
    for (name, page) in PAGES.iter() {
        let page = Html::parse_document(&unpacked(page));
        let document = island(&page);
        for (s, state) in document["states"].as_array().unwrap().iter().enumerate() {
            for (l, seat) in state["seats"].as_array().unwrap().iter().enumerate() {
                let query = format!("#early .alt[data-state='{s}'][data-seat='{l}'] tr[data-path]");
                let rows: BTreeMap<String, String> = select(&page, &query)
                    .into_iter()
                    .map(|row| (row.value().attr("data-path").unwrap().to_owned(), text(row)))
                    .collect();
                let mut paths = 0;
                let mut over = 0;
                for pair in seat["pairs"].as_array().unwrap() {
                    for path in pair["reflections"].as_array().unwrap() {
                        let row = &rows[&path["number"].to_string()];
                        for says in ["hits", "heard", "limit"] {
                            assert!(row.contains(path[says].as_str().unwrap()), "{name}: {row}");
                        }
                        let db = path["level_db"].as_f64().unwrap();
                        assert!(
                            row.contains(&format!("{db:.1}").replace('-', "−")),
                            "{name}: {row}"
                        );
                        paths += 1;
                        over += usize::from(path["limit"] == "over");
                    }
                }
                assert_eq!(rows.len(), paths, "{name}");
                assert_eq!(seat["over_limit"], over, "{name}: none over the limit is left out");
            }
        }
    }
}

/// The same figures as `earline trace` gives, path by path.
#[test]
fn the_document_says_what_a_trace_says() {
    let folder = tempfile::tempdir().unwrap();
    let json = |args: &[&str]| -> Value {
        let text = stdout(earline(folder.path()).args(args).arg("--json").arg(scene("attic")));
        serde_json::from_str(&text).unwrap()
    };
    let report = json(&["report", "--variant", "treated", "--rays", "0"]);
    assert_eq!(report["schema"], "earline.report/1");
    let trace = json(&["trace", "--variant", "treated", "--rays", "0"]);
    let seats = report["states"][0]["seats"].as_array().unwrap();
    let pairs = seats.iter().flat_map(|seat| {
        seat["pairs"].as_array().unwrap().iter().map(|pair| (&seat["listener"], pair))
    });
    let mut compared = 0;
    for (listener, pair) in pairs {
        let traced = trace["pairs"].as_array().unwrap();
        let same = |t: &&Value| t["speaker"] == pair["speaker"] && t["listener"] == *listener;
        let traced = traced.iter().find(same).unwrap()["reflections"].as_array().unwrap();
        for path in pair["reflections"].as_array().unwrap() {
            let near = |a: &Value, b: &Value, slack: f64| {
                (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() <= slack
            };
            let same = |t: &&Value| {
                t["surfaces"] == path["surfaces"]
                    && near(&t["after_direct_ms"], &path["after_direct_ms"], 0.0006)
            };
            let traced = traced.iter().find(same).unwrap();
            // Tenths on the page, thousandths in the trace.
            assert!(near(&traced["level_db"], &path["level_db"], 0.0511));
            compared += 1;
        }
        assert!(pair["not_listed"].as_u64().unwrap() > 0);
    }
    assert!(compared > 50);
    assert!(!report["says"]["to_try"].as_array().unwrap().is_empty());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is written");
}

#[test]
fn same_bytes_at_any_number_of_threads() {
    let again =
        |args: &[&str], name: &str| report(&[&shortened(name), args].concat(), &scene(name));
    assert!(again(&["--threads", "1"], "garage") == PAGES["garage"]);
    assert!(again(&["--seed", "2"], "teaching-box") != PAGES["teaching-box"]);
}

/// Names that look like markup stay names.
#[test]
fn names_stay_names() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("odd.toml");
    let odd = "</script><img src=x onerror=alert(1)> & \\\"quoted\\\" 'too'";
    let own = std::fs::read_to_string(scene("teaching-box")).unwrap();
    let first = own.lines().find(|line| line.starts_with("title")).unwrap();
    let changed = own.replace(first, &format!("title = \"{odd}\""));
    let listener = own.split("[[listener]]").nth(1).unwrap();
    let named = listener.lines().find(|line| line.starts_with("name")).unwrap();
    let name = named.split('"').nth(1).unwrap();
    let changed = changed.replace(&format!("\"{name}\""), &format!("\"{odd}\""));
    std::fs::write(&path, changed).unwrap();
    let page = Html::parse_document(&report(&["--rays", "0"], &path));
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    assert!(select(&page, "img").is_empty());
    let said = odd.replace("\\\"", "\"");
    assert_eq!(text(select(&page, "h1")[0]), said);
    assert_eq!(island(&page)["scene"], said);
    assert_eq!(island(&page)["listeners"][0]["name"], said);
}

/// One state, one seat and no rays: nothing to compare, no decay, no empty section.
#[test]
fn what_would_say_nothing_is_left_out() {
    let path = scene("attic");
    let page = report(&["--variant", "bare", "--listener", "seated", "--rays", "0"], &path);
    let page = Html::parse_document(&page);
    for anchor in ["change", "seats", "decay"] {
        assert!(select(&page, &format!("#{anchor}, a[href='#{anchor}']")).is_empty(), "{anchor}");
    }
    assert!(text(select(&page, "header .about")[0]).contains("bare"));
}

#[test]
fn wrong_names_and_scenes_write_nothing() {
    let folder = tempfile::tempdir().unwrap();
    for args in [
        ["--listener", "nobody"],
        ["--speaker", "none"],
        ["--variant", "never"],
        ["--limit", "x"],
        ["--rays", "-1"],
    ] {
        let output =
            earline(folder.path()).arg("report").arg(scene("attic")).args(args).assert().code(2);
        assert!(output.get_output().stdout.is_empty(), "{args:?}");
        assert!(!output.get_output().stderr.is_empty(), "{args:?}");
    }
    earline(folder.path()).args(["report", "missing.toml"]).assert().code(2);
    for broken in scenes_of("tests/broken").iter().take(8) {
        earline(folder.path()).arg("report").arg(broken).assert().code(2);
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}
