//! Papers of several designs: which piece of which leaf gets which design, and the order of pieces with
//! each design as a paper of its own.

use super::deal::{Deal, NoDeal, Puzzle, deal};
use super::sheet::{Counts, gives, of_several};
use crate::album::{Album, PartPaper};
use crate::cut::{Order, Paper, Sheets, Want};
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::openings::{Seen, Thing, seen};
use crate::supplies;
use std::collections::BTreeMap;

/// The most pieces of one paper that are dealt out.
const MOST_PIECES: usize = 400;

/// One piece that gets a design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What it is, and its kind of leaf: `back_mat`, `shore`; empty for a part of the album itself.
    pub name: String,
    pub leaf: String,
    /// Which of the leaves alike, if there are several.
    pub copy: Option<i64>,
    /// Where it is seen; `None` for a part of the album itself.
    pub seen: Option<Seen>,
    width: Length,
    height: Length,
    /// Its place among the things of the deal: pieces that match are one.
    pub thing: usize,
}

/// A paper of several designs, dealt out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dealt {
    /// Place in [`supplies::Supplies::papers`].
    pub paper: usize,
    pub pieces: Vec<Piece>,
    /// Widths and heights of the kinds that a proof weighs.
    pub kinds: Vec<(Length, Length)>,
    /// `Open` too if there are too many pieces, or too many ways to cut a sheet.
    pub deal: Result<Deal, NoDeal>,
}

impl Piece {
    /// Width and height.
    pub fn size(&self) -> (Length, Length) {
        (self.width, self.height)
    }
}

impl Dealt {
    /// The design of a piece.
    pub fn design(&self, piece: &Piece) -> Option<usize> {
        self.deal.as_ref().ok()?.design.get(piece.thing).copied()
    }
}

/// Deals out every paper of several designs that the album uses; `over` is asked whether time is up.
pub fn pads(plan: &Plan, album: &Album, over: &dyn Fn() -> bool) -> Vec<Dealt> {
    let papers = album.supplies.papers.iter().enumerate();
    let several = papers.filter(|(_, paper)| !paper.designs.is_empty());
    let dealt = several.map(|(at, paper)| {
        let mut pieces = pieces(plan, album, at);
        let things = things(album, &mut pieces);
        let mut kinds: Vec<(Length, Length)> = Vec::new();
        for piece in &pieces {
            let size = (piece.width, piece.height);
            if !kinds.contains(&size) {
                kinds.push(size);
            }
        }
        let deal = puzzle(album, paper, &pieces, &kinds, things)
            .ok_or(NoDeal::Open)
            .and_then(|puzzle| deal(&puzzle, over));
        Dealt {
            paper: at,
            pieces,
            kinds,
            deal,
        }
    });
    dealt.filter(|dealt| !dealt.pieces.is_empty()).collect()
}

/// Pieces that are cut from this paper alone, in the order of the pages.
fn pieces(plan: &Plan, album: &Album, paper: usize) -> Vec<Piece> {
    let mut all = Vec::new();
    let only = |papers: &PartPaper| *papers == PartPaper::Papers(vec![paper]);
    for it in seen(plan) {
        let (Some(leaf), Some(said)) = (plan.leaves.get(it.leaf), album.leaves.get(it.leaf)) else {
            continue;
        };
        let (name, width, height) = match it.thing {
            Thing::Part(at) => {
                let Some(part) = leaf.parts.get(at) else {
                    continue;
                };
                let mut parts = said.parts.iter();
                if !parts.any(|(name, papers)| *name == part.label && only(papers)) {
                    continue;
                }
                (&part.label, &part.width, &part.height)
            }
            Thing::Insert(at) => {
                let (Some(insert), Some(said)) = (leaf.inserts.get(at), said.inserts.get(at))
                else {
                    continue;
                };
                if said.card.is_some() || said.papers != [paper] {
                    continue;
                }
                (&insert.name, &insert.width, &insert.height)
            }
        };
        all.push(Piece {
            name: name.clone(),
            leaf: leaf.name.clone(),
            copy: (leaf.count > 1).then_some(it.copy),
            seen: Some(it),
            width: width.value.most(),
            height: height.value.most(),
            thing: 0,
        });
    }
    for part in &plan.parts {
        let mut own = album.own.parts.iter();
        if own.any(|(name, papers)| *name == part.label && only(papers)) {
            let piece = |_| Piece {
                name: part.label.clone(),
                leaf: String::new(),
                copy: None,
                seen: None,
                width: part.width.value.most(),
                height: part.height.value.most(),
                thing: 0,
            };
            all.extend((0..part.count).map(piece));
        }
    }
    all
}

/// Tells pieces which thing they are: those that match on one leaf are one. How many things there are.
fn things(album: &Album, pieces: &mut [Piece]) -> usize {
    let mut known: BTreeMap<(usize, i64, usize), usize> = BTreeMap::new();
    let mut next = 0;
    for piece in pieces {
        let group = piece.seen.as_ref().and_then(|seen| {
            let mut groups = album.leaves.get(seen.leaf)?.alike.iter();
            let group = groups.position(|group| group.contains(&piece.name))?;
            Some((seen.leaf, seen.copy, group))
        });
        let own = next;
        piece.thing = group.map_or(own, |group| *known.entry(group).or_insert(own));
        next += usize::from(piece.thing == own);
    }
    next
}

fn puzzle(
    album: &Album,
    paper: &supplies::Paper,
    pieces: &[Piece],
    kinds: &[(Length, Length)],
    things: usize,
) -> Option<Puzzle> {
    if pieces.len() > MOST_PIECES {
        return None;
    }
    let kind = |piece: &Piece| {
        kinds
            .iter()
            .position(|it| *it == (piece.width, piece.height))
    };
    let mut need = vec![vec![0; kinds.len()]; things];
    let mut most: Counts = vec![0; kinds.len()];
    for piece in pieces {
        let kind = kind(piece)?;
        need[piece.thing][kind] += 1;
        most[kind] += 1;
    }
    let sides: Vec<(i64, i64)> = kinds.iter().map(|(w, h)| (w.nm(), h.nm())).collect();
    let sheet = (paper.width.least().nm(), paper.height.least().nm());
    let one = gives(sheet, &sides, !paper.directed, &most)?;
    let many = i64::try_from(pieces.len()).ok()?;
    let of = |design: &supplies::Design| {
        // Without a number there is no end of them: one a piece is always enough.
        let sheets = design.sheets.or(paper.sheets).unwrap_or(many);
        of_several(&one, sheets.min(many), &most)
    };
    let gives: Option<Vec<Vec<Counts>>> = paper.designs.iter().map(of).collect();
    let apart = |piece: &Piece| {
        let seen = piece.seen.as_ref()?;
        Some((seen.opening, album.leaves.get(seen.leaf)?.apart))
    };
    let mut unlike = Vec::new();
    for (n, a) in pieces.iter().enumerate() {
        for b in &pieces[..n] {
            let Some(((at, near), (other, far))) = apart(a).zip(apart(b)) else {
                continue;
            };
            let two = (a.thing.min(b.thing), a.thing.max(b.thing));
            if (at - other).abs() <= near.max(far) && two.0 != two.1 && !unlike.contains(&two) {
                unlike.push(two);
            }
        }
    }
    Some(Puzzle {
        things: need,
        gives: gives?,
        unlike,
    })
}

/// The same order with each design as a paper of its own, as far as papers were dealt out.
pub fn split(order: &mut Order, plan: &Plan, album: &Album, pads: &[Dealt]) {
    for dealt in pads.iter().filter(|dealt| dealt.deal.is_ok()) {
        let Some(paper) = album.supplies.papers.get(dealt.paper) else {
            continue;
        };
        let Some(at) = order.papers.iter().position(|it| it.name == paper.name) else {
            continue;
        };
        let first = order.papers.len();
        for design in &paper.designs {
            let whole = Sheets {
                count: design
                    .sheets
                    .or(paper.sheets)
                    .and_then(|n| u64::try_from(n).ok()),
                ..order.papers[at].sheets[0].clone()
            };
            order.papers.push(Paper {
                name: named(paper, design),
                directed: paper.directed,
                sheets: vec![whole],
            });
        }
        let single = plan.leaves.len() == 1;
        let mut wants = Vec::new();
        for want in std::mem::take(&mut order.wants) {
            let same = |piece: &&Piece| {
                let leaf = if single { "" } else { piece.leaf.as_str() };
                piece.name.replace('_', " ") == want.name && leaf == want.leaf
            };
            let own = dealt.pieces.iter().filter(same);
            let designs: Vec<usize> = own.filter_map(|piece| dealt.design(piece)).collect();
            if want.papers != [at] || designs.len() as u64 != want.count {
                wants.push(want);
                continue;
            }
            for design in 0..paper.designs.len() {
                let count = designs.iter().filter(|it| **it == design).count() as u64;
                if count > 0 {
                    wants.push(Want {
                        count,
                        papers: vec![first + design],
                        ..want.clone()
                    });
                }
            }
        }
        order.wants = wants;
    }
}

/// A design as a paper: `garden pad, fern`.
pub fn named(paper: &supplies::Paper, design: &supplies::Design) -> String {
    format!("{}, {}", paper.name, design.name)
}
