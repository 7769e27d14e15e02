//! Questions to a person at a terminal, one line each.

use crate::args::{Measured, measured};
use crate::format::{foreign, length};
use std::io::{self, BufRead, Write};
use std::ops::RangeInclusive;

/// Someone who can be asked.
#[derive(Debug)]
pub(crate) struct Asked<R, W> {
    /// Where answers come from.
    pub(crate) answers: R,
    /// Where questions go.
    pub(crate) questions: W,
}

impl<R: BufRead, W: Write> Asked<R, W> {
    /// Ask for a length until there is one that is `usual`, or an unusual one that is given twice: many
    /// come of another unit.
    ///
    /// # Errors
    /// When the answers end, or the terminal is gone.
    pub(crate) fn length(
        &mut self,
        question: &str,
        possible: &RangeInclusive<f64>,
        usual: &RangeInclusive<f64>,
    ) -> io::Result<Measured> {
        let mut doubted = None;
        loop {
            let Some(length) = self.length_or_none(question)? else {
                writeln!(self.questions, "  A length is needed here, as in 2.9 m or 9 ft 6 in.")?;
                continue;
            };
            let units = length.units.unwrap_or_default();
            let shown = length::length(length.metres, units);
            if !possible.contains(&length.metres) {
                let limits = length::limits(possible, units);
                writeln!(self.questions, "  {shown} cannot be; {limits} can.")?;
            } else if usual.contains(&length.metres) || doubted == Some(length.metres) {
                return Ok(length);
            } else {
                doubted = Some(length.metres);
                let limits = length::limits(usual, units);
                writeln!(
                    self.questions,
                    "  That is {shown}; most are {limits}. Was another unit meant? Type it again, with its unit."
                )?;
            }
        }
    }

    /// Ask for a length; an empty answer leaves it open.
    ///
    /// # Errors
    /// When the answers end, or the terminal is gone.
    pub(crate) fn length_or_none(&mut self, question: &str) -> io::Result<Option<Measured>> {
        self.read_or_none(question, measured)
    }

    /// Ask for anything that can be read; an empty answer, or none, leaves it open.
    ///
    /// # Errors
    /// When the answers end, or the terminal is gone.
    pub(crate) fn read_or_none<T>(
        &mut self,
        question: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> io::Result<Option<T>> {
        loop {
            write!(self.questions, "{question} ")?;
            self.questions.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
            let answer = line.trim();
            if answer.is_empty() || ["none", "no"].contains(&answer.to_lowercase().as_str()) {
                return Ok(None);
            }
            match read(answer) {
                Ok(value) => return Ok(Some(value)),
                Err(wrong) => writeln!(self.questions, "  {}.", foreign::visible(&wrong))?,
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
        let any = 0.5..=100.0;
        let length = person.length("How long?", &any, &any).unwrap();
        assert!((length.metres - 5.8).abs() < 1e-12);
        let said = String::from_utf8(person.questions).unwrap();
        assert_eq!(said.matches("How long?").count(), 4, "{said}");
    }

    #[test]
    fn an_empty_answer_leaves_it_open_and_silence_is_an_end() {
        for nothing in ["\n", "none\n", " No \n"] {
            assert_eq!(asked(nothing).length_or_none("Ears?").unwrap(), None);
        }
        assert!(asked("").length("How long?", &(0.5..=100.0), &(0.5..=100.0)).is_err());
    }

    /// 8.5 for a height is 8 ft 6 in more often than 8.5 m; 850 m is nothing at all.
    #[test]
    fn what_may_be_another_unit_is_asked_again() {
        let [possible, usual] = [0.5..=100.0, 1.8..=6.0];
        let mut person = asked("850\n8.5\n8.5 ft\n");
        let height = person.length("How high?", &possible, &usual).unwrap();
        assert!((height.metres - 8.5 * 0.3048).abs() < 1e-12);
        let said = String::from_utf8(person.questions).unwrap();
        assert!(said.contains("cannot be") && said.contains("another unit"), "{said}");
        let mut person = asked("8.5 m\n8.5 m\n");
        assert!(
            (person.length("How high?", &possible, &usual).unwrap().metres - 8.5).abs() < 1e-12
        );
    }
}
