//! Variants name sets that exist.

use super::context::RuleContext;
use super::names::items;
use crate::scene::messages::{list, nearest, quoted};
use crate::scene::model::VariantDefinition;
use crate::scene::problem::Problem;
use crate::scene::raw::{RawVariant, Spanned};

pub(super) fn variants(context: &RuleContext<'_>) -> Vec<Option<VariantDefinition>> {
    context.raw.variants.iter().map(|raw| variant(context, raw)).collect()
}

fn variant(context: &RuleContext<'_>, raw: &RawVariant) -> Option<VariantDefinition> {
    let with = raw.with.as_ref()?;
    let mut names: Vec<String> = Vec::new();
    let mut known = true;
    for name in with {
        known &= is_known(context, name);
        if names.contains(&name.value) {
            let message = format!("`{}` is listed twice", quoted(&name.value));
            context.add(
                Problem::error("scene::duplicate-name", name.span.clone(), message)
                    .label("second time")
                    .help("name each set once"),
            );
            known = false;
        }
        names.push(name.value.clone());
    }
    let variant = VariantDefinition { name: raw.name.as_ref()?.value.clone(), with: names };
    known.then_some(variant)
}

fn is_known(context: &RuleContext<'_>, name: &Spanned<String>) -> bool {
    let items = items(context.raw);
    let mut known: Vec<&str> = Vec::new();
    for (item, set) in &items {
        let word = set.or(*item).map(|word| word.value.as_str());
        known.extend(word.filter(|word| !known.contains(word)));
    }
    if known.contains(&name.value.as_str()) {
        return true;
    }
    let owner = items
        .iter()
        .find(|(item, _)| item.is_some_and(|item| item.value == name.value))
        .and_then(|(_, set)| *set);
    let help = match (owner, nearest(&name.value, known.iter().copied())) {
        (Some(set), _) => format!("it belongs to the set \"{}\": name that", quoted(&set.value)),
        (None, Some(near)) => format!("did you mean \"{near}\"?"),
        (None, None) if known.is_empty() => {
            "no panel, screen or piece of furniture is in this scene yet".to_owned()
        }
        (None, None) => format!("sets here: {}", list(known)),
    };
    context.add(
        Problem::error(
            "scene::unknown-set",
            name.span.clone(),
            format!("no set is called \"{}\"", quoted(&name.value)),
        )
        .label("unknown set")
        .help(help),
    );
    false
}
