//! A good use of one sheet that holds no more of a kind than is wanted.
//!
//! The dynamic program of `table` does not count pieces. Here every cell keeps one way of filling
//! it, with its counts; two are put together if that may be worth more. The best of all is not
//! always found: bounds never come from here.

use super::answer::{Divides, Stop};
use super::board::Board;
use super::layout::Layout;
use super::limits::Meter;
use super::near::{Counts, lanes_take};

#[derive(Clone, Copy)]
enum Made {
    Nothing,
    Piece(u32),
    /// What another cell holds.
    Same(u32),
    Pair(Divides, u32, u32),
}

/// What is looked for.
pub(super) struct Ask<'a, const N: usize> {
    pub board: &'a Board,
    /// Value of each kind of the model.
    pub values: &'a [u64],
    /// The lane of each kind; `None` for kinds that are not wanted.
    pub lanes: &'a [Option<usize>],
    pub wanted: Counts<N>,
}

/// Whether all cells with their counts take more memory than there is for them.
pub(super) fn is_too_large<const N: usize>(board: &Board) -> bool {
    board.cells() * board.layers.len() * (20 + size_of::<Counts<N>>()) > MOST_BYTES
}

/// The most bytes of all cells.
const MOST_BYTES: usize = 320_000_000;

struct Cells<'a, const N: usize> {
    values: &'a [u64; N],
    wanted: Counts<N>,
    worth: Vec<u64>,
    counts: Vec<Counts<N>>,
    made: Vec<Made>,
}

/// The worth of what was found, and how it lies.
///
/// # Errors
/// A limit was met.
pub(super) fn proper<const N: usize>(
    ask: &Ask<'_, N>,
    meter: &mut Meter,
) -> Result<(u64, Layout), Stop> {
    let board = ask.board;
    meter.spend(board.work() * lanes_take(N))?;
    let mut values = [0; N];
    for (kind, lane) in ask.lanes.iter().enumerate() {
        if let Some(lane) = lane {
            values[*lane] = ask.values[kind];
        }
    }
    let size = board.cells() * board.layers.len();
    let mut cells = Cells {
        values: &values,
        wanted: ask.wanted,
        worth: vec![0; size],
        counts: vec![Counts::NONE; size],
        made: vec![Made::Nothing; size],
    };
    let (wide, high) = (board.x.len(), board.y.len());
    // On a large board cuts are looked at only where a piece ends.
    let large = board.is_large();
    for (number, layer) in board.layers.iter().enumerate() {
        let from = board.from(layer);
        let few = large && (board.few_suffice(number) || board.layers.len() == 1);
        if layer.pieces {
            for spot in &board.spots {
                if let Some(lane) = ask.lanes[board.ways[spot.way].kind] {
                    let at = board.at(number, spot.cell.0, spot.cell.1);
                    cells.piece(at, spot.way, lane);
                }
            }
        }
        for i in from.0..wide {
            for j in from.1..high {
                if j % 16 == 0 {
                    meter.look()?;
                }
                let at = board.at(number, i, j);
                if let Some(below) = layer.below {
                    cells.same(at, board.at(below, i, j));
                }
                if i > from.0 && !board.strict {
                    cells.same(at, board.at(number, i - 1, j));
                }
                if j > from.1 && !board.strict {
                    cells.same(at, board.at(number, i, j - 1));
                }
                if layer.upright {
                    let row = board.at(number, 0, j);
                    for &(a, b) in board.x.some(few, i) {
                        let (a, b) = (row + a as usize * high, row + b as usize * high);
                        cells.pair(at, a, b, Divides::Width);
                    }
                }
                if layer.level {
                    let row = board.at(number, i, 0);
                    for &(a, b) in board.y.some(few, j) {
                        let (a, b) = (row + a as usize, row + b as usize);
                        cells.pair(at, a, b, Divides::Height);
                    }
                }
            }
        }
    }
    let roots = board.roots.iter().map(|&r| board.at(r, wide - 1, high - 1));
    let root = roots.max_by_key(|&at| cells.worth[at]).unwrap_or(0);
    Ok((cells.worth[root], cells.layout(board, root)))
}

impl<const N: usize> Cells<'_, N> {
    fn piece(&mut self, at: usize, way: usize, lane: usize) {
        if self.values[lane] > self.worth[at] && self.wanted.0[lane] > 0 {
            let mut counts = Counts::NONE;
            counts.0[lane] = 1;
            self.counts[at] = counts;
            self.worth[at] = self.values[lane];
            self.made[at] = Made::Piece(way as u32);
        }
    }

    fn same(&mut self, at: usize, other: usize) {
        if self.worth[other] > self.worth[at] {
            self.worth[at] = self.worth[other];
            self.counts[at] = self.counts[other];
            self.made[at] = Made::Same(other as u32);
        }
    }

    fn pair(&mut self, at: usize, a: usize, b: usize, divides: Divides) {
        if self.worth[a] + self.worth[b] <= self.worth[at] {
            return;
        }
        let counts = self.counts[a].join(&self.counts[b], &self.wanted);
        let worth = counts.worth(self.values);
        if worth > self.worth[at] {
            self.worth[at] = worth;
            self.counts[at] = counts;
            self.made[at] = Made::Pair(divides, a as u32, b as u32);
        }
    }

    fn layout(&self, board: &Board, root: usize) -> Layout {
        Layout::of(root, |at, ops, open| match self.made[at] {
            Made::Nothing => ops.push(board.nothing(board.cell(at))),
            Made::Piece(way) => board.lay(way as usize, board.cell(at), ops),
            Made::Same(other) => open.push(Ok(other as usize)),
            Made::Pair(divides, a, b) => {
                open.extend([Err(divides), Ok(a as usize), Ok(b as usize)]);
            }
        })
    }
}
