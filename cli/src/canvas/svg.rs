//! A drawing as SVG text.

use super::{
    Anchor, Drawing, Item, Outline, Paper, Point, Rect, SCALE, Shape, Stroke, Text, Weight,
    typeface,
};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::fmt::Write as _;

/// The whole file with the typeface inside.
pub(crate) fn with_typeface(drawing: &Drawing) -> String {
    let mut faces = String::new();
    for (weight, bytes) in typeface::PACKED {
        // Writing into a string does not fail.
        let _ = writeln!(
            faces,
            "@font-face{{font-family:'{}';font-weight:{weight};\
             src:url(data:font/woff2;base64,{}) format('woff2')}}",
            typeface::FAMILY,
            STANDARD.encode(bytes)
        );
    }
    document(drawing, &faces)
}

/// The whole file without the typeface, for a reader that has it already.
pub(crate) fn bare(drawing: &Drawing) -> String {
    document(drawing, "")
}

fn document(drawing: &Drawing, faces: &str) -> String {
    let paper_mm = drawing.paper.size_mm(drawing.size);
    // The paper in units of the drawing, which lies in its middle.
    let paper = paper_mm / drawing.paper.mm_per_unit(drawing.size);
    let corner = (drawing.size - paper) / 2.0;
    let [width, height] = [paper_mm.x, paper_mm.y].map(number);
    let view = [corner.x, corner.y, paper.x, paper.y].map(number).join(" ");
    let mut out = String::with_capacity(1 << 17);
    // Writing into a string does not fail.
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"{view}\" role=\"img\">\n<title>{}</title>\n<style>\n{faces}\
         text{{font-family:'{}',sans-serif;white-space:pre}}.s{{font-weight:600}}\
         .h{{paint-order:stroke;stroke:#fff;stroke-width:.7;stroke-linejoin:round}}\n</style>\n\
         <g fill=\"none\" stroke-linejoin=\"round\">\n",
        escaped(&drawing.title),
        typeface::FAMILY,
    );
    if drawing.paper != Paper::AsDrawn {
        let [x, y, wide, high] = [corner.x, corner.y, paper.x, paper.y].map(number);
        let _ = writeln!(
            out,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\" fill=\"#fff\"/>"
        );
    }
    let mut clips = Clips { prefix: "", count: 0 };
    write_items(&mut out, &drawing.items, &mut clips);
    out.push_str("</g>\n</svg>\n");
    out
}

/// A part of a drawing for within a page, which has the typeface and says by `data-` attributes what
/// belongs to a path or a speaker. Only what lies inside the part as a whole is there.
///
/// `prefix` keeps names apart from those of other drawings on the page. `--wide` is the width in millimetres
/// on the sheet and `--ratio` the width by the height, for a style sheet that keeps letters large enough.
pub(crate) fn part(drawing: &Drawing, part: Rect, label: &str, prefix: &str) -> String {
    let inside = kept(&drawing.items, part);
    let all: Vec<Point> = inside.iter().filter_map(extent).flat_map(|r| [r.min, r.max]).collect();
    let seen = Rect::bounding(&all).unwrap_or(part).grown(0.8);
    let mut out = String::with_capacity(1 << 16);
    let size = seen.size();
    // Writing into a string does not fail.
    let _ = writeln!(
        out,
        "<svg viewBox=\"{} {} {} {}\" style=\"--wide:{};--ratio:{}\" role=\"img\" aria-label=\"{}\"><g \
         fill=\"none\" stroke-linejoin=\"round\">",
        number(seen.min.x),
        number(seen.min.y),
        number(size.x),
        number(size.y),
        number(size.x),
        number(size.x / size.y),
        escaped(label),
    );
    let mut clips = Clips { prefix, count: 0 };
    write_items(&mut out, &inside, &mut clips);
    out.push_str("</g></svg>");
    out
}

/// Items that lie inside a rectangle as a whole, without what is only true on the sheet's own paper.
fn kept(items: &[Item], within: Rect) -> Vec<Item> {
    let inside = |item: &&Item| extent(item).is_some_and(|extent| within.holds(extent));
    let is_of_paper = |item: &Item| matches!(item, Item::Group { id, .. } if id.kind == SCALE);
    items.iter().filter(inside).filter(|item| !is_of_paper(item)).cloned().collect()
}

/// The space that something takes; lines without their width.
fn extent(item: &Item) -> Option<Rect> {
    let of_all = |items: &[Item]| {
        let all = items.iter().filter_map(extent).flat_map(|rect| [rect.min, rect.max]);
        Rect::bounding(&all.collect::<Vec<_>>())
    };
    match item {
        Item::Shape(shape) => match &shape.outline {
            Outline::Line(points) | Outline::Polygon(points) => Rect::bounding(points),
            Outline::Rings(rings) => Rect::bounding(&rings.concat()),
            Outline::Circle { centre, radius } => {
                Some(Rect::around(*centre, Point::splat(2.0 * radius)))
            }
            Outline::Rect { rect, .. } => Some(*rect),
        },
        Item::Text(text) => Some(typeface::extent(text)),
        Item::Group { items, .. } => of_all(items),
        Item::Clipped { to, .. } => Some(*to),
    }
}

/// Names of clipping rectangles, all different.
struct Clips<'a> {
    prefix: &'a str,
    count: usize,
}

/// Writes things in their order; lines alike that follow each other become one path.
fn write_items(out: &mut String, items: &[Item], clips: &mut Clips<'_>) {
    let mut rest = items;
    while let Some((first, _)) = rest.split_first() {
        let alike = rest.iter().map_while(|item| {
            plain_line(item)
                .filter(|(_, stroke)| plain_line(first).is_some_and(|(_, own)| own == *stroke))
        });
        let trails: Vec<String> = alike.map(|(points, _)| trail(points)).collect();
        match plain_line(first) {
            Some((_, stroke)) if 1 < trails.len() => {
                let _ = write!(out, "<path d=\"{}\"", trails.concat());
                write_stroke(out, stroke);
                out.push_str("/>\n");
                rest = &rest[trails.len()..];
            }
            _ => {
                write_item(out, first, clips);
                rest = &rest[1..];
            }
        }
    }
}

/// An open line that is drawn and nothing else.
fn plain_line(item: &Item) -> Option<(&[Point], &Stroke)> {
    match item {
        Item::Shape(Shape { outline: Outline::Line(points), fill: None, stroke: Some(stroke) }) => {
            Some((points, stroke))
        }
        _ => None,
    }
}

fn write_item(out: &mut String, item: &Item, clips: &mut Clips<'_>) {
    match item {
        Item::Group { id, items } => {
            let _ = writeln!(out, "<g data-{}=\"{}\">", id.kind, escaped(&id.key));
            write_items(out, items, clips);
            out.push_str("</g>\n");
        }
        Item::Shape(shape) => write_shape(out, shape),
        Item::Text(text) => write_text(out, text),
        Item::Clipped { to, items } => {
            clips.count += 1;
            let name = format!("{}c{}", clips.prefix, clips.count);
            let _ = writeln!(out, "<clipPath id=\"{name}\"><rect {}/></clipPath>", box_of(*to));
            let _ = writeln!(out, "<g clip-path=\"url(#{name})\">");
            write_items(out, items, clips);
            out.push_str("</g>\n");
        }
    }
}

fn write_shape(out: &mut String, shape: &Shape) {
    let _ = match &shape.outline {
        Outline::Line(points) => write!(out, "<path d=\"{}\"", trail(points)),
        Outline::Polygon(points) => write!(out, "<path d=\"{}z\"", trail(points)),
        Outline::Rings(rings) => {
            let trails: Vec<String> = rings.iter().map(|ring| trail(ring) + "z").collect();
            write!(out, "<path fill-rule=\"evenodd\" d=\"{}\"", trails.concat())
        }
        Outline::Circle { centre, radius } => write!(
            out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"",
            number(centre.x),
            number(centre.y),
            number(*radius)
        ),
        Outline::Rect { rect, corner } if *corner > 0.0 => {
            write!(out, "<rect {} rx=\"{}\"", box_of(*rect), number(*corner))
        }
        Outline::Rect { rect, .. } => write!(out, "<rect {}", box_of(*rect)),
    };
    if let Some(fill) = shape.fill {
        let _ = write!(out, " fill=\"{}\"", fill.hex());
    }
    if let Some(stroke) = &shape.stroke {
        write_stroke(out, stroke);
    }
    out.push_str("/>\n");
}

fn write_stroke(out: &mut String, stroke: &Stroke) {
    let _ = write!(
        out,
        " stroke=\"{}\" stroke-width=\"{}\"",
        stroke.colour.hex(),
        number(stroke.width)
    );
    let dashes: Vec<String> = stroke.dash.pattern().iter().map(|&d| number(d)).collect();
    if !dashes.is_empty() {
        let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
    }
}

fn write_text(out: &mut String, text: &Text) {
    let (x, y) = (number(text.at.x), number(text.at.y));
    let place = if text.rotated {
        format!("transform=\"translate({x} {y})rotate(-90)\"")
    } else {
        format!("x=\"{x}\" y=\"{y}\"")
    };
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let class = match (text.weight, text.halo) {
        (Weight::Regular, false) => "",
        (Weight::Semibold, false) => " class=\"s\"",
        (Weight::Regular, true) => " class=\"h\"",
        (Weight::Semibold, true) => " class=\"s h\"",
    };
    let _ = writeln!(
        out,
        "<text {place} font-size=\"{}\" fill=\"{}\"{anchor}{class}>{}</text>",
        number(text.size),
        text.colour.hex(),
        escaped(&text.content)
    );
}

/// A first point and the steps from each to the next, in whole hundredths so that none is lost.
fn trail(points: &[Point]) -> String {
    let mut trail = String::new();
    let mut before = Point::ZERO;
    for (index, point) in points.iter().enumerate() {
        let rounded = (*point * 100.0).round();
        let step = (rounded - before) / 100.0;
        let (x, y) = (number(step.x), number(step.y));
        // A minus sign parts two numbers as well as a space does.
        let gap = if y.starts_with('-') { "" } else { " " };
        let letter = if index == 0 { "M" } else { "l" };
        let _ = write!(trail, "{letter}{x}{gap}{y}");
        before = rounded;
    }
    trail
}

fn box_of(rect: Rect) -> String {
    let size = rect.size();
    format!(
        "x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
        number(rect.min.x),
        number(rect.min.y),
        number(size.x),
        number(size.y)
    )
}

/// Hundredths of a millimetre, as short as they can be written.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    match text.strip_prefix('-') {
        Some("0") => "0".to_owned(),
        Some(rest) => format!("-{}", without_zero(rest)),
        None => without_zero(text).to_owned(),
    }
}

/// `.5` for `0.5`.
fn without_zero(text: &str) -> &str {
    text.strip_prefix('0').filter(|rest| !rest.is_empty()).unwrap_or(text)
}

/// Text for between tags and within quotes of XML and HTML; XML has no way to write other control
/// characters than line breaks and tabs.
pub(crate) fn escaped(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, letter| {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(letter),
            control if control.is_control() || matches!(control, '\u{fffe}' | '\u{ffff}') => {
                out.push(' ');
            }
            other => out.push(other),
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::{Point, escaped, number, trail};

    #[test]
    fn numbers_are_short() {
        let written = [1.0, -0.001, 0.5, -0.25, 10.004, 100.0].map(number);
        assert_eq!(written, ["1", "0", ".5", "-.25", "10", "100"]);
    }

    #[test]
    fn steps_along_a_line_do_not_drift() {
        let points: Vec<Point> = (0..1000).map(|i| Point::new(f64::from(i) * 0.013, 0.0)).collect();
        let steps: f64 = trail(&points)
            .split('l')
            .skip(1)
            .filter_map(|step| step.split(' ').next()?.parse::<f64>().ok())
            .sum();
        assert!((steps - 12.987).abs() < 0.006, "{steps}");
    }

    #[test]
    fn names_cannot_break_the_file() {
        assert_eq!(escaped("<a & \"b\">\u{0}\u{1b}'"), "&lt;a &amp; &quot;b&quot;&gt;  &#39;");
    }
}
