//! Part of a sheet that holds the room, or a curve: for a page that shows only that part and draws on it.

use crate::canvas::{Drawing, Rect, svg};
use crate::plot::axes::Axes;
use crate::plot::room::projection::View;
use glam::DVec3;

/// A sheet and the parts of it that a page shows.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// The sheet.
    pub(crate) drawing: Drawing,
    /// The parts.
    pub(crate) windows: Vec<Window>,
}

/// A part of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Window {
    /// Its name for a script: `plan`, `section`, `curve` or the name of a surface.
    pub(crate) name: &'static str,
    /// Its title for a reader.
    pub(crate) title: String,
    /// Its place on the sheet.
    pub(crate) part: Rect,
    /// Map from the shown quantity to the sheet.
    pub(crate) map: SheetMapping,
}

/// From what is shown to millimetres on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SheetMapping {
    /// Across and down the sheet: a factor for x, y and z in metres each, and the place of the
    /// corner where the tape is hooked.
    Room([[f64; 4]; 2]),
    /// Across for milliseconds after the direct sound, down for decibels: factor and offset each.
    Curve([[f64; 2]; 2]),
}

impl Window {
    /// A view of the room.
    pub(crate) fn of_room(name: &'static str, title: &str, part: Rect, view: &View) -> Self {
        let origin = view.at(DVec3::ZERO);
        let ways = DVec3::AXES.map(|way| view.at(way) - origin);
        let row = |i: usize| [ways[0][i], ways[1][i], ways[2][i], origin[i]];
        Self { name, title: title.to_owned(), part, map: SheetMapping::Room([row(0), row(1)]) }
    }

    /// A curve of level against time.
    pub(crate) fn of_curve(name: &'static str, title: &str, part: Rect, axes: &Axes) -> Self {
        let line = |at: &dyn Fn(f64) -> f64| [at(1.0) - at(0.0), at(0.0)];
        let map = SheetMapping::Curve([line(&|t| axes.x(t)), line(&|l| axes.y(l))]);
        Self { name, title: title.to_owned(), part, map }
    }

    /// Numbers for a script, in reading order.
    pub(crate) fn numbers(&self) -> Vec<f64> {
        match &self.map {
            SheetMapping::Room(rows) => rows.concat(),
            SheetMapping::Curve(rows) => rows.concat(),
        }
    }
}

impl Sheet {
    /// A part of it as SVG for within a page; `prefix` keeps its names apart from those of other drawings there.
    pub(crate) fn svg(&self, window: &Window, label: &str, prefix: &str) -> String {
        svg::part(&self.drawing, window.part, label, prefix)
    }
}
