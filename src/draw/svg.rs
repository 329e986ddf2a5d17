//! Pages as SVG: millimetres as user units, every number exact, the same bytes from run to run.

use super::font::{self, Face};
use super::list::{Anchor, Ink, Mark, Page, Point, Shape, Stroke, Text};
use crate::length::Length;
use std::fmt::Write as _;

/// A page as a file of its own.
pub fn file(page: &Page) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{}",
        element(page, Sides::Paper)
    )
}

/// Whether a file that begins so was made here.
pub fn is_ours(head: &[u8]) -> bool {
    let head = String::from_utf8_lossy(head);
    let svg = head.lines().nth(1).unwrap_or_default();
    svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"")
        && svg.contains(&format!(" style=\"{PLAIN}\" "))
        && svg.contains(&format!(" font-family=\"'{}',sans-serif\">", font::FAMILY))
}

const PLAIN: &str = "font-kerning:none;font-variant-ligatures:none";

/// How large a drawing says that it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    /// As on paper.
    Paper,
    /// As wide as on paper, so that its letters stay as large; for HTML.
    Screen,
}

/// A page as an `svg` element, with its title and what it shows as alternative text.
pub fn element(page: &Page, sides: Sides) -> String {
    let (width, height) = (page.width, page.height);
    // Kerning off, so that a text is as wide as it was measured.
    let said = match sides {
        Sides::Paper => format!(
            "width=\"{}\" height=\"{}\" style=\"{PLAIN}\"",
            unit(width),
            unit(height)
        ),
        Sides::Screen => format!(
            "style=\"width:{};height:{};{PLAIN}\"",
            unit(width),
            unit(height)
        ),
    };
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" {said} viewBox=\"0 0 {} {}\" role=\"img\" \
         xml:lang=\"{language}\" lang=\"{language}\" font-family=\"'{}',sans-serif\">\n\
         <title>{}</title>\n<desc>{}</desc>\n",
        mm(width),
        mm(height),
        font::FAMILY,
        escaped(&page.title),
        escaped(&page.about),
        language = page.language,
    );
    for mark in &page.marks {
        write_mark(&mut svg, mark);
    }
    svg.push_str("</svg>\n");
    svg
}

fn write_mark(svg: &mut String, mark: &Mark) {
    let name = match mark.name.is_empty() {
        true => String::new(),
        false => format!(" data-name=\"{}\"", escaped(&mark.name)),
    };
    // Writing to a string does not fail.
    let _ = match &mark.shape {
        Shape::Path {
            points,
            closed,
            stroke,
            fill,
        } => writeln!(
            svg,
            "<path{name} d=\"{}{}\"{}/>",
            path(points),
            if *closed { "Z" } else { "" },
            paint(*stroke, *fill, stroke.map_or(0, |s| s.line.phase(points)))
        ),
        Shape::Circle {
            centre,
            radius,
            stroke,
            fill,
        } => writeln!(
            svg,
            "<circle{name} cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
            mm(centre.x),
            mm(centre.y),
            mm(*radius),
            paint(*stroke, *fill, 0)
        ),
        Shape::Text(text) => writeln!(svg, "{}", words(text)),
    };
}

fn path(points: &[Point]) -> String {
    let mut d = String::new();
    for (n, point) in points.iter().enumerate() {
        let move_ = if n == 0 { 'M' } else { 'L' };
        let _ = write!(d, "{move_}{} {}", mm(point.x), mm(point.y));
    }
    d
}

fn paint(stroke: Option<Stroke>, fill: Option<Ink>, phase: i64) -> String {
    let fill = fill.map_or("none".to_owned(), colour);
    let Some(Stroke { line, ink }) = stroke else {
        return format!(" fill=\"{fill}\"");
    };
    let nm = Length::from_nm;
    let dashes: Vec<String> = line.dashes().iter().map(|d| mm(nm(*d))).collect();
    let dashes = match dashes.is_empty() {
        true => String::new(),
        false => format!(
            " stroke-dasharray=\"{}\" stroke-dashoffset=\"{}\"",
            dashes.join(" "),
            mm(nm(phase))
        ),
    };
    format!(
        " fill=\"{fill}\" stroke=\"{}\" stroke-width=\"{}\"{dashes}",
        colour(ink),
        mm(nm(line.width()))
    )
}

fn words(text: &Text) -> String {
    let Text {
        at,
        words,
        size,
        face,
        anchor,
        turned,
        ink,
    } = text;
    let (x, y) = (mm(at.x), mm(at.y));
    let anchor = match anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let bold = match face {
        Face::Regular => "",
        Face::Bold => " font-weight=\"700\"",
    };
    let turn = match turned {
        true => format!(" transform=\"rotate(-90 {x} {y})\""),
        false => String::new(),
    };
    let fill = match ink {
        Ink::Black => String::new(),
        ink => format!(" fill=\"{}\"", colour(*ink)),
    };
    // Where another font stands in, the text still takes the room that was measured.
    let room = Length::from_nm(font::extent(*face, *size, words).width);
    format!(
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"{anchor}{bold}{fill}{turn} xml:space=\"preserve\">{}</text>",
        mm(*size),
        mm(room),
        escaped(words)
    )
}

fn colour(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Exact millimetres, without a unit.
fn mm(length: Length) -> String {
    let text = length.to_string();
    text.strip_suffix(" mm").unwrap_or(&text).to_owned()
}

fn unit(length: Length) -> String {
    format!("{}mm", mm(length))
}

/// Text as it may stand in XML, in an attribute or between tags.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            // What XML cannot hold at all.
            '\u{fffe}' | '\u{ffff}' => safe.push('?'),
            c if c.is_control() => safe.push(' '),
            c => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::super::list::{Area, Line, at};
    use super::*;

    #[test]
    fn numbers_are_exact_and_text_is_escaped() {
        let mut page = Page::new(
            Length::from_nm(215_900_000),
            Length::from_nm(279_400_000),
            "A & B",
            "a <page>",
        );
        page.rect(
            "shore: \"mat\"",
            Area::sized(396_875, 0, 130_175_000, 1),
            Line::Edge,
            None,
        );
        page.line(at(-1, 0), at(5_000_000, 0), Line::Hidden);
        let svg = file(&page);
        for part in [
            "viewBox=\"0 0 215.9 279.4\" role=\"img\"",
            "<title>A &amp; B</title>",
            "<desc>a &lt;page&gt;</desc>",
            "data-name=\"shore: &quot;mat&quot;\" d=\"M0.396875 0L130.571875 0L130.571875 0.000001L0.396875 0.000001Z\"",
            "d=\"M-0.000001 0L5 0\" fill=\"none\" stroke=\"#000000\" stroke-width=\"0.25\" stroke-dasharray=\"2 1\" stroke-dashoffset=\"2.999999\"",
        ] {
            assert!(svg.contains(part), "{part}\n{svg}");
        }
    }
}
