//! One stock's cells: lengths across and down, which of them hold a piece, and how they may be cut.

use super::answer::Divides;
use super::job::Stages;
use super::ladder::Ladder;

/// One step. Parts stand before what joins them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Op {
    /// One of a kind of the model.
    Piece {
        kind: usize,
        turned: bool,
    },
    Nothing,
    /// Left over, and it keeps its size (ticks).
    Waste {
        width: u64,
        height: u64,
    },
    /// The last two lie side by side, or one above the other.
    Join(Divides),
}

/// A board is large if its table takes so many nodes.
const LARGE: u64 = 20;
/// Where a table takes so many nodes, it is filled only where something is proved by it.
const HUGE: u64 = 200;
/// With more ways of laying pieces than this, more tables are filled.
const MANY_WAYS: usize = 24;

/// A way of laying a kind on a board; sizes with one gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Way {
    pub kind: usize,
    pub turned: bool,
    /// Ticks with one gap.
    pub width: u32,
    pub height: u32,
}

/// A cell that holds a piece (with waste beside it that the trimmer can cut off).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Places across and down.
    pub cell: (usize, usize),
    /// Place in the board's ways.
    pub way: usize,
}

/// Cells of one layer are cut into cells of the same layer, are looked at as cells of the layer
/// below, or hold a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Layer {
    /// Upright cuts, level cuts.
    pub upright: bool,
    pub level: bool,
    /// The layer whose cells these may also be.
    pub below: Option<usize>,
    /// Whether a cell may hold a piece (with waste beside it).
    pub pieces: bool,
    /// Only cells of the whole sheet's width, or height, belong to it.
    pub full_width: bool,
    pub full_height: bool,
}

/// One stock's cells.
#[derive(Clone, Debug)]
pub(super) struct Board {
    /// Lengths across and down.
    pub x: Ladder,
    pub y: Ladder,
    pub ways: Vec<Way>,
    /// By cell. Larger cells hold what smaller ones hold, unless the board is strict.
    pub spots: Vec<Spot>,
    /// Every cell is what is really there: nothing is thrown away but by a cut.
    pub strict: bool,
    /// It has all cells that matter. A strict one may lack those beside waste.
    pub complete: bool,
    /// What the blade takes away (ticks).
    pub gap: u64,
    /// A layer stands after every layer below it; those of `roots` hold the whole sheet.
    pub layers: Vec<Layer>,
    pub roots: Vec<usize>,
}

/// The layers that the stages allow, and which of them hold the whole sheet.
pub(super) fn layers(stages: Stages) -> (Vec<Layer>, Vec<usize>) {
    let pieces = Layer {
        upright: false,
        level: false,
        below: None,
        pieces: true,
        full_width: false,
        full_height: false,
    };
    if stages == Stages::Free {
        let free = Layer {
            upright: true,
            level: true,
            ..pieces
        };
        return (vec![free], vec![0]);
    }
    let mut layers = Vec::new();
    let mut roots = Vec::new();
    for first in [Divides::Height, Divides::Width] {
        let level = first == Divides::Height;
        let blocks = Layer {
            upright: stages == Stages::Three && !level,
            level: stages == Stages::Three && level,
            ..pieces
        };
        layers.push(blocks);
        let strips = Layer {
            upright: level,
            level: !level,
            below: Some(layers.len() - 1),
            pieces: false,
            ..pieces
        };
        layers.push(strips);
        let sheet = Layer {
            upright: !level,
            level,
            below: Some(layers.len() - 1),
            pieces: false,
            full_width: level,
            full_height: !level,
        };
        layers.push(sheet);
        roots.push(layers.len() - 1);
    }
    (layers, roots)
}

impl Way {
    pub fn op(&self) -> Op {
        Op::Piece {
            kind: self.kind,
            turned: self.turned,
        }
    }
}

impl Board {
    /// Pairs of parts that it knows.
    pub fn pairs(&self) -> usize {
        self.x.pairs() + self.x.few_pairs() + self.y.pairs() + self.y.few_pairs()
    }

    /// What one table costs, in nodes of the search: about a tenth of a millisecond each.
    pub fn work(&self) -> u64 {
        if self.layers.len() > 1 {
            self.work_for(self.x.few_pairs(), self.y.few_pairs())
        } else {
            self.work_for(self.x.pairs(), self.y.pairs())
        }
    }

    /// As [`Self::work`], where cuts are looked at only where a side ends, in small numbers.
    pub fn work_at_a_glance(&self) -> u64 {
        1 + self.work_for(self.x.few_pairs(), self.y.few_pairs()) / 2
    }

    fn work_for(&self, across: usize, down: usize) -> u64 {
        let pairs = across * self.y.len() + down * self.x.len();
        1 + (pairs * self.layers.len().div_ceil(2) / 200_000) as u64
    }

    /// Whether a glance first saves time.
    pub fn is_large(&self) -> bool {
        let least = if self.ways.len() > MANY_WAYS {
            LARGE / 5
        } else {
            LARGE
        };
        !self.strict && self.work() >= least
    }

    /// Whether a glance must do on the way.
    pub fn is_huge(&self) -> bool {
        !self.strict && self.work() >= HUGE
    }

    /// Whether cuts where a side ends are all that matter in a layer: a strip is put together from
    /// blocks that are as wide as a piece, and a block from pieces.
    pub fn few_suffice(&self, layer: usize) -> bool {
        let layer = &self.layers[layer];
        self.layers.len() > 1 && !layer.full_width && !layer.full_height
    }

    /// Cells of one layer.
    pub fn cells(&self) -> usize {
        self.x.len() * self.y.len()
    }

    /// Where a cell of a layer stands in a table of all layers.
    pub fn at(&self, layer: usize, i: usize, j: usize) -> usize {
        layer * self.cells() + i * self.y.len() + j
    }

    /// Places across and down of a cell in a table of all layers.
    pub fn cell(&self, at: usize) -> (usize, usize) {
        let at = at % self.cells();
        (at / self.y.len(), at % self.y.len())
    }

    /// The ways that a cell holds.
    pub fn held(&self, i: usize, j: usize) -> impl Iterator<Item = usize> {
        let from = self.spots.partition_point(|s| s.cell < (i, j));
        let spots = self.spots[from..].iter();
        spots.take_while(move |s| s.cell == (i, j)).map(|s| s.way)
    }

    /// A way in a cell, and the waste that the cell has beside it.
    pub fn lay(&self, way: usize, (i, j): (usize, usize), ops: &mut Vec<Op>) {
        let way = &self.ways[way];
        ops.push(way.op());
        let (over_x, over_y) = (self.x.points[i] - way.width, self.y.points[j] - way.height);
        if self.strict && over_x > 0 {
            ops.push(Op::Waste {
                width: u64::from(over_x) - self.gap,
                height: u64::from(way.height) - self.gap,
            });
            ops.push(Op::Join(Divides::Width));
        }
        if self.strict && over_y > 0 {
            ops.push(Op::Waste {
                width: u64::from(self.x.points[i]) - self.gap,
                height: u64::from(over_y) - self.gap,
            });
            ops.push(Op::Join(Divides::Height));
        }
    }

    /// A cell without anything in it.
    pub fn nothing(&self, (i, j): (usize, usize)) -> Op {
        if self.strict {
            Op::Waste {
                width: u64::from(self.x.points[i]) - self.gap,
                height: u64::from(self.y.points[j]) - self.gap,
            }
        } else {
            Op::Nothing
        }
    }

    /// The first place across, and down, that belongs to the layer.
    pub fn from(&self, layer: &Layer) -> (usize, usize) {
        let from = |full: bool, len: usize| if full { len - 1 } else { 0 };
        (
            from(layer.full_width, self.x.len()),
            from(layer.full_height, self.y.len()),
        )
    }
}
