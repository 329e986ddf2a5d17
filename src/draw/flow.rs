//! Text in blocks, set on pages from above to below; a page that is full is followed by another.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use crate::length::Length;
use crate::report::handout::{Block, Bullet, Section, Table};

/// Height of the font of plain text, and from line to line.
const SIZE: i64 = 3_500_000;
const LINE: i64 = 4_900_000;
/// The same in tables.
const CELL: i64 = 3_200_000;
const ROW: i64 = 4_300_000;
/// A box to tick off.
const BOX: i64 = 3_000_000;
/// Between columns.
const GAP: i64 = 3 * MM;

/// Pages that are being filled.
pub struct Flow {
    paper: Paper,
    title: String,
    about: String,
    pages: Vec<Page>,
    /// Where the next block begins.
    y: i64,
}

/// A section of text on pages of its own.
pub fn pages(paper: Paper, section: &Section) -> Vec<Page> {
    let mut flow = Flow::new(paper, &section.title, &section.title);
    for block in &section.blocks {
        flow.block(block);
    }
    flow.done()
}

impl Flow {
    /// Begins an empty page; further ones have the same title and the same words for who cannot see.
    pub fn new(paper: Paper, title: &str, about: &str) -> Flow {
        let mut flow = Flow {
            paper,
            title: title.to_owned(),
            about: about.to_owned(),
            pages: Vec::new(),
            y: 0,
        };
        flow.turn();
        flow
    }

    /// Goes on below a drawing that ends at `y`.
    pub fn after(paper: Paper, page: Page, y: i64) -> Flow {
        Flow {
            paper,
            title: page.title.clone(),
            about: page.about.clone(),
            pages: vec![page],
            y,
        }
    }

    /// Whether more than one page was needed.
    pub fn several(&self) -> bool {
        self.pages.len() > 1
    }

    /// Where the next block begins (nanometres from the page's upper edge).
    pub fn y(&self) -> i64 {
        self.y
    }

    /// The pages.
    pub fn done(self) -> Vec<Page> {
        self.pages
    }

    fn turn(&mut self) {
        let title = match self.pages.is_empty() {
            true => self.title.clone(),
            false => format!("{}, continued", self.title),
        };
        self.pages.push(self.paper.page(&title, &self.about));
        self.y = self.paper.body().top;
    }

    fn page(&mut self) -> &mut Page {
        if self.pages.is_empty() {
            self.turn();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    fn left(&self) -> i64 {
        self.paper.body().bottom - self.y
    }

    /// Whether nothing stands on the page yet.
    fn fresh(&self) -> bool {
        self.y == self.paper.body().top
    }

    /// Turns the page where so much does not fit below.
    fn need(&mut self, height: i64) {
        if height > self.left() && !self.fresh() {
            self.turn();
        }
    }

    /// One block.
    pub fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(words) => self.heading(words),
            Block::Text(words) => {
                let left = self.paper.body().left;
                self.paragraph(words, left);
                self.y += MM;
            }
            Block::List(bullet, items) => {
                for item in items {
                    self.item(*bullet, item);
                }
                self.y += MM;
            }
            Block::Table(table) => self.table(table),
        }
    }

    fn heading(&mut self, words: &str) {
        let body = self.paper.body();
        let size = 4 * MM;
        let lines = font::lines(
            Face::Bold,
            Length::from_nm(size),
            &font::drawable(words),
            body.width(),
        );
        // Not alone at the foot of a page.
        self.need((lines.len() as i64 + 3) * LINE + 3 * MM);
        if !self.fresh() {
            self.y += 2 * MM;
        }
        for line in lines {
            self.y += LINE;
            let text = Text {
                face: Face::Bold,
                ..said(body.left, self.y - MM, &line, size)
            };
            self.page().text(text);
        }
        self.y += MM;
    }

    /// Lines of text; at least two of them together at the foot of a page.
    fn paragraph(&mut self, words: &str, left: i64) {
        let width = self.paper.body().right - left;
        let size = Length::from_nm(SIZE);
        let lines = font::lines(Face::Regular, size, &font::drawable(words), width);
        self.need(LINE * (lines.len() as i64).min(2));
        for line in lines {
            self.need(LINE);
            self.y += LINE;
            let text = said(left, self.y - 1_200_000, &line, SIZE);
            self.page().text(text);
        }
    }

    fn item(&mut self, bullet: Bullet, words: &str) {
        let body = self.paper.body();
        let indent = match bullet {
            Bullet::Tick => 6 * MM,
            Bullet::Dash => 4 * MM,
        };
        let size = Length::from_nm(SIZE);
        let all = font::lines(
            Face::Regular,
            size,
            &font::drawable(words),
            body.width() - indent,
        );
        self.need(LINE * (all.len() as i64).min(2));
        let y = self.y + LINE - 1_200_000;
        match bullet {
            Bullet::Dash => self.page().text(said(body.left, y, "–", SIZE)),
            Bullet::Tick => tick(self.page(), body.left, y),
        }
        self.paragraph(words, body.left + indent);
        self.y += MM / 2;
    }

    fn table(&mut self, table: &Table) {
        let body = self.paper.body();
        let indent = if table.tick { 6 * MM } else { 0 };
        let widths = columns(table, body.width() - indent);
        let rows: Vec<Vec<Vec<String>>> = table
            .rows
            .iter()
            .map(|row| {
                let cells = row.iter().zip(&widths);
                cells
                    .map(|(cell, width)| set(Face::Regular, cell, *width))
                    .collect()
            })
            .collect();
        let head: Vec<Vec<String>> = table
            .head
            .iter()
            .zip(&widths)
            .map(|(cell, width)| set(Face::Bold, cell, *width))
            .collect();
        let tall = |row: &[Vec<String>]| row.iter().map(Vec::len).max().unwrap_or(0).max(1) as i64;
        let first = rows.first().map_or(0, |row| tall(row)) * ROW;
        self.need(tall(&head) * ROW + first.min(8 * ROW) + 4 * MM);
        self.head(table, &head, &widths, indent);
        for row in &rows {
            let lines = tall(row);
            let whole = lines * ROW + MM + MM / 2;
            if whole > self.left() && whole < body.height() / 2 {
                self.turn();
                self.head(table, &head, &widths, indent);
            }
            let mut from = 0;
            while from < lines {
                let fit = ((self.left() - 2 * MM) / ROW).min(lines - from);
                if fit < 1 {
                    self.turn();
                    self.head(table, &head, &widths, indent);
                    continue;
                }
                let part: Vec<&[String]> = row
                    .iter()
                    .map(|cell| slice(cell, from as usize, (from + fit) as usize))
                    .collect();
                if table.tick && from == 0 {
                    let y = self.y + ROW - MM;
                    tick(self.page(), body.left, y);
                }
                self.cells(table, &part, &widths, indent, Face::Regular);
                from += fit;
            }
            self.y += MM;
            let y = self.y;
            let light = Stroke {
                line: Line::Thin,
                ink: Ink::Light,
            };
            self.page().line(at(body.left, y), at(body.right, y), light);
            self.y += MM / 2;
        }
        self.y += 2 * MM;
    }

    fn head(&mut self, table: &Table, head: &[Vec<String>], widths: &[i64], indent: i64) {
        if table.head.iter().all(String::is_empty) {
            return;
        }
        let body = self.paper.body();
        let part: Vec<&[String]> = head.iter().map(Vec::as_slice).collect();
        self.cells(table, &part, widths, indent, Face::Bold);
        self.y += MM;
        let y = self.y;
        self.page()
            .line(at(body.left, y), at(body.right, y), Line::Thin);
        self.y += MM / 2;
    }

    fn cells(&mut self, table: &Table, row: &[&[String]], widths: &[i64], indent: i64, face: Face) {
        let mut x = self.paper.body().left + indent;
        let top = self.y;
        let mut most = 1;
        for (n, (cell, width)) in row.iter().zip(widths).enumerate() {
            let right = table.numbers.contains(&n);
            for (line, words) in cell.iter().enumerate() {
                let y = top + ROW * (line as i64 + 1) - MM;
                let start = if right { x + width } else { x };
                let text = Text {
                    face,
                    anchor: if right { Anchor::End } else { Anchor::Start },
                    ..said(start, y, words, CELL)
                };
                self.page().text(text);
            }
            most = most.max(cell.len() as i64);
            if table.blanks.contains(&n) && face == Face::Regular {
                let y = top + ROW;
                let from = at(x, y);
                let to = at(x + width, y);
                self.page().line(from, to, Line::Thin);
            }
            x += width + GAP;
        }
        self.y = top + most * ROW;
    }
}

fn slice(cell: &[String], from: usize, to: usize) -> &[String] {
    cell.get(from..to.min(cell.len())).unwrap_or(&[])
}

fn set(face: Face, cell: &str, width: i64) -> Vec<String> {
    font::lines(face, Length::from_nm(CELL), &font::drawable(cell), width)
}

/// A box to tick off, on a line of text.
fn tick(page: &mut Page, left: i64, baseline: i64) {
    let box_ = Area::sized(left, baseline - BOX + MM / 3, BOX, BOX);
    page.rect("", box_, Some(Line::Thin.into()), None);
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
            let cells = table.rows.iter().filter_map(|row| row.get(n));
            let most = cells.map(|c| wide(Face::Regular, c)).max().unwrap_or(0);
            let blank = if table.blanks.contains(&n) {
                35 * MM
            } else {
                0
            };
            head.max(most).max(blank)
        })
        .collect();
    let mut widths = natural.clone();
    let mut open: Vec<usize> = (0..count).collect();
    let mut rest = room;
    while !open.is_empty() {
        let share = rest / open.len() as i64;
        let (fit, over): (Vec<usize>, Vec<usize>) =
            open.iter().partition(|n| natural[**n] <= share);
        if fit.is_empty() {
            // Each gets by how much it has to say, up to a whole line.
            let weight = |n: usize| natural[n].min(room).max(room / 5);
            let all: i64 = over.iter().map(|n| weight(*n)).sum();
            for n in over {
                widths[n] =
                    (i128::from(rest) * i128::from(weight(n)) / i128::from(all.max(1))) as i64;
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

/// A heading and sentences in a column of a page that is drawn already; tells where they end. What
/// does not fit is left out.
pub fn column(page: &mut Page, column: Area, top: i64, heading: &str, sentences: &[String]) -> i64 {
    let mut y = top;
    if !heading.is_empty() {
        y += LINE;
        let text = Text {
            face: Face::Bold,
            ..said(column.left, y - MM, heading, 4 * MM)
        };
        page.text(text);
        y += MM;
    }
    for sentence in sentences {
        let words = font::drawable(sentence);
        let lines = font::lines(Face::Regular, Length::from_nm(SIZE), &words, column.width());
        if y + LINE * lines.len() as i64 > column.bottom {
            return y;
        }
        for line in lines {
            y += LINE;
            page.text(said(column.left, y - 1_200_000, &line, SIZE));
        }
        y += MM + MM / 2;
    }
    y
}
