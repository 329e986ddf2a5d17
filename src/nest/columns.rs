//! Patterns for the linear program: each comes from a dynamic program for the values that the
//! linear program puts on the pieces.

use super::answer::Stop;
use super::board::Board;
use super::bound::{least_cost, limited};
use super::layout::Layout;
use super::limits::Meter;
use super::lp::{Master, ONE, Optimum};
use super::model::Model;
use super::near::{Ask, Refused, in_lanes, near};
use super::proper;
use super::rest::{Node, Rest, worth};
use super::table;
use std::collections::{HashMap, HashSet};

/// The least effort for which all good patterns of a huge board are looked for.
const EFFORT_FOR_HUGE: usize = 4;

/// A way of using one sheet.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    pub stock: usize,
    pub counts: Vec<u64>,
    pub layout: Layout,
}

/// What the best pattern of a stock is worth, and the pattern; `None` if its sheets hold nothing.
type Priced = Option<(u64, usize)>;

/// The linear program of a rest.
pub(super) struct Relaxed {
    pub optimum: Optimum,
    /// Pattern of each column.
    pub columns: Vec<usize>,
    /// Values by which the bound holds, and what a sheet of each stock holds of them.
    pub values: Vec<u64>,
    pub best: Vec<u64>,
    /// Least cost that follows; `None`: the sheets do not suffice.
    pub least: Option<u64>,
    /// Given up on the way: more patterns would make it cheaper, and nothing is bound.
    pub open: bool,
}

/// Values of kinds, and what a sheet of each stock holds of them at most.
#[derive(Clone, Debug)]
pub(super) struct Holds {
    pub values: Vec<u64>,
    pub best: Vec<u64>,
}

/// All patterns that were found, each once.
pub(super) struct Pool<'a, 'm> {
    pub model: &'a Model<'a>,
    pub meter: &'a mut Meter<'m>,
    pub patterns: Vec<Pattern>,
    known: HashMap<(usize, Vec<u64>), usize>,
    /// For each stock, the first one with the same board.
    pub same: Vec<usize>,
    /// What bounds best of all that the last [`Pool::relax`] priced, even if it was stopped.
    pub strongest: Option<Holds>,
}

impl<'a, 'm> Pool<'a, 'm> {
    pub fn new(model: &'a Model<'a>, meter: &'a mut Meter<'m>) -> Self {
        let stocks = &model.job.stocks;
        let spread = model.job.pieces.iter().any(|p| p.most_alike.is_some());
        let same = |at: usize| {
            let key = |s: usize| (stocks[s].trimmed(), stocks[s].turn);
            // Where pieces are spread, each stock has counts of its own.
            let twin = (0..at).find(|&s| !spread && key(s) == key(at));
            twin.unwrap_or(at)
        };
        Self {
            model,
            meter,
            patterns: Vec::new(),
            known: HashMap::new(),
            same: (0..stocks.len()).map(same).collect(),
            strongest: None,
        }
    }

    /// Whatever has the same counts as a pattern that was found before has its own layout from here on.
    pub fn forget(&mut self) {
        self.known.clear();
    }

    pub fn keep(&mut self, stock: usize, layout: Layout) -> usize {
        let counts = layout.counts(self.model.kinds.len());
        let next = self.patterns.len();
        let known = self.known.entry((stock, counts.clone())).or_insert(next);
        if *known == next {
            self.patterns.push(Pattern {
                stock,
                counts,
                layout,
            });
        }
        *known
    }

    /// The best use of a sheet of each stock for these values, and its worth; `None` where it holds
    /// nothing.
    fn price(&mut self, boards: &[Option<Board>], values: &[u64]) -> Result<Vec<Priced>, Stop> {
        self.each_board(boards, |_, board, meter| best_use(board, values, meter))
    }

    /// As [`Self::price`], with no more of a kind than is wanted; not always the best.
    fn price_proper(&mut self, node: &Node, values: &[u64]) -> Result<Vec<Priced>, Stop> {
        in_lanes!(
            node.used,
            self.price_in(node, values),
            self.price(&node.boards, values)
        )
    }

    fn price_in<const N: usize>(
        &mut self,
        node: &Node,
        values: &[u64],
    ) -> Result<Vec<Priced>, Stop> {
        self.each_board(&node.boards, |stock, board, meter| {
            if proper::is_too_large::<N>(board) {
                return best_use(board, values, meter);
            }
            let ask = proper::Ask {
                board,
                values,
                lanes: &node.lanes,
                wanted: node.wanted_of::<N>(stock),
            };
            proper::proper(&ask, meter)
        })
    }

    fn each_board(
        &mut self,
        boards: &[Option<Board>],
        mut use_of: impl FnMut(usize, &Board, &mut Meter) -> Result<(u64, Layout), Stop>,
    ) -> Result<Vec<Priced>, Stop> {
        let mut found: Vec<Priced> = Vec::with_capacity(boards.len());
        for (stock, board) in boards.iter().enumerate() {
            let same = self.same[stock];
            let Some(board) = board else {
                found.push(None);
                continue;
            };
            if same < stock {
                let twin = found[same].map(|(worth, pattern)| {
                    let layout = self.patterns[pattern].layout.clone();
                    (worth, self.keep(stock, layout))
                });
                found.push(twin);
                continue;
            }
            let (worth, layout) = use_of(stock, board, self.meter)?;
            found.push(Some((worth, self.keep(stock, layout))));
        }
        Ok(found)
    }

    /// The linear program of a rest whose patterns may hold more of a kind than is wanted: the
    /// bound of the whole question comes from here. A cost of `enough` need not be exceeded. Starts
    /// from `start`, and stays open after so many nodes where only glances were taken so far.
    pub fn relax(
        &mut self,
        rest: &Rest,
        boards: &[Option<Board>],
        enough: u64,
        start: &[usize],
        nodes: u64,
    ) -> Result<Relaxed, Stop> {
        let mut program = Program::new(rest);
        self.singles(boards, &mut program)?;
        for &pattern in start {
            program.add(&self.patterns[pattern], pattern, false);
        }
        let until = self.meter.left().saturating_sub(nodes);
        let mut relaxed: Option<Relaxed> = None;
        let mut strongest = 0;
        let large = boards.iter().flatten().any(Board::is_large);
        loop {
            let optimum = program.master.optimise(20_000, self.meter)?;
            if large && self.glance(boards, &mut program, &optimum, false)? {
                if self.meter.left() < until && !optimum.misses {
                    let values = program.values(&optimum);
                    return Ok(program.relaxed_so_far(optimum, values, true));
                }
                continue;
            }
            let values = program.values(&optimum);
            let found = self.price(boards, &values)?;
            let best: Vec<u64> = found.iter().map(|f| f.map_or(0, |f| f.0)).collect();
            let demand = worth(&values, &rest.wanted);
            let least = least_cost(&rest.sheets, &best, demand);
            let dearest = best.iter().copied().max().unwrap_or(0).max(1);
            let ratio = demand * u128::from(ONE) / u128::from(dearest);
            let stronger = relaxed.as_ref().is_none_or(|old| match (least, old.least) {
                (None, None) => false,
                (None, Some(_)) => true,
                (Some(_), None) => false,
                (Some(new), Some(old)) => new > old || new == old && ratio > strongest,
            });
            if stronger {
                strongest = ratio;
                self.strongest = Some(Holds {
                    values: values.clone(),
                    best: best.clone(),
                });
                relaxed = Some(Relaxed {
                    optimum: optimum.clone(),
                    columns: Vec::new(),
                    values,
                    best,
                    least,
                    open: false,
                });
            }
            let settled = least.is_some_and(|least| least >= enough);
            let new = self.add_saving(&mut program, found, &optimum, false);
            if (settled || !new)
                && let Some(mut relaxed) = relaxed
            {
                relaxed.optimum = optimum;
                relaxed.columns = program.columns;
                return Ok(relaxed);
            }
        }
    }

    /// Adds the patterns that make the plan cheaper; whether one of them is new.
    fn add_saving(
        &self,
        program: &mut Program,
        found: Vec<Priced>,
        optimum: &Optimum,
        clip: bool,
    ) -> bool {
        let mut new = false;
        for (stock, found) in found.into_iter().enumerate() {
            if let Some((worth, pattern)) = found
                && program.saves(stock, worth, optimum)
            {
                new |= program.add(&self.patterns[pattern], pattern, clip);
            }
        }
        new
    }

    /// For each kind a pattern with as many of it as a sheet takes; about as many on large boards.
    fn singles(&mut self, boards: &[Option<Board>], program: &mut Program) -> Result<(), Stop> {
        if boards.iter().flatten().any(Board::is_large) {
            self.grids(boards, program);
            return Ok(());
        }
        for kind in 0..program.rest.wanted.len() {
            if program.rest.wanted[kind] == 0 {
                continue;
            }
            let mut only = vec![0; program.rest.wanted.len()];
            only[kind] = ONE;
            for (_, pattern) in self.price(boards, &only)?.into_iter().flatten() {
                program.add(&self.patterns[pattern], pattern, true);
            }
        }
        Ok(())
    }

    /// The linear program of a rest whose patterns hold no more of a kind than is wanted. `deep`:
    /// nothing needs to be proved, so that on a huge board a glance is enough.
    pub fn relax_properly(
        &mut self,
        node: &Node,
        start: &[usize],
        effort: usize,
        deep: bool,
    ) -> Result<Relaxed, Stop> {
        let mut program = Program::new(&node.rest);
        let large = node.boards.iter().flatten().any(Board::is_large);
        let huge = node.boards.iter().flatten().any(Board::is_huge);
        for &pattern in start {
            program.add(&self.patterns[pattern], pattern, true);
        }
        if start.is_empty() {
            self.singles(&node.boards, &mut program)?;
        }
        loop {
            let optimum = program.master.optimise(20_000, self.meter)?;
            if large && self.glance(&node.boards, &mut program, &optimum, true)? {
                continue;
            }
            let values = program.values(&optimum);
            if huge && deep {
                return Ok(program.relaxed_so_far(optimum, values, false));
            }
            let mut new = false;
            let found = self.price(&node.boards, &values)?;
            let mut best: Vec<u64> = found.iter().map(|f| f.map_or(0, |f| f.0)).collect();
            let mut too_many = false;
            for &(worth_of_all, number) in found.iter().flatten() {
                let pattern = &self.patterns[number];
                let counts = node.rest.clipped(pattern.stock, &pattern.counts);
                let worth = u64::try_from(worth(&values, &counts)).unwrap_or(0);
                too_many |= worth < worth_of_all;
                if program.saves(pattern.stock, worth, &optimum) {
                    new |= program.add(pattern, number, true);
                }
            }
            if too_many {
                let found = self.price_proper(node, &values)?;
                new |= self.add_saving(&mut program, found, &optimum, true);
            }
            if new {
                continue;
            }
            // What the table says of a sheet may count pieces that are not wanted: all patterns
            // that would save something, if they are few, or the proof that there are none.
            for (stock, best) in best.iter_mut().enumerate() {
                if !program.saves(stock, *best, &optimum) {
                    continue;
                }
                let price = program.price(stock, &optimum);
                let least = price + price / 200_000 + 1;
                if let Some(list) = self.near(node, stock, &values, least, effort)? {
                    for &pattern in list.iter().take(20) {
                        new |= program.add(&self.patterns[pattern], pattern, true);
                    }
                    if list.is_empty() {
                        *best = least - 1;
                    }
                }
            }
            if new {
                continue;
            }
            let demand = worth(&values, &node.rest.wanted);
            let mut relaxed = Relaxed {
                least: least_cost(&node.rest.sheets, &best, demand),
                optimum,
                columns: program.columns.clone(),
                values,
                best,
                open: false,
            };
            let unsettled =
                |stock: usize| program.saves(stock, relaxed.best[stock], &relaxed.optimum);
            if (0..relaxed.best.len()).any(unsettled) {
                // Values by which too much of a kind is worth something bound badly: better those
                // of the program that allows it.
                let loose = self.relax(&node.rest, &node.boards, u64::MAX, &[], u64::MAX)?;
                let no_less = |least| relaxed.least.is_some_and(|own| own <= least);
                if loose.least.is_none_or(no_less) {
                    (relaxed.values, relaxed.best, relaxed.least) =
                        (loose.values, loose.best, loose.least);
                }
            }
            return Ok(relaxed);
        }
    }

    /// All proper patterns of a stock that are worth so much, best first; `None` if they are many.
    pub fn near(
        &mut self,
        node: &Node,
        stock: usize,
        values: &[u64],
        least: u64,
        effort: usize,
    ) -> Result<Option<Vec<usize>>, Stop> {
        in_lanes!(
            node.used,
            self.near_in(node, stock, values, least, effort),
            Ok(None)
        )
    }

    fn near_in<const N: usize>(
        &mut self,
        node: &Node,
        stock: usize,
        values: &[u64],
        least: u64,
        effort: usize,
    ) -> Result<Option<Vec<usize>>, Stop> {
        let Some(board) = &node.boards[stock] else {
            return Ok(Some(Vec::new()));
        };
        if !node.can_count || board.is_huge() && effort < EFFORT_FOR_HUGE {
            return Ok(None);
        }
        let table = table::fill(board, values, self.meter)?;
        let ask = Ask {
            board,
            table: &table,
            values,
            lanes: &node.lanes,
            wanted: node.wanted_of::<N>(stock),
            least,
            most: 10_000 << effort,
            most_pairs: 200_000 << effort,
        };
        match near(&ask, self.meter) {
            Ok(list) => {
                let each = 0..list.len();
                let each = each.map(|at| self.keep(stock, list.layout(board, at)));
                Ok(Some(each.collect()))
            }
            Err(Refused::TooMany) => Ok(None),
            Err(Refused::Stop) => self.meter.look().map(|()| None),
        }
    }
}

/// What the best use of a sheet is worth, and how it lies.
fn best_use(board: &Board, values: &[u64], meter: &mut Meter) -> Result<(u64, Layout), Stop> {
    let table = table::fill(board, values, meter)?;
    let layout = table::layout(board, &table, values, meter)?;
    Ok((table::root(board, &table).1, layout))
}

/// A linear program over patterns, and which pattern each column is.
pub(super) struct Program<'a> {
    pub rest: &'a Rest,
    master: Master,
    pub columns: Vec<usize>,
    /// The place of each stock among the limited ones.
    pub places: Vec<Option<usize>>,
    seen: HashSet<(usize, Vec<u64>)>,
}

impl<'a> Program<'a> {
    fn new(rest: &'a Rest) -> Self {
        let (places, limited) = limited(&rest.sheets);
        let dearest = rest.sheets.iter().map(|s| s.cost).max().unwrap_or(1);
        Self {
            rest,
            master: Master::new(&rest.wanted, &limited, dearest),
            columns: Vec::new(),
            places,
            seen: HashSet::new(),
        }
    }

    /// Adds a pattern if it is new; with no more of a kind than is wanted if `clip`.
    pub fn add(&mut self, pattern: &Pattern, number: usize, clip: bool) -> bool {
        let counts = if clip {
            self.rest.clipped(pattern.stock, &pattern.counts)
        } else {
            let each = pattern.counts.iter().zip(&self.rest.wanted);
            each.map(|(&count, &wanted)| if wanted > 0 { count } else { 0 })
                .collect()
        };
        let stock = pattern.stock;
        let new = counts.iter().any(|&c| c > 0) && self.seen.insert((stock, counts.clone()));
        if new {
            let cost = self.rest.sheets[stock].cost;
            self.master.add(&counts, self.places[stock], cost);
            self.columns.push(number);
        }
        new
    }

    /// The values of the kinds that are wanted.
    pub fn values(&self, optimum: &Optimum) -> Vec<u64> {
        let each = optimum.values.iter().zip(&self.rest.wanted);
        each.map(|(&v, &wanted)| if wanted > 0 { v } else { 0 })
            .collect()
    }

    /// What a sheet of the stock costs, the rent of a limited one included.
    pub fn price(&self, stock: usize, optimum: &Optimum) -> u64 {
        let rent = self.places[stock].map_or(0, |place| optimum.rents[place]);
        self.rest.sheets[stock].cost * ONE + rent
    }

    /// Whether a pattern of this worth makes the plan cheaper.
    pub fn saves(&self, stock: usize, worth: u64, optimum: &Optimum) -> bool {
        let price = self.price(stock, optimum);
        worth > price + price / 200_000
    }
}
