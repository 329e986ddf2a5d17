//! A sheet as cells: every part that straight cuts can leave of it, what each can be made of, and what it
//! is worth. For `replay`, which trusts no table of the search; shares no code with it.

use super::job::{Job, Stages};
use super::points::{Axis, CheckError, Lain, lain};

/// A part of a sheet: what it may be cut into, and its place across and down.
pub(super) type Cell = (usize, usize, usize);

/// What a cell can be.
pub(super) enum Be {
    Piece(usize),
    Same(Cell),
    Pair(Cell, Cell),
}

/// One kind of part.
struct Layer {
    upright: bool,
    level: bool,
    pieces: bool,
    below: Option<usize>,
}

pub(super) struct Sheet {
    across: Axis,
    down: Axis,
    /// Ways of laying a piece, each with the group of that piece.
    pub lain: Vec<(Lain, usize)>,
    layers: Vec<Layer>,
    roots: Vec<usize>,
}

impl Sheet {
    /// `values` has one for each group of pieces that are the same to every stock.
    pub fn new(
        job: &Job,
        stock: usize,
        groups: &[Vec<usize>],
        values: &[u64],
    ) -> Result<Self, CheckError> {
        let mut each = vec![0; job.pieces.len()];
        let mut group_of = vec![0; job.pieces.len()];
        for (number, group) in groups.iter().enumerate() {
            for &member in group {
                each[member] = values[number];
                group_of[member] = number;
            }
        }
        let (across, down, each) = lain(job, &job.stocks[stock], &each)?;
        let each = each.into_iter().map(|l| (l, group_of[l.piece]));
        let layer = |upright, level, pieces, below| Layer {
            upright,
            level,
            pieces,
            below,
        };
        let (layers, roots) = match job.stages {
            Stages::Free => (vec![layer(true, true, true, None)], vec![0]),
            stages => {
                let stacks = stages == Stages::Three;
                let layers = vec![
                    layer(false, stacks, true, None),
                    layer(true, false, false, Some(0)),
                    layer(false, true, false, Some(1)),
                    layer(stacks, false, true, None),
                    layer(false, true, false, Some(3)),
                    layer(true, false, false, Some(4)),
                ];
                (layers, vec![2, 5])
            }
        };
        Ok(Self {
            across,
            down,
            lain: each.collect(),
            layers,
            roots,
        })
    }

    pub fn place(&self, (layer, i, j): Cell) -> usize {
        (layer * self.across.points.len() + i) * self.down.points.len() + j
    }

    /// The places of the cells that are the whole sheet.
    pub fn whole(&self) -> impl Iterator<Item = usize> {
        let (wide, high) = (self.across.points.len(), self.down.points.len());
        let corner = move |&root: &usize| self.place((root, wide - 1, high - 1));
        self.roots.iter().map(corner)
    }

    /// Every cell, after all that it can be made of.
    pub fn cells(&self) -> impl DoubleEndedIterator<Item = Cell> {
        let (wide, high) = (self.across.points.len(), self.down.points.len());
        let each = (0..self.layers.len()).flat_map(move |layer| (0..wide).map(move |i| (layer, i)));
        each.flat_map(move |(layer, i)| (0..high).map(move |j| (layer, i, j)))
    }

    pub fn each(&self, (number, i, j): Cell, mut be: impl FnMut(Be)) {
        let layer = &self.layers[number];
        if i > 0 {
            be(Be::Same((number, i - 1, j)));
        }
        if j > 0 {
            be(Be::Same((number, i, j - 1)));
        }
        if let Some(below) = layer.below {
            be(Be::Same((below, i, j)));
        }
        let (width, height) = (self.across.points[i], self.down.points[j]);
        if layer.pieces {
            for (at, (l, _)) in self.lain.iter().enumerate() {
                if l.width == width && l.height == height {
                    be(Be::Piece(at));
                }
            }
        }
        if layer.upright {
            for q in (1..i).take_while(|&q| 2 * self.across.points[q] <= width) {
                let rest = self.across.at(width - self.across.points[q]);
                be(Be::Pair((number, q, j), (number, rest, j)));
            }
        }
        if layer.level {
            for q in (1..j).take_while(|&q| 2 * self.down.points[q] <= height) {
                let rest = self.down.at(height - self.down.points[q]);
                be(Be::Pair((number, i, q), (number, i, rest)));
            }
        }
    }

    pub fn size(&self) -> usize {
        self.layers.len() * self.across.points.len() * self.down.points.len()
    }

    /// What each cell is worth at most.
    pub fn most(&self) -> Vec<u64> {
        let mut most = vec![0u64; self.size()];
        for cell in self.cells() {
            let mut own = 0;
            self.each(cell, |be| {
                own = own.max(match be {
                    Be::Piece(at) => self.lain[at].0.value,
                    Be::Same(other) => most[self.place(other)],
                    Be::Pair(a, b) => most[self.place(a)] + most[self.place(b)],
                });
            });
            most[self.place(cell)] = own;
        }
        most
    }

    /// What each cell must be worth at least to be in a pattern that is worth `least`.
    pub fn floors(&self, least: u64, most: &[u64]) -> Vec<u64> {
        let mut floor = vec![u64::MAX; self.size()];
        self.whole().for_each(|place| floor[place] = least);
        for cell in self.cells().rev() {
            let own = floor[self.place(cell)];
            if own == u64::MAX || own > most[self.place(cell)] {
                continue;
            }
            let mut lower = |cell: Cell, to: u64| {
                let floor = &mut floor[self.place(cell)];
                *floor = (*floor).min(to);
            };
            self.each(cell, |be| match be {
                Be::Piece(_) => {}
                Be::Same(other) => lower(other, own),
                Be::Pair(a, b) => {
                    let (in_a, in_b) = (most[self.place(a)], most[self.place(b)]);
                    if in_a + in_b >= own {
                        lower(a, own.saturating_sub(in_b));
                        lower(b, own.saturating_sub(in_a));
                    }
                }
            });
        }
        floor
    }
}
