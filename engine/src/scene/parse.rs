//! From scene text to scene.

use super::attachments::Attachments;
use super::model::Scene;
use super::problem::{Problem, Problems, Severity};
use super::table_count::{self, MAX_TABLES};
use super::{raw, syntax, validate};
use toml::de::DeTable;

/// A scene that could be read, and what is worth a look in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Parsed {
    /// The scene.
    pub scene: Scene,
    /// Warnings, in the order of the text.
    pub warnings: Vec<Problem>,
}

impl Scene {
    /// Reads a scene text (TOML; see `docs/scene-format.md`).
    ///
    /// ```
    /// use earline_engine::scene::{NoAttachments, Scene};
    ///
    /// let problems = Scene::parse("[room]\nlenght = \"5.8 m\"", &NoAttachments).unwrap_err();
    /// let first = &problems[0];
    /// assert!(problems.iter().any(|p| p.code == "scene::unknown-key" && p.span == (7..13)));
    /// ```
    ///
    /// # Errors
    /// Every problem found, warnings included, in the order of the text; at least one is an error.
    pub fn parse(text: &str, attachments: &dyn Attachments) -> Result<Parsed, Vec<Problem>> {
        let problems = Problems::default();
        let scene = read(text, attachments, &problems);
        if scene.is_none() && !problems.any_error() {
            // Every rule that gives nothing has said why; this says so even if one forgot.
            problems.add(Problem::error("scene::unreadable", 0..0, "the scene could not be read"));
        }
        let failed = problems.any_error();
        let list = problems.into_sorted();
        match scene {
            Some(scene) if !failed => {
                debug_assert!(list.iter().all(|problem| problem.severity == Severity::Warning));
                Ok(Parsed { scene, warnings: list })
            }
            _ => Err(list),
        }
    }
}

fn read(text: &str, attachments: &dyn Attachments, problems: &Problems) -> Option<Scene> {
    if let Some(place) = table_count::first_over(text) {
        let message = format!("the text has more than {MAX_TABLES} tables and lists");
        problems.add(
            Problem::error("scene::too-many", place, message)
                .label("the first one too many")
                .help("leave some out, or make a scene file of each part"),
        );
        return None;
    }
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        syntax::report(text, &errors, problems);
        return None;
    }
    if document.get_ref().is_empty() {
        problems.add(
            Problem::error("scene::empty", 0..0, "the scene is empty")
                .help("copy one of the scenes in scenes/ and change its numbers to your room's"),
        );
        return None;
    }
    let raw = raw::read(document.get_ref(), text.trim_end().len(), problems);
    validate::validate(&raw, attachments, problems)
}
