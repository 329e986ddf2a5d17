//! Designs to pieces in whole numbers: what the sheets of each design give, which pieces should not be
//! alike. As few alike neighbours as can be, then the most used design as seldom as can be, then the least
//! used one as often as can be.

use super::sheet::Counts;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Steps of the search before the best deal so far is the answer.
const MOST_STEPS: usize = 400_000;
/// Counts that are looked at for what the sheets allow.
const MOST_STATES: usize = 3_000_000;
/// The greatest weight of a kind in a short proof.
const MOST_WEIGHT: u32 = 3;

/// Pieces and designs.
#[derive(Clone, Debug)]
pub struct Puzzle {
    /// Of each thing that gets one design, how many pieces of each kind it is; in the order of the pages.
    pub things: Vec<Counts>,
    /// Of each design, what its sheets give at most: any one of these counts.
    pub gives: Vec<Vec<Counts>>,
    /// Things that should have different designs.
    pub unlike: Vec<(usize, usize)>,
}

/// A design for each thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deal {
    pub design: Vec<usize>,
    /// Pairs alike that should not be.
    pub alike: usize,
    /// How often the most used and the least used design is used.
    pub most: usize,
    pub least: usize,
    /// Nothing is better.
    pub proved: bool,
}

/// Why there is no deal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoDeal {
    /// The sheets do not suffice. With these weights of the kinds, if there are any, all sheets together
    /// give less than is needed.
    TooFew { weights: Option<Counts> },
    /// A limit was met.
    Open,
    /// The check refused the answer: a defect of this program.
    Refused,
}

/// What a deal is worth: less is better.
pub type Worth = (usize, usize, Reverse<usize>);

impl Puzzle {
    /// What a deal is worth; `None` if the sheets do not give it.
    pub fn worth(&self, design: &[usize]) -> Option<Worth> {
        let alike = |(a, b): &&(usize, usize)| design.get(*a) == design.get(*b);
        let mut uses = vec![0; self.gives.len()];
        for (n, gives) in self.gives.iter().enumerate() {
            let own = self.things.iter().zip(design).filter(|(_, d)| **d == n);
            let own: Vec<&Counts> = own.map(|(thing, _)| thing).collect();
            uses[n] = own.len();
            let sum = |kind: usize| own.iter().map(|thing| thing[kind]).sum::<u32>();
            let enough = |gives: &Counts| (0..gives.len()).all(|kind| sum(kind) <= gives[kind]);
            if !gives.iter().any(enough) {
                return None;
            }
        }
        let whole = design.len() == self.things.len() && design.iter().all(|d| *d < uses.len());
        let (most, least) = (uses.iter().max()?, uses.iter().min()?);
        whole.then(|| {
            (
                self.unlike.iter().filter(alike).count(),
                *most,
                Reverse(*least),
            )
        })
    }

    /// Weights of the kinds for which all sheets together give less than is needed.
    fn too_few(&self) -> Option<Counts> {
        let kinds = self.things.first()?.len();
        let need = |kind: usize| self.things.iter().map(|thing| thing[kind]).sum::<u32>();
        let need: Counts = (0..kinds).map(need).collect();
        let times = |weights: &Counts, of: &Counts| -> u32 {
            weights.iter().zip(of).map(|(a, b)| a * b).sum()
        };
        let mut weights = vec![0; kinds];
        // Of many kinds only which ones count.
        let most = if kinds > 5 { 1 } else { MOST_WEIGHT };
        loop {
            let digit = weights.iter().position(|w| *w < most)?;
            weights[..digit].fill(0);
            weights[digit] += 1;
            let most = |gives: &Vec<Counts>| gives.iter().map(|it| times(&weights, it)).max();
            let all: u32 = self.gives.iter().filter_map(most).sum();
            if all < times(&weights, &need) {
                return Some(weights);
            }
        }
    }
}

/// The best deal; `over` is asked whether time is up.
///
/// # Errors
/// Why there is none.
pub fn deal(puzzle: &Puzzle, over: &dyn Fn() -> bool) -> Result<Deal, NoDeal> {
    if let Some(weights) = puzzle.too_few() {
        let weights = Some(weights);
        return Err(NoDeal::TooFew { weights });
    }
    let (things, designs) = (puzzle.things.len(), puzzle.gives.len());
    if designs == 0 {
        return Err(NoDeal::TooFew { weights: None });
    }
    // What the sheets allow, neighbours left aside.
    let shares = Shares::of(puzzle);
    let mut bound = (things.div_ceil(designs), things / designs);
    let mut guide = None;
    match shares.share((things, 0)) {
        Share::None => return Err(NoDeal::TooFew { weights: None }),
        Share::Open => {}
        Share::Found(_) => {
            while let (Share::None, true) = (shares.share((bound.0, 0)), bound.0 < things) {
                bound.0 += 1;
            }
            loop {
                match shares.share(bound) {
                    Share::None if bound.1 > 0 => bound.1 -= 1,
                    Share::Found(share) => break guide = Some(share),
                    Share::None | Share::Open => break,
                }
            }
        }
    }
    let mut search = Search {
        puzzle,
        over,
        unlike: neighbours(puzzle),
        alike_designs: alike_designs(puzzle),
        ideal: (0, bound.0, Reverse(bound.1)),
        best: None,
        steps: 0,
        used: vec![vec![0; puzzle.things.first().map_or(0, Vec::len)]; designs],
        uses: vec![0; designs],
        design: Vec::new(),
    };
    if let Some(mut left) = guide {
        search.follow(&shares.kinds, &mut left);
        search.design.clear();
        search.steps = 0;
    }
    if search
        .best
        .as_ref()
        .is_none_or(|(worth, _)| *worth > search.ideal)
    {
        search.used.iter_mut().for_each(|used| used.fill(0));
        search.uses.fill(0);
        search.go(0);
    }
    let whole = search.steps < MOST_STEPS;
    match search.best {
        Some(((alike, most, least), design)) => Ok(Deal {
            proved: whole || (alike, most, least) == search.ideal,
            design,
            alike,
            most,
            least: least.0,
        }),
        None if whole => Err(NoDeal::TooFew { weights: None }),
        None => Err(NoDeal::Open),
    }
}

fn neighbours(puzzle: &Puzzle) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new(); puzzle.things.len()];
    for (a, b) in &puzzle.unlike {
        all[*a].push(*b);
        all[*b].push(*a);
    }
    all
}

/// Of each design the first one that gives the same.
fn alike_designs(puzzle: &Puzzle) -> Vec<usize> {
    let first = |gives: &Vec<Counts>| puzzle.gives.iter().position(|it| it == gives);
    puzzle
        .gives
        .iter()
        .map(|gives| first(gives).unwrap_or(0))
        .collect()
}

/// How many things of each kind each design gets, whatever stands beside what.
struct Shares<'p> {
    puzzle: &'p Puzzle,
    /// Of each thing its kind: things that are the same pieces are one kind.
    kinds: Vec<usize>,
    need: Counts,
    pieces: Vec<&'p Counts>,
}

enum Share {
    Found(Vec<Counts>),
    None,
    Open,
}

impl<'p> Shares<'p> {
    fn of(puzzle: &'p Puzzle) -> Shares<'p> {
        let distinct: BTreeSet<&Counts> = puzzle.things.iter().collect();
        let pieces: Vec<&Counts> = distinct.into_iter().collect();
        let kind = |thing: &Counts| pieces.iter().position(|it| *it == thing).unwrap_or(0);
        let kinds: Vec<usize> = puzzle.things.iter().map(kind).collect();
        let of = |kind: usize| kinds.iter().filter(|it| **it == kind).count();
        let need = (0..pieces.len()).map(|kind| u32::try_from(of(kind)).unwrap_or(u32::MAX));
        Shares {
            puzzle,
            need: need.collect(),
            kinds,
            pieces,
        }
    }

    /// Everything that one design can get of its sheets, from `least` to `most` things.
    fn options(&self, gives: &[Counts], (most, least): (usize, usize)) -> Vec<Counts> {
        let mut all = vec![Vec::new()];
        for kind in 0..self.need.len() {
            let mut longer = Vec::new();
            for head in &all {
                for count in 0..=self.need[kind] {
                    let mut next: Counts = head.clone();
                    next.push(count);
                    let sum = |piece: usize| -> u32 {
                        next.iter()
                            .zip(&self.pieces)
                            .map(|(n, of)| n * of[piece])
                            .sum()
                    };
                    let enough = |gives: &Counts| (0..gives.len()).all(|it| sum(it) <= gives[it]);
                    let many: u32 = next.iter().sum();
                    if many as usize > most || !gives.iter().any(enough) {
                        break;
                    }
                    longer.push(next);
                }
            }
            all = longer;
        }
        all.retain(|it| it.iter().sum::<u32>() as usize >= least);
        all
    }

    /// A share for each design that together are what is needed.
    fn share(&self, uses: (usize, usize)) -> Share {
        let mut layers: Vec<BTreeMap<Counts, Counts>> = Vec::new();
        let mut open = BTreeSet::from([self.need.clone()]);
        let mut known: BTreeMap<&Vec<Counts>, Vec<Counts>> = BTreeMap::new();
        let mut made = 0;
        for gives in &self.puzzle.gives {
            let options = known
                .entry(gives)
                .or_insert_with(|| self.options(gives, uses));
            let mut layer = BTreeMap::new();
            for left in &open {
                for option in options.iter() {
                    let each = left
                        .iter()
                        .zip(option)
                        .map(|(left, it)| left.checked_sub(*it));
                    let Some(next) = each.collect::<Option<Counts>>() else {
                        continue;
                    };
                    layer.entry(next).or_insert_with(|| option.clone());
                }
                made += options.len();
                if made > MOST_STATES {
                    return Share::Open;
                }
            }
            open = layer.keys().cloned().collect();
            layers.push(layer);
        }
        let mut at: Counts = vec![0; self.need.len()];
        let mut shares = Vec::new();
        for layer in layers.iter().rev() {
            let Some(share) = layer.get(&at) else {
                return Share::None;
            };
            at = at.iter().zip(share).map(|(a, b)| a + b).collect();
            shares.push(share.clone());
        }
        shares.reverse();
        Share::Found(shares)
    }
}

struct Search<'p> {
    puzzle: &'p Puzzle,
    over: &'p dyn Fn() -> bool,
    unlike: Vec<Vec<usize>>,
    alike_designs: Vec<usize>,
    ideal: Worth,
    best: Option<(Worth, Vec<usize>)>,
    steps: usize,
    used: Vec<Counts>,
    uses: Vec<usize>,
    /// Of the things so far.
    design: Vec<usize>,
}

impl Search<'_> {
    fn stops(&mut self) -> bool {
        self.steps += 1;
        if self.steps.is_multiple_of(1_024) && (self.over)() {
            self.steps = MOST_STEPS;
        }
        self.steps >= MOST_STEPS
    }

    fn clashes(&self, thing: usize, design: usize) -> usize {
        let before = self.unlike[thing].iter();
        before
            .filter(|other| self.design.get(**other) == Some(&design))
            .count()
    }

    /// Deals out shares of each design so that no neighbours are alike; true once that is done.
    fn follow(&mut self, kinds: &[usize], left: &mut Vec<Counts>) -> bool {
        let thing = self.design.len();
        let Some(kind) = kinds.get(thing) else {
            self.best = self
                .puzzle
                .worth(&self.design)
                .map(|worth| (worth, self.design.clone()));
            return true;
        };
        if self.steps > MOST_STEPS / 8 || self.stops() {
            return true;
        }
        // What there is most of first: then it lasts.
        let mut order: Vec<usize> = (0..left.len()).filter(|d| left[*d][*kind] > 0).collect();
        order.sort_by_key(|d| {
            (
                Reverse(left[*d].iter().sum::<u32>()),
                Reverse(left[*d][*kind]),
                *d,
            )
        });
        for design in order {
            if self.clashes(thing, design) > 0 {
                continue;
            }
            left[design][*kind] -= 1;
            self.design.push(design);
            let done = self.follow(kinds, left);
            if done {
                return true;
            }
            self.design.pop();
            left[design][*kind] += 1;
        }
        false
    }

    /// Every deal, the most even first, but for what cannot be better.
    fn go(&mut self, alike: usize) {
        let thing = self.design.len();
        let (_, most, least) = self.ideal;
        let so_far = self.uses.iter().copied().max().unwrap_or(0);
        let hope = (alike, most.max(so_far), least);
        let beaten = self.best.as_ref().is_some_and(|(best, _)| hope >= *best);
        if beaten || self.stops() {
            return;
        }
        let Some(pieces) = self.puzzle.things.get(thing) else {
            if let Some(worth) = self.puzzle.worth(&self.design)
                && self.best.as_ref().is_none_or(|(best, _)| worth < *best)
            {
                self.best = Some((worth, self.design.clone()));
            }
            return;
        };
        let mut order: Vec<usize> = (0..self.uses.len()).collect();
        order.sort_by_key(|d| (self.clashes(thing, *d), self.uses[*d], *d));
        for design in order {
            // Designs that give the same and are not used yet are one.
            let same = |d: &usize| {
                self.uses[*d] == 0 && self.alike_designs[*d] == self.alike_designs[design]
            };
            if self.uses[design] == 0 && (0..design).any(|d| same(&d)) {
                continue;
            }
            let used = self.used[design].iter().zip(pieces).map(|(a, b)| a + b);
            let used: Counts = used.collect();
            let enough = |gives: &Counts| used.iter().zip(gives).all(|(a, b)| a <= b);
            if !self.puzzle.gives[design].iter().any(enough) {
                continue;
            }
            let clashes = self.clashes(thing, design);
            let before = std::mem::replace(&mut self.used[design], used);
            self.uses[design] += 1;
            self.design.push(design);
            self.go(alike + clashes);
            self.design.pop();
            self.uses[design] -= 1;
            self.used[design] = before;
        }
    }
}
