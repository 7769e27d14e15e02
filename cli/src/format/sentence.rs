//! Words as they begin a sentence.

/// A text with its first letter as a capital: `Lean 63 mm forward`.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::capital;

    #[test]
    fn only_the_first_letter_changes() {
        assert_eq!(capital("main left off floor"), "Main left off floor");
        assert_eq!(["", "é", "63 mm"].map(capital), ["", "É", "63 mm"]);
    }
}
