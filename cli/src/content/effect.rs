//! Effect of a change of the room, in a word.

/// What a change does to something of which less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Effect {
    /// Less than before.
    Better,
    /// Not told apart from before.
    Equal,
    /// Less in one respect, more in another.
    Mixed,
    /// More than before.
    Worse,
}

impl Effect {
    /// The effect of a figure that grows by `change`, where `least` can be told apart.
    pub(crate) fn of(change: f64, least: f64) -> Self {
        if change <= -least {
            Self::Better
        } else if change >= least {
            Self::Worse
        } else {
            Self::Equal
        }
    }

    /// Two effects as one.
    pub(crate) fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Equal, one) | (one, Self::Equal) => one,
            (one, other) if one == other => one,
            _ => Self::Mixed,
        }
    }

    /// The word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::Equal => "equal",
            Self::Mixed => "mixed",
            Self::Worse => "worse",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Effect::{Better, Equal, Mixed, Worse};
    use super::*;

    #[test]
    fn less_is_better_and_two_ways_are_mixed() {
        assert_eq!(
            [-1.5, -1.4, 1.4, 1.5].map(|db| Effect::of(db, 1.5)),
            [Better, Equal, Equal, Worse]
        );
        assert_eq!(
            [Better.and(Equal), Equal.and(Worse), Worse.and(Better)],
            [Better, Worse, Mixed]
        );
        assert_eq!([Mixed.and(Better), Worse.and(Worse), Equal.and(Equal)], [Mixed, Worse, Equal]);
    }
}
