//! The corpus of broken scenes: each names, in its first line, the error it must give.

use earline_engine::scene::{NoAttachments, Problem, Scene, Severity};
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
    let twofold = [
        "pair-of-one.toml",
        "two-lefts.toml",
        "surface-called-top.toml",
        "sizes-without-room.toml",
    ];
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

/// The problem of a broken scene of the corpus, and the text at its place.
fn told(name: &str) -> (Problem, String) {
    let (_, text) = corpus().into_iter().find(|(known, _)| known == name).unwrap();
    let problem = Scene::parse(&text, &NoAttachments).unwrap_err().remove(0);
    let place = text[problem.span.start..].lines().next().unwrap_or_default().to_owned();
    (problem, place)
}

/// Where a missing section would go, and how it would look.
#[test]
fn a_missing_section_has_a_place_and_a_look() {
    for (name, header, before) in [
        ("no-room.toml", "[room]", "[surfaces]"),
        ("no-surfaces.toml", "[surfaces]", "[[material]]"),
        ("no-speaker.toml", "[[speaker]]", "[[listener]]"),
        ("no-listener.toml", "[[listener]]", "[[panel]]"),
    ] {
        let (problem, place) = told(name);
        assert_eq!((problem.code, place.as_str()), ("scene::missing-section", before), "{name}");
        assert_eq!(problem.label, format!("{header} belongs before this"));
        let help = problem.help.unwrap();
        assert!(help.contains(&format!("\n{header}\n")), "{help}");
    }
    // At the end where nothing comes after it.
    let text = "[room]\nlength = 4\nwidth = 3\nheight = 2.5\n\n";
    let problems = Scene::parse(text, &NoAttachments).unwrap_err();
    let end = text.trim_end().len();
    assert!(problems.iter().all(|problem| problem.span == (end..end)), "{problems:#?}");
}

/// What is shown of a section is one that is taken.
#[test]
fn the_sections_that_are_shown_make_a_scene() {
    let missing = ["no-room.toml", "no-surfaces.toml", "no-speaker.toml", "no-listener.toml"];
    let shown =
        missing.map(|name| told(name).0.help.unwrap().split_once('\n').unwrap().1.to_owned());
    let parsed = Scene::parse(&shown.join("\n\n"), &NoAttachments).unwrap();
    assert!(parsed.warnings.is_empty(), "{:#?}", parsed.warnings);
}

/// A section by another name is told what it goes by here.
#[test]
fn a_section_of_another_name_is_told_its_own() {
    for (name, place, says) in [
        ("section-called-window.toml", "window]]", "a window is a [[panel]] of glass"),
        ("section-called-door.toml", "door]]", "a door is a [[panel]]"),
        ("section-called-sofa.toml", "sofa]]", "a piece of [[furniture]]"),
        ("section-called-seat.toml", "seat]]", "ears are a [[listener]]"),
        ("misspelt-section.toml", "listner]]", "did you mean [[listener]]?"),
        ("sizes-without-room.toml", "length = \"4.00 m\"", "goes under [room]"),
    ] {
        let (problem, at) = told(name);
        assert_eq!((problem.code, at.as_str()), ("scene::unknown-key", place), "{name}");
        assert!(problem.help.as_ref().unwrap().contains(says), "{problem:#?}");
    }
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
