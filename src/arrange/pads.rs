//! Papers of several designs: which piece of which leaf gets which design, and the order of pieces with
//! each design as a paper of its own.

pub use super::answer::{Beyond, Dealt, Piece};
use super::deal::{Deal, NoDeal, Puzzle, deal};
use super::sheet::{Counts, both, gives, of_several};
use super::verify;
use crate::album::PartPaper;
use crate::cut::pieces::Made;
use crate::cut::{self, Order, Sheets, Trimmer};
use crate::length::Length;
use crate::plan::openings::{Thing, seen};
use crate::plan::{Designed, Plan};
use crate::supplies;
use std::collections::{BTreeMap, BTreeSet};

/// The most pieces of one paper that are dealt out.
const MOST_PIECES: usize = 400;

/// Deals out every paper of several designs that albums use, all their copies together; the copies of an
/// album are alike. `over` is asked whether time is up.
pub fn pads(all: &[Made<'_>], over: &dyn Fn() -> bool) -> Vec<Dealt> {
    let papers = all
        .first()
        .map_or(&[][..], |made| &made.album.supplies.papers);
    let several = papers.iter().enumerate();
    let several = several.filter(|(_, paper)| !paper.designs.is_empty());
    let dealt = several.map(|(at, paper)| {
        let each = all.iter().enumerate();
        let mut pieces: Vec<Piece> = each.flat_map(|(n, made)| pieces(n, made, at)).collect();
        let things = things(all, &mut pieces);
        let mut kinds: Vec<(Length, Length)> = Vec::new();
        for piece in &pieces {
            if !kinds.contains(&piece.size()) {
                kinds.push(piece.size());
            }
        }
        let asked = Asked::of(all, (at, paper), &pieces, &kinds, things);
        let home = match &asked {
            Some(asked) => asked.deal(0, over),
            None => Err(NoDeal::Open),
        };
        let beyond = match (&home, &asked) {
            (Err(why), Some(asked)) => asked.beyond(why, over),
            _ => None,
        };
        let mut dealt = Dealt {
            paper: at,
            pieces,
            kinds,
            deal: home,
            beyond,
        };
        if verify::designs(all, &dealt).is_err() {
            dealt.deal = Err(NoDeal::Refused);
            dealt.beyond = None;
        }
        // The proof by weights is shown only if it holds without the code that found it.
        if let Err(NoDeal::TooFew { weights }) = &dealt.deal {
            let weights = weights.clone();
            let weights = weights.filter(|it| verify::too_few(all, &dealt, it));
            dealt.deal = Err(NoDeal::TooFew { weights });
        }
        dealt
    });
    dealt.filter(|dealt| !dealt.pieces.is_empty()).collect()
}

/// Pieces that are cut from this paper alone, in the order of the pages.
fn pieces(n: usize, Made { plan, album, .. }: &Made<'_>, paper: usize) -> Vec<Piece> {
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
            album: n,
            leaf_at: Some(it.leaf),
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
                album: n,
                leaf_at: None,
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
fn things(all: &[Made<'_>], pieces: &mut [Piece]) -> usize {
    let mut known: BTreeMap<(usize, usize, i64, usize), usize> = BTreeMap::new();
    let mut next = 0;
    for piece in pieces {
        let group = piece.seen.as_ref().and_then(|seen| {
            let mut groups = all[piece.album].album.leaves.get(seen.leaf)?.alike.iter();
            let group = groups.position(|group| group.contains(&piece.name))?;
            Some((piece.album, seen.leaf, seen.copy, group))
        });
        let own = next;
        piece.thing = group.map_or(own, |group| *known.entry(group).or_insert(own));
        next += usize::from(piece.thing == own);
    }
    next
}

/// A question, but for the numbers of sheets.
struct Asked<'p> {
    paper: &'p supplies::Paper,
    things: Vec<Counts>,
    unlike: Vec<(usize, usize)>,
    /// What one sheet gives; `None` if there are too many ways to cut it.
    one: Option<Vec<Counts>>,
    /// Of each design, what its offcuts give.
    offcuts: Vec<Vec<Counts>>,
    /// All that is needed of each kind, and how many pieces that is.
    most: Counts,
    many: i64,
}

impl<'p> Asked<'p> {
    fn of(
        all: &[Made<'_>],
        (at, paper): (usize, &'p supplies::Paper),
        pieces: &[Piece],
        kinds: &[(Length, Length)],
        things: usize,
    ) -> Option<Asked<'p>> {
        if pieces.len() > MOST_PIECES {
            return None;
        }
        let mut need = vec![vec![0_u32; kinds.len()]; things];
        let mut most: Counts = vec![0; kinds.len()];
        for piece in pieces {
            let kind = kinds.iter().position(|it| *it == piece.size())?;
            let sets = u32::try_from(all[piece.album].sets).ok()?;
            need[piece.thing][kind] = need[piece.thing][kind].checked_add(sets)?;
            most[kind] = most[kind].checked_add(sets)?;
        }
        let sides: Vec<(i64, i64)> = kinds.iter().map(|(w, h)| (w.nm(), h.nm())).collect();
        let sheet = (paper.width.least().nm(), paper.height.least().nm());
        let supplies = all.first().map(|made| &made.album.supplies)?;
        let designs = (0..paper.designs.len()).map(|design| {
            let own = supplies.offcuts.iter().filter(|it| {
                let paper = it.paper.and_then(|at| supplies.papers.get(at)?.design_of);
                paper == Some((at, design))
            });
            let mut sum = vec![vec![0; kinds.len()]];
            for it in own {
                let size = (it.width.least().nm(), it.height.least().nm());
                let one = gives(size, &sides, !paper.directed, &most)?;
                sum = both(&sum, &of_several(&one, it.count, &most)?, &most)?;
            }
            Some(sum)
        });
        let apart = |piece: &Piece| {
            let seen = piece.seen.as_ref()?;
            let leaf = all[piece.album].album.leaves.get(seen.leaf)?;
            Some((piece.album, seen.opening, leaf.apart))
        };
        let mut unlike = BTreeSet::new();
        for (n, a) in pieces.iter().enumerate() {
            for b in &pieces[..n] {
                let Some(((one, at, near), (two, other, far))) = apart(a).zip(apart(b)) else {
                    continue;
                };
                if one == two && (at - other).abs() <= near.max(far) && a.thing != b.thing {
                    unlike.insert((a.thing.min(b.thing), a.thing.max(b.thing)));
                }
            }
        }
        Some(Asked {
            paper,
            things: need,
            unlike: unlike.into_iter().collect(),
            one: gives(sheet, &sides, !paper.directed, &most),
            offcuts: designs.collect::<Option<_>>()?,
            many: most.iter().map(|n| i64::from(*n)).sum(),
            most,
        })
    }

    /// With so many sheets of each design beside those at home.
    fn deal(&self, more: i64, over: &dyn Fn() -> bool) -> Result<Deal, NoDeal> {
        let one = self.one.as_ref().ok_or(NoDeal::Open)?;
        let of = |(design, offcuts): (&supplies::Design, &Vec<Counts>)| {
            let sheets = design.sheets.or(self.paper.sheets);
            // One sheet a piece is always enough.
            let sheets = sheets.map(|home| home.saturating_add(more));
            match sheets.filter(|sheets| *sheets < self.many) {
                Some(sheets) => both(&of_several(one, sheets, &self.most)?, offcuts, &self.most),
                None => Some(vec![self.endless(one)]),
            }
        };
        let designs = self.paper.designs.iter().zip(&self.offcuts);
        let gives: Option<Vec<Vec<Counts>>> = designs.map(of).collect();
        self.with(gives.ok_or(NoDeal::Open)?, over)
    }

    fn with(&self, gives: Vec<Vec<Counts>>, over: &dyn Fn() -> bool) -> Result<Deal, NoDeal> {
        let puzzle = Puzzle {
            things: self.things.clone(),
            gives,
            unlike: self.unlike.clone(),
        };
        deal(&puzzle, over)
    }

    /// All of each kind that fits a sheet.
    fn endless(&self, one: &[Counts]) -> Counts {
        let fits = |kind: usize| one.iter().any(|counts| counts[kind] > 0);
        let each = self.most.iter().enumerate();
        each.map(|(kind, n)| if fits(kind) { *n } else { 0 })
            .collect()
    }

    /// With the fewest sheets more; without a number, and with as many as are wanted, if there are too
    /// many ways to cut them.
    fn beyond(&self, why: &NoDeal, over: &dyn Fn() -> bool) -> Option<Beyond> {
        if *why == NoDeal::Open {
            return self.uncounted(over);
        }
        // More sheets never give less: doubled until they are enough, then halved.
        let (mut few, mut more) = (0, 1);
        let mut found = loop {
            match self.deal(more, over) {
                Ok(deal) => break deal,
                Err(NoDeal::TooFew { .. }) if more <= self.many => {
                    (few, more) = (more, more.saturating_mul(2));
                }
                Err(NoDeal::TooFew { .. }) => return None,
                Err(_) => return self.uncounted(over),
            }
        };
        while more - few > 1 {
            let middle = few + (more - few) / 2;
            match self.deal(middle, over) {
                Ok(deal) => (more, found) = (middle, deal),
                Err(_) => few = middle,
            }
        }
        let more = Some(more);
        Some(Beyond { more, deal: found })
    }

    fn uncounted(&self, over: &dyn Fn() -> bool) -> Option<Beyond> {
        let all = match &self.one {
            Some(one) => self.endless(one),
            None => self.most.clone(),
        };
        let gives = vec![vec![all]; self.paper.designs.len()];
        let deal = self.with(gives, over).ok()?;
        Some(Beyond { more: None, deal })
    }
}

/// Everything that is cut of albums, with the pieces of each design from that design's sheets. The supplies
/// have a paper for each design ([`supplies::Supplies::by_design`]).
pub fn order(all: &[Made<'_>], sheets: Vec<Sheets>, trimmer: Trimmer, pads: &[Dealt]) -> Order {
    let shares = |album: usize, leaf: Option<usize>, name: &str| {
        let mut shares: BTreeMap<usize, u64> = BTreeMap::new();
        for dealt in pads {
            let papers = all.get(album).map(|made| &made.album.supplies);
            let papers = papers.map_or(Vec::new(), |it| it.designs_of(dealt.paper).collect());
            let same =
                |it: &&Piece| (it.album, it.leaf_at, it.name.as_str()) == (album, leaf, name);
            for piece in dealt.pieces.iter().filter(same) {
                let design = dealt.design(piece);
                if let Some(paper) = design.and_then(|design| papers.get(design)) {
                    *shares.entry(*paper).or_default() += 1;
                }
            }
        }
        shares.into_iter().collect()
    };
    cut::pieces::dealt(all, sheets, trimmer, &shares)
}

/// The design of each piece, written into the plan of an album, for whoever reads off it.
pub fn write(pads: &[Dealt], album: usize, supplies: &supplies::Supplies, plan: &mut Plan) {
    for dealt in pads {
        let designs = supplies.papers.get(dealt.paper).map(|it| &it.designs);
        for piece in dealt.pieces.iter().filter(|piece| piece.album == album) {
            let design = dealt.design(piece).zip(designs);
            let design = design.and_then(|(at, all)| Some(all.get(at)?.name.clone()));
            plan.designs.extend(design.map(|design| Designed {
                leaf: piece.leaf_at,
                copy: piece.seen.map_or(1, |seen| seen.copy),
                page: piece.seen.map(|seen| (seen.opening, seen.right)),
                name: piece.name.clone(),
                design,
            }));
        }
    }
}
