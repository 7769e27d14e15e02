//! What is said of a wrong command line, fit to be shown.

use crate::format::foreign;
use clap::error::{ContextKind, ContextValue};

/// Whatever the arguments hold: nothing in the message steers a terminal or goes on without end, and
/// no advice in it fails the same.
pub(crate) fn presentable(mut refusal: clap::Error) -> clap::Error {
    let kinds: Vec<ContextKind> = refusal.context().map(|(kind, _)| kind).collect();
    for kind in kinds {
        let shown = match refusal.get(kind) {
            Some(ContextValue::String(text)) => ContextValue::String(foreign::quoted(text)),
            Some(ContextValue::Strings(texts)) => {
                ContextValue::Strings(texts.iter().map(|text| foreign::quoted(text)).collect())
            }
            // To write `--` before a value does not make an option's value of it.
            Some(ContextValue::StyledStrs(tips)) => {
                let helps = |tip: &&clap::builder::StyledStr| {
                    !tip.to_string().contains("as a value, use '")
                };
                ContextValue::StyledStrs(tips.iter().filter(helps).cloned().collect())
            }
            _ => continue,
        };
        // An empty list would leave a gap.
        if matches!(&shown, ContextValue::StyledStrs(tips) if tips.is_empty()) {
            refusal.remove(kind);
        } else {
            refusal.insert(kind, shown);
        }
    }
    refusal
}
