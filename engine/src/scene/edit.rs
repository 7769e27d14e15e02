//! A scene taken apart to be changed.

use super::attachments::Attachments;
use super::model::{Furniture, Listener, Panel, Scene, Screen, Speaker, VariantDefinition};
use super::parse::Parsed;
use super::problem::{Problem, Severity};
use crate::medium::materials::Material;

/// A copy of a scene that may be changed in any way, and is no scene until it is read again.
///
/// ```
/// # use earline_engine::scene::{NoAttachments, Scene};
/// # let text = include_str!("../../../scenes/teaching-box.toml");
/// let scene = Scene::parse(text, &NoAttachments).map_err(|wrong| wrong[0].message.clone())?.scene;
/// let mut edit = scene.edit();
/// for listener in edit.listeners_mut() {
///     listener.at.x += 0.1;
/// }
/// let moved = edit.validate(&NoAttachments).map_err(|wrong| wrong[0].message.clone())?.scene;
/// assert!((moved.listeners()[0].at.x - scene.listeners()[0].at.x - 0.1).abs() < 1e-12);
/// # Ok::<(), String>(())
/// ```
#[derive(Debug, Clone)]
pub struct SceneEdit(Scene);

impl Scene {
    /// A copy to be changed.
    pub fn edit(&self) -> SceneEdit {
        SceneEdit(self.clone())
    }
}

impl SceneEdit {
    /// Another title.
    pub fn set_title(&mut self, title: impl Into<String>) {
        self.0.title = title.into();
    }

    /// The speakers. An axis follows from the aim when the draft is read; a new one set here does not
    /// count.
    pub fn speakers_mut(&mut self) -> &mut Vec<Speaker> {
        &mut self.0.speakers
    }

    /// The listeners.
    pub fn listeners_mut(&mut self) -> &mut Vec<Listener> {
        &mut self.0.listeners
    }

    /// The panels on surfaces.
    pub fn panels_mut(&mut self) -> &mut Vec<Panel> {
        &mut self.0.panels
    }

    /// The pieces clear of the surfaces.
    pub fn screens_mut(&mut self) -> &mut Vec<Screen> {
        &mut self.0.screens
    }

    /// The furniture.
    pub fn furniture_mut(&mut self) -> &mut Vec<Furniture> {
        &mut self.0.furniture
    }

    /// The named states.
    pub fn variants_mut(&mut self) -> &mut Vec<VariantDefinition> {
        &mut self.0.variants
    }

    /// Index under which a panel or screen of this draft can name a material of the catalogue; one
    /// the scene has already is not entered twice.
    pub fn material(&mut self, material: &Material) -> usize {
        let materials = &mut self.0.materials;
        materials.iter().position(|known| known.name == material.name).unwrap_or_else(|| {
            materials.push(material.clone());
            materials.len() - 1
        })
    }

    /// The text of it, whether it makes sense or not.
    pub fn to_toml(&self) -> String {
        self.0.to_toml()
    }

    /// Reads it as a scene file is read, with every rule applied.
    ///
    /// # Errors
    /// All that is wrong with it, with places in [`SceneEdit::to_toml`].
    pub fn validate(&self, attachments: &dyn Attachments) -> Result<Parsed, Vec<Problem>> {
        Scene::parse(&self.to_toml(), attachments)
    }

    /// The same for a search, which shows no text: of all that is wrong the first error, in words.
    ///
    /// # Errors
    /// That error's message.
    pub fn validate_or_message(&self, attachments: &dyn Attachments) -> Result<Parsed, String> {
        self.validate(attachments).map_err(|problems| {
            let error = problems.into_iter().find(|problem| problem.severity == Severity::Error);
            error.map_or_else(String::new, |problem| problem.message)
        })
    }
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a scene that cannot be read fails the test")]

    use super::*;
    use crate::scene::{NoAttachments, Surface};

    fn attic() -> Scene {
        let text = include_str!("../../../scenes/attic.toml");
        Scene::parse(text, &NoAttachments).unwrap().scene
    }

    /// What is not changed comes back to the last bit, axes included.
    #[test]
    fn an_untouched_draft_is_the_scene() {
        let scene = attic();
        assert_eq!(scene.edit().validate(&NoAttachments).unwrap().scene, scene);
    }

    #[test]
    fn a_moved_seat_turns_the_speakers_that_aim_at_it() {
        let scene = attic();
        let mut edit = scene.edit();
        edit.listeners_mut()[0].at.x = 2.6;
        let moved = edit.validate(&NoAttachments).unwrap().scene;
        for (before, after) in scene.speakers().iter().zip(moved.speakers()) {
            let way = (moved.listeners()[0].at - after.at).normalize();
            assert!(after.axis.distance(way) < 1e-12 && before.axis.distance(way) > 0.01);
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let mut edit = attic().edit();
        edit.panels_mut()[0].centre_m[0] = 9.0;
        let problems = edit.validate(&NoAttachments).unwrap_err();
        assert!(problems.iter().any(|problem| problem.message.contains("left side panel")));
    }

    #[test]
    fn a_panel_may_be_of_a_new_material() {
        let scene = attic();
        let mut edit = scene.edit();
        let unused = |name: &&str| scene.materials().iter().all(|used| used.name != *name);
        let name = crate::medium::materials::catalogue::names().find(unused).unwrap();
        let carpet = crate::medium::materials::catalogue::find(name).unwrap();
        let material = edit.material(&carpet);
        assert_eq!(edit.material(&carpet), material);
        edit.panels_mut().push(Panel {
            name: "new".into(),
            set: None,
            on: Surface::Front,
            centre_m: [0.5, 1.0],
            size_m: [0.5, 0.5],
            material,
            cost: None,
        });
        let read = edit.validate(&NoAttachments).unwrap().scene;
        let new = read.panels().last().unwrap();
        assert_eq!(read.materials()[new.material].name, name);
    }
}
