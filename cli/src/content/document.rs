//! The content model: an answer as headings, paragraphs, lists, tables and cautions, made once
//! and laid out by a renderer for the terminal or for HTML.
//!
//! Text is plain. What stands between backticks is code: a command, an option, a name in a file. Numbers
//! come from [`crate::format`], so that every renderer shows the same ones.

use earline_engine::scene::{Scene, Variant};
use std::borrow::Cow;

/// An answer, from its title to its last caution.
#[derive(Debug, Clone, Default)]
pub(crate) struct Document {
    blocks: Vec<Block>,
}

/// A part of an answer that stands on lines of its own.
#[derive(Debug, Clone)]
pub(crate) enum Block {
    /// The scene and its variant.
    Title(String),
    /// A heading over what follows.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// A paragraph that explains the block beside it.
    Note(String),
    /// A paragraph that must not be missed.
    Warning(String),
    /// Points, each a sentence or two.
    List(Vec<String>),
    /// Points with marks of their own.
    Items(Vec<MarkedItem>),
    /// How the room does, finding by finding.
    Verdict(Vec<Finding>),
    /// Figures in rows and columns.
    Table(Table),
    /// One table in several widths, the widest first; a terminal shows the first that fits.
    Widths(Vec<Table>),
    /// Safety advice, each a sentence or two.
    Caution(Vec<String>),
    /// A pause between blocks that belong to one heading.
    Pause,
}

/// One thing that was judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Finding {
    /// The judgement.
    pub(crate) grade: Grade,
    /// What was found, against which limit.
    pub(crate) text: String,
}

/// A judgement in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Grade {
    /// Nothing to mend.
    Good,
    /// Worth a try, or not known well enough.
    Fair,
    /// To be mended first.
    Poor,
}

/// A point of a list with its mark: a number, a letter.
#[derive(Debug, Clone)]
pub(crate) struct MarkedItem {
    /// Its mark.
    pub(crate) mark: String,
    /// Its lines, from the top.
    pub(crate) lines: Vec<String>,
}

/// Rows and columns; below each row there may be notes of its own.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    /// What the table shows; a terminal says that in the heading above it.
    pub(crate) caption: String,
    /// Its columns, from the left.
    pub(crate) columns: Vec<Column>,
    /// Its rows, from the top.
    pub(crate) rows: Vec<Row>,
}

/// A column of a table.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    /// Its head.
    pub(crate) head: Cow<'static, str>,
    /// The side on which its cells line up.
    pub(crate) align: Align,
    /// The narrowest page, in characters, on which it stands; on a narrower one the
    /// [folded](Cell::folded) text of its cells goes under the row.
    pub(crate) from_width: usize,
}

/// The side on which the cells of a column line up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A row of a table.
#[derive(Debug, Clone, Default)]
pub(crate) struct Row {
    /// A line above it, where a group of rows begins.
    pub(crate) group: Option<String>,
    /// A cell for each column.
    pub(crate) cells: Vec<Cell>,
    /// A line under it that deserves attention.
    pub(crate) alert: Option<String>,
    /// Lines under it.
    pub(crate) notes: Vec<String>,
}

/// A cell of a table.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Cell {
    /// Its text.
    pub(crate) text: String,
    /// Its weight for the reader.
    pub(crate) tone: Tone,
    /// Its standard error; beside the text where the whole table has room for that, else below.
    pub(crate) error: Option<String>,
    /// Its text in the words that it needs without a head, for a page too narrow for its column.
    pub(crate) folded: Option<String>,
}

/// The weight of a text for the reader.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Tone {
    /// Neither good nor bad.
    #[default]
    Plain,
    /// As it should be.
    Good,
    /// Not as it should be.
    Alert,
    /// Of second rank.
    Quiet,
}

impl Finding {
    /// A finding.
    pub(crate) fn new(grade: Grade, text: impl Into<String>) -> Self {
        Self { grade, text: text.into() }
    }
}

/// A state of a scene that has several, in a phrase: `treated, as it stands`.
pub(crate) fn state_title(scene: &Scene, state: &Variant<'_>) -> Option<String> {
    let name = state.name?;
    let is_now = scene.standing_variant().is_some_and(|now| now.name == name);
    Some(if is_now { format!("{name}, as it stands") } else { name.to_owned() })
}

impl Grade {
    /// The word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Good => "Good",
            Self::Fair => "Fair",
            Self::Poor => "Poor",
        }
    }

    /// Its weight for the reader.
    pub(crate) fn tone(self) -> Tone {
        match self {
            Self::Good => Tone::Good,
            Self::Fair => Tone::Plain,
            Self::Poor => Tone::Alert,
        }
    }
}

impl MarkedItem {
    /// A point of one line.
    pub(crate) fn new(mark: impl Into<String>, text: impl Into<String>) -> Self {
        Self { mark: mark.into(), lines: vec![text.into()] }
    }
}

impl Document {
    /// A document that begins with the title of a scene and its variant.
    pub(crate) fn of_scene(scene: &Scene, state: &Variant<'_>) -> Self {
        let mut document = Self::default();
        document.title(match state_title(scene, state) {
            Some(state) => format!("{} ({state})", scene.title()),
            None => scene.title().to_owned(),
        });
        document
    }

    /// The blocks, from the top.
    pub(crate) fn blocks(&self) -> &[Block] {
        &self.blocks
    }

    /// Adds a block.
    pub(crate) fn push(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// Adds all blocks of another document.
    pub(crate) fn append(&mut self, other: Document) -> &mut Self {
        self.blocks.extend(other.blocks);
        self
    }

    /// Adds a title.
    pub(crate) fn title(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Title(text.into()))
    }

    /// Adds a heading.
    pub(crate) fn heading(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading(text.into()))
    }

    /// Adds a paragraph.
    pub(crate) fn paragraph(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Paragraph(text.into()))
    }

    /// Adds a paragraph each.
    pub(crate) fn paragraphs(&mut self, texts: impl IntoIterator<Item = String>) -> &mut Self {
        self.blocks.extend(texts.into_iter().map(Block::Paragraph));
        self
    }

    /// Adds a note.
    pub(crate) fn note(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Note(text.into()))
    }

    /// Adds a list; nothing where there are no points.
    pub(crate) fn list(&mut self, points: impl IntoIterator<Item = String>) -> &mut Self {
        let points: Vec<String> = points.into_iter().collect();
        if points.is_empty() { self } else { self.push(Block::List(points)) }
    }

    /// Adds a paragraph that must not be missed.
    pub(crate) fn warning(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Warning(text.into()))
    }

    /// Adds points with marks of their own.
    pub(crate) fn items(&mut self, items: impl IntoIterator<Item = MarkedItem>) -> &mut Self {
        self.push(Block::Items(items.into_iter().collect()))
    }

    /// Adds numbered points; nothing where there are none.
    pub(crate) fn numbered(&mut self, texts: impl IntoIterator<Item = String>) -> &mut Self {
        let items: Vec<MarkedItem> = (1..)
            .zip(texts)
            .map(|(number, text): (usize, _)| MarkedItem::new(format!("{number}."), text))
            .collect();
        if items.is_empty() { self } else { self.items(items) }
    }

    /// Adds a verdict, the worst finding first; nothing where nothing was judged.
    pub(crate) fn verdict(&mut self, findings: impl IntoIterator<Item = Finding>) -> &mut Self {
        let mut findings: Vec<Finding> = findings.into_iter().collect();
        findings.sort_by_key(|finding| std::cmp::Reverse(finding.grade));
        if findings.is_empty() { self } else { self.push(Block::Verdict(findings)) }
    }

    /// Adds one table in several widths, the widest first.
    pub(crate) fn widths(&mut self, tables: impl IntoIterator<Item = Table>) -> &mut Self {
        self.push(Block::Widths(tables.into_iter().collect()))
    }

    /// Adds a table.
    pub(crate) fn table(&mut self, table: Table) -> &mut Self {
        self.push(Block::Table(table))
    }

    /// Adds safety advice.
    pub(crate) fn caution(&mut self, texts: impl IntoIterator<Item = String>) -> &mut Self {
        self.push(Block::Caution(texts.into_iter().collect()))
    }

    /// Adds a pause.
    pub(crate) fn pause(&mut self) -> &mut Self {
        self.push(Block::Pause)
    }
}

impl Table {
    /// A table without rows.
    pub(crate) fn new(caption: impl Into<String>, columns: Vec<Column>) -> Self {
        Self { caption: caption.into(), columns, rows: Vec::new() }
    }

    /// Takes a column away, by its place from the left.
    pub(crate) fn remove_column(&mut self, place: usize) {
        if place < self.columns.len() {
            self.columns.remove(place);
            for row in self.rows.iter_mut().filter(|row| place < row.cells.len()) {
                row.cells.remove(place);
            }
        }
    }

    /// Adds a row.
    pub(crate) fn row(&mut self, cells: Vec<Cell>) -> &mut Row {
        self.rows.push(Row { cells, ..Row::default() });
        let last = self.rows.len() - 1;
        &mut self.rows[last]
    }
}

impl Row {
    /// Adds a line under it.
    pub(crate) fn note(&mut self, text: impl Into<String>) -> &mut Self {
        self.notes.push(text.into());
        self
    }

    /// Adds a line under it that deserves attention.
    pub(crate) fn alert(&mut self, text: impl Into<String>) -> &mut Self {
        self.alert = Some(text.into());
        self
    }

    /// Puts a line above it.
    pub(crate) fn group(&mut self, text: impl Into<String>) -> &mut Self {
        self.group = Some(text.into());
        self
    }
}

impl Column {
    /// A column of words.
    pub(crate) fn left(head: impl Into<Cow<'static, str>>) -> Self {
        Self { head: head.into(), align: Align::Left, from_width: 0 }
    }

    /// A column of numbers.
    pub(crate) fn right(head: impl Into<Cow<'static, str>>) -> Self {
        Self { head: head.into(), align: Align::Right, from_width: 0 }
    }

    /// The column on pages at least so many characters wide; its cells need a
    /// [folded](Cell::or_under) text for narrower ones.
    pub(crate) fn from(self, width: usize) -> Self {
        Self { from_width: width, ..self }
    }
}

impl Cell {
    /// A plain cell.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// A cell with a tone.
    pub(crate) fn toned(text: impl Into<String>, tone: Tone) -> Self {
        Self { tone, ..Self::plain(text) }
    }

    /// The cell with its standard error.
    pub(crate) fn with_error(self, error: impl Into<String>) -> Self {
        Self { error: Some(error.into()), ..self }
    }

    /// The cell with the words that stand under its row where the page is too narrow for its column.
    pub(crate) fn or_under(self, folded: impl Into<String>) -> Self {
        Self { folded: Some(folded.into()), ..self }
    }
}
