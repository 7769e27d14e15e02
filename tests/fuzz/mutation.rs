//! Inputs made of those of a corpus.

use super::corpus::Corpus;
use super::random::Random;
use std::ops::Range;

/// Most changes of one input.
const CHANGES: usize = 4;

/// No input grows beyond, bytes.
const LONGEST: usize = 64 * 1024;

/// What a number is replaced by: the ends of what numbers can be, and beyond.
const EXTREMES: [&str; 24] = [
    "0",
    "-0",
    "-0.0",
    "1",
    "-1",
    "0.001",
    "0.0009999",
    "1e-9",
    "1e-300",
    "5e-324",
    "1e15",
    "1e308",
    "-1e308",
    "1e400",
    "nan",
    "inf",
    "-inf",
    ".5",
    "5.",
    "1_000",
    "9223372036854775807",
    "18446744073709551616",
    "0x7fffffffffffffff",
    "99999999999999999999999999999999999999999999999999999999999999999999",
];

/// An input of the corpus with a few changes.
pub(super) fn mutated(corpus: &Corpus, random: &mut Random) -> Vec<u8> {
    let mut input = random.of(corpus.inputs()).1.clone();
    for _ in 0..=random.below(CHANGES) {
        let other = &random.of(corpus.inputs()).1;
        change(&mut input, other, random);
        input.truncate(LONGEST);
    }
    input
}

fn change(input: &mut Vec<u8>, other: &[u8], random: &mut Random) {
    match random.below(10) {
        0 => flip(input, random),
        1 => {
            let range = random.range(input.len(), 40);
            input.drain(range);
        }
        2 => splice(input, other, random),
        3 => swap_line(input, other, random),
        4 => {
            let lines = pieces(input, |byte| byte != b'\n');
            let line = random.of(&lines).clone();
            input.drain(line.start..(line.end + 1).min(input.len()));
        }
        5 => repeat(input, random),
        6 => number_of(input, other, random),
        // Numbers are what most of a scene is made of, and what leaves it a scene.
        _ => extreme(input, random),
    }
}

fn flip(input: &mut [u8], random: &mut Random) {
    let at = random.below(input.len());
    let bits = 1 << random.below(8);
    if let Some(byte) = input.get_mut(at) {
        *byte ^= bits;
    }
}

/// The beginning of one and the end of the other, at places as far in.
fn splice(input: &mut Vec<u8>, other: &[u8], random: &mut Random) {
    let at = random.below(input.len().min(other.len()) + 1);
    input.truncate(at);
    input.extend(&other[at..]);
}

/// A line of the other in the place of one of its own, or before it.
fn swap_line(input: &mut Vec<u8>, other: &[u8], random: &mut Random) {
    let (lines, others) = (pieces(input, |b| b != b'\n'), pieces(other, |b| b != b'\n'));
    let (place, line) = (random.of(&lines).clone(), &other[random.of(&others).clone()]);
    if random.below(2) == 0 {
        input.splice(place, line.iter().copied());
    } else {
        input.splice(place.start..place.start, line.iter().chain(b"\n").copied());
    }
}

/// A line or a piece of one, once more or many times.
fn repeat(input: &mut Vec<u8>, random: &mut Random) {
    let piece = match random.below(3) {
        0 => random.of(&pieces(input, |byte| byte != b'\n')).clone(),
        1 => random.of(&pieces(input, |byte| !byte.is_ascii_whitespace())).clone(),
        _ => random.range(input.len(), 8),
    };
    let mut piece = input[piece.start..(piece.end + 1).min(input.len())].to_vec();
    piece = piece.repeat(*random.of(&[1, 1, 2, 30]));
    let at = random.below(input.len() + 1);
    input.splice(at..at, piece);
}

fn extreme(input: &mut Vec<u8>, random: &mut Random) {
    let place = random.of(&numbers(input)).clone();
    input.splice(place, random.of(&EXTREMES).bytes());
}

/// A number of the other in the place of one of its own, so that a scene often stays one.
fn number_of(input: &mut Vec<u8>, other: &[u8], random: &mut Random) {
    let (place, number) = (random.of(&numbers(input)).clone(), random.of(&numbers(other)).clone());
    input.splice(place, other[number].iter().copied());
}

fn numbers(input: &[u8]) -> Vec<Range<usize>> {
    pieces(input, |byte| byte.is_ascii_digit() || byte == b'.' || byte == b'-')
}

/// Runs of bytes of a kind; the whole where there is none.
fn pieces(input: &[u8], is_in: impl Fn(u8) -> bool) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for (at, _) in input.iter().enumerate().filter(|(_, byte)| is_in(**byte)) {
        match found.last_mut() {
            Some(last) if last.end == at => last.end = at + 1,
            _ => found.push(at..at + 1),
        }
    }
    if found.is_empty() { std::iter::once(0..input.len()).collect() } else { found }
}
