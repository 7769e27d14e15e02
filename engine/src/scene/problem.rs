//! Problems of a scene text: message, place and remedy.

use std::cell::RefCell;
use std::ops::Range;

/// Severity of a problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// There is no scene until it is put right.
    Error,
    /// Worth a look; the scene stands.
    Warning,
}

/// One problem of a scene text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Error or warning.
    pub severity: Severity,
    /// A stable name for this kind of problem, such as `scene::unknown-key`.
    pub code: &'static str,
    /// Message, in one line.
    pub message: String,
    /// Place in the text, as a byte range.
    pub span: Range<usize>,
    /// Label under the place; may be empty.
    pub label: String,
    /// Related places, each with its own label.
    pub related: Vec<(Range<usize>, String)>,
    /// A remedy.
    pub help: Option<String>,
}

impl Problem {
    /// An error at a place.
    pub fn error(code: &'static str, span: Range<usize>, message: impl Into<String>) -> Self {
        Self::new(Severity::Error, code, span, message.into())
    }

    /// A warning at a place.
    pub fn warning(code: &'static str, span: Range<usize>, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, span, message.into())
    }

    /// Adds the words under the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Adds another place that bears on it.
    #[must_use]
    pub fn related(mut self, span: Range<usize>, label: impl Into<String>) -> Self {
        self.related.push((span, label.into()));
        self
    }

    /// Adds a remedy.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    fn new(severity: Severity, code: &'static str, span: Range<usize>, message: String) -> Self {
        Self {
            severity,
            code,
            message,
            span,
            label: String::new(),
            related: Vec::new(),
            help: None,
        }
    }
}

/// Most problems of one text that are kept: nobody reads more, and a hostile text has no end of them.
pub const MAX_PROBLEMS: usize = 100;

/// The problems found so far, at most [`MAX_PROBLEMS`]. Shared by reference, so that every rule can add
/// its own.
#[derive(Debug, Default)]
pub(super) struct Problems {
    list: RefCell<Vec<Problem>>,
}

impl Problems {
    /// Adds one, as long as there is room; an error takes the place of the last warning.
    pub(super) fn add(&self, problem: Problem) {
        let mut list = self.list.borrow_mut();
        if list.len() < MAX_PROBLEMS {
            list.push(problem);
        } else if problem.severity == Severity::Error
            && let Some(last) = list.iter_mut().rfind(|known| known.severity == Severity::Warning)
        {
            *last = problem;
        }
    }

    /// Whether no more errors are kept, so that rules need not look for them.
    pub(super) fn is_full(&self) -> bool {
        let list = self.list.borrow();
        MAX_PROBLEMS <= list.len() && list.iter().all(|problem| problem.severity == Severity::Error)
    }

    /// Whether any error is among them.
    pub(super) fn any_error(&self) -> bool {
        self.list.borrow().iter().any(|problem| problem.severity == Severity::Error)
    }

    /// All of them in the order of the text; at one place errors before warnings.
    pub(super) fn into_sorted(self) -> Vec<Problem> {
        let mut list = self.list.into_inner();
        list.sort_by_key(|problem| (problem.span.start, problem.severity, problem.span.end));
        list
    }
}
