//! Larger sheets: what pieces and things are cut from, and the smallest sheets that give them.
//!
//! May import every room up to `program`.

use super::changed::{Asked, Solved};
use super::deeds::Deed;
use super::offers::MOST_STEPS;
use super::tries::{Tries, with};
use crate::album::PartPaper;
use crate::length::Interval;
use crate::supplies::Paper;

impl Tries<'_> {
    /// Sheets no wider, and then no higher, than a piece asks for, in place of those of one paper: no larger
    /// than what is then cut from them.
    pub(super) fn sheet(&mut self, (leaf, of): (&str, &str), paper: &Paper) -> Option<Deed> {
        let step = self.asked.album.ruler.step();
        let now = (paper.width, paper.height);
        let longer = |side: Interval, n: i64| side.longer(step.checked_mul(n)?);
        let deed = |wide: i64, high: i64| {
            Some(Deed::SheetOf {
                leaf: leaf.to_owned(),
                of: of.to_owned(),
                from: paper.name.clone(),
                now,
                to: (longer(now.0, wide)?, longer(now.1, high)?),
            })
        };
        let does = |tries: &mut Self, deed: Option<Deed>| deed.is_some_and(|it| tries.does(&it));
        does(self, deed(MOST_STEPS, MOST_STEPS)).then_some(())?;
        let wide = |tries: &mut Self, n| does(tries, deed(n, MOST_STEPS));
        let wide = self.between((-1, MOST_STEPS), &wide)?;
        let high = |tries: &mut Self, n| does(tries, deed(wide, n));
        let found = deed(wide, self.between((-1, MOST_STEPS), &high)?)?;
        let cut = self.cut_of(&found, paper.directed);
        Some(cut.filter(|it| self.does(it)).unwrap_or(found))
    }

    /// A deed with sheets as large as the piece that is cut from them.
    fn cut_of(&self, deed: &Deed, directed: bool) -> Option<Deed> {
        let (others, aside) = self.context;
        let steps = with(&[self.asked.deed(deed)], others);
        let Solved::Fits(sizes, _) = self.asked.solved_again(&steps, aside) else {
            return None;
        };
        let mut other = deed.clone();
        let Deed::SheetOf { leaf, of, to, .. } = &mut other else {
            return None;
        };
        let size = |side: &str| {
            let name = format!("{of}.{side}");
            let of_leaf = format!("{leaf}: {name}");
            let mut sizes = sizes.iter();
            let found = sizes.find(|(it, _)| *it == name || *it == of_leaf);
            found.map(|(_, size)| *size)
        };
        let (width, height) = (size("width")?, size("height")?);
        let goes = |wide: Interval, high: Interval| {
            wide.most() <= to.0.least() && high.most() <= to.1.least()
        };
        let turned = !directed && !goes(width, height);
        *to = if turned {
            (height, width)
        } else {
            (width, height)
        };
        (other != *deed).then_some(other)
    }
}

impl<'a> Asked<'a> {
    /// Pieces and things that are cut from one paper: their leaf, empty for the album itself, and the paper.
    pub(super) fn cut_from(self) -> Vec<(&'a str, &'a str, &'a Paper)> {
        let album = self.album;
        let of = |leaf: &'a str, name: &'a str, papers: &'a [usize]| match papers {
            [at] => Some((leaf, name, album.supplies.papers.get(*at)?)),
            _ => None,
        };
        let parts = |leaf: &'a str, parts: &'a [(String, PartPaper)]| {
            parts.iter().filter_map(move |(name, paper)| match paper {
                PartPaper::Papers(papers) => of(leaf, name, papers),
                _ => None,
            })
        };
        let leaves = album.leaves.iter().flat_map(|leaf| {
            let inserts = leaf.inserts.iter();
            let inserts = inserts.filter_map(move |it| of(&leaf.name, &it.name, &it.papers));
            parts(&leaf.name, &leaf.parts).chain(inserts)
        });
        leaves.chain(parts("", &album.own.parts)).collect()
    }
}
