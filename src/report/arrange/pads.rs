//! Which design of a pad stands where, opening by opening, and what is cut from each.

use crate::album::Album;
use crate::arrange::deal::{Deal, NoDeal};
use crate::arrange::pads::{Dealt, Piece};
use crate::cut::pieces::Made;
use crate::plan::Plan;
use crate::plan::openings::Thing;
use crate::report::handout::openings::page;
use crate::report::handout::{Block, Section};
use crate::report::json::list;
use crate::report::place;
use crate::report::words::{capital, count, listed, plain};
use crate::supplies::Paper;
use crate::text::summed;
use serde_json::{Value, json};

/// The pieces of one of the albums whose pads are dealt out together.
fn own(dealt: &Dealt, at: usize) -> impl Iterator<Item = &Piece> {
    dealt.pieces.iter().filter(move |piece| piece.album == at)
}

/// The answer for every pad of an album.
pub fn sections(plan: &Plan, album: &Album, (at, pads): (usize, &[Dealt])) -> Vec<Section> {
    let mut all = Vec::new();
    for dealt in pads.iter().filter(|dealt| own(dealt, at).next().is_some()) {
        let Some(paper) = album.supplies.papers.get(dealt.paper) else {
            continue;
        };
        let name = capital(&paper.name);
        match &dealt.deal {
            Ok(deal) => {
                let said = Block::Text(verdict(dealt, deal));
                let blocks = vec![said, Block::dashes(openings((dealt, at), paper, plan))];
                all.push(Section::new(
                    format!("{name}: which design goes where"),
                    blocks,
                ));
                let blocks = vec![Block::dashes(cut((dealt, at), paper))];
                all.push(Section::new(
                    format!("{name}: cut from each design"),
                    blocks,
                ));
            }
            Err(why) => {
                let mut blocks = vec![Block::Text(why_not(plan, dealt, why))];
                if dealt.beyond.is_some() {
                    blocks.push(Block::dashes(openings((dealt, at), paper, plan)));
                }
                let title = match dealt.beyond {
                    Some(_) => "with more sheets",
                    None => "no plan",
                };
                all.push(Section::new(format!("{name}: {title}"), blocks));
            }
        }
        let bare = bare((dealt, at), paper);
        if !bare.is_empty() {
            let said = "Their design is printed on one side, so they show a bare back when they are pulled out. Line them, or give their paper `sides = 2` if it is printed on both.";
            let blocks = vec![Block::text(said), Block::dashes(bare)];
            all.push(Section::new(format!("{name}: bare backs"), blocks));
        }
    }
    all
}

/// Things to pull out of which the design has one printed side.
fn bare((dealt, at): (&Dealt, usize), paper: &Paper) -> Vec<String> {
    let line = |piece: &Piece| {
        let loose = matches!(piece.seen?.thing, Thing::Insert(_));
        let design = paper.designs.get(dealt.design(piece)?)?;
        let one = design.sides.or(paper.sides) == Some(1);
        let (leaf, name) = (capital(&leaf(piece)), plain(&piece.name));
        (loose && one).then(|| format!("{leaf}: {name} {}.", design.name))
    };
    own(dealt, at).filter_map(line).collect()
}

/// What there is to know of the designs where something is cut or bought, a line a pad.
pub fn notes(all: &[Made<'_>], pads: &[Dealt]) -> Vec<String> {
    let copies = all.iter().any(|made| made.sets > 1);
    let note = |dealt: &Dealt| {
        let paper = all.first()?.album.supplies.papers.get(dealt.paper)?;
        let mut said = format!("{}: each piece is of one design", capital(&paper.name));
        said.push_str(match (copies, &dealt.deal) {
            (_, Err(_)) if dealt.beyond.is_none() => {
                ", but no way was found to deal them out, so any design may be cut for any piece."
            }
            (true, _) => {
                ", the same in every copy. `tuckwright arrange` with the same copies shows which."
            }
            (false, _) => ". `tuckwright arrange` shows which.",
        });
        if let Err(NoDeal::TooFew { .. }) = dealt.deal {
            said.push_str(" The sheets at home are not enough.");
        }
        Some(said)
    };
    pads.iter().filter_map(note).collect()
}

/// The same as a part of an answer.
pub fn section(notes: &[String]) -> Section {
    let blocks = match notes {
        [] => Vec::new(),
        notes => vec![Block::dashes(notes.to_vec())],
    };
    Section::new("Designs", blocks)
}

/// How many sheets are missing, if the sheets at home are not enough.
fn short(dealt: &Dealt) -> Option<String> {
    let Err(NoDeal::TooFew { .. }) = dealt.deal else {
        return None;
    };
    let more = dealt.beyond.as_ref()?.more?;
    let sheets = count(more, "sheet", "sheets");
    Some(format!("With {sheets} more of each design there is a way."))
}

fn verdict(dealt: &Dealt, deal: &Deal) -> String {
    let pieces = count(dealt.pieces.len(), "piece", "pieces");
    let uses = match (deal.least, deal.most) {
        (least, most) if least == most => format!("each design is used {}", times(most)),
        (0, most) => format!("no design is used more than {}", times(most)),
        (least, most) => format!("each design is used {least} to {} times", most),
    };
    let alike = match deal.alike {
        0 => "No two that touch or face each other are alike".to_owned(),
        1 => "One pair that touches or faces each other is alike".to_owned(),
        many => format!("{many} pairs that touch or face each other are alike"),
    };
    let proved = match deal.proved {
        true => "No other way is better (proved).",
        false => "This is the best found; a better way may be possible.",
    };
    format!("{pieces}. {alike}, and {uses}. {proved}")
}

fn times(n: usize) -> String {
    match n {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        n => format!("{n} times"),
    }
}

fn design<'p>(dealt: &Dealt, paper: &'p Paper, piece: &Piece) -> &'p str {
    let at = dealt.design(piece);
    at.and_then(|at| paper.designs.get(at))
        .map_or("", |design| &design.name)
}

/// `page 3`, as an opening shows it.
fn leaf(piece: &Piece) -> String {
    let copy = piece.copy.map_or(String::new(), |n| format!(" {n}"));
    format!("{}{copy}", plain(&piece.leaf))
}

/// Pages of one opening, with what is said of each.
type Pages = Vec<(String, Vec<String>)>;

/// One line an opening, or a leaf where none is bound.
fn openings((dealt, at): (&Dealt, usize), paper: &Paper, plan: &Plan) -> Vec<String> {
    let opens = place::opens(plan);
    let mut lines: Vec<(String, Pages)> = Vec::new();
    for piece in own(dealt, at) {
        let (opening, page) = match &piece.seen {
            None => ("The album itself".to_owned(), String::new()),
            Some(_) if !opens => (capital(&leaf(piece)), String::new()),
            Some(seen) => {
                let (opening, side) = page(plan, seen.opening, seen.right);
                let side = if side.is_empty() {
                    ""
                } else {
                    &format!("{side}, ")
                };
                (opening, format!("{side}{}", leaf(piece)))
            }
        };
        let said = format!("{} {}", plain(&piece.name), design(dealt, paper, piece));
        if lines.last().is_none_or(|(known, _)| *known != opening) {
            lines.push((opening, Vec::new()));
        }
        if let Some((_, pages)) = lines.last_mut() {
            match pages.last_mut() {
                Some((known, all)) if *known == page => all.push(said),
                _ => pages.push((page, vec![said])),
            }
        }
    }
    let line = |(opening, pages): (String, Pages)| {
        let page = |(page, all): (String, Vec<String>)| match page.is_empty() {
            true => listed(&all),
            false => format!("{page}: {}", listed(&all)),
        };
        let pages: Vec<String> = pages.into_iter().map(page).collect();
        format!("{opening}: {}.", pages.join("; "))
    };
    lines.into_iter().map(line).collect()
}

/// One line a design.
fn cut((dealt, album): (&Dealt, usize), paper: &Paper) -> Vec<String> {
    let each = paper.designs.iter().enumerate().filter_map(|(at, design)| {
        let own = own(dealt, album).filter(|piece| dealt.design(piece) == Some(at));
        let name = |piece: &Piece| format!("{} {}", plain(&piece.leaf), plain(&piece.name));
        let kinds: Vec<String> = summed(own.map(|piece| (name(piece), 1)))
            .iter()
            .map(|(name, n)| format!("{n} {}", name.trim()))
            .collect();
        let sheets = design
            .sheets
            .or(paper.sheets)
            .map(|n| count(n, "sheet", "sheets"));
        let sheets = sheets.map_or(String::new(), |sheets| format!(" ({sheets} at hand)"));
        (!kinds.is_empty())
            .then(|| format!("{}{sheets}: {}.", capital(&design.name), listed(&kinds)))
    });
    each.collect()
}

fn why_not(plan: &Plan, dealt: &Dealt, why: &NoDeal) -> String {
    let weighed = match why {
        NoDeal::Open | NoDeal::Refused => {
            return "Undecided: there are too many pieces or too many ways to cut them. Divide the album, or name a design as a paper of its own for some of the pieces.".to_owned();
        }
        NoDeal::TooFew { weights } => weights.as_deref().unwrap_or_default(),
    };
    let kinds = dealt
        .kinds
        .iter()
        .zip(weighed)
        .filter(|(_, weight)| **weight > 0);
    let kinds = kinds.map(|((width, height), _)| {
        let named = dealt
            .pieces
            .iter()
            .find(|piece| piece.size() == (*width, *height));
        let name = named.map_or(String::new(), |piece| format!("{}, ", plain(&piece.name)));
        format!("{name}{}", plan.ruler.show_size(*width, *height))
    });
    let kinds: Vec<String> = kinds.collect();
    let short = match kinds.as_slice() {
        [] => String::new(),
        [one] => format!(" All sheets together give too few of one size: {one}."),
        _ => format!(
            " All sheets together give too few of these sizes: {}.",
            kinds.join("; ")
        ),
    };
    let more = self::short(dealt).map_or(String::new(), |more| format!(" {more}"));
    format!(
        "The sheets at hand are not enough, as each piece is of one design (proved).{short}{more}"
    )
}

/// Every pad of an album, for other programs.
pub fn json(album: &Album, (at, pads): (usize, &[Dealt])) -> Value {
    let each = pads.iter().filter_map(|dealt| {
        let paper = album.supplies.papers.get(dealt.paper)?;
        let deal = dealt.deal.as_ref().ok();
        let deal = deal.or(dealt.beyond.as_ref().map(|it| &it.deal));
        let piece = |piece: &Piece| {
            let seen = piece.seen.as_ref();
            json!({
                "leaf": piece.leaf,
                "copy": piece.copy,
                "name": piece.name,
                "opening": seen.map(|seen| seen.opening),
                "right": seen.map(|seen| seen.right),
                "design": design(dealt, paper, piece),
            })
        };
        let verdict = match &dealt.deal {
            Ok(deal) if deal.proved => "proved best",
            Ok(_) => "best found",
            Err(NoDeal::TooFew { .. }) => "impossible",
            Err(NoDeal::Open | NoDeal::Refused) => "undecided",
        };
        Some(json!({
            "paper": paper.name,
            "verdict": verdict,
            "alike": deal.map(|deal| deal.alike),
            "most_used": deal.map(|deal| deal.most),
            "least_used": deal.map(|deal| deal.least),
            "pieces": list(own(dealt, at).filter(|_| deal.is_some()), piece),
        }))
    });
    each.collect()
}
