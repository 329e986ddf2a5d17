//! The cutting plans of an album: each way of cutting a sheet as a drawing, with how far the fence is
//! set beside it.

use super::font::{self, Face};
use super::list::{Anchor, Ink, Line, Page, Text, at};
use super::paper::{MM, SMALLEST, said};
use super::sheets::{RADIUS, Scale, figure};
use super::strips::CELL;
use crate::cut::Answer;
use crate::length::{Length, Ruler};
use crate::report::handout::sheets::{Numbered, numbered, row, title};

/// The column of settings.
const COLUMN: i64 = 27 * MM;
const ROW: i64 = 5_600_000;

/// Every way of cutting a sheet, paper by paper, each sheet's longer side so long (nanometres).
pub fn figures(ruler: Ruler, answer: Answer<'_>, longest: i64) -> Vec<Page> {
    let all = numbered(answer);
    let each = all.iter().map(|one| draw(ruler, answer, one, longest));
    each.collect()
}

fn draw(ruler: Ruler, answer: Answer<'_>, one: &Numbered<'_>, longest: i64) -> Page {
    let order = answer.order;
    let paper = &order.papers[one.plan.paper];
    let from = &paper.sheets[one.sheet.stock];
    let heading = title(ruler, order, one);
    let rows: Vec<(String, String)> = one.sheet.steps.iter().map(|it| row(ruler, it)).collect();
    let told = rows.iter().enumerate();
    let told = told.map(|(n, (setting, strips))| format!("{}: {setting} {strips}", n + 1));
    let told: Vec<String> = told.collect();
    let about = format!("{heading}. Settings of the fence: {}.", told.join("; "));
    let mut page = Page::figure(&heading, &about);
    let scale = Scale::new(from.width, from.height, longest, (0, 0));
    let whole = scale.area(Length::ZERO, Length::ZERO, from.width, from.height);
    let unnamed = figure(&mut page, ruler, order, one.plan, &one.sheet, scale);
    let left = whole.right.max(50 * MM) + 6 * MM;
    let mut y = whole.top + RADIUS;
    for (n, (setting, strips)) in rows.iter().enumerate() {
        let x = left + RADIUS;
        page.circle("", at(x, y), RADIUS, Line::Thin, Some(Ink::White));
        let drop = |face, size| font::capital(face, Length::from_nm(size)) / 2;
        page.text(Text {
            face: Face::Bold,
            anchor: Anchor::Middle,
            ..said(
                x,
                y + drop(Face::Bold, SMALLEST),
                &(n + 1).to_string(),
                SMALLEST,
            )
        });
        let number = Text {
            face: Face::Bold,
            ..said(
                left + 2 * RADIUS + 2 * MM,
                y + drop(Face::Bold, CELL),
                setting,
                CELL,
            )
        };
        let x = number.area().right + 2 * MM;
        page.text(number);
        let room = (left + COLUMN - x).max(12 * MM);
        let size = Length::from_nm(3_300_000);
        let lines = font::lines(Face::Regular, size, &font::drawable(strips), room);
        for (n, line) in lines.iter().enumerate() {
            if n > 0 {
                y += 4_400_000;
            }
            page.text(said(x, y + drop(Face::Bold, CELL), line, 3_300_000));
        }
        y += ROW;
    }
    // What has no room for its name on the sheet.
    let size = Length::from_nm(SMALLEST);
    for said in &unnamed {
        for line in font::lines(Face::Regular, size, &font::drawable(said), COLUMN + 6 * MM) {
            page.text(super::paper::said(left, y, &line, SMALLEST));
            y += 4_000_000;
        }
    }
    // What is seen of a whole sheet that is not cut.
    if rows.is_empty() {
        page.text(said(left, whole.top + 4 * MM, "not cut", 3_300_000));
    }
    super::view::titled(page, &heading)
}
