//! Questions to a person at a terminal, one line each.

use crate::args::{Measured, measured};
use std::io::{self, BufRead, Write};

/// Someone who can be asked.
#[derive(Debug)]
pub(crate) struct Asked<R, W> {
    /// Where answers come from.
    pub(crate) answers: R,
    /// Where questions go.
    pub(crate) questions: W,
}

impl<R: BufRead, W: Write> Asked<R, W> {
    /// Ask for a length until there is one.
    ///
    /// # Errors
    /// When the answers end, or the terminal is gone.
    pub(crate) fn length(&mut self, question: &str) -> io::Result<Measured> {
        loop {
            if let Some(length) = self.length_or_none(question)? {
                return Ok(length);
            }
            writeln!(self.questions, "  A length is needed here, as in 2.9 m or 9 ft 6 in.")?;
        }
    }

    /// Ask for a length; an empty answer leaves it open.
    ///
    /// # Errors
    /// When the answers end, or the terminal is gone.
    pub(crate) fn length_or_none(&mut self, question: &str) -> io::Result<Option<Measured>> {
        loop {
            write!(self.questions, "{question} ")?;
            self.questions.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
            let answer = line.trim();
            if answer.is_empty() {
                return Ok(None);
            }
            match measured(answer) {
                Ok(length) => return Ok(Some(length)),
                Err(wrong) => writeln!(self.questions, "  {wrong}.")?,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![expect(clippy::unwrap_used, reason = "a test may stop")]

    use super::*;

    fn asked(answers: &str) -> Asked<&[u8], Vec<u8>> {
        Asked { answers: answers.as_bytes(), questions: Vec::new() }
    }

    #[test]
    fn asks_again_until_there_is_a_length() {
        let mut person = asked("\nfive\n5,8 m\n5.8 m\n");
        let length = person.length("How long?").unwrap();
        assert!((length.metres - 5.8).abs() < 1e-12);
        let said = String::from_utf8(person.questions).unwrap();
        assert_eq!(said.matches("How long?").count(), 4, "{said}");
    }

    #[test]
    fn an_empty_answer_leaves_it_open_and_silence_is_an_end() {
        assert_eq!(asked("\n").length_or_none("Ears?").unwrap(), None);
        assert!(asked("").length("How long?").is_err());
    }
}
