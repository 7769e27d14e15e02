//! Labels side by side along a line: as near to where they belong as they can be.

/// Positions for labels that want to be at `wanted` (in rising order) and reach `half` to either
/// side, without overlap, inside `low..high` as far as they fit there; least squares.
pub(crate) fn along(wanted: &[f64], half: &[f64], low: f64, high: f64) -> Vec<f64> {
    let total: f64 = 2.0 * half.iter().sum::<f64>();
    // Too many for the place: they stay side by side, centred on it.
    let (low, high) = if total > high - low {
        let middle = f64::midpoint(low, high);
        (middle - total / 2.0, middle + total / 2.0)
    } else {
        (low, high)
    };
    let mut runs: Vec<Run> = Vec::new();
    for (&want, &half) in wanted.iter().zip(half) {
        let mut run =
            Run { first: want - half, length: 2.0 * half, pull: want - half, members: vec![half] };
        run.settle(low, high);
        while let Some(previous) =
            runs.pop_if(|previous| previous.first + previous.length > run.first)
        {
            run = previous.joined(run);
            run.settle(low, high);
        }
        runs.push(run);
    }
    runs.iter().flat_map(Run::positions).collect()
}

/// Labels that touch each other.
struct Run {
    /// Its beginning.
    first: f64,
    /// Its length.
    length: f64,
    /// Sum over its members of where each would like the run to begin.
    pull: f64,
    /// Half widths in order.
    members: Vec<f64>,
}

impl Run {
    fn settle(&mut self, low: f64, high: f64) {
        self.first = (self.pull / self.members.len() as f64).min(high - self.length).max(low);
    }

    fn joined(mut self, next: Self) -> Self {
        self.pull += next.pull - self.length * next.members.len() as f64;
        self.length += next.length;
        self.members.extend(next.members);
        self
    }

    fn positions(&self) -> Vec<f64> {
        self.members
            .iter()
            .scan(self.first, |edge, half| {
                let at = *edge + half;
                *edge += 2.0 * half;
                Some(at)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::along;

    #[test]
    fn labels_with_room_stay_where_they_belong() {
        assert_eq!(along(&[10.0, 30.0], &[2.0, 2.0], 0.0, 50.0), [10.0, 30.0]);
    }

    #[test]
    fn crowded_labels_move_apart_evenly() {
        assert_eq!(along(&[20.0, 20.0], &[2.0, 3.0], 0.0, 50.0), [17.5, 22.5]);
    }

    #[test]
    fn nothing_leaves_the_place_that_could_hold_it() {
        let placed = along(&[0.0, 1.0, 49.0, 50.0], &[4.0; 4], 0.0, 50.0);
        assert_eq!(placed, [4.0, 12.0, 38.0, 46.0]);
    }

    #[test]
    fn too_many_labels_still_do_not_overlap() {
        let placed = along(&[5.0; 9], &[2.0; 9], 0.0, 10.0);
        assert!(placed.windows(2).all(|w| w[1] - w[0] >= 4.0 - 1e-9));
    }
}
