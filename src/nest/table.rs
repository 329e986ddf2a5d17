//! The best use of one sheet for given values: the dynamic program of Gilmore and Gomory over the
//! cells of a board, and how a cell of it is cut.

use super::answer::{Divides, Stop};
use super::board::Board;
use super::board::Op;
use super::ladder::Ladder;
use super::layout::Layout;
use super::limits::Meter;

/// What each cell of each layer is worth at most.
#[derive(Clone, Debug)]
pub(super) struct Table<W = u64> {
    pub worth: Vec<W>,
}

/// A number that worth is counted in: small ones go through the machine four or eight at a time.
pub(super) trait Worth: Copy + Ord + Default {
    fn of(value: u64) -> Self;
    fn value(self) -> u64;
    /// The sum; sheets are worth less than overflows, and a check would cost half the speed.
    fn plus(self, other: Self) -> Self;
}

macro_rules! worth {
    ($($number:ty)*) => {$(
        impl Worth for $number {
            fn of(value: u64) -> Self {
                value as $number
            }
            fn value(self) -> u64 {
                self as u64
            }
            fn plus(self, other: Self) -> Self {
                self.wrapping_add(other)
            }
        }
    )*};
}
worth! { i16 i32 u64 }

/// Fills a table. `values` holds one value for each kind; no sheet may be worth 2^62 or more.
///
/// # Errors
/// A limit was met on the way.
pub(super) fn fill(board: &Board, values: &[u64], meter: &mut Meter) -> Result<Table, Stop> {
    meter.spend(board.work())?;
    let table = if 2 * most(board, values) < i32::MAX as u128 {
        let Table { worth } = fill_in::<i32>(board, values, meter, false)?;
        worth.into_iter().map(Worth::value).collect()
    } else {
        fill_in::<u64>(board, values, meter, false)?.worth
    };
    Ok(Table { worth: table })
}

/// No sheet is worth more: each square tick is worth no more than under the piece that is worth
/// most on all of it.
fn most(board: &Board, values: &[u64]) -> u128 {
    let last = |ladder: &Ladder| ladder.points.last().copied().unwrap_or(0);
    let area = |w: u32, h: u32| u128::from(w) * u128::from(h);
    let whole = area(last(&board.x), last(&board.y));
    let each = board.ways.iter();
    let each = each.map(|way| u128::from(values[way.kind]) * (whole / area(way.width, way.height)));
    each.max().unwrap_or(0)
}

/// Layouts that are worth much, the best first: cuts only where a piece ends, and in rough values.
/// Much faster than [`fill`] on large boards, and says nothing about what no layout is worth.
///
/// # Errors
/// A limit was met on the way.
pub(super) fn glance(
    board: &Board,
    values: &[u64],
    meter: &mut Meter,
) -> Result<Vec<Layout>, Stop> {
    meter.spend(board.work_at_a_glance())?;
    let most = 2 * most(board, values) / (i16::MAX as u128) + 1;
    // At most what was there: no smaller than `i16` holds.
    let most = u64::try_from(most).unwrap_or(u64::MAX);
    let rough: Vec<u64> = values.iter().map(|value| value / most).collect();
    let table = fill_in::<i16>(board, &rough, meter, true)?;
    let mut layouts = vec![layout(board, &table, &rough, meter)?];
    // Other first cuts that lose little.
    let (i, j) = (board.x.len() - 1, board.y.len() - 1);
    let best = root(board, &table).1;
    let mut pairs = Vec::new();
    for &root in &board.roots {
        let layer = &board.layers[root];
        let mut offer = |divides: Divides, a: Cell, b: Cell| {
            let worth = |c: Cell| table.worth[board.at(c.0, c.1, c.2)].value();
            let worth = worth(a) + worth(b);
            if worth < best && worth >= best - best / 16 {
                pairs.push((worth, divides, a, b));
            }
        };
        for &(a, b) in board.x.some(true, i) {
            if layer.upright {
                let (a, b) = (a as usize, b as usize);
                offer(Divides::Width, (root, a, j), (root, b, j));
            }
        }
        for &(a, b) in board.y.some(true, j) {
            if layer.level {
                let (a, b) = (a as usize, b as usize);
                offer(Divides::Height, (root, i, a), (root, i, b));
            }
        }
    }
    pairs.sort_by_key(|&(worth, divides, a, b)| (std::cmp::Reverse(worth), divides, a, b));
    pairs.dedup_by_key(|pair| pair.0);
    for &(_, divides, a, b) in pairs.iter().take(GLANCES) {
        let open = vec![Err(divides), Ok(a), Ok(b)];
        layouts.push(layout_from(board, &table, &rough, open, meter)?);
    }
    Ok(layouts)
}

/// So many layouts beside the best one are told of at a glance.
const GLANCES: usize = 6;

/// Rows and columns of one way, no more than are wanted.
pub(super) fn grid(board: &Board, way: usize, wanted: u64) -> Layout {
    let own = &board.ways[way];
    let fit = |ladder: &Ladder, side: u32| {
        let length = ladder.points.last().copied().unwrap_or(side);
        u64::from(length / side)
    };
    let across = fit(&board.x, own.width).min(wanted).max(1);
    let down = fit(&board.y, own.height)
        .min(wanted.div_ceil(across))
        .max(1);
    let mut ops = Vec::new();
    for row in 0..down {
        for place in 0..across {
            ops.push(own.op());
            if place > 0 {
                ops.push(Op::Join(Divides::Width));
            }
        }
        if row > 0 {
            ops.push(Op::Join(Divides::Height));
        }
    }
    Layout { ops }
}

/// Rows that are filled side by side.
const LANES: usize = 8;

fn fill_in<W: Worth>(
    board: &Board,
    values: &[u64],
    meter: &mut Meter,
    glance: bool,
) -> Result<Table<W>, Stop> {
    let (wide, high) = (board.x.len(), board.y.len());
    let cells = board.cells();
    let mut worth = vec![W::default(); cells * board.layers.len()];
    let mut lanes = vec![[W::default(); LANES]; high];
    for (number, layer) in board.layers.iter().enumerate() {
        let (done, own) = worth.split_at_mut(number * cells);
        let own = &mut own[..cells];
        if layer.pieces {
            for spot in &board.spots {
                let cell = &mut own[spot.cell.0 * high + spot.cell.1];
                *cell = W::of(values[board.ways[spot.way].kind]).max(*cell);
            }
        }
        let below = layer.below.map(|below| &done[below * cells..][..cells]);
        let (from_i, from_j) = board.from(layer);
        let few = glance || board.few_suffice(number);
        let mut first = from_i;
        while first < wide {
            meter.look()?;
            // Rows that are cut into rows before all of them.
            let cut_before = |i: usize| {
                let longest = board.x.some(few, i).first();
                !layer.upright || longest.is_none_or(|&(a, _)| (a as usize) < first)
            };
            let mut end = first + 1;
            while end < wide && end - first < LANES && cut_before(end) {
                end += 1;
            }
            let (before, rest) = own.split_at_mut(first * high);
            let block = &mut rest[..(end - first) * high];
            for (lane, here) in block.chunks_exact_mut(high).enumerate() {
                let i = first + lane;
                if let Some(below) = below {
                    here.copy_from_slice(&below[i * high..][..high]);
                }
                if layer.upright {
                    for &(a, b) in board.x.some(few, i) {
                        let a = &before[a as usize * high..][..high];
                        let b = &before[b as usize * high..][..high];
                        for ((most, a), b) in here.iter_mut().zip(a).zip(b) {
                            *most = (*most).max(a.plus(*b));
                        }
                    }
                }
                if lane == 0 && i > from_i && !board.strict {
                    for (most, other) in here.iter_mut().zip(&before[(i - 1) * high..]) {
                        *most = (*most).max(*other);
                    }
                }
                for (lanes, most) in lanes.iter_mut().zip(here.iter()) {
                    lanes[lane] = *most;
                }
            }
            level(board, layer.level.then_some(few), from_j, &mut lanes);
            for (lane, here) in block.chunks_exact_mut(high).enumerate() {
                for (most, lanes) in here.iter_mut().zip(&lanes) {
                    *most = lanes[lane];
                }
            }
            first = end;
        }
    }
    Ok(Table { worth })
}

/// Level cuts of rows side by side, all or few or none; a row holds what the one before it holds.
fn level<W: Worth>(board: &Board, few: Option<bool>, from: usize, lanes: &mut [[W; LANES]]) {
    for j in from..lanes.len() {
        let mut most = lanes[j];
        if j > from && !board.strict {
            for (most, below) in most.iter_mut().zip(&lanes[j - 1]) {
                *most = (*most).max(*below);
            }
        }
        if let Some(few) = few {
            for &(a, b) in board.y.some(few, j) {
                let (a, b) = (&lanes[a as usize], &lanes[b as usize]);
                for ((most, a), b) in most.iter_mut().zip(a).zip(b) {
                    *most = (*most).max(a.plus(*b));
                }
            }
        }
        if !board.strict {
            for lane in 1..LANES {
                most[lane] = most[lane].max(most[lane - 1]);
            }
        }
        lanes[j] = most;
    }
}

/// The root that is worth most.
pub(super) fn root<W: Worth>(board: &Board, table: &Table<W>) -> (usize, u64) {
    let (i, j) = (board.x.len() - 1, board.y.len() - 1);
    let worth = |root: usize| table.worth[board.at(root, i, j)].value();
    let each = board.roots.iter().map(|&root| (root, worth(root)));
    each.max_by_key(|&(root, worth)| (worth, std::cmp::Reverse(root)))
        .unwrap_or((0, 0))
}

/// A layout that is worth what the table says of the whole sheet; an empty one if it has more than
/// [`MOST_OPS`] steps.
///
/// # Errors
/// A limit was met.
pub(super) fn layout<W: Worth>(
    board: &Board,
    table: &Table<W>,
    values: &[u64],
    meter: &mut Meter,
) -> Result<Layout, Stop> {
    let (layer, _) = root(board, table);
    let whole = (layer, board.x.len() - 1, board.y.len() - 1);
    layout_from(board, table, values, vec![Ok(whole)], meter)
}

/// The most steps of a layout: no sheet is cut into half as many pieces by hand.
const MOST_OPS: usize = 1_000_000;

/// `open`: cells to be cut; `Err` closes a pair whose parts stand before it.
fn layout_from<W: Worth>(
    board: &Board,
    table: &Table<W>,
    values: &[u64],
    mut open: Vec<Result<Cell, Divides>>,
    meter: &mut Meter,
) -> Result<Layout, Stop> {
    let mut ops = Vec::new();
    while let Some(next) = open.pop() {
        meter.look()?;
        if ops.len() > MOST_OPS {
            ops = vec![Op::Nothing];
            break;
        }
        let (layer, i, j) = match next {
            Ok(cell) => cell,
            Err(divides) => {
                ops.push(Op::Join(divides));
                continue;
            }
        };
        match step(board, table, values, (layer, i, j)) {
            Step::Empty => ops.push(board.nothing((i, j))),
            Step::Piece(way) => board.lay(way, (i, j), &mut ops),
            Step::Same(cell) => open.push(Ok(cell)),
            Step::Pair(divides, a, b) => open.extend([Err(divides), Ok(a), Ok(b)]),
        }
    }
    Ok(Layout { ops })
}

type Cell = (usize, usize, usize);

enum Step {
    Empty,
    Piece(usize),
    Same(Cell),
    Pair(Divides, Cell, Cell),
}

fn step<W: Worth>(board: &Board, table: &Table<W>, values: &[u64], (number, i, j): Cell) -> Step {
    let worth = |i: usize, j: usize| table.worth[board.at(number, i, j)].value();
    let most = worth(i, j);
    let layer = &board.layers[number];
    let from = board.from(layer);
    if most == 0 {
        return Step::Empty;
    }
    if !board.strict && i > from.0 && worth(i - 1, j) == most {
        return Step::Same((number, i - 1, j));
    }
    if !board.strict && j > from.1 && worth(i, j - 1) == most {
        return Step::Same((number, i, j - 1));
    }
    let holds = |below: &usize| table.worth[board.at(*below, i, j)].value() == most;
    if let Some(below) = layer.below.filter(holds) {
        return Step::Same((below, i, j));
    }
    if layer.pieces {
        let mut held = board.held(i, j);
        if let Some(way) = held.find(|&way| values[board.ways[way].kind] == most) {
            return Step::Piece(way);
        }
    }
    if layer.upright {
        for &(a, b) in board.x.cuts(i) {
            let (a, b) = (a as usize, b as usize);
            if worth(a, j) + worth(b, j) == most {
                return Step::Pair(Divides::Width, (number, a, j), (number, b, j));
            }
        }
    }
    if layer.level {
        for &(a, b) in board.y.cuts(j) {
            let (a, b) = (a as usize, b as usize);
            if worth(i, a) + worth(i, b) == most {
                return Step::Pair(Divides::Height, (number, i, a), (number, i, b));
            }
        }
    }
    // A table that `fill` made has one of these.
    Step::Empty
}
