//! The words of a printed handout: what an album is, what to cut and to buy, what to do in which
//! order, what faces what, the rules in short. Blocks of text, set by `draw` on pages and as HTML.
//!
//! `front` is what stands first, `lists` what to cut and to buy, `sheets` how the sheets are cut, `sides`
//! what is said of a drawing, `steps` the order of work, `openings` the map of the album, `said` the small
//! words that these share, `kit` the pages of a class.

pub mod front;
pub mod kit;
pub mod lists;
pub mod openings;
pub mod said;
pub mod sheets;
pub mod sides;
pub mod steps;

use super::words::{capital, headed, strong, table, unbroken, wrapped};
use super::{phrase, rules};
use crate::plan::Plan;

/// How the lines of a list begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bullet {
    /// A box to tick off.
    Tick,
    Dash,
}

/// One thing in a text that is read from above to below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    Heading(String),
    Text(String),
    /// Under a picture: what it is, in bold, and what is said of it.
    Label(String),
    Small(String),
    List(Bullet, Vec<String>),
    Table(Table),
}

impl Block {
    pub fn text(said: impl Into<String>) -> Block {
        Block::Text(said.into())
    }

    /// A list, each line with a dash.
    pub fn dashes(lines: Vec<String>) -> Block {
        Block::List(Bullet::Dash, lines)
    }
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    pub head: Vec<String>,
    pub rows: Vec<Vec<String>>,
    /// Columns of numbers.
    pub numbers: Vec<usize>,
    /// Each row begins with a box to tick off.
    pub tick: bool,
    /// Columns that are left empty, to be written in.
    pub blanks: Vec<usize>,
    /// Columns that a hand works from.
    pub bold: Vec<usize>,
    /// A row whose first cell is empty belongs to the row above it.
    pub grouped: bool,
}

impl Table {
    /// A plain one.
    pub fn new(head: &[&str], rows: Vec<Vec<String>>) -> Table {
        Table {
            head: head.iter().map(|it| (*it).to_owned()).collect(),
            rows,
            ..Table::default()
        }
    }
}

/// A part of the handout with a title of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    pub title: String,
    pub blocks: Vec<Block>,
}

impl Section {
    pub fn new(title: impl Into<String>, blocks: Vec<Block>) -> Section {
        Section {
            title: title.into(),
            blocks,
        }
    }

    /// It says nothing.
    pub fn is_empty(&self) -> bool {
        self.blocks.iter().all(|block| match block {
            Block::List(_, items) => items.is_empty(),
            Block::Table(table) => table.rows.is_empty(),
            _ => false,
        })
    }

    /// For a screen. What stands before any title is the answer: in bold, at the margin.
    pub fn screen(&self) -> String {
        if self.blocks.is_empty() {
            return String::new();
        }
        let (head, indent) = match self.title.as_str() {
            "" => (String::new(), ""),
            title => (headed(title), "  "),
        };
        let block = |block: &Block| match block {
            Block::Heading(said) | Block::Label(said) => format!("{indent}{}\n", strong(said)),
            Block::Text(said) if indent.is_empty() => {
                format!("{}\n", strong(wrapped(said, "", "").trim_end()))
            }
            Block::Text(said) | Block::Small(said) => wrapped(said, indent, indent),
            Block::List(_, items) => {
                let items = items.iter().map(|item| wrapped(item, "  ", "    "));
                items.collect()
            }
            Block::Table(all) => {
                let heads: Vec<&str> = all.head.iter().map(String::as_str).collect();
                table(&heads, &all.rows, &all.numbers, "  ")
            }
        };
        head + &self.blocks.iter().map(block).collect::<String>()
    }
}

/// Sections for a screen, below a title.
pub(super) fn on_screen(title: &str, sections: &[Section]) -> String {
    let all = sections.iter().map(Section::screen);
    format!("{}\n{}", strong(title), all.collect::<String>())
}

/// The rules with their numbers where each is tightest, one line a rule, tight ones first.
pub fn book(plan: &Plan) -> Section {
    // One line a rule: where it is tightest. A wish that is kept for one leaf and not for another
    // has two.
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut told: Vec<(&str, bool)> = Vec::new();
    for rule in rules::ordered(plan) {
        if told.contains(&(&rule.name, rule.kept)) {
            continue;
        }
        told.push((&rule.name, rule.kept));
        let wish = match (rule.wish, rule.kept) {
            (true, true) => " (wish)",
            (true, false) => " (wish, not kept)",
            _ => "",
        };
        rows.push(vec![
            format!("{}{wish}", capital(&rule.name)),
            rule.of.replace('_', " "),
            capital(&phrase::printed(plan.ruler, &rule.because)),
            rule.steps_left.map_or("-".to_owned(), |n| n.to_string()),
        ]);
    }
    let table = Table {
        numbers: vec![3],
        ..Table::new(&["Rule", "Tightest at", "There", "Steps left"], rows)
    };
    let said = "Steps left: how many ruler steps a rule could still give; 0 is tight. A wish is kept where it can be.";
    let blocks = vec![Block::text(said), Block::Table(table)];
    tidy(Section::new("The rules, for the curious", blocks))
}

/// Blocks without a title, tidied.
pub(super) fn tidied(blocks: Vec<Block>) -> Vec<Block> {
    tidy(Section::new("", blocks)).blocks
}

/// Lengths are kept on one line wherever they stand.
pub(super) fn tidy(mut section: Section) -> Section {
    let mend = |text: &mut String| *text = unbroken(text);
    for block in &mut section.blocks {
        match block {
            Block::Heading(text) | Block::Text(text) | Block::Label(text) | Block::Small(text) => {
                mend(text)
            }
            Block::List(_, items) => items.iter_mut().for_each(mend),
            Block::Table(table) => table.rows.iter_mut().flatten().for_each(mend),
        }
    }
    section
}
