//! What the program prints, and the words of the report page.

use scraper::{Html, Node};

/// Printed text without what changes from version to version.
pub(super) fn stable(printed: &str) -> String {
    printed.replace(env!("CARGO_PKG_VERSION"), "[version]")
}

/// The words of a page, one line for each element that has words of its own. Pictures, scripts and
/// styles are left out; the commands that draw the pictures have snapshots of them.
pub(super) fn of_page(html: &str) -> String {
    let page = Html::parse_document(html);
    let mut lines = String::new();
    for node in page.tree.root().descendants() {
        let Node::Text(text) = node.value() else { continue };
        let within = |name: &str| {
            node.ancestors().any(|up| up.value().as_element().is_some_and(|e| e.name() == name))
        };
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if !words.is_empty() && !["svg", "script", "style"].into_iter().any(within) {
            lines += &words;
            lines.push('\n');
        }
    }
    stable(&lines)
}
