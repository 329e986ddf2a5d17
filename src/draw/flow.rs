//! Texts and drawings set on pages from above to below; a page that is full is followed by another.
//!
//! A text is set as strips, a line or a row of a table each, which hang together where no page may be
//! turned between them. Drawings stand in rows, or with words beside them.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Role, Stroke, Tagged, Text, at};
use super::paper::{MM, Paper, said};
use crate::length::Length;
use crate::report::handout::said::spelled;
use crate::report::handout::{Block, Bullet, Table};

/// Height of the font of plain text, and from line to line: 12 pt.
pub const SIZE: i64 = 4_233_000;
const LINE: i64 = 5_000_000;
/// The same in tables: 11 pt.
pub const CELL: i64 = 3_880_000;
const ROW: i64 = 4_800_000;
/// Of captions.
const SMALL: i64 = 3_300_000;
const SMALL_LINE: i64 = 4_200_000;
/// Of a section's heading, and of one within it.
const SECTION: i64 = 5_600_000;
const HEADING: i64 = 4_600_000;
/// A box to tick off.
const BOX: i64 = 3_200_000;
/// Between columns of a table, and between things beside each other.
const GAP: i64 = 3 * MM;
pub const BETWEEN: i64 = 5 * MM;
/// No row of a table is broken that is no higher.
const WHOLE: i64 = 60 * MM;

/// One thing on its way down the pages.
#[derive(Clone, Debug)]
pub enum Item {
    Block(Block),
    /// Drawings, as many beside each other as there is room for.
    Row(Vec<Page>),
    /// A drawing, and what is said of it at its right.
    Beside(Page, Vec<Block>),
    /// Texts in columns.
    Columns(Vec<Vec<Block>>),
    /// Whatever follows stands on a page of its own.
    Turn,
}

impl Item {
    /// Its drawings, if it is a row of them.
    pub fn row(&self) -> Option<&Vec<Page>> {
        match self {
            Item::Row(figures) => Some(figures),
            _ => None,
        }
    }
}

/// A part with a title.
#[derive(Clone, Debug, Default)]
pub struct Set {
    pub title: String,
    pub items: Vec<Item>,
    /// It may change places with its neighbours that may, too, where a page is filled so.
    pub moves: bool,
    /// Its drawings may stand beside the template instead.
    pub beside: bool,
    /// What a maker calls it, in the list of contents.
    pub part: &'static str,
    /// Those of its items that may stand beside the template instead.
    pub of_template: Vec<Vec<Block>>,
}

impl Set {
    /// Leaves out what stands elsewhere, and says so below its title.
    pub fn without(&mut self, moved: &[Vec<Block>]) {
        let mut titles = Vec::new();
        let mut at = None;
        let mut items = Vec::new();
        for item in std::mem::take(&mut self.items) {
            match &item {
                Item::Beside(_, blocks) if moved.contains(blocks) => {
                    at.get_or_insert(items.len());
                    titles.extend(blocks.iter().find_map(|block| match block {
                        Block::Heading(title) => Some(title.clone()),
                        _ => None,
                    }));
                }
                _ => items.push(item),
            }
        }
        if let Some(at) = at.filter(|_| !self.title.is_empty()) {
            let said = format!("On the page with the template: {}.", titles.join("; "));
            items.insert(at, Item::Block(Block::Text(said)));
        }
        self.items = items;
    }
}

/// A line of a text, a row of a table: drawn from its own upper left corner.
struct Strip {
    page: Page,
    high: i64,
    /// No page is turned behind it.
    keep: bool,
    /// The headings of a table's columns, which stand over its rows on every page.
    head: Option<bool>,
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

/// Pages that are being filled.
pub struct Flow {
    paper: Paper,
    body: Area,
    pages: Vec<Page>,
    /// The titles on each page.
    titles: Vec<Vec<String>>,
    /// Where each part begins.
    pub begins: Vec<(&'static str, usize)>,
    /// The section that is being set.
    section: String,
    /// Where the next thing begins.
    y: i64,
    /// Where the contents stand on the first page.
    pub contents_at: Option<(i64, i64)>,
}

/// Where each part begins, on one line at a place of a page; each leads there.
pub fn contents(page: &mut Page, (left, y): (i64, i64), begins: &[(&str, usize)]) {
    let mut x = left;
    let right = page.width.nm() - left;
    for (n, (part, at)) in begins.iter().enumerate() {
        let before = if n == 0 { "On page " } else { "; on page " };
        let text = said(x, y, &format!("{before}{}: {part}", at + 1), SMALL);
        let area = text.area();
        if area.right > right {
            return;
        }
        let from = page.marks.len();
        page.text(text);
        page.tag(Role::Text, from);
        page.links.push((area, *at));
        x = area.right;
    }
}

impl Flow {
    /// No page yet.
    pub fn new(paper: Paper) -> Flow {
        Flow {
            paper,
            body: paper.column(),
            pages: Vec::new(),
            titles: Vec::new(),
            begins: Vec::new(),
            section: String::new(),
            y: i64::MAX / 2,
            contents_at: None,
        }
    }

    /// The pages; each is called by what begins on it.
    pub fn done(mut self) -> Vec<Page> {
        for (page, titles) in self.pages.iter_mut().zip(&self.titles) {
            page.title = titles.join("; ");
            page.about = format!("{}.", page.title);
        }
        self.pages
    }

    fn turn(&mut self) {
        self.pages.push(self.paper.page("", ""));
        let title = match self.section.is_empty() {
            true => Vec::new(),
            false => vec![format!("{}, continued", self.section)],
        };
        self.titles.push(title);
        self.y = self.body.top;
    }

    fn page(&mut self) -> &mut Page {
        if self.pages.is_empty() {
            self.turn();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    fn left(&self) -> i64 {
        self.body.bottom - self.y
    }

    /// Whether nothing stands on the page yet.
    fn fresh(&self) -> bool {
        self.y == self.body.top
    }

    /// Turns the page where so much does not fit below.
    fn need(&mut self, height: i64) {
        if height > self.left() && !self.fresh() {
            self.turn();
        }
    }

    /// A title that stands above everything, with words under it.
    pub fn opening(&mut self, title: &str, under: &str) {
        self.turn();
        let (body, width) = (self.body, self.body.width());
        let mut y = self.y;
        let size = 8 * MM;
        let from = self.page().marks.len();
        for line in broken(Face::Bold, size, title, width) {
            y += size + 2 * MM;
            self.page().text(Text {
                face: Face::Bold,
                ..said(body.left, y - 3 * MM, &line, size)
            });
        }
        self.page().tag(Role::Heading(1), from);
        let from = self.page().marks.len();
        for line in broken(Face::Regular, SIZE, under, width) {
            y += LINE;
            self.page()
                .text(said(body.left, y - 1_400_000, &line, SIZE));
        }
        self.page().tag(Role::Text, from);
        self.y = y + MM;
        if let Some(titles) = self.titles.last_mut() {
            titles.push(title.to_owned());
        }
    }

    /// Leaves room for the contents below what stands there, see [`contents`].
    pub fn contents(&mut self) {
        self.y += SMALL_LINE;
        self.contents_at = Some((self.body.left, self.y - 2 * MM));
    }

    /// Sections in their order; of those that may change places the first that has room comes first.
    pub fn all(&mut self, sets: &[Set]) {
        let mut left: Vec<&Set> = sets.iter().collect();
        while !left.is_empty() {
            let moving = left.iter().take_while(|set| set.moves).count();
            let room = self.left();
            let fits = |set: &&Set| self.whole(set) <= room;
            let next = left[..moving].iter().position(fits).unwrap_or(0);
            let set = left.remove(next);
            self.set(set);
        }
    }

    /// How high a section of drawings is, or at least.
    fn whole(&self, set: &Set) -> i64 {
        let width = self.body.width();
        let high = |item: &Item| match item {
            Item::Block(block) => height(std::slice::from_ref(block), width),
            Item::Row(figures) => {
                let mut rest = figures.as_slice();
                let mut all = 0;
                while !rest.is_empty() {
                    let now = in_row(rest, width);
                    let tall = rest[..now].iter().map(|it| it.height.nm()).max();
                    all += tall.unwrap_or(0) + 2 * MM;
                    rest = &rest[now..];
                }
                all
            }
            _ => 0,
        };
        SECTION + 7 * MM + set.items.iter().map(high).sum::<i64>()
    }

    /// A section: its title and everything in it.
    pub fn set(&mut self, set: &Set) {
        if let Some(Item::Turn) = set.items.first() {
            self.y = i64::MAX / 2;
        }
        let items = set.items.iter().filter(|it| !matches!(it, Item::Turn));
        let items: Vec<&Item> = items.collect();
        // Words that stand before something are not left alone.
        let first = match items.as_slice() {
            [Item::Block(block), next, ..] => {
                height(std::slice::from_ref(block), self.body.width()) + self.least(next)
            }
            [first, ..] => self.least(first),
            [] => 0,
        };
        self.section.clear();
        if !set.title.is_empty() {
            self.need(SECTION + 6 * MM + first.min(self.body.height() / 2));
            if self.pages.is_empty() || self.left() < 0 {
                self.turn();
            }
            if !self.fresh() {
                self.y += 3 * MM;
            }
            let (body, y) = (self.body, self.y + SECTION);
            let from = self.page().marks.len();
            let title = super::paper::fitted(&set.title, Face::Bold, SECTION, body.width());
            self.page().text(Text {
                face: Face::Bold,
                ..said(body.left, y, &title, SECTION)
            });
            self.page().tag(Role::Heading(2), from);
            let rule = y + 2 * MM;
            self.page()
                .line(at(body.left, rule), at(body.right, rule), Line::Thin);
            self.y = rule + 2 * MM;
            if let Some(titles) = self.titles.last_mut() {
                titles.push(set.title.clone());
            }
        }
        if !set.part.is_empty() && !self.begins.iter().any(|(known, _)| *known == set.part) {
            let page = self.pages.len().saturating_sub(1);
            self.begins.push((set.part, page));
        }
        self.section.clone_from(&set.title);
        for item in items {
            self.item(item);
        }
        self.section.clear();
    }

    /// The least height that the head of a thing asks for.
    fn least(&self, item: &Item) -> i64 {
        let width = self.body.width();
        match item {
            Item::Block(block) => first(&strips(std::slice::from_ref(block), width)),
            Item::Row(figures) => figures.first().map_or(0, |it| it.height.nm()),
            Item::Beside(figure, _) => figure.height.nm(),
            Item::Columns(columns) => {
                let high = self.column_heights(columns).into_iter().max();
                high.unwrap_or(0).min(self.body.height() / 2)
            }
            Item::Turn => 0,
        }
    }

    fn item(&mut self, item: &Item) {
        let body = self.body;
        match item {
            Item::Turn => {}
            Item::Block(block) => {
                let strips = strips(std::slice::from_ref(block), body.width());
                self.strips(strips, body.left);
            }
            Item::Row(figures) => self.row(figures),
            Item::Beside(figure, blocks) => self.beside(figure, blocks),
            Item::Columns(columns) => self.columns(columns),
        }
    }

    /// Strips below each other, those that hang together on one page where that can be.
    fn strips(&mut self, strips: Vec<Strip>, left: i64) {
        let mut strips: std::collections::VecDeque<Strip> = strips.into();
        let mut head: Option<Page> = None;
        let mut head_high = 0;
        while let Some(strip) = strips.front() {
            let together = strips.iter().take_while(|it| it.keep).count() + 1;
            let high: i64 = strips.iter().take(together).map(|it| it.high).sum();
            let turned = match high <= self.body.height() {
                true => high > self.left() && !self.fresh(),
                false => strip.high > self.left() && !self.fresh(),
            };
            if turned || self.pages.is_empty() {
                self.turn();
                // Not over the headings themselves.
                if let (Some(page), Some(false)) = (&head, strip.head) {
                    let y = self.y;
                    self.page().put(page, left, y);
                    self.y += head_high;
                }
            }
            let count = if high <= self.body.height() {
                together
            } else {
                1
            };
            for strip in strips.drain(..count.min(strips.len())) {
                let y = self.y;
                self.page().put(&strip.page, left, y);
                self.y += strip.high;
                match strip.head {
                    Some(true) => (head, head_high) = (Some(strip.page), strip.high),
                    None => head = None,
                    Some(false) => {}
                }
            }
        }
    }

    fn row(&mut self, figures: &[Page]) {
        let body = self.body;
        let mut rest = figures;
        while !rest.is_empty() {
            let (now, later) = rest.split_at(in_row(rest, body.width()));
            rest = later;
            let high = now.iter().map(|it| it.height.nm()).max().unwrap_or(0);
            self.need(high);
            let all: i64 = now.iter().map(|it| it.width.nm()).sum();
            let gaps = now.len() as i64 - 1;
            let spare = (body.width() - all).max(0);
            let apart = match gaps {
                0 => 0,
                gaps => (spare / gaps).clamp(0, 4 * BETWEEN),
            };
            let (mut x, y) = (body.left, self.y);
            for figure in now {
                self.page().put_figure(figure, x, y);
                x += figure.width.nm() + apart;
            }
            self.y += high + 2 * MM;
        }
    }

    fn beside(&mut self, figure: &Page, blocks: &[Block]) {
        let body = self.body;
        let (wide, high) = (figure.width.nm(), figure.height.nm());
        let indent = if wide > 0 { wide + BETWEEN } else { 0 };
        let strips = strips(blocks, body.width() - indent);
        let text: i64 = strips.iter().map(|it| it.high).sum();
        let whole = text.max(high);
        // A long text may be broken, below its drawing.
        self.need(match whole > 70 * MM {
            true => high.max(40 * MM),
            false => whole,
        });
        if self.pages.is_empty() {
            self.turn();
        }
        let (y, page) = (self.y, self.pages.len());
        self.page().put_figure(figure, body.left, y);
        self.strips(strips, body.left + indent);
        if self.pages.len() == page {
            self.y = self.y.max(y + high);
        }
        self.y += 2 * MM;
    }

    /// How wide each of some columns is.
    fn column(&self, count: usize) -> i64 {
        let count = count.max(1) as i64;
        (self.body.width() - BETWEEN * (count - 1)) / count
    }

    fn column_heights(&self, columns: &[Vec<Block>]) -> Vec<i64> {
        let wide = self.column(columns.len());
        columns.iter().map(|it| height(it, wide)).collect()
    }

    fn columns(&mut self, columns: &[Vec<Block>]) {
        let body = self.body;
        let wide = self.column(columns.len());
        let set: Vec<Vec<Strip>> = columns.iter().map(|it| strips(it, wide)).collect();
        let tall = |strips: &Vec<Strip>| strips.iter().map(|it| it.high).sum::<i64>();
        let most = set.iter().map(tall).max().unwrap_or(0);
        if most > body.height() {
            for blocks in columns {
                self.strips(strips(blocks, body.width()), body.left);
            }
            return;
        }
        self.need(most);
        let y = self.y;
        for (n, strips) in set.into_iter().enumerate() {
            self.y = y;
            self.strips(strips, body.left + (wide + BETWEEN) * n as i64);
        }
        self.y = y + most + MM;
    }
}

/// How many drawings stand beside each other.
fn in_row(figures: &[Page], width: i64) -> usize {
    let mut wide = 0;
    let fit = figures.iter().take_while(|it| {
        let whole = wide + it.width.nm();
        wide = whole + BETWEEN;
        whole <= width
    });
    fit.count().clamp(1, figures.len().max(1))
}

/// What hangs together at the head of some strips.
fn first(strips: &[Strip]) -> i64 {
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

fn broken(face: Face, size: i64, words: &str, width: i64) -> Vec<String> {
    font::lines(face, Length::from_nm(size), &font::drawable(words), width)
}

/// Blocks in a column of that width.
fn strips(blocks: &[Block], width: i64) -> Vec<Strip> {
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
