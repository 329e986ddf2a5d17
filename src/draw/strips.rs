//! Texts set as strips, a line or a row of a table each, which hang together where no page may be turned
//! between them.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Role, Stroke, Tagged, Text, at};
use super::paper::{MM, said};
use crate::length::Length;
use crate::report::handout::said::spelled;
use crate::report::handout::{Block, Bullet, Table};

/// Height of the font of plain text, and from line to line: 12 pt.
pub const SIZE: i64 = 4_233_000;
pub const LINE: i64 = 5_000_000;
/// The same in tables: 11 pt.
pub const CELL: i64 = 3_880_000;
const ROW: i64 = 4_800_000;
/// Of captions.
pub const SMALL: i64 = 3_300_000;
pub const SMALL_LINE: i64 = 4_200_000;
/// Of a heading within a section.
const HEADING: i64 = 4_600_000;
/// A box to tick off.
const BOX: i64 = 3_200_000;
/// Between columns of a table.
const GAP: i64 = 3 * MM;
/// No row of a table is broken that is no higher.
const WHOLE: i64 = 60 * MM;

/// A line of a text, a row of a table: drawn from its own upper left corner.
pub struct Strip {
    pub page: Page,
    pub high: i64,
    /// No page is turned behind it.
    pub keep: bool,
    /// The headings of a table's columns, which stand over its rows on every page.
    pub head: Option<bool>,
}

impl Strip {
    fn new(high: i64) -> Strip {
        Strip {
            page: Page::figure("", ""),
            high,
            keep: false,
            head: Some(false),
        }
    }
}

/// What hangs together at the head of some strips.
pub fn first(strips: &[Strip]) -> i64 {
    let together = strips.iter().take_while(|it| it.keep).count() + 1;
    strips.iter().take(together).map(|it| it.high).sum()
}

/// How high some blocks are in a column (nanometres).
pub fn height(blocks: &[Block], width: i64) -> i64 {
    strips(blocks, width).iter().map(|it| it.high).sum()
}

/// Blocks set as a drawing of so much width.
pub fn column(blocks: &[Block], width: i64) -> Page {
    let mut page = Page::figure("", "");
    let mut y = 0;
    for strip in strips(blocks, width) {
        page.put(&strip.page, 0, y);
        y += strip.high;
    }
    (page.width, page.height) = (Length::from_nm(width), Length::from_nm(y));
    page
}

pub fn broken(face: Face, size: i64, words: &str, width: i64) -> Vec<String> {
    font::lines(face, Length::from_nm(size), &font::drawable(words), width)
}

/// Blocks in a column of that width.
pub fn strips(blocks: &[Block], width: i64) -> Vec<Strip> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Heading(words) => {
                if !all.is_empty() {
                    all.push(Strip::new(2 * MM));
                }
                let look = (Face::Bold, HEADING, LINE + MM / 2);
                let mut lines = text(words, (0, width), look, Role::Heading(3));
                lines.iter_mut().for_each(|it| it.keep = true);
                all.extend(lines);
            }
            Block::Text(words) => {
                let look = (Face::Regular, SIZE, LINE);
                all.extend(text(words, (0, width), look, Role::Text));
                all.push(Strip::new(MM));
            }
            Block::Label(words) => {
                let look = (Face::Bold, SMALL, SMALL_LINE);
                all.extend(text(words, (0, width), look, Role::Text));
            }
            Block::Small(words) => {
                let look = (Face::Regular, SMALL, SMALL_LINE);
                all.extend(text(words, (0, width), look, Role::Text));
            }
            Block::List(bullet, items) => {
                for words in items {
                    all.extend(item(*bullet, words, width));
                }
                all.push(Strip::new(MM / 2));
            }
            Block::Table(rows) => all.extend(table(rows, width)),
        }
    }
    all
}

/// Lines of text; neither the first nor the last of several stands alone on a page.
fn text(
    words: &str,
    (left, width): (i64, i64),
    (face, size, high): (Face, i64, i64),
    role: Role,
) -> Vec<Strip> {
    let lines = broken(face, size, words, width - left);
    let count = lines.len();
    let set = lines.iter().enumerate().map(|(n, line)| {
        let mut strip = Strip::new(high);
        let baseline = high - size / 3;
        strip.page.text(Text {
            face,
            ..said(left, baseline, line, size)
        });
        let to = strip.page.marks.len();
        strip.page.tagged.push(Tagged {
            role: role.clone(),
            from: 0,
            to,
            same: n > 0,
        });
        strip.keep = count > 1 && (n == 0 || n + 2 == count);
        strip
    });
    set.collect()
}

fn item(bullet: Bullet, words: &str, width: i64) -> Vec<Strip> {
    let indent = match bullet {
        Bullet::Tick => 6 * MM,
        Bullet::Dash => 4 * MM,
    };
    let look = (Face::Regular, SIZE, LINE);
    let mut lines = text(words, (indent, width), look, Role::Item);
    let Some(first) = lines.first_mut() else {
        return lines;
    };
    match bullet {
        Bullet::Dash => {
            let mut marked = Page::figure("", "");
            marked.text(said(0, LINE - SIZE / 3, "– ", SIZE));
            first.page.marks.splice(0..0, marked.marks);
            for tagged in &mut first.page.tagged {
                tagged.to += 1;
            }
        }
        Bullet::Tick => tick(&mut first.page, 0, LINE - SIZE / 3),
    }
    if let Some(last) = lines.last_mut() {
        last.high += MM / 2;
    }
    lines
}

fn table(table: &Table, width: i64) -> Vec<Strip> {
    // What a hand works from has no small digits.
    let mut table = table.clone();
    for row in &mut table.rows {
        for at in &table.bold {
            if let Some(cell) = row.get_mut(*at) {
                *cell = spelled(cell);
            }
        }
    }
    let table = &table;
    let indent = if table.tick { 6 * MM } else { 0 };
    let widths = columns(table, width - indent);
    let mut all = Vec::new();
    if table.head.iter().any(|head| !head.is_empty()) {
        let mut head = row(table, &table.head, &widths, indent, Face::Bold);
        let y = head.high + MM / 2;
        head.page.line(at(0, y), at(width, y), Line::Thin);
        head.high += MM;
        (head.keep, head.head) = (true, Some(true));
        all.push(head);
    }
    let count = table.rows.len();
    for (n, cells) in table.rows.iter().enumerate() {
        let set = row(table, cells, &widths, indent, Face::Regular);
        let mut set = match set.high > WHOLE {
            true => pieces(table, cells, &widths, indent),
            false => vec![set],
        };
        if let Some(first) = set.first_mut()
            && table.tick
            && !cells.iter().all(String::is_empty)
        {
            tick(&mut first.page, 0, ROW - CELL / 4);
        }
        if let Some(last) = set.last_mut() {
            let y = last.high + MM / 4;
            // What belongs together has no line between.
            let next = table.rows.get(n + 1).and_then(|row| row.first());
            let joined = table.grouped && next.is_some_and(String::is_empty);
            if !joined {
                let light = Stroke {
                    line: Line::Thin,
                    ink: Ink::Light,
                };
                last.page.line(at(0, y), at(width, y), light);
            }
            last.high += MM / 2;
            last.keep = table.grouped && joined && count < 30;
        }
        all.extend(set);
    }
    let mut end = Strip::new(2 * MM);
    end.head = None;
    all.push(end);
    all
}

/// A row that is higher than a page can be expected to be, line by line.
fn pieces(table: &Table, cells: &[String], widths: &[i64], indent: i64) -> Vec<Strip> {
    let lines: Vec<Vec<String>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| broken(Face::Regular, CELL, cell, *width))
        .collect();
    let most = lines.iter().map(Vec::len).max().unwrap_or(0);
    let line = |n: usize| -> Vec<String> {
        let each = lines.iter().map(|it| it.get(n).cloned());
        each.map(Option::unwrap_or_default).collect()
    };
    let each = (0..most).map(|n| row(table, &line(n), widths, indent, Face::Regular));
    each.collect()
}

fn row(table: &Table, cells: &[String], widths: &[i64], indent: i64, face: Face) -> Strip {
    let mut strip = Strip::new(ROW);
    let mut x = indent;
    let mut first = true;
    for (n, (cell, width)) in cells.iter().zip(widths).enumerate() {
        let lines = broken(face, CELL, cell, *width);
        let right = table.numbers.contains(&n);
        let from = strip.page.marks.len();
        for (line, words) in lines.iter().enumerate() {
            let y = ROW * (line as i64 + 1) - CELL / 4;
            let start = if right { x + width } else { x };
            let bold = face == Face::Bold || table.bold.contains(&n);
            strip.page.text(Text {
                face: if bold { Face::Bold } else { Face::Regular },
                anchor: if right { Anchor::End } else { Anchor::Start },
                ..said(start, y, words, CELL)
            });
        }
        strip.high = strip.high.max(ROW * lines.len() as i64);
        if from < strip.page.marks.len() {
            let head = face == Face::Bold;
            strip.page.tag(Role::Cell { first, head }, from);
            first = false;
        }
        if table.blanks.contains(&n) && face == Face::Regular && cell.is_empty() {
            let y = ROW - MM / 2;
            strip.page.line(at(x, y), at(x + width, y), Line::Thin);
        }
        x += width + GAP;
    }
    strip
}

/// A box to tick off, on a line of text.
fn tick(page: &mut Page, left: i64, baseline: i64) {
    let box_ = Area::sized(left, baseline - BOX + MM / 3, BOX, BOX);
    page.rect("", box_, Line::Thin, None);
}

/// How wide each column is: as wide as its widest cell where there is room; those that are wider
/// than their share share what is left.
fn columns(table: &Table, width: i64) -> Vec<i64> {
    let count = table.head.len();
    let room = width - GAP * (count as i64 - 1).max(0);
    let wide =
        |face, text: &str| font::extent(face, Length::from_nm(CELL), &font::drawable(text)).width;
    let natural: Vec<i64> = (0..count)
        .map(|n| {
            let head = wide(Face::Bold, &table.head[n]);
            let face = match table.bold.contains(&n) {
                true => Face::Bold,
                false => Face::Regular,
            };
            let cells = table.rows.iter().filter_map(|row| row.get(n));
            let most = cells.map(|c| wide(face, c)).max().unwrap_or(0);
            let blank = if table.blanks.contains(&n) {
                16 * MM
            } else {
                0
            };
            head.max(most).max(blank)
        })
        .collect();
    // No word is broken where its column can be wider.
    let longest = |n: usize| -> i64 {
        let cells = table.rows.iter().filter_map(|row| row.get(n));
        let words = cells.flat_map(|cell| cell.split(' '));
        let words = words.map(|word| wide(Face::Bold, word)).max().unwrap_or(0);
        words.min(natural[n])
    };
    let mut widths = natural.clone();
    let mut open: Vec<usize> = (0..count).collect();
    let mut rest = room;
    while !open.is_empty() {
        let share = rest / open.len() as i64;
        let (fit, over): (Vec<usize>, Vec<usize>) =
            open.iter().partition(|n| natural[**n] <= share);
        if fit.is_empty() {
            // Each has room for its longest word; beyond it gets by how much it has to say, up to a whole
            // line.
            let least: i64 = over.iter().map(|n| longest(*n)).sum();
            let (spare, own) = match least <= rest {
                true => (rest - least, 1),
                false => (rest, 0),
            };
            let weight = |n: usize| (natural[n].min(room) - own * longest(n)).max(room / 20);
            let all: i64 = over.iter().map(|n| weight(*n)).sum();
            for n in over {
                let part = i128::from(spare) * i128::from(weight(n)) / i128::from(all.max(1));
                widths[n] = own * longest(n) + part as i64;
            }
            break;
        }
        for n in fit {
            rest -= natural[n];
        }
        open = over;
    }
    widths
}
