//! The page as a whole.

use super::document::ReportDocument;
use super::gather::ReportData;
use super::html::{Html, escaped, island};
use super::{arrives, bass, changes, decay, head, rebuild, room, seats, tape};
use crate::canvas::typeface::{FAMILY, PACKED};
use crate::io::terminal::HEADING;
use crate::render::columns::{indented, paragraph};
use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::path::Path;

const STYLE: &str = include_str!("report.css");
const SCRIPTS: [&str; 4] = [
    include_str!("view3d.js"),
    include_str!("reading.js"),
    include_str!("drawing.js"),
    include_str!("report.js"),
];
/// Nothing may be fetched from anywhere, nor sent: all that the page needs is in it.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; \
                      font-src data:; img-src data:; base-uri 'none'; form-action 'none'";

/// The page.
///
/// # Errors
/// When the document cannot be written as JSON.
pub(crate) fn html(gathered: &ReportData<'_>, document: &ReportDocument) -> Result<String> {
    let mut html = Html::default();
    let title = escaped(gathered.scene().title());
    html.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    html.raw(format_args!("<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n"));
    html.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    html.raw("<meta name=\"color-scheme\" content=\"light dark\">\n");
    html.raw("<link rel=\"icon\" href=\"data:,\">\n");
    html.raw(format_args!("<title>{title}: what arrives at the ears</title>\n<style>\n"));
    for (weight, bytes) in PACKED {
        html.raw(format_args!(
            "@font-face{{font-family:'{FAMILY}';font-weight:{weight};\
             src:url(data:font/woff2;base64,{}) format('woff2')}}\n",
            STANDARD.encode(bytes)
        ));
    }
    html.raw(STYLE).raw("</style>\n</head>\n<body>\n");
    html.raw("<a class=\"skip\" href=\"#short\">To the summary</a>\n");
    head::write(&mut html, gathered, document);
    room::write(&mut html, gathered);
    tape::write(&mut html, gathered);
    arrives::write(&mut html, gathered);
    changes::write(&mut html, gathered);
    bass::write(&mut html, gathered);
    decay::write(&mut html, gathered);
    seats::write(&mut html, gathered);
    rebuild::write(&mut html, gathered, document);
    html.raw("</main>\n");
    let json = serde_json::to_string(document).context("cannot write JSON")?;
    html.raw(format_args!(
        "<script type=\"application/json\" id=\"data\">{}</script>\n",
        island(&json)
    ));
    for script in SCRIPTS {
        html.raw("<script>\n").raw(script).raw("</script>\n");
    }
    html.raw("</body>\n</html>\n");
    Ok(html.into_string())
}

/// What a person reads in the terminal.
pub(crate) fn answer(
    gathered: &ReportData<'_>,
    document: &ReportDocument,
    page: &Path,
    width: usize,
) -> String {
    let title = gathered.scene().title();
    let mut lines = vec![format!("{HEADING}{title}{HEADING:#}")];
    for [what, says] in &document.says.in_short {
        lines.extend(indented(&format!("{what}: {says}"), 2, width));
    }
    lines.push(String::new());
    lines.extend(paragraph(
        &format!(
            "The whole story is on one page, {}: open it in a browser, print it, or hand it on. A \
             starting point to experiment from.",
            page.display()
        ),
        width,
    ));
    lines.push(String::new());
    lines.join("\n")
}
