//! Why an album does not fit, and what makes it fit, each proved by solving again.
//!
//! This file tells clashes and changes; `lists` finds the changes, part by part.

use super::changed::{Asked, Step};
use super::own::What;
use super::own::set_otherwise;
use super::{Explanation, Fix, FixChange, Kind};
use crate::album::Album;
use crate::length::{Interval, Length};
use crate::plan::clash::{Clash, tell};
use crate::plan::of;
use crate::plan::phrase::Phrase;
use crate::plan::view::unknown_bottoms;
use crate::plan::work::Worked;
use crate::program::InstanceId;
use crate::program::expand::Expanded;
use crate::scene::ThingId;
use crate::solve::{Limits, minimal_conflicts};
use crate::style::{Rule, Style};
use itertools::Itertools;
use std::collections::BTreeSet;

/// Conflicts that are listed.
const MOST_CLASHES: usize = 6;

/// Explains an album that does not fit.
pub fn why(style: &Style, album: &Album, worked: &Worked, limits: &Limits) -> Explanation {
    let expanded = &worked.expanded;
    let found = minimal_conflicts(&expanded.program, limits, MOST_CLASHES);
    // The same rules of other holes of a row are one clash, told where most is missing.
    let mut rows: Vec<(Rows, Clash, &[InstanceId])> = Vec::new();
    let mut merged = false;
    for conflict in &found.conflicts {
        let proved = conflict.proved_minimal;
        let clash = tell(style, expanded, &conflict.instances, proved, limits);
        let of = rows_of(expanded, &conflict.instances);
        let ids = &conflict.instances[..];
        match rows.iter_mut().find(|(other, ..)| *other == of) {
            Some((_, same, its)) => {
                merged = true;
                if missing(&clash) > missing(same) {
                    (*same, *its) = (clash, ids);
                }
            }
            None => rows.push((of, clash, ids)),
        }
    }
    let mut clashes: Vec<Clash> = Vec::new();
    let mut ids: Vec<&[InstanceId]> = Vec::new();
    for (_, clash, its) in rows {
        // Equal leaves clash alike: that is shown once, with the names of all of them.
        match clashes.iter_mut().find(|c| shown(c) == shown(&clash)) {
            Some(same) => same.also.push(clash.speaks_of()),
            None => {
                clashes.push(clash);
                ids.push(its);
            }
        }
    }
    let asked = Asked::of(style, album, expanded, limits);
    let clashing = found.conflicts.iter().flat_map(|c| &c.instances);
    let clashing: Vec<InstanceId> = clashing.copied().collect();
    let (fixes, whole) = asked.fixes(&clashing, &ids);
    Explanation {
        meant: None,
        lying: lying(album),
        whole,
        clashes,
        all_clashes: found.complete,
        // Those that were not told may be of the same rows.
        more_clashes: if merged { 0 } else { found.more },
        hopeless: fixes.iter().any(|list| !list.nothing_mends.is_empty()),
        fixes,
        bottoms: unknown_bottoms(&expanded.model.scene),
    }
}

/// Bags of an album that are wider than high, and mostly not: their numbers may have changed places.
pub fn lying(album: &Album) -> Vec<(String, Interval, Interval)> {
    let bags = album.leaves.iter().map(|leaf| leaf.bag).unique();
    let bags = bags.filter_map(|at| album.supplies.bags.get(at));
    let lying = bags.filter(|bag| bag.lies());
    lying
        .map(|bag| (bag.name.clone(), bag.width, bag.height))
        .collect()
}

/// Rules, and what they speak of apart from single holes.
type Rows = BTreeSet<(usize, Vec<ThingId>)>;

fn rows_of(expanded: &Expanded, clash: &[InstanceId]) -> Rows {
    let scene = &expanded.model.scene;
    let rows = clash.iter().map(|id| {
        let things = expanded.scopes[id.0 as usize].0.iter();
        let things = things.map(|(_, thing)| *thing);
        let things = things.filter(|thing| scene.thing(*thing).kind != "hole");
        (
            expanded.program.instances[id.0 as usize].rule,
            things.collect(),
        )
    });
    rows.collect()
}

/// The most that a rule of a clash lacks.
fn missing(clash: &Clash) -> Option<Length> {
    let broken = clash.members.iter().filter(|member| !member.kept);
    broken.filter_map(|member| member.short).max()
}

/// A rule of a clash: its name, its sentence, and what is missing.
type Shown<'a> = (&'a str, Option<&'a Phrase>, Option<Length>);

/// What is shown of a clash, apart from what it speaks of.
fn shown(clash: &Clash) -> (bool, Vec<Shown<'_>>) {
    let members = clash.members.iter();
    let members = members.map(|m| (m.name.as_str(), m.because.as_ref(), m.short));
    (clash.proved_minimal, members.collect())
}

/// What makes an album fit that does not: of each part of the trouble the cheapest fix; and whether
/// nothing mends one of them.
pub fn cheapest(
    style: &Style,
    album: &Album,
    expanded: &Expanded,
    limits: &Limits,
) -> (Vec<Option<Fix>>, bool) {
    let found = minimal_conflicts(&expanded.program, limits, MOST_CLASHES);
    let asked = Asked::of(style, album, expanded, limits);
    let clashing = found.conflicts.into_iter().flat_map(|c| c.instances);
    let clashing: Vec<InstanceId> = clashing.collect();
    asked.cheapest_fixes(&clashing)
}

impl<'a> Asked<'a> {
    pub(super) fn steps(self, amount: i64) -> Length {
        let length = self.expanded.ruler.length_of(amount);
        length.unwrap_or(Length::ZERO)
    }

    /// What the style says of a rule for some things.
    pub(super) fn rule(self, id: InstanceId) -> Option<&'a Rule> {
        let rule = self.expanded.program.instances[id.0 as usize].rule;
        self.style.rules.get(rule)
    }

    /// A change in the maker's terms.
    pub(super) fn told(self, step: &Step) -> Option<FixChange> {
        let scene = &self.expanded.model.scene;
        let leaf = |thing: ThingId| scene.leaf_name(thing).to_owned();
        let what = &step.change.what;
        let measure = |kind, name: String, of: String, why: String| {
            Some(FixChange::Measure {
                kind,
                name,
                of,
                why,
                from: self.now(what)?,
                to: step.to?,
            })
        };
        let none = String::new;
        match what {
            What::Rule(id) => Some(FixChange::Accept {
                rule: self.rule(*id)?.name.clone(),
                of: of(self.expanded, *id),
                by: step.to.map_or(self.steps(step.amount), |to| to.least()),
            }),
            What::Quantity(name) => {
                let why = self.style.quantity(name)?.why.clone();
                measure(Kind::Quantity, name.clone(), none(), why)
            }
            What::Size { thing, field } => measure(
                match self.is_made(what) {
                    true => Kind::Made,
                    false => Kind::Size,
                },
                scene.size_name(*thing, field),
                leaf(*thing),
                none(),
            ),
            What::Template(field) => {
                let template = scene.part(scene.album(), "template")?;
                let name = scene.size_name(template, field);
                measure(Kind::Template(field), name, none(), none())
            }
            What::Pocket { bag, measure: of } => {
                let leaf = self.album.leaves.iter().position(|leaf| leaf.bag == *bag);
                let mut of_bags = scene.of_bags.iter();
                let given = of_bags.find(|it| it.measure == *of && Some(it.leaf) == leaf)?;
                let name = scene.given(given.given).label.clone();
                let bag = self.album.supplies.bags.get(*bag)?.name.clone();
                measure(Kind::Pocket(*of), name, bag, none())
            }
            What::Usual(name) => {
                let all = set_otherwise(self.style, self.album);
                let (_, from, to) = all.into_iter().find(|(other, ..)| other == name)?;
                Some(FixChange::Usual {
                    quantity: name.clone(),
                    why: self.style.quantity(name)?.why.clone(),
                    from,
                    to,
                })
            }
            What::Deed(deed) => Some(FixChange::Do(deed.clone())),
            What::LeaveOut(thing) => Some(FixChange::LeaveOut {
                name: scene.thing(*thing).label.clone(),
                leaf: leaf(*thing),
            }),
            // It only shows what nothing mends.
            What::Aside(_) => None,
        }
    }
}
