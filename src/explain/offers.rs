//! Deeds that mend a part of the trouble: each is done in the album and the album solved again; those
//! that have a size are tried with the smallest that does. And the trouble that a change is for a person.
//!
//! May import every room up to `plan`.

use super::changed::{Asked, named};
use super::deeds::{Deed, Place, Side, Supply};
use super::lists::Tries;
use super::own::What;
use crate::album::{Grip, Insert, Leaf, PartPaper};
use crate::length::{Interval, Length};
use crate::plan::dropped;
use crate::program::InstanceId;
use crate::program::expand::{Expanded, expand};
use crate::scene::model::Meaning;
use crate::solve::{Solution, solve};
use crate::style::expr::Path;
use crate::style::parts::Slot;
use crate::style::{Demand, Effort};
use crate::supplies::patterns::{PATTERNS, Pattern};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// No ring and no bag is made larger by more than so many steps, and no more leaves are left out.
const MOST_STEPS: i64 = 64;
/// Inside diameters of rings go by these.
const RING_STEP: Length = Length::from_nm(25_400_000 / 8);
/// Thicknesses of card are told in these, and tried in so many parts of what it is, to the half of it.
const CARD_STEP: Length = Length::from_nm(12_700);
const METRIC_CARD_STEP: Length = Length::from_nm(10_000);
const CARD_STEPS: i64 = 8;
const METRIC_RING_STEP: Length = Length::MM;

impl Tries<'_> {
    /// Deeds that mend what these rules say, each of which may; the smallest of those that have a
    /// size.
    pub(super) fn deeds(&mut self, rules: &[InstanceId]) -> Vec<Deed> {
        let asked = self.asked;
        let (leaves, whole) = asked.spoken_of(rules);
        let mut found: Vec<Deed> = Vec::new();
        let mut offered = Vec::new();
        for at in &leaves {
            offered.extend(asked.in_leaf(*at));
        }
        offered.extend(asked.of_holes());
        offered.extend(asked.of_rings());
        if whole {
            found.extend(self.ring());
            found.extend(self.fewer());
        }
        for deed in offered {
            if self.does(&deed) {
                found.push(deed);
            }
        }
        // One other pattern is enough: the one that is most like what was wanted.
        let mut patterns = 0;
        found.retain(|deed| {
            let other = matches!(deed, Deed::Pattern { to: Some(_), .. });
            patterns += usize::from(other);
            !other || patterns == 1
        });
        for at in &leaves {
            for insert in &asked.album.leaves[*at].inserts {
                found.extend(self.fewer_of(*at, insert));
                found.extend(self.thinner(*at, insert));
                found.extend(self.shows(*at, insert));
            }
        }
        for at in leaves {
            for side in [Side::Wide, Side::High] {
                found.extend(self.picked(at, side));
                found.extend(self.bag(at, side));
            }
        }
        found
    }

    /// The easiest of them that keeps this wish: of the things that it speaks of, the rings at hand
    /// and the eyelets; else a larger ring or fewer leaves. Other holes and bags are no cure for a
    /// wish.
    pub(super) fn easiest(&mut self, wish: InstanceId, now: &Solution) -> Option<Deed> {
        let asked = self.asked;
        let scene = &asked.expanded.model.scene;
        let (leaves, whole) = asked.spoken_of(&[wish]);
        // A larger ring or fewer leaves are no cure for a wish that reads neither.
        let (of_rings, of_counts) = asked.hangs_on(wish);
        self.near = asked.near(&[wish]);
        let scope = &asked.expanded.scopes[wish.0 as usize];
        let called: Vec<&str> = (scope.0.iter())
            .map(|(_, thing)| scene.thing(*thing).label.as_str())
            .collect();
        let of_leaves = leaves.iter().flat_map(|at| asked.in_leaf(*at));
        let mut offered: Vec<Deed> = of_leaves
            .chain(asked.of_holes())
            .chain(asked.of_rings())
            .filter(|deed| match deed {
                // What is glued is pulled out no more.
                Deed::Place { insert, .. } => {
                    let effort = asked.effort(&What::Deed((*deed).clone()), false, 1);
                    called.contains(&insert.as_str()) && effort == Effort::Replace
                }
                Deed::Turn { insert, .. } | Deed::Grip { insert, .. } => {
                    called.contains(&insert.as_str())
                }
                Deed::Use { supply, of, .. } => match supply {
                    Supply::Ring => whole && of_rings,
                    Supply::Paper => called.contains(&of.as_str()),
                    Supply::Bag | Supply::Print | Supply::Punch => false,
                },
                Deed::NoEyelets => true,
                _ => false,
            })
            .collect();
        // A wish is mostly about how a thing is held: that is less trouble than another place.
        offered.sort_by_key(|deed| {
            let held = matches!(deed, Deed::Grip { .. });
            let effort = asked.effort(&What::Deed(deed.clone()), false, 1);
            (!held, asked.style.rank(effort))
        });
        let none = BTreeSet::new();
        let whole_fits = |deed: &Deed| asked.fits(&[asked.deed(deed)], &none) == Some(true);
        let some = !self.near.is_empty();
        offered
            .into_iter()
            .find(|deed| {
                let held = matches!(deed, Deed::Grip { .. });
                self.does(deed)
                    && match held {
                        true => !some || whole_fits(deed),
                        false => self.gives_nothing_up(deed, wish, now),
                    }
            })
            .or_else(|| (whole && of_rings).then(|| self.ring()).flatten())
            .or_else(|| (whole && of_counts).then(|| self.fewer()).flatten())
    }

    /// Whether a wish is kept with a deed and fewer are given up in all than without, and nothing that is
    /// cut is smaller.
    fn gives_nothing_up(&self, deed: &Deed, wish: InstanceId, now: &Solution) -> bool {
        let asked = self.asked;
        let mut album = asked.album.clone();
        let done = deed.done(&mut album);
        let Some(after) = done.and_then(|()| expand(asked.style, &album).ok()) else {
            return false;
        };
        let then = solve(&after.program, asked.limits);
        let old = asked.expanded;
        let sizes = |expanded: &Expanded, solution: &Solution| {
            let sizes = expanded.sizes.iter().map(|it| it.unknown.0 as usize);
            let named = sizes.filter_map(|at| {
                let name = expanded.program.unknowns[at].name.clone();
                Some((name, *solution.values.get(at)?))
            });
            named.collect::<BTreeMap<String, i64>>()
        };
        let (was, is) = (sizes(old, now), sizes(&after, &then));
        let kept = was.iter().all(|(name, size)| match is.get(name) {
            Some(it) => it >= size,
            None => !is.is_empty(),
        });
        let lost = dropped(&after, &then);
        let wish = named(old, wish);
        kept && lost.len() < dropped(old, now).len()
            && lost.into_iter().all(|id| named(&after, id) != wish)
    }

    fn does(&mut self, deed: &Deed) -> bool {
        if self.left == 0 {
            self.give_up();
            return false;
        }
        self.left -= 1;
        self.fits(&[self.asked.deed(deed)])
    }

    /// As [`Tries::least`], of deeds of which the largest does if any does.
    fn least_of_rising(&mut self, most: i64, deed: impl Fn(i64) -> Option<Deed>) -> Option<Deed> {
        let largest = deed(most)?;
        match self.does(&largest) {
            true => self.least(most, deed),
            false => None,
        }
    }

    /// The smallest of these deeds that does: of no more than `most`, each larger than the one
    /// before.
    fn least(&mut self, most: i64, deed: impl Fn(i64) -> Option<Deed>) -> Option<Deed> {
        let mut does = |n: i64| deed(n).is_some_and(|deed| self.does(&deed));
        let (mut not, mut enough) = (0, 1);
        while !does(enough) {
            if enough >= most {
                return None;
            }
            (not, enough) = (enough, (2 * enough).min(most));
        }
        while enough - not > 1 {
            let middle = not + (enough - not) / 2;
            match does(middle) {
                true => enough = middle,
                false => not = middle,
            }
        }
        deed(enough)
    }

    fn ring(&mut self) -> Option<Deed> {
        let album = self.asked.album;
        let rings = &album.supplies.rings;
        let ring = match &album.ring {
            Some(fixed) => rings.get(fixed.value),
            None => rings.iter().max_by_key(|ring| ring.inside.least()),
        }?;
        let step = match album.ruler.is_metric() {
            true => METRIC_RING_STEP,
            false => RING_STEP,
        };
        self.least_of_rising(MOST_STEPS, |n| {
            // On the steps in which rings are sold, from the next one on.
            let whole = ring.inside.least().nm().div_euclid(step.nm());
            let to = step.checked_mul(whole.checked_add(n)?)?;
            Some(Deed::RingOf {
                from: ring.name.clone(),
                inside: ring.inside,
                to,
            })
        })
    }

    fn fewer(&mut self) -> Option<Deed> {
        let leaves = &self.asked.album.leaves;
        let all = leaves.iter().map(|leaf| leaf.count).sum::<i64>();
        let many = leaves.iter().max_by_key(|leaf| leaf.count)?;
        let most = MOST_STEPS.min(many.count - 1);
        if most < 1 {
            return None;
        }
        self.least_of_rising(most, |by| {
            Some(Deed::Fewer {
                leaf: many.name.clone(),
                by,
                left: all - by,
            })
        })
    }

    fn fewer_of(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        let most = MOST_STEPS.min(insert.count - 1);
        if most < 1 {
            return None;
        }
        let leaf = &self.asked.album.leaves[at].name;
        self.least(most, |by| {
            Some(Deed::FewerOf {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                by,
                left: insert.count - by,
            })
        })
    }

    /// Card as thick as may be, of what it is now.
    fn thinner(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        let asked = self.asked;
        let scene = &asked.expanded.model.scene;
        let here = scene.leaves()[at];
        let listed = scene.thing(here).lists.get("inserts").into_iter().flatten();
        let mut things = listed.filter(|it| scene.thing(**it).label == insert.name);
        let now = scene.length(*things.next()?, "caliper")?;
        let grain = match asked.album.ruler.is_metric() {
            true => METRIC_CARD_STEP,
            false => CARD_STEP,
        };
        let leaf = &asked.album.leaves[at].name;
        self.least_of_rising(CARD_STEPS / 2, |n| {
            let to = now.least().nm() / CARD_STEPS * (CARD_STEPS - n) / grain.nm();
            let to = grain.checked_mul(to)?;
            (to > Length::ZERO).then(|| Deed::Thinner {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                from: now,
                to,
            })
        })
    }

    /// A thing that stands out of its slot, as far as it has to.
    fn shows(&mut self, at: usize, insert: &Insert) -> Option<Deed> {
        if insert.show.is_some() || insert.photo.is_some() {
            return None;
        }
        let album = self.asked.album;
        let leaf = &album.leaves[at].name;
        self.least(MOST_STEPS, |n| {
            Some(Deed::Show {
                leaf: leaf.clone(),
                insert: insert.name.clone(),
                to: album.ruler.step().checked_mul(n)?,
            })
        })
    }

    fn picked(&mut self, at: usize, side: Side) -> Option<Deed> {
        let (name, pack, step) = self.side_of(at, side)?;
        let within = (pack.most().nm() - pack.least().nm()) / step.nm();
        if within < 1 {
            return None;
        }
        self.least(within.min(MOST_STEPS), |n| {
            Some(Deed::Pick {
                from: name.clone(),
                side,
                pack,
                to: pack.least().checked_add(step.checked_mul(n)?)?,
            })
        })
    }

    /// A leaf's bag, one of its sides, and a step of the ruler.
    fn side_of(&self, at: usize, side: Side) -> Option<(String, Interval, Length)> {
        let album = self.asked.album;
        let bag = album.supplies.bags.get(album.leaves[at].bag)?;
        let now = match side {
            Side::Wide => bag.width,
            Side::High => bag.height,
        };
        Some((bag.name.clone(), now, album.ruler.step()))
    }

    fn bag(&mut self, at: usize, side: Side) -> Option<Deed> {
        let (name, now, step) = self.side_of(at, side)?;
        self.least(MOST_STEPS, |n| {
            let by = step.checked_mul(n)?;
            let end = |end: Length| end.checked_add(by);
            Some(Deed::BagOf {
                from: name.clone(),
                side,
                to: Interval::between(end(now.least())?, end(now.most())?)?,
            })
        })
    }
}

impl Asked<'_> {
    /// Whether what a rule says hangs on the ring, and on how many leaves there are.
    fn hangs_on(self, id: InstanceId) -> (bool, bool) {
        let rule = self.expanded.program.instances[id.0 as usize].rule;
        let scope = &self.expanded.scopes[id.0 as usize];
        let scene = &self.expanded.model.scene;
        let (mut ring, mut count) = (false, false);
        let comparisons =
            self.style
                .rules
                .get(rule)
                .into_iter()
                .flat_map(|rule| match &rule.demand {
                    Demand::Require(all) => all.iter().collect_vec(),
                    Demand::Either(ways) => ways.iter().flatten().collect(),
                });
        for side in comparisons.flat_map(|it| [&it.left, &it.right]) {
            let mut found = |path: &Path, meaning: Meaning<'_>| {
                let of = match meaning {
                    Meaning::Fact(_, thing) => scene.thing(thing).kind,
                    Meaning::Column((_, choice), _) => choice,
                    _ => "",
                };
                ring |= of == "ring";
                count |= of == "leaf" && path.last() == "count";
            };
            self.expanded.model.reads(side, scope, &mut found);
        }
        (ring, count)
    }

    /// All leaves that are spoken of by rules that speak of leaves; none where one speaks of the whole
    /// album.
    pub(super) fn near(self, rules: &[InstanceId]) -> BTreeSet<usize> {
        let mut near = BTreeSet::new();
        for id in rules {
            let things = &self.expanded.scopes[id.0 as usize].0;
            let leaves = things.iter().map(|(_, thing)| self.leaf_index(*thing));
            match leaves.collect::<Option<Vec<usize>>>() {
                Some(leaves) if !leaves.is_empty() => near.extend(leaves),
                _ => return BTreeSet::new(),
            }
        }
        near
    }

    /// The leaves that rules speak of; all of them, and true, where one is about the whole album.
    fn spoken_of(self, rules: &[InstanceId]) -> (BTreeSet<usize>, bool) {
        let mut leaves = BTreeSet::new();
        let mut whole = false;
        for id in rules {
            let scope = &self.expanded.scopes[id.0 as usize];
            match scope.0.first().and_then(|(_, t)| self.leaf_index(*t)) {
                Some(leaf) => {
                    leaves.insert(leaf);
                }
                None => whole = true,
            }
        }
        if whole && leaves.is_empty() {
            leaves = (0..self.album.leaves.len()).collect();
        }
        (leaves, whole)
    }

    fn in_leaf(self, at: usize) -> Vec<Deed> {
        let leaf = &self.album.leaves[at];
        let mut deeds = Vec::new();
        for insert in &leaf.inserts {
            deeds.extend(self.of_insert(at, leaf, insert));
        }
        let here = self.expanded.model.scene.leaves()[at];
        for part in self.style.papers_of_leaf() {
            let scene = &self.expanded.model.scene;
            let there = scene.thing(here).parts.get(part);
            if !there.is_some_and(|part| scene.flag(*part, "wanted")) {
                continue;
            }
            let said = leaf.parts.iter().find(|(name, _)| name == part);
            if let Some((_, PartPaper::Papers(papers))) = said {
                deeds.extend(self.papers(leaf, part, papers));
            }
            deeds.push(Deed::Without {
                leaf: leaf.name.clone(),
                part: part.to_owned(),
            });
        }
        // Of bags there may be many.
        let supplies = &self.album.supplies;
        for bag in &supplies.bags {
            if bag.name != supplies.bags[leaf.bag].name {
                deeds.push(Deed::Use {
                    supply: Supply::Bag,
                    leaf: leaf.name.clone(),
                    of: String::new(),
                    from: supplies.bags[leaf.bag].name.clone(),
                    to: bag.name.clone(),
                });
            }
        }
        deeds
    }

    fn papers(self, leaf: &Leaf, of: &str, now: &[usize]) -> Vec<Deed> {
        let papers = &self.album.supplies.papers;
        let Some(from) = now.first().and_then(|at| papers.get(*at)) else {
            return Vec::new();
        };
        let others = (0..).zip(papers).filter(|(at, _)| !now.contains(at));
        others
            .map(|(_, paper)| Deed::Use {
                supply: Supply::Paper,
                leaf: leaf.name.clone(),
                of: of.to_owned(),
                from: from.name.clone(),
                to: paper.name.clone(),
            })
            .collect()
    }

    fn of_insert(self, at: usize, leaf: &Leaf, insert: &Insert) -> Vec<Deed> {
        let scene = &self.expanded.model.scene;
        let leaf_name = || leaf.name.clone();
        let name = || insert.name.clone();
        let here = scene.leaves()[at];
        let listed = scene.thing(here).lists.get("inserts");
        let mut listed = listed.into_iter().flatten();
        let Some(thing) = listed.find(|it| scene.thing(**it).label == insert.name) else {
            return Vec::new();
        };
        let mut deeds = Vec::new();
        let lies = scene.text(*thing, "slot");
        let slots = scene.thing(here).lists.get("slots");
        let there = |name: &str| {
            let mut slots = slots.into_iter().flatten();
            slots.any(|slot| scene.thing(*slot).label == name)
        };
        let own = self.style.slots().find(|(part, _)| part.name == lies);
        let places = self.style.slots().filter(|(part, _)| there(&part.name));
        let places = places.filter(|(_, slot)| {
            own.is_none_or(|(_, own)| (&slot.place, &slot.section) != (&own.place, &own.section))
        });
        let places = places.map(|(_, slot)| Place {
            place: slot.place.clone(),
            section: slot.section.clone(),
        });
        for to in places.unique() {
            deeds.push(Deed::Place {
                leaf: leaf_name(),
                insert: name(),
                to,
            });
        }
        let side = |field: &str| scene.length(*thing, field);
        if let (Some(width), Some(height)) = (side("width"), side("height"))
            && width != height
        {
            deeds.push(Deed::Turn {
                leaf: leaf_name(),
                insert: name(),
                width: height,
                height: width,
            });
        }
        for grip in [Grip::Notch, Grip::Tab] {
            if grip != insert.grip {
                deeds.push(Deed::Grip {
                    leaf: leaf_name(),
                    insert: name(),
                    grip,
                });
            }
        }
        deeds.extend(self.papers(leaf, &insert.name, &insert.papers));
        let prints = &self.album.supplies.prints;
        if let Some(photo) = &insert.photo
            && let Some(from) = photo.prints.first()
        {
            for (n, print) in prints.iter().enumerate() {
                if !photo.prints.contains(&n) {
                    deeds.push(Deed::Use {
                        supply: Supply::Print,
                        leaf: leaf_name(),
                        of: name(),
                        from: prints[*from].name.clone(),
                        to: print.name.clone(),
                    });
                }
            }
        }
        deeds
    }

    fn of_holes(self) -> Vec<Deed> {
        let template = &self.album.template;
        let mut deeds = Vec::new();
        if template.eyelet.is_some() {
            deeds.push(Deed::NoEyelets);
        }
        let punches = &self.album.supplies.punches;
        if let Some(from) = template.punch.and_then(|at| punches.get(at)) {
            for punch in punches.iter().filter(|it| it.name != from.name) {
                deeds.push(Deed::Use {
                    supply: Supply::Punch,
                    leaf: String::new(),
                    of: String::new(),
                    from: from.name.clone(),
                    to: punch.name.clone(),
                });
            }
        }
        if let Some(pattern) = &template.pattern {
            let was = Pattern::named(&pattern.value).map_or(0, Pattern::holes);
            let mut others: Vec<&Pattern> = PATTERNS.iter().collect();
            others.sort_by_key(|other| ((other.holes() - was).abs(), -other.span().nm()));
            // With as many holes: others do not go into the same binder.
            let others = others
                .into_iter()
                .filter(|it| it.name != pattern.value && it.holes() == was);
            let others = others.map(|it| Some(it.name.to_owned()));
            for to in others.chain([None]) {
                deeds.push(Deed::Pattern {
                    from: pattern.value.clone(),
                    to,
                });
            }
        } else if let Some(from) = template.holes.filter(|n| *n > 1) {
            for to in (1..from).rev().take(2) {
                deeds.push(Deed::Holes { from, to });
            }
        }
        deeds
    }

    fn of_rings(self) -> Vec<Deed> {
        let rings = &self.album.supplies.rings;
        let Some(fixed) = self.album.ring.as_ref().and_then(|it| rings.get(it.value)) else {
            return Vec::new();
        };
        let others = rings.iter().filter(|ring| ring.name != fixed.name);
        others
            .map(|ring| Deed::Use {
                supply: Supply::Ring,
                leaf: String::new(),
                of: String::new(),
                from: fixed.name.clone(),
                to: ring.name.clone(),
            })
            .collect()
    }
}

impl Asked<'_> {
    /// The trouble that a change is.
    pub(super) fn effort(self, what: &What, more: bool, amount: i64) -> Effort {
        match what {
            What::Deed(deed) => match deed {
                Deed::Place { to, .. } => {
                    let is_it = |slot: &&Slot| {
                        slot.place == to.place
                            && (to.section.is_none() || slot.section == to.section)
                    };
                    let slot = self.style.slots().map(|(_, slot)| slot).find(is_it);
                    // What is glued is pulled out no more.
                    match slot.is_some_and(|slot| slot.opens.is_some()) {
                        true => Effort::Replace,
                        false => Effort::TrimMuch,
                    }
                }
                Deed::Turn { .. } => Effort::Replace,
                Deed::Grip { .. } | Deed::Show { .. } => Effort::Hold,
                Deed::Use {
                    supply: Supply::Bag,
                    ..
                }
                | Deed::Pick { .. }
                | Deed::BagOf { .. } => Effort::OtherBag,
                Deed::Use { .. } => Effort::AtHand,
                Deed::Pattern { .. } | Deed::Holes { .. } | Deed::NoEyelets => Effort::Punch,
                Deed::Without { .. } => Effort::Bare,
                Deed::FewerOf { .. } | Deed::Fewer { .. } => Effort::Fewer,
                Deed::RingOf { .. } | Deed::Thinner { .. } => Effort::Buy,
            },
            What::Size { field, .. } if field == "show" => Effort::Hold,
            What::Size { .. } => {
                let now = self.now(what).map_or(0, |it| it.least().nm());
                // More goes off a card that is made anew than off one that is cut down.
                let little = if more { now / 4 } else { now / 8 };
                match self.steps(amount).nm() > little {
                    true => Effort::TrimMuch,
                    false => Effort::Trim,
                }
            }
            What::Template(_) | What::Pocket { .. } => Effort::Punch,
            What::Quantity(_) | What::Usual(_) => Effort::Quantity,
            What::LeaveOut(_) => Effort::LeaveOut,
            What::Rule(_) | What::Aside(_) => Effort::Accept,
        }
    }
}
