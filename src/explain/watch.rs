//! What would keep a wish that is not kept: the easiest thing that a hand does otherwise, with which every
//! wish that is kept stays so.

use super::changed::Asked;
use super::deeds::Deed;
use super::tries::Tries;
use crate::album::Album;
use crate::plan::work::Worked;
use crate::plan::{dropped, of};
use crate::program::{Force, InstanceId};
use crate::solve::Limits;
use crate::style::Style;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeSet;

/// What keeps a wish.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remedy {
    /// The wish's rule, and what it speaks of.
    pub rule: String,
    pub of: String,
    pub deed: Deed,
}

/// Wishes for which something is looked for.
const MOST_WISHES: usize = 3;

/// What would keep each wish that is not kept, as far as something does.
pub fn remedies(style: &Style, album: &Album, worked: &Worked, limits: &Limits) -> Vec<Remedy> {
    let expanded = &worked.expanded;
    let dropped = dropped(expanded, &worked.solution);
    let instances = (0..).map(InstanceId).zip(&expanded.program.instances);
    let wishes = instances.filter(|(_, it)| it.force == Force::Wish);
    let kept: Vec<InstanceId> = wishes
        .map(|(id, _)| id)
        .filter(|id| !dropped.contains(id))
        .collect();
    // What is said of a thing that is handled comes first, as it does in the answer.
    let of_thing = |id: &InstanceId| {
        let scope = &expanded.scopes[id.0 as usize].0;
        let scene = &expanded.model.scene;
        scope
            .iter()
            .any(|(_, thing)| scene.thing(*thing).kind == "insert")
    };
    let rule = |id: InstanceId| expanded.program.instances[id.0 as usize].rule;
    let wishes = dropped.into_iter().sorted_by_key(|id| !of_thing(id));
    // Leaves alike have one remedy.
    let wishes: Vec<InstanceId> = wishes.unique_by(|id| rule(*id)).take(MOST_WISHES).collect();
    let asked = Asked::of(style, album, expanded, limits);
    let with = |wishes: &[InstanceId]| [&kept[..], wishes].concat();
    let found = wishes.into_par_iter().filter_map(|id| {
        let wanted = with(&[id]);
        let asked = Asked {
            wanted: &wanted,
            ..asked
        };
        let context = (Vec::new(), BTreeSet::new());
        let deed = Tries::new(asked, &context).easiest(id, &worked.solution)?;
        Some((id, deed))
    });
    let mut found: Vec<(InstanceId, Deed)> = found.collect();
    // Of one thing one deed is better than two of which each leaves the other's wish.
    let things = |id: InstanceId| &expanded.scopes[id.0 as usize].0;
    for at in 0..found.len() {
        let (id, deed) = found[at].clone();
        let alike = |(other, its): &&(InstanceId, Deed)| {
            *other != id && *its != deed && things(*other).last() == things(id).last()
        };
        let Some((other, its)) = found.iter().find(alike).cloned() else {
            continue;
        };
        let wanted = with(&[id, other]);
        let asked = Asked {
            wanted: &wanted,
            ..asked
        };
        if asked.fits(&[asked.deed(&its)], &BTreeSet::new()) == Some(true) {
            found[at].1 = its;
        }
    }
    let told = found.into_iter().filter_map(|(id, deed)| {
        Some(Remedy {
            rule: style.rules.get(rule(id))?.name.clone(),
            of: of(expanded, id),
            deed,
        })
    });
    told.collect()
}
