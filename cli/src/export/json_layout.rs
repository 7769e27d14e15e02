//! Layout of JSON for eyes too: a line for each field, numbers of a list side by side.

use serde_json::ser::Formatter;
use std::io::{Result, Write};

/// Objects and lists of them are indented; lists of plain values stand on one line.
#[derive(Debug, Default)]
pub(super) struct JsonLayout {
    /// For each list and object that is open, whether it holds anything on lines of its own.
    open: Vec<bool>,
    /// The value that follows stands in a list; whether on a line of its own shows when it begins.
    in_list: bool,
}

impl JsonLayout {
    fn line<W: Write + ?Sized>(&self, writer: &mut W) -> Result<()> {
        writer.write_all(b"\n")?;
        self.open.iter().try_for_each(|_| writer.write_all(b"  "))
    }

    fn begin<W: Write + ?Sized>(&mut self, writer: &mut W, bracket: &[u8]) -> Result<()> {
        if std::mem::take(&mut self.in_list) {
            self.line(writer)?;
            self.mark();
        }
        self.open.push(false);
        writer.write_all(bracket)
    }

    fn end<W: Write + ?Sized>(&mut self, writer: &mut W, bracket: &[u8]) -> Result<()> {
        if self.open.pop() == Some(true) {
            self.line(writer)?;
        }
        writer.write_all(bracket)
    }

    fn mark(&mut self) {
        if let Some(innermost) = self.open.last_mut() {
            *innermost = true;
        }
    }
}

impl Formatter for JsonLayout {
    fn begin_array<W: Write + ?Sized>(&mut self, writer: &mut W) -> Result<()> {
        self.begin(writer, b"[")
    }

    fn end_array<W: Write + ?Sized>(&mut self, writer: &mut W) -> Result<()> {
        self.in_list = false;
        self.end(writer, b"]")
    }

    fn begin_array_value<W: Write + ?Sized>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        self.in_list = true;
        if first { Ok(()) } else { writer.write_all(b",") }
    }

    fn begin_object<W: Write + ?Sized>(&mut self, writer: &mut W) -> Result<()> {
        self.begin(writer, b"{")
    }

    fn end_object<W: Write + ?Sized>(&mut self, writer: &mut W) -> Result<()> {
        self.end(writer, b"}")
    }

    fn begin_object_key<W: Write + ?Sized>(&mut self, writer: &mut W, first: bool) -> Result<()> {
        if !first {
            writer.write_all(b",")?;
        }
        self.mark();
        self.line(writer)
    }

    fn begin_object_value<W: Write + ?Sized>(&mut self, writer: &mut W) -> Result<()> {
        self.in_list = false;
        writer.write_all(b": ")
    }
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::super::to_json;
    use serde_json::json;

    #[test]
    fn numbers_stand_side_by_side_and_objects_below_each_other() {
        let document = json!({
            "bands": [63.0, null, 250.0],
            "empty": [],
            "none": {},
            "points": [[1.0, 2.0], [3.0, 4.0]],
            "rows": [{ "name": "a", "values": [1] }, { "name": "b, [c]" }],
        });
        let text = String::from_utf8(to_json(&document).unwrap()).unwrap();
        let expected = r#"{
  "bands": [63.0,null,250.0],
  "empty": [],
  "none": {},
  "points": [
    [1.0,2.0],
    [3.0,4.0]
  ],
  "rows": [
    {
      "name": "a",
      "values": [1]
    },
    {
      "name": "b, [c]"
    }
  ]
}
"#;
        assert_eq!(text, expected);
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), document);
    }
}
