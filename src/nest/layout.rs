//! How pieces lie on a board, before sizes and names: a flat list that is put together from the
//! end backwards, so that no number of pieces is too deep; and how it becomes a part tree.

use super::answer::{Divides, Part};
use super::board::Op;
use super::build::{offcut, place, stack};
use super::job::Job;
use super::model::Model;

#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(super) struct Layout {
    pub ops: Vec<Op>,
}

impl Layout {
    /// From the whole downwards: `step` lays what a part is, or opens the parts that it is made of, behind
    /// what joins them.
    pub fn of<P>(
        whole: P,
        mut step: impl FnMut(P, &mut Vec<Op>, &mut Vec<Result<P, Divides>>),
    ) -> Self {
        let (mut ops, mut open) = (Vec::new(), vec![Ok(whole)]);
        while let Some(next) = open.pop() {
            match next {
                Ok(part) => step(part, &mut ops, &mut open),
                Err(divides) => ops.push(Op::Join(divides)),
            }
        }
        Self { ops }
    }

    /// How often each kind lies on it.
    pub fn counts(&self, kinds: usize) -> Vec<u64> {
        let mut counts = vec![0; kinds];
        for op in &self.ops {
            if let Op::Piece { kind, .. } = op {
                counts[*kind] += 1;
            }
        }
        counts
    }
}

/// Things that lie side by side, and how much room they take.
struct Group {
    divides: Option<Divides>,
    width: u64,
    height: u64,
    parts: Vec<Group>,
    /// A piece of the job, its size and whether it is turned.
    piece: Option<(usize, bool)>,
}

impl Group {
    /// Paper, or a piece of the job and whether it is turned.
    fn of(width: u64, height: u64, piece: Option<(usize, bool)>) -> Self {
        Self {
            divides: None,
            width,
            height,
            parts: Vec::new(),
            piece,
        }
    }
}

/// Gives out the members of a kind, in order, as often as each is wanted and may come from a stock.
pub(super) struct Hand {
    /// For each piece of the job.
    pub left: Vec<u64>,
    /// For each stock and piece.
    alike: Vec<Vec<u64>>,
}

impl Hand {
    pub fn new(job: &Job) -> Self {
        let alike = job.pieces.iter().map(|p| p.most_alike.unwrap_or(u64::MAX));
        Self {
            left: job.pieces.iter().map(|p| p.count).collect(),
            alike: vec![alike.collect(); job.stocks.len()],
        }
    }

    /// One that never runs out.
    pub fn endless(job: &Job) -> Self {
        Self {
            left: vec![u64::MAX; job.pieces.len()],
            alike: vec![vec![u64::MAX; job.pieces.len()]; job.stocks.len()],
        }
    }

    /// The next piece of a kind; `None` once all are given out.
    fn take(&mut self, model: &Model, stock: usize, kind: usize) -> Option<usize> {
        let members = model.kinds[kind].members.iter().copied();
        let mut open = members.filter(|&m| self.left[m] > 0 && self.alike[stock][m] > 0);
        let piece = open.next()?;
        self.left[piece] -= 1;
        self.alike[stock][piece] -= 1;
        Some(piece)
    }

    /// Gives out the same for more sheets of the stock, at most so many; says for how many.
    pub fn again(&mut self, stock: usize, took: &[u64], most: u64) -> u64 {
        let mut times = most;
        for (piece, &took) in took.iter().enumerate().filter(|(_, took)| **took > 0) {
            let left = self.left[piece].min(self.alike[stock][piece]);
            times = times.min(left / took);
        }
        for (piece, took) in took.iter().enumerate() {
            self.left[piece] -= took * times;
            self.alike[stock][piece] -= took * times;
        }
        times
    }
}

/// The part tree of a layout on the stock's sheet. What the hand does not give stays paper.
pub(super) fn realize(model: &Model, stock: usize, layout: &Layout, hand: &mut Hand) -> Part {
    let whole = model.job.stocks[stock].whole();
    let gap = model.job.gap;
    let mut done: Vec<Option<Group>> = Vec::new();
    for op in &layout.ops {
        match *op {
            Op::Nothing => done.push(None),
            Op::Waste { width, height } => done.push(Some(Group::of(width, height, None))),
            Op::Piece { kind, turned } => {
                let (width, height) = model.size(kind, turned);
                let piece = hand.take(model, stock, kind);
                if piece.is_none() && model.job.narrowest > 1 {
                    done.push(Some(Group::of(width, height, None)));
                    continue;
                }
                done.push(piece.map(|piece| {
                    let p = &model.job.pieces[piece];
                    // A member of the kind may be named the other way round.
                    let turned = (p.width, p.height) != (width, height);
                    Group::of(width, height, Some((piece, turned)))
                }));
            }
            Op::Join(divides) => {
                let b = done.pop().flatten();
                let a = done.pop().flatten();
                done.push(join(a, b, divides, gap));
            }
        }
    }
    let group = done.pop().flatten();
    group.map_or(whole.clone(), |g| lay(g, whole.width, whole.height, gap))
}

fn join(a: Option<Group>, b: Option<Group>, divides: Divides, gap: u64) -> Option<Group> {
    let (mut a, mut b) = match (a, b) {
        (Some(a), Some(b)) => (a, b),
        (one, other) => return one.or(other),
    };
    let (width, height) = match divides {
        Divides::Width => (a.width + gap + b.width, a.height.max(b.height)),
        Divides::Height => (a.width.max(b.width), a.height + gap + b.height),
    };
    let same = |g: &Group| g.divides == Some(divides);
    if same(&b) && (!same(&a) || a.parts.len() < b.parts.len()) {
        std::mem::swap(&mut a, &mut b);
    }
    let mut parts = if same(&a) { a.parts } else { vec![a] };
    if same(&b) {
        parts.extend(b.parts);
    } else {
        parts.push(b);
    }
    Some(Group {
        divides: Some(divides),
        width,
        height,
        parts,
        piece: None,
    })
}

/// A group in a part of this size; every part of it takes the whole of the other measure.
fn lay(group: Group, width: u64, height: u64, gap: u64) -> Part {
    if let Some((piece, turned)) = group.piece {
        let size = (group.width, group.height);
        return place(piece, turned, size, (width, height), Divides::Height, gap);
    }
    let Some(divides) = group.divides else {
        return offcut(width, height);
    };
    let parts = group.parts.into_iter().map(|part| {
        let (width, height) = match divides {
            Divides::Width => (part.width, height),
            Divides::Height => (width, part.height),
        };
        lay(part, width, height, gap)
    });
    stack(width, height, divides, gap, parts.collect())
}
