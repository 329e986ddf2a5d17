//! Texts and drawings set on pages from above to below; a page that is full is followed by another.
//! Drawings stand in rows, or with words beside them.

use super::font::Face;
use super::list::{Area, Line, Page, Role, Text, at};
use super::paper::{MM, Paper, said};
use super::strips::{LINE, SIZE, SMALL, SMALL_LINE, Strip, broken, first, height, strips};
use crate::report::handout::Block;

/// Height of a section's heading.
const SECTION: i64 = 5_600_000;
/// Between things beside each other.
pub const BETWEEN: i64 = 5 * MM;

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
    /// A heading may stand alone with the words of its first step.
    pub lone: bool,
    /// Where the contents stand on the first page.
    pub contents_at: Option<(i64, i64)>,
}

/// Where each part begins, page by page on one line at a place of a page; each page leads there.
pub fn contents(page: &mut Page, (left, y): (i64, i64), begins: &[(&str, usize)]) {
    let mut x = left;
    let right = page.width.nm() - left;
    for (n, here) in begins.chunk_by(|a, b| a.1 == b.1).enumerate() {
        let before = if n == 0 { "On page " } else { "; on page " };
        let parts: Vec<&str> = here.iter().map(|(part, _)| *part).collect();
        let at = here.first().map_or(0, |(_, at)| *at);
        let text = said(
            x,
            y,
            &format!("{before}{}: {}", at + 1, parts.join(", ")),
            SMALL,
        );
        let area = text.area();
        if area.right > right {
            return;
        }
        let from = page.marks.len();
        page.text(text);
        page.tag(Role::Text, from);
        page.links.push((area, at));
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
            lone: false,
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
        // Words that stand before something are not left alone.
        let words = |item: &Item| match item {
            Item::Block(block) => Some(height(std::slice::from_ref(block), self.body.width())),
            Item::Beside(figure, blocks) if figure.width.nm() == 0 && !self.lone => {
                Some(height(blocks, self.body.width()) + 2 * MM)
            }
            _ => None,
        };
        let first = match set.items.as_slice() {
            [first, next, ..] => match words(first) {
                Some(high) => high + self.least(next),
                None => self.least(first),
            },
            [first] => self.least(first),
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
        for (n, item) in set.items.iter().enumerate() {
            // A heading stands with the first of what is below it.
            if let (Item::Block(Block::Heading(_)), Some(next)) = (item, set.items.get(n + 1)) {
                self.need(self.least(item) + self.least(next));
            }
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
            Item::Beside(figure, blocks) => {
                let (width, high) = (width - indent(figure), figure.height.nm());
                let text: i64 = strips(blocks, width).iter().map(|it| it.high).sum();
                together(high, text)
            }
            Item::Columns(columns) => {
                let high = self.column_heights(columns).into_iter().max();
                high.unwrap_or(0).min(self.body.height() / 2)
            }
        }
    }

    fn item(&mut self, item: &Item) {
        let body = self.body;
        match item {
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
        let (indent, high) = (indent(figure), figure.height.nm());
        let strips = strips(blocks, body.width() - indent);
        let text: i64 = strips.iter().map(|it| it.high).sum();
        self.need(together(high, text));
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

/// How far words stand in beside a drawing.
fn indent(figure: &Page) -> i64 {
    match figure.width.nm() {
        0 => 0,
        wide => wide + BETWEEN,
    }
}

/// How much of a drawing and the words beside it stays on one page: a long text may be broken, below its
/// drawing.
fn together(high: i64, text: i64) -> i64 {
    match high.max(text) {
        whole if whole > 45 * MM => high.max(26 * MM),
        whole => whole,
    }
}
