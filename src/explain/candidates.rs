//! What could be done otherwise at all: the leaves that rules speak of, each deed that their leaves, the
//! holes and the rings allow, and how much trouble a change is for a person. `offers` tries them.
//!
//! May import every room up to `program`.

use super::changed::Asked;
use super::deeds::{Deed, Place, Supply};
use super::own::What;
use crate::album::{Grip, Insert, Leaf, PartPaper};
use crate::program::InstanceId;
use crate::scene::model::Meaning;
use crate::scene::{Fact, Origin, ThingId};
use crate::style::expr::Path;
use crate::style::parts::Slot;
use crate::style::{Effort, Rule};
use crate::supplies::Paper;
use crate::supplies::patterns::{PATTERNS, Pattern};
use itertools::Itertools;
use std::collections::BTreeSet;

/// Whether enough are at hand; true if their number is not known.
fn is_enough(at_hand: Option<i64>, need: i64) -> bool {
    at_hand.is_none_or(|at_hand| at_hand >= need)
}

impl Asked<'_> {
    /// Whether what a rule says hangs on the ring, and on how many leaves there are, of its own kind or of
    /// all.
    pub(super) fn hangs_on(self, id: InstanceId) -> (bool, bool) {
        let scope = &self.expanded.scopes[id.0 as usize];
        let scene = &self.expanded.model.scene;
        let (mut ring, mut count) = (false, false);
        let comparisons = self.rule(id).into_iter().flat_map(Rule::comparisons);
        for side in comparisons.flat_map(|it| [&it.left, &it.right]) {
            let mut found = |path: &Path, meaning: Meaning<'_>| {
                let of = match meaning {
                    Meaning::Fact(_, thing) => scene.thing(thing).kind,
                    Meaning::Column((_, choice), _) => choice,
                    _ => "",
                };
                ring |= of == "ring";
                count |= matches!((of, path.last()), ("leaf", "count") | ("album", "leaves"));
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

    /// The leaves that a rule speaks of; none where it is about the whole album.
    pub(super) fn leaves_of_rule(self, id: InstanceId) -> BTreeSet<usize> {
        let things = self.expanded.scopes[id.0 as usize].0.iter();
        things.filter_map(|(_, it)| self.leaf_index(*it)).collect()
    }

    /// The leaves that rules speak of; all of them, and true, where one is about the whole album.
    pub(super) fn spoken_of(self, rules: &[InstanceId]) -> (BTreeSet<usize>, bool) {
        let mut leaves = BTreeSet::new();
        let mut whole = false;
        for id in rules {
            let its = self.leaves_of_rule(*id);
            whole |= its.is_empty();
            leaves.extend(its);
        }
        if whole && leaves.is_empty() {
            leaves = (0..self.album.leaves.len()).collect();
        }
        (leaves, whole)
    }

    pub(super) fn in_leaf(self, at: usize) -> Vec<Deed> {
        let leaf = &self.album.leaves[at];
        let mut deeds = Vec::new();
        for insert in &leaf.inserts {
            deeds.extend(self.of_insert(at, leaf, insert));
        }
        let here = self.expanded.model.scene.leaves()[at];
        let papers = self.style.papers_of_leaf();
        deeds.extend(self.of_parts((&leaf.name, here), &leaf.parts, &papers));
        // What is cut may lie the other way round.
        let said = |part: &str, field: &str| {
            let name = format!("{part}.{field}");
            let mut all = leaf.measured.iter().chain(&leaf.given);
            all.find(|(it, _)| it.value == name)
                .map(|(_, value)| *value)
        };
        deeds.extend(papers.iter().filter_map(|part| {
            let sides = ["width", "height"].map(|side| said(part, side));
            Deed::turned((&leaf.name, part), sides)
        }));
        // Of bags there may be many.
        let supplies = &self.album.supplies;
        let others = |bag: usize| {
            let others = self.album.leaves.iter().filter(|it| it.bag == bag);
            others.map(|it| it.count).sum::<i64>()
        };
        let from = &supplies.bags[leaf.bag].name;
        for (at, bag) in supplies.bags.iter().enumerate() {
            let need = leaf.count + others(at);
            if at != leaf.bag && is_enough(bag.count, need) {
                deeds.push(Deed::of_one(Supply::Bag, (&leaf.name, ""), from, &bag.name));
            }
        }
        deeds
    }

    /// What a leaf's pieces of paper are cut from, and whether they are there; of the album itself, if the
    /// leaf has no name.
    fn of_parts(
        self,
        (leaf, here): (&str, ThingId),
        said: &[(String, PartPaper)],
        all: &[&str],
    ) -> Vec<Deed> {
        let scene = &self.expanded.model.scene;
        let mut deeds = Vec::new();
        for part in all {
            let there = scene.part(here, part);
            if !there.is_some_and(|part| scene.flag(part, "wanted")) {
                continue;
            }
            let said = said.iter().find(|(name, _)| name == part);
            if let Some((_, PartPaper::Papers(papers))) = said {
                deeds.extend(self.papers(leaf, part, papers));
            }
            deeds.push(Deed::Without {
                leaf: leaf.to_owned(),
                part: (*part).to_owned(),
            });
        }
        deeds
    }

    /// The same of those parts of the album itself that rules speak of.
    pub(super) fn of_album(self, rules: &[InstanceId]) -> Vec<Deed> {
        let scene = &self.expanded.model.scene;
        let read: BTreeSet<String> = rules.iter().flat_map(|id| self.called(*id)).collect();
        let mut papers = self.style.papers_of_album();
        papers.retain(|part| read.contains(*part));
        let mut deeds = self.of_parts(("", scene.album()), &self.album.own.parts, &papers);
        // What others lie on, or are as large as, cannot be left out.
        let is_needed = |part: &String| {
            let mut unknowns = self.style.unknowns.iter();
            unknowns.any(|it| it.name.head() == part && it.when.is_empty())
        };
        deeds.retain(|deed| !matches!(deed, Deed::Without { part, .. } if is_needed(part)));
        deeds
    }

    /// What a rule's things are called, and the parts whose sizes it reads.
    pub(super) fn called(self, id: InstanceId) -> BTreeSet<String> {
        let model = &self.expanded.model;
        let papers = [self.style.papers_of_leaf(), self.style.papers_of_album()].concat();
        let sides = self.rule(id).into_iter().flat_map(Rule::comparisons);
        let scope = &self.expanded.scopes[id.0 as usize];
        let things = scope.0.iter();
        let things = things.map(|(_, thing)| &model.scene.thing(*thing).label);
        let mut called: BTreeSet<String> = things.cloned().collect();
        for side in sides.flat_map(|it| [&it.left, &it.right]) {
            let mut found = |path: &Path, _: Meaning<'_>| {
                let part = papers.iter().find(|part| **part == path.head());
                called.extend(part.map(|part| (*part).to_owned()));
            };
            model.reads(side, scope, &mut found);
        }
        called
    }

    /// Pieces of paper that may help to keep a wish, as its rule says: of the thinnest paper first.
    pub(super) fn mending(self, wish: InstanceId) -> Vec<Deed> {
        let scene = &self.expanded.model.scene;
        let mend = self.rule(wish).map(|rule| &rule.mend);
        let is_there = |part: &str| {
            let mut leaves = scene.leaves().iter();
            leaves.any(|leaf| {
                let there = scene.part(*leaf, part);
                there.is_some_and(|part| scene.flag(part, "wanted"))
            })
        };
        let parts = mend.into_iter().flatten().map(|said| &said.value);
        let parts = parts.filter(|part| !is_there(part));
        let papers = self.album.supplies.papers.iter();
        let thick = papers.filter_map(|it| Some((it.caliper?.most(), &it.name)));
        let papers = thick.sorted().map(|(_, name)| name).collect_vec();
        parts
            .cartesian_product(papers)
            .map(|(part, paper)| Deed::With {
                part: part.clone(),
                paper: paper.clone(),
            })
            .collect()
    }

    fn papers(self, leaf: &str, of: &str, now: &[usize]) -> Vec<Deed> {
        let papers = &self.album.supplies.papers;
        let Some(from) = now.first().and_then(|at| papers.get(*at)) else {
            return Vec::new();
        };
        let others = (0..)
            .zip(papers)
            .filter(|(at, paper)| !now.contains(at) && is_enough(paper.all_sheets(), 1));
        // What is as thick is likest: cloth for cloth, and board for board.
        let unlike = |paper: &Paper| {
            let both = paper.caliper.zip(from.caliper);
            let thicker = both.map(|(a, b)| a.least().nm().abs_diff(b.least().nm()));
            (thicker.is_none(), thicker, paper.directed != from.directed)
        };
        let others = others.sorted_by_key(|(_, paper)| unlike(paper));
        let used = |paper: &Paper| Deed::of_one(Supply::Paper, (leaf, of), &from.name, &paper.name);
        others.map(|(_, paper)| used(paper)).collect()
    }

    fn of_insert(self, at: usize, leaf: &Leaf, insert: &Insert) -> Vec<Deed> {
        let scene = &self.expanded.model.scene;
        let leaf_name = || leaf.name.clone();
        let name = || insert.name.clone();
        let here = scene.leaves()[at];
        let Some(thing) = scene.insert(here, &insert.name) else {
            return Vec::new();
        };
        let mut deeds = Vec::new();
        let lies = scene.text(thing, "slot");
        let slots = scene.list(here, "slots");
        let there = |name: &str| slots.iter().any(|slot| scene.thing(*slot).label == name);
        let own = self.style.slots().find(|(part, _)| part.name == lies);
        let places = self.style.slots().filter(|(part, _)| there(&part.name));
        let places = places.filter(|(_, slot)| {
            own.is_none_or(|(_, own)| (&slot.place, &slot.section) != (&own.place, &own.section))
        });
        // Of many things that are pulled out one back has no room for all.
        let places = places.filter(|(_, slot)| slot.opens.is_some() || insert.count == 1);
        let places = places.map(|(_, slot)| Place::of(slot));
        for to in places.unique() {
            deeds.push(Deed::Place {
                leaf: leaf_name(),
                insert: name(),
                to,
            });
        }
        let sides = ["width", "height"].map(|side| scene.length(thing, side));
        deeds.extend(Deed::turned((&leaf.name, &insert.name), sides));
        for grip in [Grip::Notch, Grip::Tab] {
            if grip != insert.grip {
                deeds.push(Deed::Grip {
                    leaf: leaf_name(),
                    insert: name(),
                    grip,
                });
            }
        }
        deeds.extend(self.papers(&leaf.name, &insert.name, &insert.papers));
        let prints = &self.album.supplies.prints;
        if let Some(photo) = &insert.photo
            && let Some(from) = photo.prints.first()
        {
            let (of, from) = ((&*leaf.name, &*insert.name), &prints[*from].name);
            for (n, print) in prints.iter().enumerate() {
                let need = leaf.count.saturating_mul(insert.count);
                if !photo.prints.contains(&n) && is_enough(print.count, need) {
                    deeds.push(Deed::of_one(Supply::Print, of, from, &print.name));
                }
            }
        }
        deeds
    }

    pub(super) fn of_holes(self) -> Vec<Deed> {
        let template = &self.album.template;
        let mut deeds = Vec::new();
        if template.eyelet.is_some() {
            deeds.push(Deed::NoEyelets);
        }
        let punches = &self.album.supplies.punches;
        if let Some(from) = template.punch.and_then(|at| punches.get(at)) {
            for punch in punches.iter().filter(|it| it.name != from.name) {
                deeds.push(Deed::of_all(Supply::Punch, &from.name, &punch.name));
            }
        }
        if let Some(pattern) = &template.pattern {
            let named = Pattern::named(&pattern.value);
            let was = named.map_or(0, Pattern::holes);
            let metric = named.is_some_and(Pattern::is_metric);
            // With as many holes, and measured alike: others do not go into the same binders.
            let alike = |it: &&Pattern| it.holes() == was && it.is_metric() == metric;
            let others = PATTERNS.iter().filter(alike);
            let others = others.filter(|it| it.name != pattern.value);
            let others = others.sorted_by_key(|it| -it.span().nm());
            let others = others.map(|it| Some(it.name.to_owned()));
            for to in others.chain([None]) {
                deeds.push(Deed::Pattern {
                    from: pattern.value.clone(),
                    to,
                });
            }
        }
        deeds
    }

    pub(super) fn of_rings(self) -> Vec<Deed> {
        let rings = &self.album.supplies.rings;
        let Some(fixed) = self.album.ring.as_ref().and_then(|it| rings.get(it.value)) else {
            return Vec::new();
        };
        let scene = &self.expanded.model.scene;
        let first = scene.leaves().first();
        let need = first.map_or(1, |leaf| scene.list(*leaf, "holes").len() as i64);
        let others = rings.iter().filter(|ring| ring.name != fixed.name);
        let others = others.filter(|ring| is_enough(ring.count, need));
        // The smallest that does is the first that is found.
        let others = others.sorted_by_key(|ring| ring.inside.least());
        others
            .map(|ring| Deed::of_all(Supply::Ring, &fixed.name, &ring.name))
            .collect()
    }

    /// Whether a size is that of a piece of paper which is still to be cut.
    fn is_uncut(self, what: &What) -> bool {
        let What::Size { thing, .. } = what else {
            return false;
        };
        let label = self.expanded.model.scene.thing(*thing).label.as_str();
        let mut papers = self.style.papers_of_leaf();
        papers.extend(self.style.papers_of_album());
        papers.contains(&label) && !self.is_made(what)
    }

    /// Whether a size was measured on what is there already.
    pub(super) fn is_made(self, what: &What) -> bool {
        let scene = &self.expanded.model.scene;
        let What::Size { thing, field } = what else {
            return false;
        };
        let fact = scene.thing(*thing).facts.get(field);
        matches!(fact, Some(Fact::Length(given)) if scene.given(*given).origin == Origin::Measured)
    }

    /// Whether a change leaves less of a quantity than it is there for: a card that touches the rim of a
    /// hole does not slide.
    fn leaves_too_little(self, name: &str, more: bool, amount: i64) -> bool {
        let what = What::Quantity(name.to_owned());
        let quantity = self.style.quantity(name);
        let least = quantity.and_then(|it| it.least(self.album.ruler));
        let left = self
            .now(&what)
            .and_then(|now| now.least().checked_sub(self.steps(amount)));
        !more && least.zip(left).is_some_and(|(least, left)| left < least)
    }

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
                Deed::Use { .. } | Deed::With { .. } => Effort::AtHand,
                Deed::Pattern { .. } | Deed::Row { .. } | Deed::Holes { .. } | Deed::NoEyelets => {
                    Effort::Punch
                }
                Deed::Without { .. } => Effort::Bare,
                Deed::FewerOf { .. } => Effort::Fewer,
                // With more than a third of it left out it is another album.
                Deed::Fewer { by, left, .. } => match 2 * by > *left {
                    true => Effort::Bare,
                    false => Effort::Fewer,
                },
                Deed::RingOf { .. } | Deed::SheetOf { .. } | Deed::Thinner { .. } => Effort::Buy,
            },
            What::Size { field, .. } if field == "show" => Effort::Hold,
            // What is glued is glued anew.
            What::Size { field, .. }
                if self.is_made(what) && !matches!(field.as_str(), "width" | "height") =>
            {
                Effort::TrimMuch
            }
            What::Size { .. } => {
                let now = self.now(what).map_or(0, |it| it.least().nm());
                let uncut = self.is_uncut(what) && !more;
                // More goes off a card that is made anew than off one that is cut down.
                let little = if more { now / 4 } else { now / 8 };
                match self.steps(amount).nm() > little && !uncut {
                    true => Effort::TrimMuch,
                    false => Effort::Trim,
                }
            }
            What::Template(_) => Effort::Punch,
            What::Pocket { .. } => {
                let now = self.now(what).map_or(0, |it| it.least().nm());
                match self.steps(amount).nm() > now / 4 {
                    true => Effort::TrimMuch,
                    false => Effort::Punch,
                }
            }
            What::Quantity(name) if self.leaves_too_little(name, more, amount) => Effort::Accept,
            What::Quantity(_) => Effort::Quantity,
            // What the maker set is mostly so.
            What::Usual(_) | What::LeaveOut(_) => Effort::LeaveOut,
            What::Rule(_) | What::Aside(_) => Effort::Accept,
        }
    }
}
