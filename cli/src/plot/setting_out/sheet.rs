//! The setting-out sheet on one page: the floor with every cross, and a column of lengths.

use crate::canvas::{Canvas, Drawing, Point, Rect, Text};
use crate::content::setting_out::SettingOutSheet;
use crate::plot::palette::{self, line};
use crate::plot::setting_out::{lists, plan};
use crate::plot::sheet::frame::{self, CAPTION};
use crate::plot::sheet::lengths;
use glam::DVec2;

/// Left edge of the column of words.
const COLUMN: f64 = 172.0;

/// Lays out the sheet.
pub(crate) fn tape_sheet(setting: &SettingOutSheet<'_>) -> Drawing {
    let mut canvas = Canvas::default();
    let frame = frame::frame(&mut canvas);
    let rule = [frame.min.y, frame.max.y].map(|y| Point::new(COLUMN, y));
    canvas.polyline(rule.to_vec(), line(palette::INK, 0.2));
    let space = Rect {
        min: frame.min + DVec2::splat(2.5),
        max: DVec2::new(COLUMN - 2.5, frame.max.y - 2.5),
    };
    let scale = plan::draw(&mut canvas, setting, space);

    let column = Rect {
        min: DVec2::new(COLUMN + 4.0, frame.min.y + 4.0),
        max: frame.max - DVec2::splat(4.0),
    };
    let title = setting.scene.title();
    let scale = frame::on_paper(&scale.name, setting.units);
    let taken = frame::headline(&mut canvas, column, title, "Setting out", &scale, &about(setting));
    let below = Rect::new(column.min.x, column.min.y + taken, column.max.x, column.max.y - 4.5);
    lists::write(&mut canvas, setting, below);
    canvas.text(Text::new(CAPTION, Point::new(column.min.x, column.max.y), 2.5).secondary());
    Drawing {
        name: "tape",
        title: format!("{title}: setting-out sheet, the floor from above with every mark"),
        size: frame::SHEET,
        paper: frame::paper(setting.units),
        items: canvas.items,
    }
}

/// The room, in full and in short.
fn about(setting: &SettingOutSheet<'_>) -> [String; 2] {
    let room = setting.scene.room();
    let size = [room.length_m, room.width_m, room.height_m]
        .map(|metres| lengths::with_fractions(&setting.mark(metres)))
        .join(" × ");
    [format!("room {size}, inside"), size]
}
