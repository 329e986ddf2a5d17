//! What pictures of many bags share: their page, and words on it.
//!
//! May import what `draw` may.

use super::font::{self, Face};
use super::list::{Anchor, Ink, Page, Text};
use super::paper::said;
use crate::length::Length;

const MM: i64 = 1_000_000;
pub(super) const WIDTH: i64 = 210 * MM;
pub(super) const MARGIN: i64 = 10 * MM;
pub(super) const SMALL: i64 = 2_800_000;
pub(super) const LARGE: i64 = 4_600_000;
pub(super) const LEADING: i64 = 4 * MM;

/// A white page of so much height (nanometres) with its title and what it is about.
pub(super) fn page(title: &str, about: &str, height: i64) -> Page {
    let nm = Length::from_nm;
    let mut page = Page::new(nm(WIDTH), nm(height), title, about);
    page.fill(page.area(), Ink::White);
    let (bold, start) = (Face::Bold, Anchor::Start);
    say(
        &mut page,
        MARGIN,
        MARGIN + 5 * MM,
        title,
        LARGE,
        bold,
        start,
    );
    lines(&mut page, MARGIN + 10 * MM, &broken(about));
    page
}

/// A text in lines of the page's width.
pub(super) fn broken(text: &str) -> Vec<String> {
    let size = Length::from_nm(SMALL);
    font::lines(Face::Regular, size, text, WIDTH - 2 * MARGIN)
}

/// Lines of small words, from the first baseline down.
pub(super) fn lines(page: &mut Page, top: i64, lines: &[String]) {
    for (n, line) in lines.iter().enumerate() {
        let y = top + LEADING * n as i64;
        say(page, MARGIN, y, line, SMALL, Face::Regular, Anchor::Start);
    }
}

/// Black words, level.
pub(super) fn say(
    page: &mut Page,
    x: i64,
    y: i64,
    words: &str,
    size: i64,
    face: Face,
    anchor: Anchor,
) {
    page.text(Text {
        face,
        anchor,
        ..said(x, y, words, size)
    });
}
