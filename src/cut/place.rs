//! Where each piece lies on its sheet, and where each cut runs: in the order in which they come off,
//! from the left and from the top.

use super::steps::{Is, Laid, Lies, SheetPlan};
use super::tree::{Group, Node};
use super::work::PaperPlan;
use crate::length::Length;
use crate::nest::Divides;

/// A part that is not cut again, and its place from the sheet's left and top edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    pub x: Length,
    pub y: Length,
    pub lies: Lies,
}

/// A straight cut, or the strip that the blade takes, from one end to the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line {
    pub from: (Length, Length),
    pub to: (Length, Length),
    /// Counted from 0.
    pub step: usize,
}

/// Strips of one sheet, each as it comes off, before it is cut again; places count from the untrimmed
/// sheet's corner.
pub fn strips(plan: &PaperPlan, sheet: &SheetPlan) -> Vec<Placed> {
    let mut room = Room::new(plan, sheet);
    if sheet.uncut.is_none() {
        room.group(0, (sheet.edges.left, sheet.edges.top));
    }
    room.strips
}

/// Parts and cuts of one sheet; places count from the untrimmed sheet's corner.
pub fn placed(plan: &PaperPlan, sheet: &SheetPlan) -> (Vec<Placed>, Vec<Line>) {
    let mut room = Room::new(plan, sheet);
    let start = (sheet.edges.left, sheet.edges.top);
    match sheet.uncut {
        Some(node) => {
            let (width, height) = (sheet.width, sheet.height);
            room.leaf(node, start, (width, height));
        }
        None => room.group(0, start),
    }
    (room.parts, room.lines)
}

struct Room<'a> {
    plan: &'a PaperPlan,
    sheet: &'a SheetPlan,
    parts: Vec<Placed>,
    lines: Vec<Line>,
    strips: Vec<Placed>,
}

/// From the left, from the top.
type At = (Length, Length);

fn plus(a: Length, b: Length) -> Length {
    a.checked_add(b).unwrap_or(Length::LARGEST)
}

impl<'a> Room<'a> {
    fn new(plan: &'a PaperPlan, sheet: &'a SheetPlan) -> Room<'a> {
        Room {
            plan,
            sheet,
            parts: Vec::new(),
            lines: Vec::new(),
            strips: Vec::new(),
        }
    }

    fn leaf(&mut self, node: Node, at: At, (width, height): (Length, Length)) {
        let is = match node {
            Node::Piece { piece, turned } => Is::Piece { piece, turned },
            Node::Offcut | Node::Again(_) => Is::Offcut,
        };
        self.parts.push(Placed {
            x: at.0,
            y: at.1,
            lies: Lies { is, width, height },
        });
    }

    fn group(&mut self, n: usize, at: At) {
        let sheet = self.sheet;
        let group: &Group = &sheet.groups[n];
        let counted = &self.plan.counted;
        let gap = counted.length(counted.job.gap);
        let (width, height) = (counted.length(group.width), counted.length(group.height));
        let mut now = at;
        for laid in &sheet.laid[n] {
            let along = counted.length(laid.along);
            for _ in 0..laid.count {
                self.part(group, laid, now, along, (width, height));
                let (x, y) = (plus(now.0, along), plus(now.1, along));
                let (line, next) = match group.divides {
                    Divides::Width => (
                        ((x, now.1), (x, plus(now.1, height))),
                        (plus(x, gap), now.1),
                    ),
                    Divides::Height => {
                        (((now.0, y), (plus(now.0, width), y)), (now.0, plus(y, gap)))
                    }
                };
                if let Some(step) = laid.step {
                    self.lines.push(Line {
                        from: line.0,
                        to: line.1,
                        step,
                    });
                }
                now = next;
            }
        }
    }

    fn part(&mut self, group: &Group, laid: &Laid, at: At, along: Length, whole: At) {
        let (width, height) = match group.divides {
            Divides::Width => (along, whole.1),
            Divides::Height => (whole.0, along),
        };
        match laid.node {
            Node::Again(inner) => {
                let called = self.sheet.called.get(inner).copied().flatten();
                self.strips.extend(called.map(|is| Placed {
                    x: at.0,
                    y: at.1,
                    lies: Lies { is, width, height },
                }));
                self.group(inner, at);
            }
            node => self.leaf(node, at, (width, height)),
        }
    }
}
