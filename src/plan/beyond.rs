//! Pieces that no sheet of their paper gives. Imports what reads a solution.

use super::{LeafPlan, SizePlan};
use crate::album::{Album, PartPaper};
use crate::length::Length;
use crate::plan::leaf::PartPlan;
use crate::supplies::Paper;

/// A piece that is larger than every sheet of the papers that its album names for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beyond {
    /// Its kind of leaf; empty for a piece of the album itself.
    pub leaf: String,
    pub name: String,
    pub width: Length,
    pub height: Length,
    pub paper: String,
    /// Width and height of its sheet.
    pub sheet: [Length; 2],
}

/// All of them, in the order of the leaves.
pub(super) fn beyond(album: &Album, leaves: &[LeafPlan], own: &[PartPlan]) -> Vec<Beyond> {
    let of = |leaf: &str, name: &str, sides: [&SizePlan; 2], papers: &[usize]| {
        let [width, height] = sides.map(|side| side.value.most());
        let gives = |paper: &Paper| {
            let [wide, high] = [paper.width, paper.height].map(|side| side.least());
            let upright = width <= wide && height <= high;
            upright || (!paper.directed && width <= high && height <= wide)
        };
        let papers = papers
            .iter()
            .filter_map(|at| album.supplies.papers.get(*at));
        let papers: Vec<&Paper> = papers.collect();
        let last = papers
            .last()
            .filter(|_| !papers.iter().any(|paper| gives(paper)))?;
        Some(Beyond {
            leaf: leaf.to_owned(),
            name: name.to_owned(),
            width,
            height,
            paper: last.name.clone(),
            sheet: [last.width.least(), last.height.least()],
        })
    };
    let part = |leaf: &str, part: &PartPlan, said: &[(String, PartPaper)]| {
        let mut papers = said.iter().filter(|(name, _)| *name == part.label);
        match papers.next() {
            Some((_, PartPaper::Papers(papers))) => {
                of(leaf, &part.label, [&part.width, &part.height], papers)
            }
            _ => None,
        }
    };
    let mut all = Vec::new();
    for (leaf, said) in leaves.iter().zip(&album.leaves) {
        all.extend(
            leaf.parts
                .iter()
                .filter_map(|it| part(&leaf.name, it, &said.parts)),
        );
        for (insert, said) in leaf.inserts.iter().zip(&said.inserts) {
            if said.card.is_none() {
                let sides = [&insert.width, &insert.height];
                all.extend(of(&leaf.name, &insert.name, sides, &said.papers));
            }
        }
    }
    all.extend(own.iter().filter_map(|it| part("", it, &album.own.parts)));
    all
}
