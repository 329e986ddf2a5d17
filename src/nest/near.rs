//! All uses of one sheet that are nearly the best for given values.
//!
//! A plan of so many sheets can only use patterns whose value is high enough. They are found from
//! the table: first how much each cell may lose at most, from the whole sheet downwards, then what
//! each cell can hold within its loss, from the smallest cell upwards. No pattern holds more of a
//! kind than is wanted, and what another pattern covers entirely is dropped.

use super::answer::{Divides, Stop};
use super::board::Board;
use super::layout::Layout;
use super::limits::Meter;
use super::table::Table;
use std::collections::HashSet;
use std::hash::{BuildHasherDefault, Hasher};

/// How often each kind comes, in lanes that the machine adds side by side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Counts<const N: usize>(pub [i16; N]);

/// Calls a method with the fewest lanes that hold so many kinds; else the last expression.
macro_rules! in_lanes {
    ($kinds:expr, $of:ident.$method:ident($($with:expr),*), $else:expr) => {
        match $kinds {
            0..=8 => $of.$method::<8>($($with),*),
            9..=16 => $of.$method::<16>($($with),*),
            17..=32 => $of.$method::<32>($($with),*),
            33..=64 => $of.$method::<64>($($with),*),
            65..=128 => $of.$method::<128>($($with),*),
            _ => $else,
        }
    };
}
pub(super) use in_lanes;

/// The most of one kind that a lane counts.
pub(super) const MOST_ALIKE: u64 = 10_000;

impl<const N: usize> Counts<N> {
    pub const NONE: Self = Self([0; N]);

    /// What both hold together, but not more than `wanted`.
    pub fn join(&self, other: &Self, wanted: &Self) -> Self {
        // Lanes hold at most `MOST_ALIKE`.
        let sum = |at: usize| self.0[at].wrapping_add(other.0[at]);
        Self(std::array::from_fn(|at| sum(at).min(wanted.0[at])))
    }

    pub fn clip(&self, wanted: &Self) -> Self {
        Self(std::array::from_fn(|at| self.0[at].min(wanted.0[at])))
    }

    /// What is left of `wanted`; `self` is at most that in each lane.
    pub fn take_from(&self, wanted: &Self) -> Self {
        let left = |at: usize| wanted.0[at].wrapping_sub(self.0[at]);
        Self(std::array::from_fn(left))
    }

    pub fn is_within(&self, other: &Self) -> bool {
        let mut over = 0i16;
        for at in 0..N {
            over = over.max(self.0[at].wrapping_sub(other.0[at]));
        }
        over <= 0
    }

    pub fn is_none(&self) -> bool {
        self.0.iter().all(|&c| c == 0)
    }

    /// Those of the lanes in use.
    pub fn in_lanes(&self, lanes: usize) -> Vec<u64> {
        let each = self.0[..lanes].iter();
        each.map(|&count| u64::try_from(count).unwrap_or(0))
            .collect()
    }

    /// All together.
    pub fn pieces(&self) -> i64 {
        self.0.iter().map(|&count| i64::from(count)).sum()
    }

    pub fn worth(&self, values: &[u64]) -> u64 {
        let each = self.0.iter().zip(values);
        each.map(|(&count, &value)| u64::try_from(count).unwrap_or(0) * value)
            .sum()
    }
}

/// Mixes eight bytes at a time: counts are only asked whether they were seen, and nobody chooses them
/// to collide.
#[derive(Default)]
struct Mix(u64);

impl Hasher for Mix {
    fn write(&mut self, bytes: &[u8]) {
        for eight in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..eight.len()].copy_from_slice(eight);
            self.0 = (self.0.rotate_left(5) ^ u64::from_le_bytes(word))
                .wrapping_mul(0x517c_c1b7_2722_0a95);
        }
    }

    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
}

#[derive(Clone, Copy, Debug)]
enum Made {
    /// A way in a cell.
    Piece(u32, u32),
    Nothing(u32),
    Pair(Divides, u32, u32),
}

#[derive(Clone, Copy, Debug)]
struct Entry<const N: usize> {
    counts: Counts<N>,
    worth: u64,
    made: Made,
}

/// Patterns of one board that are worth enough.
pub(super) struct Near<const N: usize> {
    entries: Vec<Entry<N>>,
    /// Those of the whole sheet.
    best: Vec<u32>,
}

/// What is looked for.
pub(super) struct Ask<'a, const N: usize> {
    pub board: &'a Board,
    pub table: &'a Table,
    /// Value of each kind of the model, as the table was filled.
    pub values: &'a [u64],
    /// The lane of each kind of the model; `None` for kinds that are not wanted.
    pub lanes: &'a [Option<usize>],
    pub wanted: Counts<N>,
    /// Patterns worth less are not looked for.
    pub least: u64,
    /// The most patterns, partial ones included, and the most pairs that are put together.
    pub most: usize,
    pub most_pairs: u64,
}

/// The most cells of all layers for which lists are kept, and bytes of what stands in them.
const MOST_IN_LISTS: usize = 8_000_000;
const MOST_BYTES: usize = 256_000_000;
/// Pairs that are put together in the time of one node.
const PAIRS_A_NODE: u64 = 2_000;

/// How much longer counts of many lanes take than those of few.
pub(super) const fn lanes_take(lanes: usize) -> u64 {
    if lanes > 16 { lanes as u64 / 16 } else { 1 }
}

/// Why patterns were not found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refused {
    TooMany,
    Stop,
}

impl From<Stop> for Refused {
    fn from(_: Stop) -> Self {
        Refused::Stop
    }
}

/// Every pattern that is worth enough and that no other covers.
pub(super) fn near<const N: usize>(
    ask: &Ask<'_, N>,
    meter: &mut Meter,
) -> Result<Near<N>, Refused> {
    let Ask { board, table, .. } = ask;
    if table.worth.len() > MOST_IN_LISTS {
        return Err(Refused::TooMany);
    }
    let loss = may_lose(ask, meter)?;
    let most = ask.most.min(MOST_BYTES / size_of::<Entry<N>>());
    let mut lane_values = [0u64; N];
    for (kind, lane) in ask.lanes.iter().enumerate() {
        if let Some(lane) = lane {
            lane_values[*lane] = ask.values[kind];
        }
    }
    let mut finding = Finding {
        ask,
        found: Near {
            entries: Vec::new(),
            best: Vec::new(),
        },
        lists: vec![Vec::new(); loss.len()],
        lane_values,
        most,
        pairs: 0,
    };
    let mut kept = 0usize;
    let (wide, high) = (board.x.len(), board.y.len());
    for (number, layer) in board.layers.iter().enumerate() {
        let from = board.from(layer);
        for i in from.0..wide {
            for j in from.1..high {
                let at = board.at(number, i, j);
                let Some(may) = loss[at] else {
                    continue;
                };
                meter.look()?;
                let list = finding.cell((number, i, j), table.worth[at] - may);
                kept += list.len();
                finding.pairs += list.len() as u64;
                if finding.found.entries.len() > most
                    || kept > 4 * most
                    || finding.pairs > ask.most_pairs
                {
                    meter.spend(lanes_take(N) * finding.pairs / PAIRS_A_NODE)?;
                    return Err(Refused::TooMany);
                }
                finding.lists[at] = list;
            }
        }
    }
    let Finding {
        mut found,
        lists,
        pairs,
        ..
    } = finding;
    meter.spend(1 + lanes_take(N) * pairs / PAIRS_A_NODE)?;
    let mut all: Vec<u32> = Vec::new();
    for &root in &board.roots {
        all.extend(&lists[board.at(root, wide - 1, high - 1)]);
    }
    found.best = undominated(&found.entries, all, usize::MAX, Some(meter))?;
    found
        .best
        .retain(|&e| found.entries[e as usize].worth >= ask.least);
    Ok(found)
}

/// The lists of all cells, while they are filled.
struct Finding<'a, const N: usize> {
    ask: &'a Ask<'a, N>,
    found: Near<N>,
    /// What each cell can hold, as places in `found.entries`.
    lists: Vec<Vec<u32>>,
    lane_values: [u64; N],
    /// The most entries of all cells.
    most: usize,
    /// How many pairs were put together.
    pairs: u64,
}

impl<const N: usize> Finding<'_, N> {
    /// What a cell can hold that is worth at least so much; every smaller cell has its list.
    fn cell(&mut self, (number, i, j): (usize, usize, usize), least: u64) -> Vec<u32> {
        let Finding { ask, lists, .. } = self;
        let board = ask.board;
        let (layer, from, at) = (
            &board.layers[number],
            board.from(&board.layers[number]),
            board.at(number, i, j),
        );
        let mut cell = Cell {
            found: &mut self.found,
            seen: HashSet::default(),
            list: Vec::new(),
            least,
            most: self.most,
            wanted: ask.wanted,
            lane_values: &self.lane_values,
        };
        if i > from.0 && !board.strict {
            cell.inherit(&lists[board.at(number, i - 1, j)]);
        }
        if j > from.1 && !board.strict {
            cell.inherit(&lists[board.at(number, i, j - 1)]);
        }
        if let Some(below) = layer.below {
            cell.inherit(&lists[board.at(below, i, j)]);
        }
        if layer.pieces {
            for way in board.held(i, j) {
                if let Some(lane) = ask.lanes[board.ways[way].kind] {
                    cell.piece(way, at, lane);
                }
            }
        }
        if board.strict {
            cell.nothing(at);
        }
        if layer.upright {
            for &(a, b) in board.x.cuts(i) {
                let a = &lists[board.at(number, a as usize, j)];
                let b = &lists[board.at(number, b as usize, j)];
                let left = ask.most_pairs.saturating_sub(self.pairs);
                self.pairs += cell.pairs(a, b, Divides::Width, left);
            }
        }
        if layer.level {
            for &(a, b) in board.y.cuts(j) {
                let a = &lists[board.at(number, i, a as usize)];
                let b = &lists[board.at(number, i, b as usize)];
                let left = ask.most_pairs.saturating_sub(self.pairs);
                self.pairs += cell.pairs(a, b, Divides::Height, left);
            }
        }
        cell.finish()
    }
}

/// How much each cell of each layer may lose against its best; `None` for cells that no pattern
/// worth enough uses.
fn may_lose<const N: usize>(ask: &Ask<'_, N>, meter: &mut Meter) -> Result<Vec<Option<u64>>, Stop> {
    let Ask { board, table, .. } = ask;
    let worth = &table.worth;
    let mut loss: Vec<Option<u64>> = vec![None; worth.len()];
    let (wide, high) = (board.x.len(), board.y.len());
    for &root in &board.roots {
        let at = board.at(root, wide - 1, high - 1);
        loss[at] = worth[at].checked_sub(ask.least);
    }
    for (number, layer) in board.layers.iter().enumerate().rev() {
        let from = board.from(layer);
        for i in (from.0..wide).rev() {
            meter.look()?;
            for j in (from.1..high).rev() {
                let at = board.at(number, i, j);
                let Some(may) = loss[at] else {
                    continue;
                };
                let mut allow = |cells: &[usize]| {
                    let sum: u64 = cells.iter().map(|&c| worth[c]).sum();
                    // A pair is never worth more than the cell.
                    if let Some(left) = (may + sum).checked_sub(worth[at]) {
                        for &cell in cells {
                            loss[cell] = loss[cell].max(Some(left));
                        }
                    }
                };
                if i > from.0 && !board.strict {
                    allow(&[board.at(number, i - 1, j)]);
                }
                if j > from.1 && !board.strict {
                    allow(&[board.at(number, i, j - 1)]);
                }
                if let Some(below) = layer.below {
                    allow(&[board.at(below, i, j)]);
                }
                if layer.upright {
                    for &(a, b) in board.x.cuts(i) {
                        let a = board.at(number, a as usize, j);
                        allow(&[a, board.at(number, b as usize, j)]);
                    }
                }
                if layer.level {
                    for &(a, b) in board.y.cuts(j) {
                        let a = board.at(number, i, a as usize);
                        allow(&[a, board.at(number, i, b as usize)]);
                    }
                }
            }
        }
    }
    // No cell loses more than it has.
    for (loss, worth) in loss.iter_mut().zip(worth) {
        *loss = loss.map(|l| l.min(*worth));
    }
    Ok(loss)
}

/// What one cell can hold, while it is put together.
struct Cell<'a, const N: usize> {
    found: &'a mut Near<N>,
    seen: HashSet<Counts<N>, BuildHasherDefault<Mix>>,
    list: Vec<u32>,
    least: u64,
    /// The most entries of all cells.
    most: usize,
    wanted: Counts<N>,
    lane_values: &'a [u64; N],
}

impl<const N: usize> Cell<'_, N> {
    fn offer(&mut self, counts: Counts<N>, made: Made) {
        let worth = counts.worth(self.lane_values);
        if worth >= self.least && self.seen.insert(counts) {
            self.list.push(self.found.entries.len() as u32);
            self.found.entries.push(Entry {
                counts,
                worth,
                made,
            });
        }
    }

    fn inherit(&mut self, list: &[u32]) {
        for &entry in list {
            let e = self.found.entries[entry as usize];
            if e.worth >= self.least && self.seen.insert(e.counts) {
                self.list.push(entry);
            }
        }
    }

    fn piece(&mut self, way: usize, at: usize, lane: usize) {
        let mut counts = Counts::NONE;
        counts.0[lane] = 1;
        let made = Made::Piece(way as u32, at as u32);
        self.offer(counts.clip(&self.wanted), made);
    }

    /// The cell may stay waste.
    fn nothing(&mut self, at: usize) {
        self.offer(Counts::NONE, Made::Nothing(at as u32));
    }

    /// Both lists stand in the order of falling worth. Gives how many pairs were looked at; more than
    /// `left` of them are too many.
    fn pairs(&mut self, a: &[u32], b: &[u32], divides: Divides, left: u64) -> u64 {
        let mut looked = 0;
        for &one in a {
            let first = self.found.entries[one as usize];
            for &other in b {
                let second = self.found.entries[other as usize];
                if first.worth + second.worth < self.least {
                    break;
                }
                if looked > left || self.found.entries.len() > self.most {
                    return looked;
                }
                looked += 1;
                let counts = first.counts.join(&second.counts, &self.wanted);
                self.offer(counts, Made::Pair(divides, one, other));
            }
        }
        looked
    }

    fn finish(self) -> Vec<u32> {
        // So few that no limit needs to be asked.
        undominated(&self.found.entries, self.list, 600, None).unwrap_or_default()
    }
}

/// In the order of falling worth, without those that another covers. Lists longer than `most` are
/// only put in order.
fn undominated<const N: usize>(
    entries: &[Entry<N>],
    mut list: Vec<u32>,
    most: usize,
    mut meter: Option<&mut Meter>,
) -> Result<Vec<u32>, Stop> {
    let key = |&e: &u32| {
        let e = &entries[e as usize];
        (std::cmp::Reverse((e.worth, e.counts.pieces())), e.counts)
    };
    list.sort_by_cached_key(key);
    if list.len() > most {
        return Ok(list);
    }
    let mut kept: Vec<u32> = Vec::with_capacity(list.len());
    for entry in list {
        if let Some(meter) = &mut meter {
            meter.look()?;
        }
        let own = &entries[entry as usize].counts;
        let covered = |&k: &u32| own.is_within(&entries[k as usize].counts);
        if !kept.iter().any(covered) {
            kept.push(entry);
        }
    }
    Ok(kept)
}

impl<const N: usize> Near<N> {
    pub fn len(&self) -> usize {
        self.best.len()
    }

    pub fn layout(&self, board: &Board, at: usize) -> Layout {
        let made = |entry: u32| self.entries[entry as usize].made;
        Layout::of(self.best[at], |entry, ops, open| match made(entry) {
            Made::Nothing(at) => ops.push(board.nothing(board.cell(at as usize))),
            Made::Piece(way, at) => board.lay(way as usize, board.cell(at as usize), ops),
            Made::Pair(divides, a, b) => open.extend([Err(divides), Ok(a), Ok(b)]),
        })
    }
}
