//! A sheet's cuts as groups: what is alike and cut alike is told once.

use crate::nest::{Divides, Part, What};

/// What a part is in the end, or that it is cut again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Node {
    /// Place in the list of groups.
    Again(usize),
    /// A piece of the job's list.
    Piece {
        piece: usize,
        turned: bool,
    },
    Offcut,
}

/// Parts of a group that are alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// The measure that the fence is set to (steps).
    pub along: u64,
    pub node: Node,
    /// How many come out of one.
    pub each: u64,
}

/// Parts of a sheet that are alike, and how each is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Group {
    /// Steps.
    pub width: u64,
    pub height: u64,
    pub divides: Divides,
    /// How many such parts there are on one sheet.
    pub alike: u64,
    pub items: Vec<Item>,
    /// Left over at the end, without a cut of its own.
    pub rest: Option<u64>,
    /// The parts and the gaps make up the whole, so that the last part needs no cut.
    pub exact: bool,
}

impl Group {
    /// The measure along which it is cut (steps).
    pub fn along(&self) -> u64 {
        measure(self.width, self.height, self.divides)
    }
}

fn measure(width: u64, height: u64, divides: Divides) -> u64 {
    match divides {
        Divides::Width => width,
        Divides::Height => height,
    }
}

/// The groups of a sheet, the sheet itself first; nothing where it is not cut at all.
pub(super) fn groups(sheet: &Part, gap: u64) -> Vec<Group> {
    let mut groups = Vec::new();
    add(sheet, 1, gap, &mut groups);
    groups
}

fn add(part: &Part, alike: u64, gap: u64, groups: &mut Vec<Group>) -> Node {
    let (divides, parts) = match &part.what {
        What::Piece { piece, turned } => {
            let (piece, turned) = (*piece, *turned);
            return Node::Piece { piece, turned };
        }
        What::Offcut => return Node::Offcut,
        What::Split { divides, parts } => (*divides, parts),
    };
    let at = groups.len();
    let along = |p: &Part| measure(p.width, p.height, divides);
    let cuts = parts.len().saturating_sub(1) as u64;
    let sum: u64 = parts.iter().map(along).sum();
    groups.push(Group {
        width: part.width,
        height: part.height,
        divides,
        alike,
        items: Vec::new(),
        rest: None,
        exact: sum + gap * cuts == along(part),
    });
    // The last thing that is left over needs no cut, wherever it lay.
    let rest = parts.iter().rposition(|p| p.what == What::Offcut);
    let mut kinds: Vec<(&Part, u64)> = Vec::new();
    for (n, part) in parts.iter().enumerate() {
        match kinds.iter_mut().find(|(known, _)| *known == part) {
            _ if rest == Some(n) => groups[at].rest = Some(along(part)),
            Some((_, each)) => *each += 1,
            None => kinds.push((part, 1)),
        }
    }
    for (part, each) in kinds {
        let node = add(part, alike * each, gap, groups);
        let along = along(part);
        groups[at].items.push(Item { along, node, each });
    }
    Node::Again(at)
}
