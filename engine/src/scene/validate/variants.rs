//! Variants name sets that exist, and one at most is the room as it stands.

use super::context::RuleContext;
use super::names::items;
use crate::scene::messages::{list, nearest, quoted};
use crate::scene::model::VariantDefinition;
use crate::scene::problem::Problem;
use crate::scene::raw::{RawVariant, Spanned};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn variants(context: &RuleContext<'_>) -> Vec<Option<VariantDefinition>> {
    let known = KnownNames::new(context);
    let is_now = |raw: &&RawVariant| raw.now.as_ref().is_some_and(|now| now.value);
    for again in
        context.raw.variants.iter().filter(is_now).skip(1).filter_map(|raw| raw.now.as_ref())
    {
        let message = "another variant is the room as it stands already";
        context.add(
            Problem::error("scene::two-now", again.span.clone(), message)
                .label("second time")
                .help("a room stands in one state: keep `now = true` at that one"),
        );
    }
    context.raw.variants.iter().map(|raw| variant(context, &known, raw)).collect()
}

/// Names that a variant may have.
struct KnownNames<'a> {
    /// Sets, and items without one, in the order of the scene.
    in_order: Vec<&'a str>,
    all: BTreeSet<&'a str>,
    /// Sets of the items that have one, by the items' names.
    set_of: BTreeMap<&'a str, &'a str>,
}

impl<'a> KnownNames<'a> {
    fn new(context: &RuleContext<'a>) -> Self {
        let mut known =
            Self { in_order: Vec::new(), all: BTreeSet::new(), set_of: BTreeMap::new() };
        for (item, set) in items(context.raw) {
            if let (Some(item), Some(set)) = (item, set) {
                known.set_of.entry(&item.value).or_insert(&set.value);
            }
            if let Some(word) = set.or(item)
                && known.all.insert(&word.value)
            {
                known.in_order.push(&word.value);
            }
        }
        known
    }
}

fn variant(
    context: &RuleContext<'_>,
    all_known: &KnownNames<'_>,
    raw: &RawVariant,
) -> Option<VariantDefinition> {
    let with = raw.with.as_ref()?;
    let mut names: Vec<String> = Vec::new();
    let mut known = true;
    for name in with {
        known &= is_known(context, all_known, name);
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
    let now = raw.now.as_ref().is_some_and(|now| now.value);
    let variant = VariantDefinition { name: raw.name.as_ref()?.value.clone(), with: names, now };
    known.then_some(variant)
}

fn is_known(context: &RuleContext<'_>, known: &KnownNames<'_>, name: &Spanned<String>) -> bool {
    if known.all.contains(name.value.as_str()) {
        return true;
    }
    if context.problems.is_full() {
        return false;
    }
    let owner = known.set_of.get(name.value.as_str());
    let help = match (owner, nearest(&name.value, known.in_order.iter().copied())) {
        (Some(set), _) => format!("it belongs to the set \"{}\": name that", quoted(set)),
        (None, Some(near)) => format!("did you mean \"{near}\"?"),
        (None, None) if known.in_order.is_empty() => {
            "no panel, screen or piece of furniture is in this scene yet".to_owned()
        }
        (None, None) => format!("sets here: {}", list(known.in_order.iter().copied())),
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
