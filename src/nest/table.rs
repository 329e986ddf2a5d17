//! The best use of one sheet for given values: the dynamic program of Gilmore and Gomory over the
//! cells of a board, and how a cell of it is cut.

use super::answer::Divides;
use super::answer::Stop;
use super::layout::{Layout, Op};
use super::limits::Meter;
use super::model::Board;

/// What each cell of each layer is worth at most.
#[derive(Clone, Debug)]
pub(super) struct Table {
    pub worth: Vec<u64>,
}

/// Fills a table. `values` holds one value for each kind; no sheet may be worth 2^62 or more.
///
/// # Errors
/// A limit was met on the way.
pub(super) fn fill(board: &Board, values: &[u64], meter: &mut Meter) -> Result<Table, Stop> {
    meter.spend(board.work())?;
    let (wide, high) = (board.x.len(), board.y.len());
    let cells = board.cells();
    let mut worth = vec![0u64; cells * board.layers.len()];
    let mut row = vec![0u64; high];
    for (number, layer) in board.layers.iter().enumerate() {
        let (done, own) = worth.split_at_mut(number * cells);
        let own = &mut own[..cells];
        if layer.pieces {
            for spot in &board.spots {
                let cell = &mut own[spot.cell.0 * high + spot.cell.1];
                *cell = values[board.ways[spot.way].kind].max(*cell);
            }
        }
        let below = layer.below.map(|below| &done[below * cells..][..cells]);
        let (from_i, from_j) = board.from(layer);
        for i in from_i..wide {
            if i % 64 == 0 {
                meter.look()?;
            }
            let (before, rest) = own.split_at_mut(i * high);
            let here = &mut rest[..high];
            if let Some(below) = below {
                here.copy_from_slice(&below[i * high..][..high]);
            }
            if i > from_i && !board.strict {
                raise(here, &before[(i - 1) * high..]);
            }
            if layer.upright {
                row.copy_from_slice(here);
                for &(a, b) in board.x.cuts(i) {
                    let a = &before[a as usize * high..][..high];
                    let b = &before[b as usize * high..][..high];
                    for ((most, a), b) in row.iter_mut().zip(a).zip(b) {
                        // Values are bounded above; a check for overflow would cost half the speed.
                        *most = (*most).max(a.wrapping_add(*b));
                    }
                }
                here.copy_from_slice(&row);
            }
            for j in from_j..high {
                let mut most = here[j];
                if j > from_j && !board.strict {
                    most = most.max(here[j - 1]);
                }
                if layer.level {
                    for &(a, b) in board.y.cuts(j) {
                        most = most.max(here[a as usize].wrapping_add(here[b as usize]));
                    }
                }
                here[j] = most;
            }
        }
    }
    Ok(Table { worth })
}

fn raise(here: &mut [u64], other: &[u64]) {
    for (most, other) in here.iter_mut().zip(other) {
        *most = (*most).max(*other);
    }
}

/// The root that is worth most.
pub(super) fn root(board: &Board, table: &Table) -> (usize, u64) {
    let (i, j) = (board.x.len() - 1, board.y.len() - 1);
    let each = board
        .roots
        .iter()
        .map(|&root| (root, table.worth[board.at(root, i, j)]));
    each.max_by_key(|&(root, worth)| (worth, std::cmp::Reverse(root)))
        .unwrap_or((0, 0))
}

/// A layout that is worth what the table says of the whole sheet.
pub(super) fn layout(board: &Board, table: &Table, values: &[u64]) -> Layout {
    let (layer, _) = root(board, table);
    let mut ops = Vec::new();
    // Cells to be cut; `Err` closes a pair whose parts stand before it.
    let mut open = vec![Ok((layer, board.x.len() - 1, board.y.len() - 1))];
    while let Some(next) = open.pop() {
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
            Step::Pair(divides, a, b) => {
                open.push(Err(divides));
                open.push(Ok(a));
                open.push(Ok(b));
            }
        }
    }
    Layout { ops }
}

type Cell = (usize, usize, usize);

enum Step {
    Empty,
    Piece(usize),
    Same(Cell),
    Pair(Divides, Cell, Cell),
}

fn step(board: &Board, table: &Table, values: &[u64], (number, i, j): Cell) -> Step {
    let worth = |i: usize, j: usize| table.worth[board.at(number, i, j)];
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
    if let Some(below) = layer
        .below
        .filter(|&b| table.worth[board.at(b, i, j)] == most)
    {
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
