//! The corpus of broken scenes: each names, in its first line, the error it must give.

use earline_engine::scene::{NoAttachments, Scene, Severity};
use std::path::Path;

fn corpus() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/broken");
    let mut files: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .map(|path| {
            (
                path.file_name().unwrap().to_string_lossy().into_owned(),
                std::fs::read_to_string(path).unwrap(),
            )
        })
        .collect();
    files.sort();
    files
}

#[test]
fn there_are_at_least_fifty() {
    assert!(50 <= corpus().len());
}

#[test]
fn each_gives_the_error_it_names_at_a_place_in_the_text() {
    let mut failures = Vec::new();
    for (name, text) in corpus() {
        let expected = text.lines().next().unwrap().trim_start_matches("# expect: ").to_owned();
        let Err(problems) = Scene::parse(&text, &NoAttachments) else {
            failures.push(format!("{name}: no error"));
            continue;
        };
        let found = problems
            .iter()
            .any(|problem| problem.code == expected && problem.severity == Severity::Error);
        if !found {
            failures.push(format!(
                "{name}: expected {expected}, found {:?}",
                problems.iter().map(|p| (p.code, &p.message)).collect::<Vec<_>>()
            ));
        }
        for problem in &problems {
            let spans =
                std::iter::once(&problem.span).chain(problem.related.iter().map(|(span, _)| span));
            for span in spans {
                assert!(
                    text.get(span.clone()).is_some(),
                    "{name}: {} is outside the text",
                    problem.code
                );
            }
            assert!(
                problem.severity == Severity::Warning || problem.help.is_some(),
                "{name}: {} has no remedy",
                problem.code
            );
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn one_slip_gives_one_error() {
    // Errors twice over by their nature: a key too many here is a key too few there.
    let twofold = ["pair-of-one.toml", "two-lefts.toml", "surface-called-top.toml"];
    let mut failures = Vec::new();
    for (name, text) in corpus() {
        let Err(problems) = Scene::parse(&text, &NoAttachments) else { continue };
        let errors: Vec<_> = problems
            .iter()
            .filter(|problem| problem.severity == Severity::Error)
            .map(|problem| (problem.code, &problem.message))
            .collect();
        let allowed = if twofold.contains(&name.as_str())
            || errors.iter().all(|(code, _)| *code == "scene::syntax")
        {
            12
        } else {
            1
        };
        if allowed < errors.len() {
            failures.push(format!("{name}: {errors:?}"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn many_slips_are_told_at_once() {
    let text = "title = 3\n[room]\nlenght = \"5 m\"\nwidth = \"4,1 m\"\nheight = \"-2 m\"\n[surfaces]\nfront = \"brik\"\n";
    let problems = Scene::parse(text, &NoAttachments).unwrap_err();
    let codes: Vec<&str> = problems.iter().map(|problem| problem.code).collect();
    for code in [
        "scene::wrong-type",
        "scene::unknown-key",
        "scene::bad-length",
        "scene::not-positive",
        "scene::unknown-material",
        "scene::missing-key",
        "scene::missing-section",
    ] {
        assert!(codes.contains(&code), "{code} is missing in {codes:?}");
    }
    assert!(problems.is_sorted_by_key(|problem| problem.span.start));
}
