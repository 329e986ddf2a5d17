//! Words that several parts of a cutting plan say alike.

use super::{Paper, Sheets, Want};
use crate::length::Ruler;

/// `4 x 6 in`.
pub fn size(ruler: Ruler, want: &Want) -> String {
    ruler.show_size(want.width, want.height)
}

/// `the sheet of wave print, 12 x 12 in`, `the offcut, 4 x 7 in`.
pub fn sheet(ruler: Ruler, paper: &Paper, sheets: &Sheets) -> String {
    let what = if sheets.offcut { "offcut" } else { "sheet" };
    let of = match paper.name.is_empty() {
        true => String::new(),
        false => format!(" of {}", paper.name),
    };
    let size = ruler.show_size(sheets.width, sheets.height);
    format!("the {what}{of}, {size}")
}

/// What pieces of one size are called together: `cover/shore back mat`.
pub fn names<'w>(wants: impl Iterator<Item = &'w Want> + Clone) -> String {
    let mut things: Vec<(&str, Vec<&str>)> = Vec::new();
    for want in wants {
        match things.iter_mut().find(|(name, _)| *name == want.name) {
            Some((_, leaves)) => leaves.push(&want.leaf),
            None => things.push((&want.name, vec![&want.leaf])),
        }
    }
    let told = things.iter().map(|(name, leaves)| {
        let leaves: Vec<&str> = leaves.iter().copied().filter(|l| !l.is_empty()).collect();
        match leaves.is_empty() {
            true => (*name).to_owned(),
            false => format!("{} {name}", leaves.join("/")),
        }
    });
    told.collect::<Vec<_>>().join(" or ")
}
