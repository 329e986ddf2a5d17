//! The words of a printed handout: what an album is, what to cut and to buy, what to do in which
//! order, what faces what, the rules in short. Blocks of text, set by `draw` on pages and as HTML.
//!
//! `lists` is what to cut and to buy, `sheets` how the sheets are cut, `steps` the order of work, `openings` the map of the album,
//! `said` the small words that these share.

pub mod framed;
pub mod legend;
pub mod lists;
pub mod openings;
pub mod said;
pub mod sheets;
pub mod steps;

use super::words::{capital, spaced, unbroken};
use super::{cautions, facts, fit, phrase, place, rules};
use crate::album::Album;
use crate::cut::Answer;
use crate::plan::Plan;
use said::{about, length, lengths, sized};

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
    List(Bullet, Vec<String>),
    Table(Table),
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
}

/// A part of the handout with a title of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    pub title: String,
    pub blocks: Vec<Block>,
}

/// The heading of what the album is; what must be read before it stands above.
pub const ABOUT: &str = "The album";

/// What the album is, how to use the printout, and the cautions.
pub fn overview(plan: &Plan) -> Section {
    let ruler = plan.ruler;
    let mut blocks = vec![Block::Text(
        crate::report::verdict(plan.certainty).to_owned(),
    )];
    for name in &plan.unlimited {
        blocks.push(Block::Text(format!(
            "Nothing limits {name}: what is shown of it is no size to cut. Give it in the album."
        )));
    }
    let unkept = fit::unkept(plan);
    if !unkept.is_empty() {
        blocks.push(Block::Heading(fit::UNKEPT.to_owned()));
        let said = unkept.into_iter().map(|wish| wish.sentence);
        blocks.push(Block::List(Bullet::Dash, said.collect()));
    }
    let mut what = Vec::new();
    for leaf in &plan.leaves {
        let turned = match leaf.turned {
            true => format!(
                "; a cover, turned over, its plain {} outside",
                place::side(plan, leaf, false)
            ),
            false => String::new(),
        };
        what.push(format!(
            "{}: {} of {}, {}{turned}.",
            capital(&leaf.name),
            place::count(plan, leaf.count),
            leaf.bag,
            sized(ruler, leaf.width, leaf.height),
        ));
    }
    what.extend(super::holes::sentences(plan).iter().map(|said| {
        let said = phrase::print(ruler, said);
        format!(
            "Holes, the same in every {}: {said}.",
            place::titles(plan)[0]
        )
    }));
    match &plan.ring {
        Some(ring) => what.push(format!(
            "Rings: {}, {} inside; a stack of {} at the holes.",
            ring.name,
            length(ruler, ring.inside),
            about(ruler, plan.stack_at_holes)
        )),
        None if plan.takes_rings => what.push(format!(
            "No ring is named; the stack at the holes is {} thick.",
            about(ruler, plan.stack_at_holes)
        )),
        None => {}
    }
    let photos: Vec<String> = facts::photos(plan)
        .iter()
        .map(|p| format!("{} of {}", p.count, sized(ruler, p.width, p.height)))
        .collect();
    if !photos.is_empty() {
        what.push(format!("Photos: {}.", lengths(&photos)));
    }
    if let Some(closed) = plan.closed {
        what.push(format!(
            "Closed: {} wide, {} high, {} thick.",
            ruler.about(closed.width),
            ruler.about(closed.height),
            ruler.about(closed.thickness)
        ));
    }
    blocks.push(Block::Heading(ABOUT.to_owned()));
    blocks.push(Block::List(Bullet::Dash, what));
    blocks.push(Block::Heading("Words".to_owned()));
    let words = plan
        .words
        .as_ref()
        .map_or(String::new(), |it| format!("{it} "));
    blocks.push(Block::Text(format!(
        "{words}Sizes are width x height, as the album stands."
    )));
    blocks.push(Block::Heading("Take care".to_owned()));
    let care = cautions::of(plan).map(|c| c.full.to_owned()).collect();
    blocks.push(Block::List(Bullet::Dash, care));
    tidy(Section {
        title: "The album at a glance".to_owned(),
        blocks,
    })
}

/// What is on which pages: title, first and last page.
pub fn contents(parts: &[(String, usize, usize)]) -> Vec<Block> {
    let lines = parts.iter().map(|(title, from, to)| match from == to {
        true => format!("page {from}: {title}"),
        false => format!("pages {from} to {to}: {title}"),
    });
    vec![
        Block::Heading("In this printout".to_owned()),
        Block::List(Bullet::Dash, lines.collect()),
    ]
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
            capital(&spaced(&rule.because)),
            rule.steps_left.map_or("-".to_owned(), |n| n.to_string()),
        ]);
    }
    let table = Table {
        head: ["Rule", "Tightest at", "There", "Steps left"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        numbers: vec![3],
        ..Table::default()
    };
    tidy(Section {
        title: "The rules, for the curious".to_owned(),
        blocks: vec![
            Block::Text(
                "Steps left: how many ruler steps a rule could still give; 0 is tight. A wish is kept where it can be."
                    .to_owned(),
            ),
            Block::Table(table),
        ],
    })
}

/// Everything that is text.
pub struct Texts {
    /// In the order of work, before the drawings.
    pub before: Vec<Section>,
    /// The map of the album, where it is not drawn.
    pub map: Section,
    pub after: Vec<Section>,
}

/// Everything that is text. `answer` is how the sheets are cut, where that is known.
pub fn texts(album: &Album, plan: &Plan, answer: Option<Answer<'_>>) -> Texts {
    let mut before = vec![
        overview(plan),
        lists::shopping(album, plan, answer),
        lists::cutting(album, plan),
    ];
    before.extend(steps::steps(album, plan));
    Texts {
        before,
        map: openings::section(plan),
        after: vec![book(plan)],
    }
}

/// Lengths are kept on one line wherever they stand.
pub(super) fn tidy(mut section: Section) -> Section {
    let mend = |text: &mut String| *text = unbroken(&said::typographic(text));
    for block in &mut section.blocks {
        match block {
            Block::Heading(text) | Block::Text(text) => mend(text),
            Block::List(_, items) => items.iter_mut().for_each(mend),
            Block::Table(table) => table.rows.iter_mut().flatten().for_each(mend),
        }
    }
    section
}
