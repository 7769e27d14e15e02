//! The page as a whole.

use super::document::ReportDocument;
use super::gather::ReportData;
use super::head::{self, Section};
use super::held::Held;
use super::{bass, comparison, decay, early_reflections, reproduce, room, seats, setting_out};
use crate::canvas::typeface::{FAMILY, PACKED};
use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{DOCTYPE, PreEscaped, html};

const STYLE: &str = include_str!("report.css");
const SCRIPTS: [&str; 5] = [
    include_str!("view3d.js"),
    include_str!("reading.js"),
    include_str!("drawing.js"),
    include_str!("bench.js"),
    include_str!("report.js"),
];
/// Nothing may be fetched from anywhere, nor sent: all that the page needs is in it.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; \
                      font-src data:; img-src data:; base-uri 'none'; form-action 'none'";

/// The page.
///
/// # Errors
/// When the document cannot be written as JSON.
pub(crate) fn page(data: &ReportData<'_>, document: &ReportDocument) -> Result<String> {
    let json = serde_json::to_string(document).context("cannot write JSON")?;
    let mut held = Held::default();
    let sections = sections(data, document, &mut held);
    let held = held.element()?;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                link rel="icon" href="data:,";
                title { (data.scene().title()) ": what arrives at the ears" }
                style { (PreEscaped(fonts())) (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#short" { "To the answer" }
                (head::header(data))
                main {
                    (head::answer(data, &document.summary))
                    (head::contents(&sections))
                    @for (section, number) in sections.iter().zip(1..) { (section.markup(number)) }
                }
                script type="application/json" id="data" { (PreEscaped(island(&json))) }
                (held)
                @for script in SCRIPTS { script { (PreEscaped(script)) } }
            }
        }
    };
    Ok(page.into_string())
}

/// The story in its order: what arrives, what changes it, where things go, what to do, what it rests on.
fn sections(data: &ReportData<'_>, document: &ReportDocument, held: &mut Held) -> Vec<Section> {
    let mut sections = vec![early_reflections::section(data, held)];
    sections.extend(comparison::section(data, held));
    sections.extend(bass::section(data, held));
    sections.extend(decay::section(data, held));
    sections.extend(seats::section(data));
    sections.extend(setting_out::section(data));
    sections.extend(reproduce::sections(&document.summary));
    sections.extend(room::section(data));
    sections.push(reproduce::again(data));
    sections
}

/// The typefaces as rules of a style sheet.
fn fonts() -> String {
    let rule = |(weight, bytes): (_, &[u8])| {
        format!(
            "@font-face{{font-family:'{FAMILY}';font-weight:{weight};\
             src:url(data:font/woff2;base64,{}) format('woff2')}}\n",
            STANDARD.encode(bytes)
        )
    };
    PACKED.into_iter().map(|(weight, bytes)| rule((weight.to_string(), bytes))).collect()
}

/// JSON for within a script element, which a `<` could end.
fn island(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_cannot_end_its_script() {
        assert_eq!(island("{\"a\":\"</script>\"}"), "{\"a\":\"\\u003c/script\\u003e\"}");
    }
}
