//! Share of the runs that one process does.

use std::str::FromStr;

/// One of so many parts of a sweep; one of one is the whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Shard {
    /// Counted from 1.
    pub(crate) number: usize,
    /// Number of parts.
    pub(crate) of: usize,
}

/// Most parts of a sweep.
const MOST: usize = 10_000;

impl Shard {
    /// The whole sweep.
    pub(crate) const WHOLE: Self = Self { number: 1, of: 1 };

    /// Whether a run is this shard's: every so many are, so that slow corners of a design are shared out.
    pub(crate) fn holds(self, run: usize) -> bool {
        run % self.of + 1 == self.number
    }

    /// Name of the file that keeps its runs.
    pub(crate) fn file(self) -> String {
        match self {
            Self { of: 1, .. } => format!("{FILE_STEM}.jsonl"),
            Self { number, of } => format!("{FILE_STEM}-{number}-of-{of}.jsonl"),
        }
    }

    /// Whether a file of this name keeps runs of any shard.
    pub(crate) fn keeps(name: &str) -> bool {
        let stem = name.strip_suffix(".jsonl").and_then(|stem| stem.strip_prefix(FILE_STEM));
        stem.is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    }
}

const FILE_STEM: &str = "runs";

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || format!("write the part and how many there are, up to {MOST}, as in 3/8");
        let (number, of) = text.split_once('/').ok_or_else(wrong)?;
        let number: usize = number.trim().parse().map_err(|_| wrong())?;
        let of: usize = of.trim().parse().map_err(|_| wrong())?;
        if MOST < of {
            return Err(format!("a sweep has {MOST} parts at most"));
        }
        if (1..=of).contains(&number) {
            Ok(Self { number, of })
        } else {
            Err(format!("parts of {of} are counted from 1 to {of}"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_share_the_runs_without_rest() {
        let parts: Vec<Shard> = (1..=3).map(|number| Shard { number, of: 3 }).collect();
        for run in 0..20 {
            assert_eq!(parts.iter().filter(|shard| shard.holds(run)).count(), 1);
        }
        assert!((0..20).all(|run| Shard::WHOLE.holds(run)));
    }

    #[test]
    fn parts_are_read_and_wrong_ones_refused() {
        assert_eq!("3/8".parse(), Ok(Shard { number: 3, of: 8 }));
        for wrong in ["", "3", "0/8", "9/8", "a/8", "3/", "1/0", "1/10001", "-1/2"] {
            assert!(wrong.parse::<Shard>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn files_of_parts_are_known() {
        assert!(Shard::keeps(&Shard::WHOLE.file()));
        assert!(Shard::keeps(&Shard { number: 2, of: 4 }.file()));
        assert!(!Shard::keeps("runs.csv") && !Shard::keeps("sweep.csv"));
    }
}
