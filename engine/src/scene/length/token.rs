//! The pieces a written length is made of.

use super::{EXAMPLES, LengthError, error};
use crate::scene::messages::quoted;
use winnow::ascii::{digit1, multispace0};
use winnow::combinator::{alt, opt, preceded};
use winnow::prelude::*;
use winnow::token::{one_of, take_while};

/// One piece of a written length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Token<'t> {
    /// A whole or decimal number.
    Number(f64),
    /// A common fraction, `1/2` or `½`.
    Fraction(f64),
    /// A unit, as a word or as a mark.
    Unit(&'t str),
    /// A minus sign, or the dash of the drawing office.
    Dash,
}

/// Splits a text into its pieces.
pub(super) fn split(text: &str) -> Result<Vec<Token<'_>>, LengthError> {
    let mut rest = text;
    let mut tokens = Vec::new();
    loop {
        skip_space(&mut rest);
        if rest.is_empty() {
            return Ok(tokens);
        }
        match piece.parse_next(&mut rest) {
            Ok(Lexeme::Token(token)) => tokens.push(token),
            Ok(Lexeme::DecimalComma) => return Err(decimal_comma(text)),
            Ok(Lexeme::ZeroBelow) => return Err(error("this fraction divides by zero", EXAMPLES)),
            Err(_) => {
                let found: String = rest.chars().take(12).collect();
                return Err(error(
                    format!("`{}` cannot be read as part of a length", found.escape_debug()),
                    EXAMPLES,
                ));
            }
        }
    }
}

#[derive(Clone)]
/// What the grammar recognises, slips with a message of their own included.
enum Lexeme<'t> {
    Token(Token<'t>),
    DecimalComma,
    ZeroBelow,
}

fn piece<'t>(rest: &mut &'t str) -> winnow::Result<Lexeme<'t>> {
    alt((
        common_fraction,
        decimal_comma_number.value(Lexeme::DecimalComma),
        number.map(|value| Lexeme::Token(Token::Number(value))),
        glyph.map(|value| Lexeme::Token(Token::Fraction(value))),
        mark.map(|unit| Lexeme::Token(Token::Unit(unit))),
        word.map(|unit| Lexeme::Token(Token::Unit(unit))),
        one_of(['-', '−', '–', '‐', '‑']).value(Lexeme::Token(Token::Dash)),
    ))
    .parse_next(rest)
}

fn skip_space(rest: &mut &str) {
    *rest = rest.trim_start();
}

fn number(rest: &mut &str) -> winnow::Result<f64> {
    alt(((digit1, opt(('.', digit1))).take(), ('.', digit1).take())).parse_to().parse_next(rest)
}

fn decimal_comma_number(rest: &mut &str) -> winnow::Result<()> {
    (digit1, ',', digit1).void().parse_next(rest)
}

fn common_fraction<'t>(rest: &mut &'t str) -> winnow::Result<Lexeme<'t>> {
    let above = digit1.parse_to::<f64>();
    let below = preceded((multispace0, one_of(['/', '⁄']), multispace0), digit1.parse_to::<f64>());
    (above, below)
        .map(|(above, below)| {
            if below == 0.0 {
                Lexeme::ZeroBelow
            } else {
                Lexeme::Token(Token::Fraction(above / below))
            }
        })
        .parse_next(rest)
}

fn glyph(rest: &mut &str) -> winnow::Result<f64> {
    alt((
        '½'.value(1.0 / 2.0),
        '¼'.value(1.0 / 4.0),
        '¾'.value(3.0 / 4.0),
        '⅛'.value(1.0 / 8.0),
        '⅜'.value(3.0 / 8.0),
        '⅝'.value(5.0 / 8.0),
        '⅞'.value(7.0 / 8.0),
    ))
    .parse_next(rest)
}

/// Foot and inch marks, straight and typographic; two single marks are an inch mark.
fn mark<'t>(rest: &mut &str) -> winnow::Result<&'t str> {
    alt((
        alt(("\"", "″", "”", "“", "''", "′′", "’’")).value("in"),
        alt(("'", "′", "’", "‘")).value("ft"),
    ))
    .parse_next(rest)
}

fn word<'t>(rest: &mut &'t str) -> winnow::Result<&'t str> {
    let word = take_while(1.., |c: char| c.is_alphabetic()).parse_next(rest)?;
    opt('.').parse_next(rest)?;
    Ok(word)
}

fn decimal_comma(text: &str) -> LengthError {
    error(
        "a number is written with a comma",
        format!(
            "write the decimal mark as a point, \"{}\", and no mark between thousands",
            quoted(text.trim()).replace(',', ".")
        ),
    )
}
