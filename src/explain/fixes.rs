//! Why an album does not fit, and the changes that make it fit, each proved by solving again.

use super::soften::{Change, LEAVING_OUT, Softened, What, soften};
use super::{Explanation, Fix, FixChange, FixList};
use crate::Worked;
use crate::album::Album;
use crate::length::Length;
use crate::plan::clash::{Clash, tell};
use crate::plan::of;
use crate::program::expand::Expanded;
use crate::program::{InstanceId, UnknownId};
use crate::solve::{self, Limits, Repair, Repairs, minimal_conflicts, repairs};
use crate::style::Style;
use crate::vocabulary::scene::{Fact, ThingId};

/// Conflicts that are told.
const MOST_CLASHES: usize = 6;
/// Fixes that are told of each part.
const MOST_FIXES: usize = 20;

/// Explains an album that does not fit.
pub fn why(style: &Style, album: &Album, worked: &Worked, limits: &Limits) -> Explanation {
    let expanded = &worked.expanded;
    let found = minimal_conflicts(&expanded.program, limits, MOST_CLASHES);
    let mut clashes: Vec<Clash> = Vec::new();
    for conflict in &found.conflicts {
        let clash = tell(
            style,
            expanded,
            &conflict.instances,
            conflict.proved_minimal,
            limits,
        );
        // Equal leaves clash alike, and are told once.
        if !clashes.iter().any(|c| says_the_same(c, &clash)) {
            clashes.push(clash);
        }
    }
    let asked = Asked {
        style,
        album,
        expanded,
        limits,
    };
    let clashing: Vec<InstanceId> = found
        .conflicts
        .iter()
        .flat_map(|c| c.instances.iter().copied())
        .collect();
    let (fixes, hopeless) = asked.fixes(&clashing);
    Explanation {
        swaps: asked.swaps(clashing.iter()),
        clashes,
        all_clashes: found.complete,
        more_clashes: found.more,
        fixes,
        hopeless,
    }
}

fn says_the_same(one: &Clash, other: &Clash) -> bool {
    one.members.len() == other.members.len()
        && one
            .members
            .iter()
            .zip(&other.members)
            .all(|(a, b)| a.name == b.name && a.because == b.because && a.short == b.short)
}

/// An album that is asked about.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub expanded: &'a Expanded,
    pub limits: &'a Limits,
}

impl Asked<'_> {
    fn fixes(self, clashing: &[InstanceId]) -> (Vec<FixList>, bool) {
        // Leaving something out would tie all its rules together, so what is wrong with its width
        // and with its height is mended apart, and leaving it out is tried beside.
        let keeps = |what: &What| !matches!(what, What::LeaveOut(_));
        let Some(softened) = soften(self.style, self.expanded, &keeps) else {
            return (Vec::new(), false);
        };
        let found = self.repairs(&softened);
        if found.hopeless.is_some() {
            // Only without some thing can it fit, if at all.
            let Some(softened) = soften(self.style, self.expanded, &|_| true) else {
                return (Vec::new(), false);
            };
            let found = self.repairs(&softened);
            let hopeless = found.hopeless.is_some();
            return (self.lists(&softened, &found, &[]), hopeless);
        }
        let inserts = self.inserts_of(clashing);
        (self.lists(&softened, &found, &inserts), false)
    }

    fn repairs(self, softened: &Softened) -> Repairs {
        let changes: Vec<solve::Change> = softened.changes.iter().map(priced).collect();
        repairs(&softened.program, &changes, self.limits, MOST_FIXES)
    }

    /// One list for each part of the trouble; `without` are inserts that may be left out.
    fn lists(self, softened: &Softened, found: &Repairs, without: &[ThingId]) -> Vec<FixList> {
        let lists = (0..found.parts.len()).map(|at| {
            let part = &found.parts[at];
            // The other parts of the trouble are mended at their cheapest meanwhile.
            let others: Vec<(UnknownId, i64)> = (found.parts.iter().enumerate())
                .filter(|(n, _)| *n != at)
                .flat_map(|(_, p)| p.cheapest.amounts.iter().copied())
                .collect();
            let fix = |repair: &Repair| self.fix(softened, repair, &others);
            let listed = part.sets.iter().any(|s| s.amounts == part.cheapest.amounts);
            let mut fixes: Vec<Fix> = part.sets.iter().map(fix).collect();
            let left_out = without
                .iter()
                .filter_map(|t| self.left_out(softened, *t, &others));
            fixes.extend(left_out);
            fixes.sort_by_key(|fix| fix.price);
            FixList {
                fixes,
                cheapest: (!listed).then(|| fix(&part.cheapest)),
                // A change that could not be tried any more may be missing.
                all: part.complete && !self.limits.is_over(),
            }
        });
        lists.collect()
    }

    /// Leaving an insert out, where the album then fits; it is one act, so nothing less would do.
    fn left_out(
        self,
        softened: &Softened,
        thing: ThingId,
        others: &[(UnknownId, i64)],
    ) -> Option<Fix> {
        let change = Change {
            what: What::LeaveOut(thing),
            unknown: UnknownId(u32::MAX),
            price: LEAVING_OUT,
        };
        let mut all: Vec<(&Change, i64)> = vec![(&change, 1)];
        for (unknown, amount) in others {
            all.push((
                softened.changes.iter().find(|c| c.unknown == *unknown)?,
                *amount,
            ));
        }
        let sizes = self.solved_again(&all)?;
        Some(Fix {
            changes: self.told(&change, 1).into_iter().collect(),
            price: change.price,
            proved: true,
            sizes: Some(sizes),
        })
    }

    /// The inserts that clashing rules speak of.
    fn inserts_of(self, clashing: &[InstanceId]) -> Vec<ThingId> {
        let scene = &self.expanded.model.scene;
        let scopes = clashing
            .iter()
            .map(|id| &self.expanded.scopes[id.0 as usize]);
        let things = scopes.flat_map(|scope| scope.0.iter().map(|(_, thing)| *thing));
        let mut inserts: Vec<ThingId> = things
            .filter(|thing| scene.thing(*thing).kind == "insert")
            .collect();
        inserts.sort_unstable();
        inserts.dedup();
        inserts
    }

    fn fix(self, softened: &Softened, repair: &Repair, others: &[(UnknownId, i64)]) -> Fix {
        let changed = |(unknown, amount): &(UnknownId, i64)| {
            let change = softened.changes.iter().find(|c| c.unknown == *unknown)?;
            Some((change, *amount))
        };
        let own: Vec<(&Change, i64)> = repair.amounts.iter().filter_map(changed).collect();
        let all: Vec<(&Change, i64)> = own
            .iter()
            .copied()
            .chain(others.iter().filter_map(changed))
            .collect();
        Fix {
            changes: own.iter().filter_map(|(c, n)| self.told(c, *n)).collect(),
            price: i64::try_from(repair.price).unwrap_or(i64::MAX),
            proved: repair.proved,
            sizes: self.solved_again(&all),
        }
    }

    pub(super) fn steps(self, amount: i64) -> Length {
        self.expanded
            .ruler
            .length_of(amount)
            .unwrap_or(Length::ZERO)
    }

    /// A change in the maker's terms.
    fn told(self, change: &Change, amount: i64) -> Option<FixChange> {
        let scene = &self.expanded.model.scene;
        let by = self.steps(amount);
        let leaf = |thing: ThingId| {
            scene
                .leaf_of(thing)
                .map_or("", |l| scene.text(l, "name"))
                .to_owned()
        };
        Some(match &change.what {
            What::Rule(id) => FixChange::Accept {
                rule: self
                    .style
                    .rules
                    .get(self.expanded.program.instances[id.0 as usize].rule)?
                    .name
                    .clone(),
                of: of(self.expanded, *id),
                by,
            },
            What::Quantity(name) => {
                let Some(Fact::Length(given)) = scene.quantities.get(name) else {
                    return None;
                };
                FixChange::Smaller {
                    quantity: name.clone(),
                    why: self.style.quantity(name)?.why.clone(),
                    from: scene.given(*given).value.least(),
                    by,
                }
            }
            What::Size { thing, field } => FixChange::CutDown {
                name: scene.size_name(*thing, field),
                leaf: leaf(*thing),
                from: scene.length(*thing, field)?,
                by,
            },
            What::Template(field) => {
                let template = scene.thing(scene.album()).parts.get("template")?;
                FixChange::Move {
                    name: scene.size_name(*template, field),
                    from: scene.length(*template, field)?,
                    by,
                }
            }
            What::LeaveOut(thing) => FixChange::LeaveOut {
                name: scene.thing(*thing).label.clone(),
                leaf: leaf(*thing),
            },
        })
    }
}

fn priced(change: &Change) -> solve::Change {
    solve::Change {
        unknown: change.unknown,
        price: change.price,
    }
}
