//! Pads: each design as a paper of its own.

use super::{Kind, Paper, Supplies};

impl Supplies {
    /// The pad and the design that are called so, `garden pad, fern`; `None` if a paper has that name, or
    /// there is no such design.
    pub fn design(&self, name: &str) -> Option<(usize, usize)> {
        if self.papers.iter().any(|paper| paper.name == name) {
            return None;
        }
        let pads = self.papers.iter().enumerate();
        let mut found = pads.filter_map(|(at, paper)| {
            let design = name.strip_prefix(&paper.name)?.strip_prefix(", ")?;
            let mut designs = paper.designs.iter();
            Some((at, designs.position(|it| it.name == design)?))
        });
        found.next()
    }

    /// The same with a paper for each design of a pad behind all others, so that sheets of each are counted
    /// and bought. A pack of a pad holds as many of each design as it holds of all, evenly.
    #[must_use]
    pub fn by_design(&self) -> Supplies {
        let mut all = self.clone();
        for (pad, paper) in self.papers.iter().enumerate() {
            let designs = paper.designs.iter().enumerate();
            all.papers.extend(designs.map(|(at, design)| Paper {
                name: format!("{}, {}", paper.name, design.name),
                designs: Vec::new(),
                design_of: Some((pad, at)),
                sheets: design.sheets.or(paper.sheets),
                sides: design.sides.or(paper.sides),
                ..paper.clone()
            }));
            if !paper.designs.is_empty() {
                // A sheet is of one design.
                all.papers[pad].price = None;
            }
        }
        for at in 0..all.offcuts.len() {
            let offcut = &all.offcuts[at];
            if let Some((pad, design)) = offcut.paper.zip(offcut.design) {
                let paper = all.designs_of(pad).nth(design);
                all.offcuts[at].paper = paper;
            }
        }
        let mut packs = std::mem::take(&mut all.packs);
        for pack in &mut packs {
            let mut holds = Vec::new();
            for &(kind, at, count) in &pack.holds {
                let designs: Vec<usize> = match kind {
                    Kind::Paper => all.designs_of(at).collect(),
                    _ => Vec::new(),
                };
                let many = i64::try_from(designs.len()).unwrap_or(i64::MAX);
                match count.checked_div(many) {
                    None => holds.push((kind, at, count)),
                    Some(0) => {}
                    Some(each) => holds.extend(designs.into_iter().map(|at| (kind, at, each))),
                }
            }
            pack.holds = holds;
        }
        packs.retain(|pack| !pack.holds.is_empty());
        all.packs = packs;
        all
    }

    /// The papers that are the designs of a pad, in their order; none if it is no pad, or they are not
    /// there as papers.
    pub fn designs_of(&self, pad: usize) -> impl Iterator<Item = usize> {
        let all = self.papers.iter().enumerate();
        all.filter(move |(_, paper)| paper.design_of.is_some_and(|(of, _)| of == pad))
            .map(|(at, _)| at)
    }
}
