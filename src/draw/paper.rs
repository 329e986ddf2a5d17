//! Sheets that a printer takes, what stands at their edges, and the bars that show true scale.

use super::font::Face;
use super::list::{Anchor, Area, Ink, Line, Page, Role, Text, at};
use crate::length::Length;

/// A millimetre (nanometres).
pub const MM: i64 = 1_000_000;

/// No letter is smaller: 9 pt.
pub const SMALLEST: i64 = 3_175_000;

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm, ISO 216.
    A4,
    /// 8 1/2 x 11 in, ANSI/ASME Y14.1 size A.
    Letter,
}

/// Paper that any printer can print on, at each edge: 1/2 in. Common practice, no published source.
pub const MARGIN: i64 = Length::INCH.nm() / 2;

/// Room for a page's title above what is on it, and for its number below.
const HEAD: i64 = 10 * MM;
const FOOT: i64 = 7 * MM;

/// Room for the bars that show true scale.
const BARS: i64 = 17 * MM;

impl Paper {
    /// Width and height (nanometres).
    pub const fn sides(self) -> (i64, i64) {
        match self {
            Paper::A4 => (210 * MM, 297 * MM),
            Paper::Letter => (215_900_000, 279_400_000),
        }
    }

    /// An empty page.
    pub fn page(self, title: &str, about: &str) -> Page {
        let (width, height) = self.sides();
        Page::new(
            Length::from_nm(width),
            Length::from_nm(height),
            title,
            about,
        )
    }

    /// What may be drawn on.
    pub const fn body(self) -> Area {
        let (width, height) = self.sides();
        Area {
            left: MARGIN,
            top: MARGIN + HEAD,
            right: width - MARGIN,
            bottom: height - MARGIN - FOOT,
        }
    }

    /// The same of a page of text, whose titles stand in it.
    pub const fn column(self) -> Area {
        Area {
            top: MARGIN,
            ..self.body()
        }
    }

    /// What may be drawn on where the bars stand below.
    pub const fn true_body(self) -> Area {
        let body = self.body();
        Area {
            bottom: body.bottom - BARS,
            ..body
        }
    }
}

/// A line of text in the plainest way.
pub fn said(x: i64, y: i64, words: &str, size: i64) -> Text {
    Text {
        at: at(x, y),
        words: words.to_owned(),
        size: Length::from_nm(size),
        face: Face::Regular,
        anchor: Anchor::Start,
        turned: false,
        ink: Ink::Black,
    }
}

/// The longest head of a text that is no wider than so much; it ends with dots where something is
/// left out.
pub fn fitted(words: &str, face: Face, size: i64, width: i64) -> String {
    let wide = |words: &str| {
        super::font::extent(face, Length::from_nm(size), &super::font::drawable(words)).width
    };
    if wide(words) <= width {
        return words.to_owned();
    }
    let mut head = words.to_owned();
    while head.pop().is_some() {
        let dotted = format!("{}...", head.trim_end());
        if wide(&dotted) <= width {
            return dotted;
        }
    }
    String::new()
}

/// Writes a page's title above what is drawn on it.
pub fn title(page: &mut Page) {
    let width = page.width.nm();
    let title = fitted(&page.title, Face::Bold, 5 * MM, width - 2 * MARGIN);
    let from = page.marks.len();
    page.text(Text {
        face: Face::Bold,
        ..said(MARGIN, MARGIN + 4 * MM, &title, 5 * MM)
    });
    page.tag(Role::Heading(2), from);
    let y = MARGIN + 6 * MM + MM / 2;
    page.line(at(MARGIN, y), at(width - MARGIN, y), Line::Thin);
}

/// Writes below each page the document's title and the page's number.
pub fn number(document: &str, pages: &mut [Page]) {
    let all = pages.len();
    for (n, page) in pages.iter_mut().enumerate() {
        let (width, height) = (page.width.nm(), page.height.nm());
        let foot = height - MARGIN - MM;
        let number = format!("page {} of {all}", n + 1);
        page.text(Text {
            anchor: Anchor::End,
            ..said(width - MARGIN, foot, &number, SMALLEST)
        });
        let room = width - 2 * MARGIN - 40 * MM;
        let name = fitted(document, Face::Regular, SMALLEST, room);
        page.text(Text {
            ink: Ink::Dark,
            ..said(MARGIN, foot, &name, SMALLEST)
        });
    }
}

/// The bars that show whether a page was printed at true scale: 100 mm and 4 in.
pub fn bars(page: &mut Page, paper: Paper) {
    let body = paper.body();
    let top = body.bottom - BARS + 5 * MM;
    let words =
        "Print at 100 %, not fitted to the page. Then these bars are true, by your own ruler:";
    page.text(Text {
        face: Face::Bold,
        ..said(body.left, top, words, 3_200_000)
    });
    for (n, length) in [MILLIMETRES, INCHES].into_iter().enumerate() {
        bar(
            page,
            length,
            (body.left, top + 3 * MM + 5 * MM * n as i64),
            false,
        );
    }
}

/// The same beside something at true scale: one upright, one level where that has room, so that both
/// directions are tested; tells what room is left.
pub fn true_bars(page: &mut Page, room: Area) -> Area {
    let Area {
        left,
        right,
        bottom,
        ..
    } = room;
    bar(page, MILLIMETRES, (left + 2 * MM, bottom - 2 * MM), true);
    let inner = left + 10 * MM;
    match right - inner >= INCHES.1 * INCHES.2 + 12 * MM {
        true => {
            bar(page, INCHES, (inner, bottom - 3 * MM), false);
            Area {
                left: inner,
                bottom: bottom - 8 * MM,
                ..room
            }
        }
        false => {
            bar(page, INCHES, (left + 12 * MM, bottom - 2 * MM), true);
            Area {
                left: left + 20 * MM,
                ..room
            }
        }
    }
}

/// What a bar is called, one of its steps, and how many it has.
const MILLIMETRES: (&str, i64, i64) = ("100 mm", 10 * MM, 10);
const INCHES: (&str, i64, i64) = ("4 in", Length::INCH.nm(), 4);

/// A bar from a place to the right, or up.
fn bar(page: &mut Page, (name, step, steps): (&str, i64, i64), (x, y): (i64, i64), upright: bool) {
    let point = |along: i64, off: i64| match upright {
        false => at(x + along, y + off),
        true => at(x + off, y - along),
    };
    let long = step * steps;
    let named = format!("bar {name}");
    page.named_path(&named, &[point(0, 0), point(long, 0)], Line::Edge);
    for tick in 0..=steps {
        let ends = tick == 0 || tick == steps;
        let half = if ends { 1_600_000 } else { 900_000 };
        let ends = [point(tick * step, -half), point(tick * step, half)];
        page.line(ends[0], ends[1], Line::Thin);
    }
    page.text(match upright {
        false => said(x + long + 2 * MM, y + MM, name, 3_200_000),
        true => Text {
            turned: true,
            ..said(x + 5 * MM, y - 2 * MM, name, 3_200_000)
        },
    });
}
