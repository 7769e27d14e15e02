//! The levels of first bounces in several states, as a table with the numbers of the plans.

use crate::canvas::{Canvas, Point, Rect, Text, Weight, typeface};
use crate::plot::data::from_compared::ShownState;
use crate::plot::data::input::{Hit, Input, LimitVerdict, Path};
use crate::plot::palette::{self, line};
use crate::plot::room::paths;
use crate::plot::sheet::badge::{self, Badge};
use crate::plot::sheet::path_list;
use glam::DVec2;

/// Height of a row.
const PITCH: f64 = 3.5;
/// Size of the words.
const SIZE: f64 = 2.2;
/// Least and greatest width of a column of levels.
const LEVEL: [f64; 2] = [15.0, 28.0];
/// Width of a row's number and words.
const WORDS: f64 = 50.0;
/// Space between two columns of rows.
const BETWEEN: f64 = 6.0;

/// A table of levels.
#[derive(Debug, Clone)]
pub(crate) struct LevelTable<'a> {
    states: &'a [ShownState<'a>],
    rows: Vec<LevelRow<'a>>,
    /// Number of rows without a place.
    left_out: usize,
}

/// A path and its level in each state, with how it stands to the limit.
#[derive(Debug, Clone)]
struct LevelRow<'a> {
    path: &'a Path,
    speaker: &'a str,
    levels: Vec<Option<(f64, LimitVerdict)>>,
}

impl<'a> LevelTable<'a> {
    /// The first bounces of all states, speaker after speaker in the order of their numbers.
    pub(crate) fn new(states: &'a [ShownState<'a>], common: &'a Input<'a>) -> Self {
        let level = |state: &ShownState, tag: &str| {
            let path = state.input.paths.iter().find(|path| path.tag == tag)?;
            Some((path.level_db, path.verdict))
        };
        let mut rows: Vec<LevelRow<'a>> = common
            .paths
            .iter()
            .map(|path| LevelRow {
                path,
                speaker: common.speakers.get(path.speaker).map_or("", |s| s.name.as_str()),
                levels: states.iter().map(|state| level(state, &path.tag)).collect(),
            })
            .collect();
        rows.sort_by_key(|row| row.path.speaker);
        Self { states, rows, left_out: 0 }
    }

    /// Number of columns of rows that fit in a width, and the width of their levels.
    fn columns(&self, wide: f64) -> (usize, f64) {
        let states = self.states.len().max(1) as f64;
        let level = |n: usize| (((wide + BETWEEN) / n as f64 - BETWEEN) - WORDS) / states;
        let columns = [4, 3, 2].into_iter().find(|&n| LEVEL[0] <= level(n)).unwrap_or(1);
        (columns, level(columns).clamp(LEVEL[0], LEVEL[1]))
    }

    /// Height in a width when nothing has to be left out.
    pub(crate) fn height(&self, wide: f64) -> f64 {
        (self.rows.len().div_ceil(self.columns(wide).0) + 1) as f64 * PITCH + 1.0
    }

    /// Leaves out the weakest rows, where there are more than a space can hold.
    pub(crate) fn fit(&mut self, space: Rect) {
        let most = (1..=80).rev().find(|&n| f64::from(n + 1) * PITCH + 1.0 <= space.size().y);
        let most = usize::try_from(most.unwrap_or(1)).unwrap_or(1);
        let capacity = self.columns(space.size().x).0 * most;
        if self.rows.len() <= capacity {
            return;
        }
        let mut levels: Vec<f64> = self.rows.iter().map(LevelRow::loudest_db).collect();
        levels.sort_by(|a, b| b.total_cmp(a));
        // The last place is for saying how many are missing.
        let kept = capacity.saturating_sub(1);
        let least = levels.get(kept).copied().unwrap_or(f64::NEG_INFINITY);
        let all = self.rows.len();
        self.rows.retain(|row| row.loudest_db() > least);
        self.left_out = all - self.rows.len();
    }

    /// Whether a path has a row.
    pub(crate) fn has(&self, path: &Path) -> bool {
        self.rows.iter().any(|row| row.path.tag == path.tag)
    }

    /// Draws it from the top of a space.
    pub(crate) fn draw(&self, canvas: &mut Canvas, space: Rect) {
        let (columns, level) = self.columns(space.size().x);
        let width = WORDS + level * self.states.len() as f64;
        let (shown, left_out) = (&self.rows, self.left_out);
        let deep = (shown.len() + usize::from(left_out > 0)).div_ceil(columns).max(1);
        let at = |index: usize| {
            let column = (index / deep) as f64 * (width + BETWEEN);
            space.min + DVec2::new(column, PITCH * ((index % deep) as f64 + 1.8))
        };
        for column in 0..shown.len().div_ceil(deep) {
            let left = space.min + DVec2::new(column as f64 * (width + BETWEEN), 0.0);
            self.heading(canvas, left, level);
        }
        for (index, row) in shown.iter().enumerate() {
            row.draw(canvas, at(index), level);
        }
        if left_out > 0 {
            let note = format!("and {left_out} weaker ones, in comparison.csv");
            canvas.text(Text::new(note, at(shown.len()), SIZE).secondary().middle_baseline());
        }
    }

    fn heading(&self, canvas: &mut Canvas, left: Point, level: f64) {
        let y = left.y + PITCH * 0.5;
        let word = |content: String, x: f64| {
            Text::new(content, Point::new(x, y), SIZE).semibold().secondary().middle_baseline()
        };
        canvas.text(word("dB after one bounce off".to_owned(), left.x));
        for (index, state) in self.states.iter().enumerate() {
            let name = typeface::fit(&state.name, SIZE, Weight::Semibold, level - 1.5);
            canvas.text(word(name, left.x + level_edge(index, level)).anchor_end());
        }
        let under = left.y + PITCH * 1.1;
        let rule = vec![
            Point::new(left.x, under),
            Point::new(left.x + level_edge(self.states.len(), level) - level + 3.5, under),
        ];
        canvas.polyline(rule, line(palette::RULE, 0.2));
    }
}

/// Right edge of a state's levels, where columns of levels are this wide.
fn level_edge(state: usize, level: f64) -> f64 {
    WORDS + level * (state + 1) as f64 - 3.5
}

impl LevelRow<'_> {
    fn loudest_db(&self) -> f64 {
        let levels = self.levels.iter().flatten().map(|(level, _)| *level);
        levels.fold(f64::NEG_INFINITY, f64::max)
    }

    fn draw(&self, canvas: &mut Canvas, left: Point, level: f64) {
        let tag = Badge { verdict: LimitVerdict::Unjudged, ..paths::badge(self.path, 0) };
        let scale = PITCH * 0.95 / badge::HEIGHT;
        tag.draw_scaled(canvas, left + DVec2::X * (tag.size().x * scale / 2.0), scale);
        let what = format!("{}, {}", self.speaker, surface(self.path));
        let what = typeface::fit(&what, SIZE, Weight::Regular, WORDS - 8.0);
        canvas.text(Text::new(what, left + DVec2::X * 6.6, SIZE).middle_baseline());
        for (index, found) in self.levels.iter().enumerate() {
            let edge = left + DVec2::X * level_edge(index, level);
            match found {
                Some((level_db, verdict)) => {
                    let figure = Text::new(path_list::decibels(*level_db), edge, SIZE);
                    canvas.text(figure.anchor_end().middle_baseline());
                    path_list::verdict(canvas, edge + DVec2::X * 1.9, *verdict);
                }
                None => {
                    canvas.text(
                        Text::new("none", edge, SIZE).secondary().anchor_end().middle_baseline(),
                    );
                }
            }
        }
    }
}

/// Name of the surface that was hit, without its covering: that is not the same in all states.
fn surface(path: &Path) -> String {
    path.bounces.first().map_or_else(String::new, |bounce| match bounce.hit {
        Hit::Surface(surface) => surface.name().to_owned(),
        Hit::Inside { .. } => bounce.what.clone(),
    })
}
