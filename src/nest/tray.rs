//! One sheet on the way: a tree of straight cuts in which pieces are taken out and others put in.
//!
//! Sizes here are whole ticks with one gap. The parts of a split lie in no order; what is left of
//! them is one part. No part of a split is split again in the same direction.

use super::answer::Divides;
use super::board::Op;
use super::layout::Layout;

const NONE: u16 = u16::MAX;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    Waste,
    /// Kind of the model, and whether it is turned.
    Piece(u32, bool),
    Split(Divides),
    /// The place is free.
    Gone,
}

#[derive(Clone, Copy, Debug)]
struct Node {
    width: u32,
    height: u32,
    what: What,
    /// Splits above it.
    depth: u8,
    parent: u16,
    first: u16,
    next: u16,
}

impl Node {
    fn along(&self, divides: Divides) -> u32 {
        match divides {
            Divides::Width => self.width,
            Divides::Height => self.height,
        }
    }

    fn along_mut(&mut self, divides: Divides) -> &mut u32 {
        match divides {
            Divides::Width => &mut self.width,
            Divides::Height => &mut self.height,
        }
    }

    fn area(&self) -> u64 {
        u64::from(self.width) * u64::from(self.height)
    }
}

/// A sheet of a stock that is being filled.
#[derive(Debug, Default)]
pub(super) struct Tray {
    pub stock: usize,
    nodes: Vec<Node>,
    free: Vec<u16>,
    /// Pieces on it.
    pub pieces: usize,
    /// Their area (square ticks, gaps included).
    pub area: u64,
    /// The worth of all waste when it was last looked at.
    pub left: u64,
    /// The narrowest waste that the trimmer cuts off, with one gap; 0 if any will do.
    held: u32,
}

impl Clone for Tray {
    fn clone(&self) -> Self {
        let mut tray = Tray::default();
        tray.clone_from(self);
        tray
    }

    fn clone_from(&mut self, other: &Self) {
        self.nodes.clone_from(&other.nodes);
        self.free.clone_from(&other.free);
        (self.stock, self.pieces) = (other.stock, other.pieces);
        (self.area, self.left, self.held) = (other.area, other.left, other.held);
    }
}

/// A piece in one of its ways.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lay {
    pub kind: u32,
    pub turned: bool,
    pub width: u32,
    pub height: u32,
}

/// Where a piece can go: a part that is left over, and along which measure it is cut first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    node: u16,
    first: Divides,
    /// How much longer than the piece the part is that is cut off first.
    more: u32,
}

/// Waste is worth the square of its area: one large part is better than two halves.
fn worth(area: u64, shift: u32) -> u64 {
    let area = area >> shift;
    area * area
}

impl Tray {
    /// An empty sheet. No waste is cut off that is narrower than `held`.
    pub fn open(&mut self, stock: usize, width: u32, height: u32, held: u32) {
        self.nodes.clear();
        self.free.clear();
        self.held = held;
        (self.stock, self.pieces, self.area) = (stock, 0, 0);
        self.nodes.push(Node {
            width,
            height,
            what: What::Waste,
            depth: 0,
            parent: NONE,
            first: NONE,
            next: NONE,
        });
    }

    /// How many places there are to look at.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    fn at(&self, node: u16) -> &Node {
        &self.nodes[usize::from(node)]
    }

    fn at_mut(&mut self, node: u16) -> &mut Node {
        &mut self.nodes[usize::from(node)]
    }

    /// Looks at the worth of all waste, areas shifted right by so much before they are squared.
    pub fn weigh(&mut self, shift: u32) {
        let left = self.nodes.iter().filter(|n| n.what == What::Waste);
        self.left = left.map(|n| worth(n.area(), shift)).sum();
    }

    /// Whether waste of this length can be cut off.
    fn holds(&self, over: u32) -> bool {
        over == 0 || over >= self.held
    }

    /// Offers every slot for a piece with how much worth of waste it costs; `most` splits may lie
    /// above each other, and one more that only takes waste off a piece. `wide`: what is cut off
    /// first is longer than the piece, by waste just as wide as the trimmer holds, so that pieces a
    /// little longer or shorter can lie beside it.
    pub fn slots(
        &self,
        lay: &Lay,
        (most, wide): (u8, bool),
        shift: u32,
        mut offer: impl FnMut(u64, Slot),
    ) {
        let more = if wide { self.held } else { 0 };
        for (at, node) in self.nodes.iter().enumerate() {
            if node.what != What::Waste || node.width < lay.width || node.height < lay.height {
                continue;
            }
            if self.nodes.len() + 6 >= usize::from(NONE) {
                return;
            }
            let (over_x, over_y) = (node.width - lay.width, node.height - lay.height);
            if !self.holds(over_x) || !self.holds(over_y) {
                continue;
            }
            let own = worth(node.area(), shift);
            let area = |w: u32, h: u32| worth(u64::from(w) * u64::from(h), shift);
            let parent = (node.parent != NONE).then(|| self.at(node.parent).what);
            for first in [Divides::Width, Divides::Height] {
                let (over, beside) = match first {
                    Divides::Width => (over_x, over_y),
                    Divides::Height => (over_y, over_x),
                };
                // Nothing to be cut in this direction: the other one does it.
                if over == 0 && beside > 0 {
                    continue;
                }
                // Waste that is cut off beside the piece later.
                let more = match beside > 0 && over > more && self.holds(over - more) {
                    true => more,
                    false => 0,
                };
                let along = parent == Some(What::Split(first));
                let deepest = match (along, over > 0, beside > 0) {
                    // As a further part of the split above, which is no single piece then.
                    (true, ..) => node.depth,
                    (false, true, true) => node.depth + 1,
                    (false, ..) => node.depth,
                };
                if deepest + u8::from(more > 0) > most {
                    continue;
                }
                let left = match first {
                    Divides::Width => {
                        area(over_x - more, node.height)
                            + area(lay.width + more, over_y)
                            + area(more, lay.height)
                    }
                    Divides::Height => {
                        area(node.width, over_y - more)
                            + area(over_x, lay.height + more)
                            + area(lay.width, more)
                    }
                };
                let node = at as u16;
                offer(own.saturating_sub(left), Slot { node, first, more });
                if over == 0 {
                    break;
                }
            }
        }
    }

    fn new_node(&mut self, node: Node) -> u16 {
        if let Some(at) = self.free.pop() {
            *self.at_mut(at) = node;
            return at;
        }
        self.nodes.push(node);
        (self.nodes.len() - 1) as u16
    }

    /// A new first part of a split.
    fn child(&mut self, parent: u16, width: u32, height: u32, what: What) -> u16 {
        let above = *self.at(parent);
        let child = self.new_node(Node {
            width,
            height,
            what,
            depth: above.depth + 1,
            parent,
            first: NONE,
            next: above.first,
        });
        self.at_mut(parent).first = child;
        child
    }

    /// Puts a piece into a slot that was offered for it.
    pub fn put(&mut self, lay: &Lay, slot: Slot) {
        self.pieces += 1;
        self.area += u64::from(lay.width) * u64::from(lay.height);
        let Slot { node, first, more } = slot;
        let piece = What::Piece(lay.kind, lay.turned);
        let own = *self.at(node);
        let along = match first {
            Divides::Width => lay.width + more,
            Divides::Height => lay.height + more,
        };
        let over = own.along(first) - along;
        // The part that is cut off first.
        let part = if over == 0 {
            node
        } else {
            let mut size = own;
            *size.along_mut(first) = along;
            let above = own.parent;
            if above != NONE && self.at(above).what == What::Split(first) {
                *self.at_mut(node).along_mut(first) = over;
                self.child(above, size.width, size.height, What::Waste)
            } else {
                self.at_mut(node).what = What::Split(first);
                let mut rest = own;
                *rest.along_mut(first) = over;
                self.child(node, rest.width, rest.height, What::Waste);
                self.child(node, size.width, size.height, What::Waste)
            }
        };
        // What the part has beside the piece: across what was cut first, then along it.
        let mut part = part;
        for divides in [first.other(), first] {
            let own = *self.at(part);
            let side = match divides {
                Divides::Width => lay.width,
                Divides::Height => lay.height,
            };
            if own.along(divides) > side {
                let (mut size, mut rest) = (own, own);
                *size.along_mut(divides) = side;
                *rest.along_mut(divides) -= side;
                self.at_mut(part).what = What::Split(divides);
                self.child(part, rest.width, rest.height, What::Waste);
                part = self.child(part, size.width, size.height, What::Waste);
            }
        }
        self.at_mut(part).what = piece;
    }

    /// The piece at `number` of all, or a part around it that is `up` splits larger, is taken out;
    /// gives the kinds that lay there.
    pub fn take(&mut self, number: usize, up: usize, out: &mut Vec<u32>) {
        let mut pieces =
            (0..self.nodes.len() as u16).filter(|&at| matches!(self.at(at).what, What::Piece(..)));
        let Some(mut node) = pieces.nth(number) else {
            return;
        };
        for _ in 0..up {
            if self.at(node).parent == NONE {
                break;
            }
            node = self.at(node).parent;
        }
        self.clear(node, out);
        self.settle(node);
    }

    /// A node becomes waste, all below it goes.
    fn clear(&mut self, node: u16, out: &mut Vec<u32>) {
        let what = std::mem::replace(&mut self.at_mut(node).what, What::Waste);
        if let What::Piece(kind, _) = what {
            self.pieces -= 1;
            self.area -= self.at(node).area();
            out.push(kind);
        }
        let mut child = std::mem::replace(&mut self.at_mut(node).first, NONE);
        while child != NONE {
            let next = self.at(child).next;
            self.clear(child, out);
            self.at_mut(child).what = What::Gone;
            self.free.push(child);
            child = next;
        }
    }

    fn children(&self, node: u16) -> impl Iterator<Item = u16> {
        let first = self.at(node).first;
        let next = |&at: &u16| Some(self.at(at).next).filter(|&next| next != NONE);
        std::iter::successors((first != NONE).then_some(first), next)
    }

    fn waste_in(&self, node: u16) -> Option<u16> {
        let mut parts = self.children(node);
        parts.find(|&c| self.at(c).what == What::Waste)
    }

    fn unlink(&mut self, parent: u16, child: u16) {
        let next = self.at(child).next;
        let before = self.children(parent).find(|&c| self.at(c).next == child);
        if let Some(before) = before {
            self.at_mut(before).next = next;
        } else {
            self.at_mut(parent).first = next;
        }
        self.at_mut(child).what = What::Gone;
        self.free.push(child);
    }

    /// Waste beside waste becomes one part, a split with nothing in it none, and a part with waste
    /// all along it becomes smaller, upwards from a node that has become waste.
    fn settle(&mut self, mut node: u16) {
        while self.at(node).parent != NONE {
            let parent = self.at(node).parent;
            let What::Split(divides) = self.at(parent).what else {
                return;
            };
            if self.at(node).what == What::Waste {
                let is_other = |&c: &u16| c != node && self.at(c).what == What::Waste;
                let other = self.children(parent).find(is_other);
                if let Some(other) = other {
                    let more = self.at(other).along(divides);
                    *self.at_mut(node).along_mut(divides) += more;
                    self.unlink(parent, other);
                }
                if self.at(node).next == NONE && self.at(parent).first == node {
                    self.unlink(parent, node);
                    self.at_mut(parent).what = What::Waste;
                }
            }
            if self.at(parent).what == What::Split(divides) {
                self.tighten(parent, divides);
            }
            node = parent;
        }
    }

    /// What every part of a split has left over across it goes to the split above.
    fn tighten(&mut self, node: u16, divides: Divides) {
        let (above, across) = (self.at(node).parent, divides.other());
        if above == NONE {
            return;
        }
        let slack = |&child: &u16| match self.at(child).what {
            What::Waste => u32::MAX,
            What::Split(_) => {
                let waste = self.waste_in(child);
                waste.map_or(0, |c| self.at(c).along(across))
            }
            _ => 0,
        };
        let mut least = self.children(node).map(|c| slack(&c)).min().unwrap_or(0);
        if least == u32::MAX {
            return;
        }
        let all_hold = |least: u32| {
            let mut rest = self
                .children(node)
                .map(|c| slack(&c))
                .filter(|s| *s < u32::MAX);
            rest.all(|slack| self.holds(slack - least))
        };
        if !all_hold(least) {
            least = least.saturating_sub(self.held);
        }
        if least == 0 || self.waste_in(above).is_none() && !self.holds(least) {
            return;
        }
        let mut child = self.at(node).first;
        while child != NONE {
            let next = self.at(child).next;
            *self.at_mut(child).along_mut(across) -= least;
            if let What::Split(_) = self.at(child).what {
                let waste = self.waste_in(child);
                if let Some(waste) = waste {
                    *self.at_mut(waste).along_mut(across) -= least;
                    if self.at(waste).along(across) == 0 {
                        self.unlink(child, waste);
                        self.lift(child);
                    }
                }
            }
            child = next;
        }
        *self.at_mut(node).along_mut(across) -= least;
        let waste = self.waste_in(above);
        if let Some(waste) = waste {
            *self.at_mut(waste).along_mut(across) += least;
        } else {
            let mut size = *self.at(node);
            *size.along_mut(across) = least;
            self.child(above, size.width, size.height, What::Waste);
        }
    }

    /// A split with one part alone is that part.
    fn lift(&mut self, node: u16) {
        let only = self.at(node).first;
        if only == NONE || self.at(only).next != NONE {
            return;
        }
        // A piece: of a split, the parts would have to become parts of the split above `node`.
        if let What::Piece(..) = self.at(only).what {
            let what = self.at(only).what;
            self.at_mut(node).first = NONE;
            self.at_mut(node).what = what;
            self.at_mut(only).what = What::Gone;
            self.free.push(only);
        }
    }

    /// How it is cut. Where the trimmer does not hold all waste, it keeps its size, less one gap.
    pub fn layout(&self, gap: u64) -> Layout {
        Layout::of(0u16, |node, ops, open| match self.at(node).what {
            What::Waste if self.held > 0 => ops.push(Op::Waste {
                width: u64::from(self.at(node).width) - gap,
                height: u64::from(self.at(node).height) - gap,
            }),
            What::Waste | What::Gone => ops.push(Op::Nothing),
            What::Piece(kind, turned) => ops.push(Op::Piece {
                kind: kind as usize,
                turned,
            }),
            What::Split(divides) => {
                let parts: Vec<u16> = self.children(node).collect();
                open.extend((1..parts.len()).map(|_| Err(divides)));
                open.extend(parts.into_iter().map(Ok));
            }
        })
    }
}
