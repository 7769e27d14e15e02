//! How many tables and lists a text has, counted before any takes memory: in a document each takes a
//! kibibyte, and a text has room for one in every two letters.

use std::ops::Range;
use toml_parser::Source;
use toml_parser::parser::{Event, EventKind, RecursionGuard, parse_document};

/// Most tables and lists of a text, the steps of dotted keys included. A scene with as many of everything
/// as may be has half of them.
pub(super) const MAX_TABLES: usize = 60_000;

/// Nesting that is followed, as deep as the text is read later.
const DEEPEST: u32 = 80;

/// The place of the first table or list too many.
pub(super) fn first_over(text: &str) -> Option<Range<usize>> {
    let (mut count, mut over) = (0, None);
    let mut look_at = |event: Event| {
        count += usize::from(matches!(
            event.kind(),
            EventKind::StdTableOpen
                | EventKind::ArrayTableOpen
                | EventKind::InlineTableOpen
                | EventKind::ArrayOpen
                | EventKind::KeySep
        ));
        if MAX_TABLES < count && over.is_none() {
            over = Some(event.span().start()..event.span().end());
        }
    };
    let mut guarded = RecursionGuard::new(&mut look_at, DEEPEST);
    // What is no TOML is told later.
    parse_document(&Source::new(text).lex().into_vec(), &mut guarded, &mut |_| {});
    over
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_counted() {
        let half = MAX_TABLES / 2;
        for (piece, of) in
            [("[a]\n", 1), ("[[a]]\n", 1), ("a = {}\n", 1), ("a = [1]\n", 1), ("a.b = 1.5\n", 1)]
        {
            let most = piece.repeat(MAX_TABLES / of);
            assert_eq!(first_over(&most), None, "{piece}");
            let start = first_over(&format!("{most}{piece}")).map(|place| place.start);
            assert!(start.is_some_and(|start| most.len() <= start), "{piece}: {start:?}");
        }
        assert_eq!(first_over(&format!("a{} = 1", ".a".repeat(half))), None);
        assert_eq!(first_over(&"[".repeat(100_000)), None, "deeper than anything is read");
    }
}
