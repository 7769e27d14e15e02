//! The names of one run's files, each once.

use std::collections::BTreeSet;

/// The files of all tables that commands write.
pub(crate) const TABLES: [&str; 6] =
    ["reflections.csv", "energy-time.csv", "decay.csv", "comparison.csv", "bass.csv", "sweep.csv"];

/// Names that are given out. Two that differ only in capitals are one file to some file systems, and so
/// they are one name.
#[derive(Debug, Clone, Default)]
pub(crate) struct FileNames {
    taken: BTreeSet<String>,
}

impl FileNames {
    /// Gives out a name: the one that is wanted, or where it is taken the same with a number before its
    /// ending.
    pub(crate) fn take(&mut self, wanted: &str) -> String {
        let (stem, ending) = split(wanted);
        let stem = self.take_stem(stem, &[ending], |_| true);
        format!("{stem}{ending}")
    }

    /// Gives out a stem for files that belong together: the one that is wanted, or the same with the first
    /// number under which no ending is taken. `is_free` has a say in it too.
    pub(crate) fn take_stem(
        &mut self,
        wanted: &str,
        endings: &[&str],
        is_free: impl Fn(&str) -> bool,
    ) -> String {
        let mut stem = wanted.to_owned();
        let mut number = 2;
        loop {
            let names = endings.iter().map(|ending| format!("{stem}{ending}"));
            let names: Vec<String> = names.collect();
            if names.iter().all(|name| !self.taken.contains(&folded(name)) && is_free(name)) {
                self.taken.extend(names.iter().map(|name| folded(name)));
                return stem;
            }
            stem = format!("{wanted}-{number}");
            number += 1;
        }
    }
}

/// Longest part of a file name that is made from a name, bytes: three of them with what joins them keep
/// within the 255 that file systems take.
const PART_MAX: usize = 60;

/// `main-left`: a name as part of a file name, of small letters, digits and hyphens; the beginning of a
/// long one.
pub(crate) fn plain(name: &str) -> String {
    let letters = name
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect::<String>();
    let parts: Vec<&str> = letters.split('-').filter(|part| !part.is_empty()).collect();
    let plain = parts.join("-");
    plain[..plain.floor_char_boundary(PART_MAX)].trim_end_matches('-').to_owned()
}

/// A name without its ending, and the ending with its point.
fn split(name: &str) -> (&str, &str) {
    let file = name.rfind('/').map_or(0, |slash| slash + 1);
    match name.rfind('.') {
        Some(point) if file < point => name.split_at(point),
        _ => (name, ""),
    }
}

/// A name as file systems that do not tell capitals compare it.
fn folded(name: &str) -> String {
    name.chars().flat_map(char::to_uppercase).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clashes_are_numbered_before_the_ending() {
        let mut names = FileNames::default();
        let mut take = |name| names.take(name);
        assert_eq!([take("plan.png"), take("plan.png")], ["plan.png", "plan-2.png"]);
        assert_eq!([take("plan-2.png"), take("plan.png")], ["plan-2-2.png", "plan-3.png"]);
        assert_eq!([take("PLAN.png"), take("Straße.csv")], ["PLAN-4.png", "Straße.csv"]);
        assert_eq!([take("STRASSE.csv"), take("a.b/c")], ["STRASSE-2.csv", "a.b/c"]);
        assert_eq!([take("a.b/c"), take("a.b/.c")], ["a.b/c-2", "a.b/.c"]);
    }

    #[test]
    fn files_that_belong_together_share_a_stem() {
        let mut names = FileNames::default();
        names.take("ir-ears.wav");
        let mut take = |stem| names.take_stem(stem, &[".wav", "-ears.wav"], |_| true);
        assert_eq!([take("ir"), take("ir"), take("ir-2")], ["ir-2", "ir-3", "ir-2-2"]);
        let spared = names.take_stem("x", &[".csv"], |name| name != "x.csv" && name != "x-2.csv");
        assert_eq!(spared, "x-3");
    }

    #[test]
    fn parts_of_names_are_short_and_plain() {
        assert_eq!(plain("Main — left (2)"), "main-left-2");
        assert_eq!(plain("?!"), "");
        let long = plain(&"音 ".repeat(100));
        assert!(long.len() <= PART_MAX && !long.ends_with('-'), "{long}");
    }
}
