//! Scene texts and the directivity tables beside them.

use super::mutated::{Corpus, fuzz, text};
use earline_engine::analysis::room_summary::room_summary;
use earline_engine::scene::{Attachments, Scene, Variant, attachment_names, with_attachment_names};
use earline_engine::simulate::{Request, ResponseRequest, simulate};
use std::fmt::Debug;

/// One table under every name.
struct Table(String);

impl Attachments for Table {
    fn read(&self, _name: &str) -> Result<String, String> {
        Ok(self.0.clone())
    }
}

const TABLE: &str = include_str!("../../fuzz/corpus/tables/half-circle.csv");

/// A speaker that radiates as a table has it.
const TABLE_SCENE: &str = include_str!("../../fuzz/corpus/scenes/table.toml");

#[test]
fn fuzz_scenes() {
    let corpus = Corpus::default()
        .files("scenes", "toml")
        .files("scenes/lessons", "toml")
        .files("tests/broken", "toml")
        .files("tests/fuzz/corpus/scenes", "toml");
    fuzz("fuzz_scenes", 400, &corpus, |input| answered(&text(input), TABLE));
}

#[test]
fn fuzz_directivity_tables() {
    let corpus = Corpus::default().files("tests/fuzz/corpus/tables", "csv");
    fuzz("fuzz_directivity_tables", 400, &corpus, |input| answered(TABLE_SCENE, &text(input)));
}

/// Problems with a place each; or a scene that prints and reads back, with finite numbers in what
/// follows from it.
fn answered(text: &str, table: &str) {
    let table = Table(table.to_owned());
    let names = attachment_names(text).into_iter().map(|name| (name, "other.csv".to_owned()));
    with_attachment_names(text, &names.collect());
    match Scene::parse(text, &table) {
        Err(problems) => {
            assert!(!problems.is_empty());
            for problem in problems {
                assert!(text.get(problem.span.clone()).is_some(), "{problem:?}");
                assert!(problem.message.len() < 4000, "{} bytes", problem.message.len());
            }
        }
        Ok(parsed) => {
            let printed = parsed.scene.to_toml();
            let again = Scene::parse(&printed, &table)
                .unwrap_or_else(|problems| panic!("{problems:#?}\n{printed}"))
                .scene;
            assert_eq!(again, parsed.scene);
            assert_eq!(again.to_toml(), printed);
            let variant = parsed.scene.variant(None).unwrap();
            is_finite(&room_summary(&parsed.scene, &variant));
            traced(&parsed.scene, &variant);
        }
    }
}

/// The first reflections of the first milliseconds, without rays.
fn traced(scene: &Scene, variant: &Variant<'_>) {
    let request = Request {
        order: 1,
        window_s: 0.005,
        response: Some(ResponseRequest::early(0.005)),
        ..Request::list(
            scene.speaker_ids().take(2).collect(),
            scene.listener_ids().take(2).collect(),
        )
    };
    is_finite(&simulate(scene, variant, &request, &()).unwrap());
}

/// No number in it is infinite or none at all, as it is printed for a programmer; a level may be
/// `-inf`, that of nothing.
fn is_finite(answer: &impl Debug) {
    let printed = format!("{answer:?}").replace("-inf", "silence");
    let wrong = |word: &str| matches!(word, "NaN" | "inf");
    if let Some(word) = printed.split(|c: char| !c.is_alphanumeric()).find(|word| wrong(word)) {
        let at = printed.find(word).unwrap_or(0);
        panic!("{}", printed.get(at.saturating_sub(300)..at + word.len()).unwrap_or(&printed));
    }
}
