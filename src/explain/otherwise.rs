//! What is done otherwise and makes a size larger, though no measure changes: the thing goes elsewhere in its
//! leaf, or the holes leave their published pattern. `grow` asks for it.
//!
//! May import every room up to `plan`.

use super::Deed;
use super::changed::Asked;
use super::grow::Search;
use super::own::What;
use crate::length::Length;
use crate::plan::Plan;
use crate::plan::work::{Outcome, work};
use crate::program::expand::Expanded;
use crate::style::Effort;
use rayon::prelude::*;
use std::cmp::Reverse;

impl Search<'_> {
    /// The pattern of the holes, and what holes at one's own spacing buy.
    pub fn without_pattern(self) -> Option<(String, Length)> {
        let from = self.album.template.pattern.as_ref()?.value.clone();
        let to = None;
        let buys = self.buys(&Deed::Pattern {
            from: from.clone(),
            to,
        })?;
        Some((from, buys))
    }

    /// What other places in its leaf buy.
    pub fn places(self, expanded: &Expanded) -> Vec<(Deed, Length)> {
        let asked = Asked::of(self.style, self.album, expanded, self.limits);
        let of = self.target.name.split('.').next().unwrap_or_default();
        let thing = self.target.thing(expanded);
        let leaf = thing.and_then(|thing| asked.leaf_index(thing));
        let mut deeds = leaf.map_or(Vec::new(), |at| asked.in_leaf(at));
        // What is glued is pulled out no more.
        deeds.retain(|deed| {
            let is_it = matches!(deed, Deed::Place { insert, .. } if insert == of);
            is_it && asked.effort(&What::Deed(deed.clone()), false, 1) == Effort::Replace
        });
        let found = deeds.into_par_iter();
        let found = found.filter_map(|deed| Some((self.buys(&deed)?, deed)));
        let mut found: Vec<(Length, Deed)> = found.collect();
        found.sort_by_key(|(buys, _)| Reverse(*buys));
        found.into_iter().map(|(buys, deed)| (deed, buys)).collect()
    }

    /// What a deed buys for which no wish is given up; `None` if that is nothing.
    fn buys(self, deed: &Deed) -> Option<Length> {
        let mut album = self.album.clone();
        deed.done(&mut album)?;
        let Outcome::Fits(plan) = work(self.style, &album, self.limits).ok()?.outcome else {
            return None;
        };
        let unkept = |plan: &Plan| plan.rules.iter().filter(|rule| !rule.kept).count();
        let [was, is] = [self.plan, &plan].map(|plan| Some(self.target.size(plan)?.value.least()));
        let (less, more) = match self.base.larger {
            true => (was?, is?),
            false => (is?, was?),
        };
        let buys = more.checked_sub(less)?;
        (buys > Length::ZERO && unkept(&plan) <= unkept(self.plan)).then_some(buys)
    }
}
