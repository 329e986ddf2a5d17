//! The smallest leaf that takes given things uncut, and which bags of the supplies do.
//!
//! Width and height of the leaf are left open and made small, one after the other: the least width
//! with its least height, then the least width of a lower leaf, and so on until none is left. That
//! is done for every way to turn the things, and every leaf that is listed was then tried as a bag of
//! that size, and again one ruler step narrower and one lower.
//!
//! What is not asked about is taken from the album: the ruler, the template, the quantities, the
//! mats of its first leaf with a place for all these things, and the gusset, bottom and pocket of that leaf's
//! bag. Measured depths of its slots are not: they belong to its own height. Thickness is that of one leaf, or
//! of as many as the album has if a place is there only then.
//!
//! May import every room up to `plan`.

use super::hand;
use super::open::{self, Sides};
use super::{Need, NeedBag, NeedLeaf};
use crate::album::{Album, Insert, Leaf, PartPaper};
use crate::length::{Interval, Length};
use crate::plan::clash;
use crate::program::expand::{Expanded, expand};
use crate::program::{ExpandError, Program, Stage, UnknownId};
use crate::scene::{BagMeasure, Lacks};
use crate::solve::{self, Limits, Verdict};
use crate::style::Style;
use crate::supplies::{Bag, Pocket};
use crate::text::{Place, Said};
use itertools::Itertools;

/// No leaf is wider or higher: 1 m.
pub const LARGEST: Length = Length::from_nm(1_000 * Length::MM.nm());
/// More kinds of things than this are refused: each may be turned.
pub const MOST_WANTS: usize = 8;

/// Things that a leaf should take, uncut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Want {
    pub place: hand::Place,
    /// How many of them, one on the other.
    pub count: i64,
    pub width: Interval,
    pub height: Interval,
}

/// Why no leaf can be looked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NeedError {
    #[error("nothing is wanted")]
    Nothing,
    #[error("more than {MOST_WANTS} kinds of things are wanted")]
    TooMany,
    #[error("numbers grow too large")]
    TooLarge,
    #[error("the style cannot be laid over such an album")]
    Expand(Vec<ExpandError>),
}

/// Finds the smallest leaves that take these things, and tries each bag of the supplies.
///
/// # Errors
/// Nothing or too much is wanted, or the style does not know what the album sets.
pub fn need(
    style: &Style,
    base: &Album,
    wants: &[Want],
    limits: &Limits,
) -> Result<Need, NeedError> {
    if wants.is_empty() {
        return Err(NeedError::Nothing);
    }
    if wants.len() > MOST_WANTS {
        return Err(NeedError::TooMany);
    }
    let turns = turns(wants);
    let like = |leaf: Option<&Leaf>, count: i64| {
        let model = leaf.map_or(0, |leaf| leaf.bag);
        let model = base.supplies.bags.get(model);
        let mut search = Search {
            style,
            base,
            wants,
            limits,
            like: leaf.cloned().unwrap_or_default(),
            count,
            bag: alike(model),
            pocket_made: false,
            papers: Vec::new(),
        };
        let room = search.make_room(&turns);
        (search, model, room)
    };
    // Of the kinds of leaf the first with a place for all; a place may hang on how many there are.
    let kinds = || base.leaves.iter();
    let single = kinds().map(|leaf| (leaf, 1));
    let all = single.chain(kinds().map(|leaf| (leaf, leaf.count)));
    let mut all = all.map(|(leaf, count)| like(Some(leaf), count));
    let (search, model, _) = all
        .find(|(_, _, room)| *room)
        .unwrap_or_else(|| like(kinds().next(), 1));
    let mut all = true;
    let mut found = Vec::new();
    for turned in &turns {
        all &= search.smallest(turned, &mut found)?;
    }
    let mut leaves = Vec::new();
    for leaf in best(found) {
        if search.is_smallest(&leaf, &turns)? {
            leaves.push(leaf);
        } else {
            all = false;
        }
    }
    let why = match leaves[..] {
        [] => search.why(&turns)?,
        _ => None,
    };
    let bags = base.supplies.bags.iter().map(|bag| search.bag(bag, &turns));
    Ok(Need {
        leaves,
        all,
        why,
        like: model.map(|bag| bag.name.clone()),
        gusset: search.bag.gusset,
        pocket_made: search.pocket_made,
        bags: bags.collect::<Result<_, _>>()?,
    })
}

/// What a wanted thing is called in errors, by its place.
pub fn called(at: usize) -> String {
    format!("thing_{}", at + 1)
}

/// Every way to turn the things, fewest turned first; what is square is not turned.
fn turns(wants: &[Want]) -> Vec<Vec<bool>> {
    let mut all = vec![Vec::new()];
    for want in wants {
        let ways = &[false, true][..1 + usize::from(want.width != want.height)];
        let longer = all.iter().cartesian_product(ways);
        let longer = longer.map(|(turned, way): (&Vec<bool>, _)| [&turned[..], &[*way]].concat());
        all = longer.collect();
    }
    all.sort_by_key(|turned| turned.iter().filter(|t| **t).count());
    all
}

/// A bag like this one, whose width and height are open.
fn alike(model: Option<&Bag>) -> Bag {
    let size = Interval::exact(LARGEST);
    let none = Bag::flat("bag".to_owned(), Place::default(), size, size);
    match model {
        None => none,
        Some(model) => Bag {
            width: size,
            height: size,
            folded: None,
            front_depth: None,
            back_depth: None,
            ..model.clone()
        },
    }
}

/// Those that no other is smaller than, least area first.
fn best(found: Vec<NeedLeaf>) -> Vec<NeedLeaf> {
    let mut kept: Vec<NeedLeaf> = Vec::new();
    for leaf in found {
        let within = |a: &NeedLeaf, b: &NeedLeaf| a.width <= b.width && a.height <= b.height;
        if !kept.iter().any(|other| within(other, &leaf)) {
            kept.retain(|other| !within(&leaf, other));
            kept.push(leaf);
        }
    }
    let area = |leaf: &NeedLeaf| i128::from(leaf.width.nm()) * i128::from(leaf.height.nm());
    kept.sort_by_key(|leaf| (area(leaf), leaf.width));
    kept
}

struct Search<'a> {
    style: &'a Style,
    base: &'a Album,
    wants: &'a [Want],
    limits: &'a Limits,
    /// The kind of leaf that it is otherwise like, and how many there are.
    like: Leaf,
    count: i64,
    bag: Bag,
    /// The bag gets a pocket for what is to go there.
    pocket_made: bool,
    /// Pieces of paper that a leaf has only where they are asked for, and that are asked for here.
    papers: Vec<String>,
}

impl Search<'_> {
    /// Finds what a leaf has to have for these things to go anywhere: pieces of paper, a pocket. Whether each
    /// of them then has a place.
    fn make_room(&mut self, turns: &[Vec<bool>]) -> bool {
        let Some(turned) = turns.first() else {
            return false;
        };
        // Each time something is added; there are no more pieces than this.
        for _ in 0..=self.style.on_leaf().len() {
            let album = self.album(self.at(LARGEST, LARGEST, Some(LARGEST)), turned);
            let errors = match expand(self.style, &album) {
                Ok(_) => return true,
                Err(errors) => errors,
            };
            let nowhere = |error: &ExpandError| matches!(error, ExpandError::Nowhere { .. });
            let room = !errors.iter().any(nowhere);
            let before = (self.pocket_made, self.papers.len());
            for error in errors {
                match error {
                    ExpandError::Nowhere {
                        missing: Lacks::Paper(part),
                        ..
                    } if !self.papers.contains(&part) => self.papers.push(part),
                    ExpandError::Nowhere {
                        missing:
                            Lacks::Measure {
                                measure: BagMeasure::PocketEdge,
                                ..
                            },
                        ..
                    } => self.pocket_made = true,
                    _ => {}
                }
            }
            if before == (self.pocket_made, self.papers.len()) {
                return room;
            }
        }
        false
    }

    /// An album of one leaf, made of this bag, with the things in it.
    fn album(&self, bag: Bag, turned: &[bool]) -> Album {
        let things = self.wants.iter().zip(turned).enumerate();
        let inserts = things.map(|(at, (want, turned))| {
            let (width, height) = match turned {
                true => (want.height, want.width),
                false => (want.width, want.height),
            };
            let (goes, section) = want.place.said();
            Insert {
                name: called(at),
                goes,
                section,
                width: Some(Said::nowhere(width)),
                height: Some(Said::nowhere(height)),
                count: want.count,
                ..Insert::default()
            }
        });
        let mut parts = self.like.parts.clone();
        parts.retain(|(name, _)| self.style.is_usual(name));
        let papers = self.papers.iter();
        parts.extend(papers.map(|name| (name.clone(), PartPaper::Any)));
        let mut supplies = self.base.supplies.clone();
        supplies.bags = vec![bag];
        Album {
            prefer: Vec::new(),
            leaves: vec![Leaf {
                name: "leaf".to_owned(),
                count: self.count,
                parts,
                inserts: inserts.collect(),
                ..Leaf::default()
            }],
            supplies,
            ..self.base.clone()
        }
    }

    /// The bag at a size, with a pocket where one is made.
    fn at(&self, width: Length, height: Length, pocket: Option<Length>) -> Bag {
        let pocket = pocket.filter(|_| self.pocket_made).map(|edge| Pocket {
            edge: Interval::exact(edge),
            depth: Some(Interval::exact(edge)),
            why: None,
            place: Place::default(),
        });
        Bag {
            width: Interval::exact(width),
            height: Interval::exact(height),
            pocket: pocket.or(self.bag.pocket.clone()),
            ..self.bag.clone()
        }
    }

    fn expand(&self, album: &Album) -> Result<Expanded, NeedError> {
        expand(self.style, album).map_err(NeedError::Expand)
    }

    /// Musts with a leaf's width and height open, or only the pocket that is made.
    fn open(
        &self,
        expanded: &Expanded,
        size: bool,
    ) -> Result<(Program, Vec<UnknownId>), NeedError> {
        let scene = &expanded.model.scene;
        let mut open: Vec<(&str, Sides)> = Vec::new();
        for &leaf in scene.leaves() {
            let Some(bag) = scene.part(leaf, "bag") else {
                continue;
            };
            let side = |side: BagMeasure| (side.name(), vec![(bag, side.name())]);
            if size {
                open.extend([side(BagMeasure::Width), side(BagMeasure::Height)]);
            }
            if self.pocket_made {
                let sides = [BagMeasure::PocketEdge, BagMeasure::PocketDepth];
                let sides = sides.map(|side| (bag, side.name()));
                open.push((BagMeasure::PocketEdge.name(), sides.to_vec()));
            }
        }
        let most = self.base.ruler.ticks_down(LARGEST);
        open::musts(expanded, &open, most).ok_or(NeedError::TooLarge)
    }

    /// Adds the smallest leaves for one way to turn the things; whether these are all.
    fn smallest(&self, turned: &[bool], found: &mut Vec<NeedLeaf>) -> Result<bool, NeedError> {
        if self.limits.is_over() {
            return Ok(false);
        }
        let album = self.album(self.at(LARGEST, LARGEST, Some(LARGEST)), turned);
        let (mut program, open) = self.open(&self.expand(&album)?, true)?;
        let [width, height, pocket @ ..] = &open[..] else {
            return Err(NeedError::TooLarge);
        };
        // A pocket's edge stands no higher than the leaf.
        for &pocket in pocket {
            let mut terms = vec![(pocket, 1), (*height, -1)];
            terms.sort_unstable();
            program.rows.push(crate::program::Row {
                terms,
                most: 0,
                guards: Vec::new(),
            });
        }
        let stages = open.iter().map(|&unknown| Stage::Best {
            name: String::new(),
            objective: vec![(unknown, -1)],
        });
        program.stages = stages.collect();
        let ruler = self.base.ruler;
        loop {
            let solution = solve::solve(&program, self.limits);
            match solution.verdict {
                Verdict::FitsBest => {}
                Verdict::Conflict(_) => return Ok(true),
                Verdict::FitsFound { .. } | Verdict::Undecided { .. } => return Ok(false),
            }
            let length = |unknown: &UnknownId| {
                let ticks = solution.values.get(unknown.0 as usize);
                ticks.and_then(|ticks| ruler.length_of(*ticks))
            };
            let (Some(wide), Some(high)) = (length(width), length(height)) else {
                return Ok(false);
            };
            found.push(NeedLeaf {
                width: wide,
                height: high,
                pocket: pocket.first().and_then(length),
                turned: turned.to_vec(),
            });
            let unknown = &mut program.unknowns[height.0 as usize];
            unknown.most = ruler.ticks_down(high) - 1;
            if unknown.most < unknown.least {
                return Ok(true);
            }
        }
    }

    /// Whether a bag takes the things, turned in one of these ways, the pocket that is made as high
    /// as need be; which way. `None` if a limit was met first.
    fn takes(
        &self,
        bag: &Bag,
        turns: &[Vec<bool>],
        made: bool,
    ) -> Result<Option<Option<Vec<bool>>>, NeedError> {
        let mut settled = true;
        for turned in turns {
            if self.limits.is_over() {
                return Ok(None);
            }
            let expanded = self.expand(&self.album(bag.clone(), turned))?;
            let program = if made {
                let (mut program, open) = self.open(&expanded, false)?;
                let most = self.base.ruler.ticks_down(bag.height.least());
                for pocket in open {
                    program.unknowns[pocket.0 as usize].most = most;
                }
                program
            } else {
                Program {
                    stages: Vec::new(),
                    first_stages: 0,
                    ..expanded.program
                }
            };
            match solve::solve(&program, self.limits).verdict {
                Verdict::FitsBest | Verdict::FitsFound { .. } => {
                    return Ok(Some(Some(turned.clone())));
                }
                Verdict::Conflict(_) => {}
                Verdict::Undecided { .. } => settled = false,
            }
        }
        Ok(settled.then_some(None))
    }

    /// Whether a bag of this size does, and neither a narrower nor a lower one, whatever is turned.
    fn is_smallest(&self, leaf: &NeedLeaf, turns: &[Vec<bool>]) -> Result<bool, NeedError> {
        let bag = self.at(leaf.width, leaf.height, leaf.pocket);
        let own = [leaf.turned.clone()];
        if !matches!(self.takes(&bag, &own, false)?, Some(Some(_))) {
            return Ok(false);
        }
        let step = self.base.ruler.step();
        for (width, height) in [
            (leaf.width.checked_sub(step), Some(leaf.height)),
            (Some(leaf.width), leaf.height.checked_sub(step)),
        ] {
            let (Some(width), Some(height)) = (width, height) else {
                continue;
            };
            if width <= Length::ZERO || height <= Length::ZERO {
                continue;
            }
            let bag = self.at(width, height, leaf.pocket);
            if self.takes(&bag, turns, self.pocket_made)? != Some(None) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// What clashes in the largest leaf.
    fn why(&self, turns: &[Vec<bool>]) -> Result<Option<clash::Clash>, NeedError> {
        let Some(turned) = turns.first() else {
            return Ok(None);
        };
        let album = self.album(self.at(LARGEST, LARGEST, Some(LARGEST)), turned);
        let expanded = self.expand(&album)?;
        let solution = solve::solve(&expanded.program, self.limits);
        Ok(match &solution.verdict {
            Verdict::Conflict(conflict) => {
                Some(clash::clash(self.style, &expanded, conflict, self.limits))
            }
            _ => None,
        })
    }

    /// Tries a bag of the supplies as it is.
    fn bag(&self, bag: &Bag, turns: &[Vec<bool>]) -> Result<NeedBag, NeedError> {
        let nowhere = |error: &ExpandError| matches!(error, ExpandError::Nowhere { .. });
        let takes = match self.takes(bag, turns, false) {
            // It has no place for one of them.
            Err(NeedError::Expand(errors)) if errors.iter().all(nowhere) => Some(None),
            takes => takes?,
        };
        Ok(NeedBag {
            name: bag.name.clone(),
            does: takes.as_ref().map(Option::is_some),
            turned: takes.flatten().unwrap_or_default(),
        })
    }
}
