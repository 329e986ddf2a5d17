//! Why an album does not fit, and the changes that make it fit, each proved by solving again.

use super::soften::{Change, LEAVING_OUT, Softened, What, soften};
use super::{Explanation, Fix, FixChange, FixList, Swap};
use crate::Worked;
use crate::album::{Album, Value};
use crate::length::{Interval, Length};
use crate::plan::clash::{Clash, tell};
use crate::plan::of;
use crate::program::expand::{Expanded, expand};
use crate::program::{Force, InstanceId, UnknownId};
use crate::solve::{self, Limits, Repair, Repairs, Verdict, minimal_conflicts, repairs};
use crate::style::Style;
use crate::text::Said;
use crate::vocabulary::scene::{Fact, ThingId};
use num_traits::ToPrimitive;

/// Conflicts that are told.
const MOST_CLASHES: usize = 6;
/// Fixes that are told of each part.
const MOST_FIXES: usize = 20;
/// Albums that are solved to find things that would do instead.
const MOST_SWAPS: usize = 60;

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
                all: part.complete,
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

    fn steps(self, amount: i64) -> Length {
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

    /// Changes the album, solves it again, and reads its sizes; nothing where it does not fit.
    fn solved_again(self, changes: &[(&Change, i64)]) -> Option<Vec<(String, Interval)>> {
        let mut album = self.album.clone();
        let mut accepted: Vec<(usize, String, i64)> = Vec::new();
        for (change, amount) in changes {
            let by = self.steps(*amount);
            match &change.what {
                What::Rule(id) => {
                    let rule = self.expanded.program.instances[id.0 as usize].rule;
                    accepted.push((rule, of(self.expanded, *id), *amount));
                }
                What::Quantity(name) => {
                    let Some(Fact::Length(given)) = self.expanded.model.scene.quantities.get(name)
                    else {
                        return None;
                    };
                    let value = self.expanded.model.scene.given(*given).value;
                    let less = Interval::exact(value.least().checked_sub(by)?);
                    set(&mut album, name, Value::Length(less));
                }
                What::Size { thing, field } => {
                    let now = self.expanded.model.scene.length(*thing, field)?;
                    self.cut_down(&mut album, *thing, field, shorter(now, by)?)?;
                }
                What::Template(field) => {
                    let template = &mut album.template;
                    let measure = match field.as_str() {
                        "edge" => &mut template.edge,
                        "first" => &mut template.first,
                        _ => &mut template.pitch,
                    };
                    // One that the punch fixes is not the album's to move.
                    *measure = Some(shorter((*measure)?, by)?);
                }
                What::LeaveOut(_) => {}
            }
        }
        // Inserts are taken out last: until then their places in the leaf are those of the scene.
        for (change, _) in changes {
            if let What::LeaveOut(thing) = &change.what {
                let name = self.expanded.model.scene.thing(*thing).label.clone();
                let leaf = self.leaf_index(*thing)?;
                album.leaves[leaf].inserts.retain(|i| i.name != name);
                let of_it = |size: &str| size == name || size.starts_with(&format!("{name}."));
                album.leaves[leaf].given.retain(|(n, _)| !of_it(&n.value));
                album.leaves[leaf]
                    .measured
                    .retain(|(n, _)| !of_it(&n.value));
            }
        }
        let mut prefer = std::mem::take(&mut album.prefer);
        prefer.retain(|said| self.still_there(&album, &said.value));
        album.prefer = prefer;
        sizes_of(self.style, &album, &accepted, self.limits)
    }

    /// A line of `prefer` that names nothing any more is left out with what it named.
    fn still_there(self, album: &Album, line: &str) -> bool {
        let Some((word, rest)) = line.trim().split_once(char::is_whitespace) else {
            return true;
        };
        if word == "keep" {
            return true;
        }
        let name = rest.rsplit(':').next().unwrap_or(rest).trim();
        let head = name.split('.').next().unwrap_or(name);
        let inserts = |a: &Album| {
            a.leaves
                .iter()
                .any(|l| l.inserts.iter().any(|i| i.name == head))
        };
        !inserts(self.album) || inserts(album)
    }

    fn leaf_index(self, thing: ThingId) -> Option<usize> {
        let scene = &self.expanded.model.scene;
        let leaf = scene.leaf_of(thing)?;
        scene.leaves().iter().position(|l| *l == leaf)
    }

    /// Gives a size anew, where the album gave it.
    fn cut_down(self, album: &mut Album, thing: ThingId, field: &str, to: Interval) -> Option<()> {
        let name = self.expanded.model.scene.size_name(thing, field);
        let leaf = &mut album.leaves[self.leaf_index(thing)?];
        if let Some((_, value)) = leaf.given.iter_mut().find(|(n, _)| n.value == name) {
            *value = to;
            return Some(());
        }
        let label = &self.expanded.model.scene.thing(thing).label;
        let insert = leaf.inserts.iter_mut().find(|i| i.name == *label)?;
        let said = Said {
            value: to,
            place: insert.place,
        };
        match field {
            "width" => insert.width = Some(said),
            _ => insert.height = Some(said),
        }
        Some(())
    }

    /// Other bags, rings and prints of the supplies that would do, each by its own solve.
    fn swaps<'b>(self, clashing: impl Iterator<Item = &'b InstanceId>) -> Vec<Swap> {
        let scene = &self.expanded.model.scene;
        let mut leaves: Vec<usize> = clashing
            .flat_map(|id| {
                let scope = &self.expanded.scopes[id.0 as usize];
                let leaf = scope.0.first().and_then(|(_, t)| self.leaf_index(*t));
                match leaf {
                    Some(leaf) => vec![leaf],
                    // A rule of the whole album may be any leaf's doing.
                    None => (0..scene.leaves().len()).collect(),
                }
            })
            .collect();
        leaves.sort_unstable();
        leaves.dedup();
        let mut tried = 0;
        let mut swaps = Vec::new();
        let mut offer = |kind, leaf: String, from: String, to: String, album: &Album| {
            tried += 1;
            if tried <= MOST_SWAPS
                && let Some(sizes) = sizes_of(self.style, album, &[], self.limits)
            {
                swaps.push(Swap {
                    kind,
                    leaf,
                    from,
                    to,
                    sizes,
                });
            }
        };
        let supplies = &self.album.supplies;
        for at in leaves {
            let leaf = &self.album.leaves[at];
            let from = &supplies.bags[leaf.bag].name;
            for (n, bag) in supplies.bags.iter().enumerate() {
                if n != leaf.bag {
                    let mut album = self.album.clone();
                    album.leaves[at].bag = n;
                    offer(
                        "bag",
                        leaf.name.clone(),
                        from.clone(),
                        bag.name.clone(),
                        &album,
                    );
                }
            }
            for (i, insert) in leaf.inserts.iter().enumerate() {
                let Some(photo) = &insert.photo else { continue };
                for (n, print) in supplies.prints.iter().enumerate() {
                    if !photo.prints.contains(&n) && !photo.prints.is_empty() {
                        let mut album = self.album.clone();
                        if let Some(photo) = &mut album.leaves[at].inserts[i].photo {
                            photo.prints = vec![n];
                        }
                        let from = supplies.prints[photo.prints[0]].name.clone();
                        offer("print", leaf.name.clone(), from, print.name.clone(), &album);
                    }
                }
            }
        }
        if let Some(fixed) = &self.album.ring {
            for (n, ring) in supplies.rings.iter().enumerate() {
                if n != fixed.value {
                    let mut album = self.album.clone();
                    album.ring = Some(fixed.with(n));
                    let from = supplies.rings[fixed.value].name.clone();
                    offer("ring", String::new(), from, ring.name.clone(), &album);
                }
            }
        }
        swaps
    }
}

fn priced(change: &Change) -> solve::Change {
    solve::Change {
        unknown: change.unknown,
        price: change.price,
    }
}

/// Sets a quantity of the style.
pub(super) fn set(album: &mut Album, name: &str, value: Value) {
    let place = album.style.place;
    match album.set.iter_mut().find(|(n, _)| n.value == name) {
        Some((_, said)) => said.value = value,
        None => album.set.push((
            Said {
                value: name.to_owned(),
                place,
            },
            Said { value, place },
        )),
    }
}

/// Both ends of an interval made smaller.
pub(super) fn shorter(value: Interval, by: Length) -> Option<Interval> {
    Interval::between(
        value.least().checked_sub(by)?,
        value.most().checked_sub(by)?,
    )
}

/// Solves an album in which less is accepted of some rules; its found sizes, or nothing where it
/// does not fit or cannot be settled.
fn sizes_of(
    style: &Style,
    album: &Album,
    accepted: &[(usize, String, i64)],
    limits: &Limits,
) -> Option<Vec<(String, Interval)>> {
    let mut expanded = expand(style, album).ok()?;
    for (rule, which, amount) in accepted {
        for at in 0..expanded.program.instances.len() {
            let instance = &expanded.program.instances[at];
            let same = instance.rule == *rule && instance.force == Force::Must;
            if !same || of(&expanded, InstanceId(at as u32)) != *which {
                continue;
            }
            for row in instance.rows.clone() {
                // Whole units of the row in so many ruler steps.
                let steps = expanded.row_steps[row];
                let units =
                    (num_rational::Ratio::from_integer(i128::from(*amount)) / steps).floor();
                let row = &mut expanded.program.rows[row];
                row.most = row.most.checked_add(units.to_integer().to_i64()?)?;
            }
        }
    }
    let solution = solve::solve(&expanded.program, limits);
    if !matches!(
        solution.verdict,
        Verdict::FitsBest | Verdict::FitsFound { .. }
    ) {
        return None;
    }
    let named = expanded
        .sizes
        .iter()
        .filter(|s| s.field == "width" || s.field == "height");
    named
        .map(|size| {
            let at = size.unknown.0 as usize;
            let length = expanded.ruler.length_of(solution.values[at])?;
            Some((
                expanded.program.unknowns[at].name.clone(),
                Interval::exact(length),
            ))
        })
        .collect()
}
