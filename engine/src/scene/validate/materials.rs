//! Materials by name: the scene's own first, then the catalogue.

use super::context::RuleContext;
use super::own_material::own_material;
use crate::medium::materials::{Material, catalogue};
use crate::scene::messages::{nearest, quoted};
use crate::scene::problem::Problem;
use crate::scene::raw::Spanned;

/// The scene's materials while names are being resolved.
pub(super) struct Materials<'a> {
    context: &'a RuleContext<'a>,
    /// Own materials in the scene's order, then catalogue rows in the order of first use. An own
    /// material that is wrong keeps its place as `None`, so that its name is still known.
    list: Vec<Option<Material>>,
    names: Vec<Option<String>>,
    own_count: usize,
}

impl<'a> Materials<'a> {
    pub(super) fn new(context: &'a RuleContext<'a>) -> Self {
        let own = &context.raw.materials;
        Self {
            context,
            list: own.iter().map(|raw| own_material(context, raw)).collect(),
            names: own.iter().map(|raw| raw.name.as_ref().map(|name| name.value.clone())).collect(),
            own_count: own.len(),
        }
    }

    /// Index of the material of this name; an unknown name is reported.
    pub(super) fn resolve(&mut self, name: Option<&Spanned<String>>) -> Option<usize> {
        let name = name?;
        if let Some(index) =
            self.names.iter().position(|known| known.as_deref() == Some(name.value.as_str()))
        {
            return Some(index);
        }
        let Some(material) = catalogue::find(&name.value) else {
            if !self.context.problems.is_full() {
                self.report_unknown(name);
            }
            return None;
        };
        self.names.push(Some(name.value.clone()));
        self.list.push(Some(material));
        Some(self.list.len() - 1)
    }

    pub(super) fn own_count(&self) -> usize {
        self.own_count
    }

    pub(super) fn into_list(self) -> Vec<Option<Material>> {
        self.list
    }

    fn report_unknown(&self, name: &Spanned<String>) {
        let own = self.names.iter().take(self.own_count).flatten();
        let mut known: Vec<&str> = own.map(String::as_str).collect();
        for name in catalogue::names() {
            known.push(name);
        }
        let near = nearest(&name.value, known);
        let help = match (catalogue::everyday(&name.value), near) {
            (Some(row), _) => format!(
                "the catalogue has \"{row}\"; `earline materials` lists all, and [[material]] adds your own"
            ),
            (None, Some(near)) => format!(
                "did you mean \"{near}\"? `earline materials` lists all, and [[material]] adds your own"
            ),
            (None, None) => {
                "`earline materials` lists the catalogue; add your own with [[material]]".to_owned()
            }
        };
        let message = format!("there is no material called \"{}\"", quoted(&name.value));
        self.context.add(
            Problem::error("scene::unknown-material", name.span.clone(), message)
                .label("not in the catalogue and not in this scene")
                .help(help),
        );
    }
}
