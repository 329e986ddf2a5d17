//! Puts cut trees together in the one shape that an answer has.

use super::answer::{Divides, Part, What};

/// A part's measure along which `divides` cuts (ticks).
pub(super) fn along(part: &Part, divides: Divides) -> u64 {
    match divides {
        Divides::Width => part.width,
        Divides::Height => part.height,
    }
}

/// A part of this size that is left over.
pub(super) fn offcut(width: u64, height: u64) -> Part {
    Part::new(width, height, What::Offcut)
}

/// A part of this size with `parts` side by side in it, and what is left at the end. The parts'
/// other measure is that of the whole. Equal parts come together, wider ones first, offcuts last,
/// so that the fence is set as seldom as these parts allow.
pub(super) fn stack(width: u64, height: u64, divides: Divides, gap: u64, parts: Vec<Part>) -> Part {
    let whole = offcut(width, height);
    let mut flat: Vec<Part> = Vec::with_capacity(parts.len() + 1);
    for part in parts {
        match part.what {
            What::Split {
                divides: same,
                parts,
            } if same == divides => flat.extend(parts),
            _ => flat.push(part),
        }
    }
    // Waste beside waste is one offcut.
    flat.retain(|p| p.what != What::Offcut);
    if flat.is_empty() {
        return whole;
    }
    let used = part_length(&flat, divides, gap);
    let left = along(&whole, divides) - used;
    if flat.len() == 1 && left == 0 {
        return flat.remove(0);
    }
    flat.sort_by_key(|p| (std::cmp::Reverse(along(p, divides)), kind(p)));
    if left > gap {
        flat.push(match divides {
            Divides::Width => offcut(left - gap, height),
            Divides::Height => offcut(width, left - gap),
        });
    }
    let parts = flat;
    Part::new(width, height, What::Split { divides, parts })
}

/// Parts and the gaps between them (ticks).
fn part_length(parts: &[Part], divides: Divides, gap: u64) -> u64 {
    let sum: u64 = parts.iter().map(|p| along(p, divides)).sum();
    sum + gap * (parts.len() as u64).saturating_sub(1)
}

/// Pieces before splits, in the order of the list, so that equal parts are neighbours.
fn kind(part: &Part) -> (u8, usize) {
    match part.what {
        What::Piece { piece, .. } => (0, piece),
        What::Split { .. } => (1, 0),
        What::Offcut => (2, 0),
    }
}

/// A piece of `size` cut out of a part of `whole`: rips along `first`, then across.
pub(super) fn place(
    piece: usize,
    turned: bool,
    size: (u64, u64),
    whole: (u64, u64),
    first: Divides,
    gap: u64,
) -> Part {
    let part = Part::new(size.0, size.1, What::Piece { piece, turned });
    match first {
        Divides::Width => {
            let strip = stack(size.0, whole.1, Divides::Height, gap, vec![part]);
            stack(whole.0, whole.1, Divides::Width, gap, vec![strip])
        }
        Divides::Height => {
            let strip = stack(whole.0, size.1, Divides::Width, gap, vec![part]);
            stack(whole.0, whole.1, Divides::Height, gap, vec![strip])
        }
    }
}
