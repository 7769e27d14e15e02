//! What the page holds for its script and does not show at first: the other states and seats, packed.

use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::GzEncoder;
use maud::{Markup, PreEscaped, html};
use std::io::Write as _;

/// Parts of the page, in the order of keeping.
#[derive(Debug, Default)]
pub(super) struct Held {
    parts: Vec<String>,
}

impl Held {
    /// Keeps a part; its place among the others.
    pub(super) fn keep(&mut self, part: &Markup) -> usize {
        self.parts.push(part.0.clone());
        self.parts.len() - 1
    }

    /// All parts as one element: a JSON list of strings, packed by gzip (RFC 1952) and written in base 64.
    ///
    /// # Errors
    /// When the list cannot be written.
    pub(super) fn element(&self) -> Result<Markup> {
        let json = serde_json::to_vec(&self.parts).context("cannot write JSON")?;
        let mut packed = GzEncoder::new(Vec::new(), Compression::best());
        packed.write_all(&json).context("cannot pack the page")?;
        let packed = STANDARD.encode(packed.finish().context("cannot pack the page")?);
        Ok(html! { script type="application/gzip" id="held" { (PreEscaped(packed)) } })
    }
}
