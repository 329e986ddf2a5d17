//! The tables of a style that say what an album is made of, tested before any album is looked at:
//! names, dimensions, circles, boxes and sentences.

use super::StyleError;
use super::check::Checker;
use super::check_steps::same_condition;
use super::expr::{Condition, ConditionNode, Expr, Node, Number, Path};
use super::names::{self, Kinds};
use super::parts::{End, Frame, Is, Kind, Lies, Mark, NameRule, Part, Slot};
use crate::text::Place;
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

impl Checker<'_> {
    /// Tests all tables but the rules, sizes and choices.
    pub(super) fn tables(&mut self) {
        self.names.now_of_tables();
        self.lenient = true;
        let style = self.style;
        for rule in &style.names {
            self.name_rule(rule);
        }
        self.circles();
        for part in &style.parts {
            let kinds = match style.leaf_name() == Some(&part.name) {
                true => vec![(part.name.clone(), "leaf")],
                false => Kinds::new(),
            };
            self.part(part, None, &kinds);
        }
        for step in &style.steps {
            self.step(step);
        }
    }

    fn name_rule(&mut self, rule: &NameRule) {
        let [head, field] = rule.name.0.as_slice() else {
            let (name, place) = (rule.name.to_string(), rule.place);
            return self.refuse(place, StyleError::NameShape { name });
        };
        let kinds = self.names.inside(head);
        let owner = self.names.owner(&rule.name, &kinds);
        let wanted = vocabulary::dimension(owner.map_or("", |it| it.kind), head, field);
        let mut first: Option<(Dimension, Place)> = None;
        for row in &rule.rows {
            self.conditions(&row.when, &kinds);
            if head == vocabulary::COVERS {
                row.is
                    .exprs()
                    .iter()
                    .for_each(|it| self.of_album(it, &kinds));
            }
            let found = match (&row.is, wanted) {
                (Is::Holds(any), _) => {
                    self.conditions(any, &kinds);
                    Some((Dimension::Flag, row.place))
                }
                (Is::Value(end), None) => self.end(end, &kinds),
                (Is::Value(end), Some(wanted)) => {
                    let all = end.all().iter();
                    all.for_each(|it| self.wanted(it, wanted, &kinds));
                    continue;
                }
            };
            match (first, found) {
                (_, Some((is, place))) if wanted.is_some_and(|it| it != is) => {
                    let wanted = wanted.unwrap_or(is);
                    self.dimension(is, wanted, place, None);
                }
                (Some((dimension, at)), Some((other, place))) if dimension != other => {
                    let before = Some((at, dimension.word()));
                    self.dimension(other, dimension, place, before);
                }
                (None, Some(found)) => first = Some(found),
                _ => {}
            }
        }
    }

    /// Refuses what is known only once leaves are, or later.
    fn of_album(&mut self, expr: &Expr, kinds: &Kinds) {
        self.of_facts(expr, kinds);
        for (name, place) in expr.names() {
            if self.names.is_of_leaf(name.head()) {
                let name = name.to_string();
                self.refuse(place, StyleError::WhenUnknown { name });
            }
        }
    }

    /// An expression or the tightest of several: their dimension and where it stands first.
    fn end(&mut self, end: &End, kinds: &Kinds) -> Option<(Dimension, Place)> {
        let mut first: Option<(Dimension, Place)> = None;
        for expr in end.all() {
            let Some(known) = self.expr(expr, kinds, &[], false) else {
                continue;
            };
            match first {
                Some((dimension, at)) if dimension != known.dimension => {
                    let before = Some((at, dimension.word()));
                    self.dimension(known.dimension, dimension, expr.place, before);
                }
                _ => first = Some((known.dimension, expr.place)),
            }
        }
        first
    }

    /// Names that lean on themselves, or on too many others one after the other.
    fn circles(&mut self) {
        let names = &self.style.names;
        let edges: Vec<Vec<usize>> = names.iter().map(|rule| self.leans_on(rule)).collect();
        let called = |at: usize| names[at].name.to_string();
        let mut told = circles(&edges, |way| {
            let names = way.iter().map(|at| called(*at)).collect();
            self.refuse(self.style.names[way[0]].place, StyleError::Circle { names });
        });
        // Without the circles, those that lean on nothing of what is left come first, then those on them.
        let mut width = vec![1_usize; edges.len()];
        for _ in 0..names::DEEPEST {
            let done: BTreeSet<usize> = (0..edges.len())
                .filter(|at| !told.contains(at) && edges[*at].iter().all(|on| told.contains(on)))
                .collect();
            for at in &done {
                let on = edges[*at].iter().map(|on| width[*on]);
                width[*at] = on.fold(1, usize::saturating_add);
            }
            told.extend(done);
        }
        let deep = (0..names.len()).find(|at| !told.contains(at));
        let wide = || width.iter().position(|it| *it > names::WIDEST);
        if let Some(at) = deep.or_else(wide) {
            let name = called(at);
            let wrong = match deep {
                Some(_) => StyleError::Deep { name },
                None => StyleError::Wide { name },
            };
            self.refuse(names[at].place, wrong);
        }
    }

    /// The names that the rows of a name lean on, by their places.
    fn leans_on(&self, rule: &NameRule) -> Vec<usize> {
        let style = self.style;
        let leaf = style.leaf_name();
        let values = rule.rows.iter().flat_map(|row| row.is.exprs());
        let bound: Vec<(&str, Option<&str>)> = (values.flat_map(Expr::bindings))
            .map(|it| (it.variable.as_str(), names::listed(it)))
            .collect();
        // A variable of a sum stands for whatever is in its list.
        let same = |a: &str, b: &str| match bound.iter().find(|(variable, _)| *variable == a) {
            Some((_, Some("leaf"))) => Some(b) == leaf,
            Some((_, Some("hole"))) => self.hole(b).is_some(),
            Some((_, kind)) => [self.names.part(b), self.names.of_album(b)].contains(kind),
            None => a == b || (a == "leaf" && Some(b) == leaf),
        };
        let mut leans = Vec::new();
        let mut note = |head: &str, field: &str| {
            let is = |other: &NameRule| {
                let of = other.name.last();
                let play = field.strip_suffix("_play") == Some(of);
                (of == field || play) && same(head, other.name.head())
            };
            leans.extend(style.names.iter().positions(is));
        };
        for path in rule.reads() {
            match path.0.as_slice() {
                [head, field] if field == "wanted" => {
                    let cases = style.on_leaf().iter().filter(|part| part.name == *head);
                    let when = cases.flat_map(|part| &part.when);
                    for path in when.flat_map(Condition::names) {
                        if let [head, field] = path.0.as_slice() {
                            note(head, field);
                        }
                    }
                }
                [head, field] | [_, head, field] => note(head, field),
                _ => {}
            }
        }
        leans
    }

    /// Parts whose places lean on themselves: none of them could be laid.
    fn places_in_circles(&mut self, frame: &Frame) {
        let on = &frame.on;
        let edges: Vec<Vec<usize>> = on.iter().map(|part| self.laid_after(part, on)).collect();
        circles(&edges, |way| {
            let names = way.iter().map(|at| on[*at].name.clone()).collect();
            self.refuse(on[way[0]].place, StyleError::Circle { names });
        });
    }

    /// The parts of a frame that must have their places before this one, by their places in the list.
    fn laid_after(&self, part: &Part, on: &[Part]) -> Vec<usize> {
        let lies = &part.lies;
        let ends = lies.across().into_iter().chain(lies.up()).flatten();
        let names = ends.flat_map(|end| end.all()).flat_map(Expr::names);
        let mut after = Vec::new();
        for (path, _) in names {
            let own = |name: &Path| name.0 == path.0;
            let of_style = self.style.names.iter().any(|rule| own(&rule.name))
                || self.style.unknowns.iter().any(|rule| own(&rule.name));
            if !of_style && vocabulary::ENDS.contains(&path.last()) {
                let others = on.iter().enumerate();
                let others = others.filter(|(_, other)| {
                    other.name == path.head() && !never_both(&other.when, &part.when)
                });
                after.extend(others.map(|(at, _)| at));
            }
        }
        after
    }

    fn part(&mut self, part: &Part, frame: Option<&Frame>, kinds: &Kinds) {
        self.conditions(&part.when, kinds);
        self.lies(&part.lies, kinds);
        for corner in part.outline.iter().flat_map(|(x, y)| [x, y]) {
            self.wanted(corner, Dimension::Length, kinds);
        }
        self.always(part);
        for (_, wide) in &part.glued {
            self.wanted(wide, Dimension::Length, kinds);
        }
        match &part.kind {
            Kind::Paper { .. } => {}
            Kind::Ply { layers, .. } => self.wanted(layers, Dimension::Number, kinds),
            Kind::Slot(slot) => {
                if let Some(gap) = &slot.gap {
                    self.wanted(gap, Dimension::Length, kinds);
                }
            }
            Kind::Frame(own) => {
                if let Some(count) = &own.count {
                    self.wanted(count, Dimension::Number, kinds);
                }
                for mark in &own.marks {
                    self.mark(mark, kinds);
                }
                for on in &own.on {
                    self.part(on, Some(own), kinds);
                }
                self.places_in_circles(own);
                self.of_one(part, own);
                self.slots_once(own);
            }
        }
        if let Some((_, with)) = &part.joined
            && let Some(frame) = frame
            && !frame.on.iter().any(|other| other.name == *with)
        {
            let known = frame.on.iter().map(|other| other.name.clone()).collect();
            let (name, place) = (with.clone(), part.place);
            self.refuse(place, StyleError::Joined { name, known });
        }
        let mut with_part = kinds.clone();
        with_part.push(("part".to_owned(), "part"));
        for sentence in part.sentences() {
            self.sentence(sentence, &with_part);
        }
    }

    /// Refuses a corner that reads a name without a value in some albums: the part would have no shape.
    fn always(&mut self, part: &Part) {
        let corners = part.outline.iter().flat_map(|(x, y)| [x, y]);
        let names = corners.flat_map(Expr::names);
        for (path, place) in names.unique_by(|(path, _)| *path) {
            let mut rules = self.style.names.iter();
            let Some(rule) = rules.find(|rule| rule.name == *path) else {
                continue;
            };
            let asks = |when: &Condition| part.when.iter().any(|it| same(it, when));
            let given = ConditionNode::Given(path.clone());
            let rows = || rule.rows.iter().map(|row| &row.when);
            let is_there = part.when.iter().any(|it| same_condition(&it.node, &given))
                || rows().any(|when| when.iter().all(asks))
                || rows().any(|one| rows().any(|other| either(one, other)));
            if !is_there {
                let (name, part) = (path.to_string(), part.name.clone());
                self.refuse(place, StyleError::Cornerless { name, part });
            }
        }
    }

    fn lies(&mut self, lies: &Lies, kinds: &Kinds) {
        for axis in [lies.across(), lies.up()] {
            let ends: Vec<&End> = axis.into_iter().flatten().collect();
            for end in &ends {
                for expr in end.all() {
                    self.wanted(expr, Dimension::Length, kinds);
                }
            }
            if let [_, _, third] = ends[..]
                && let Some(expr) = third.all().first()
            {
                self.refuse(expr.place, StyleError::ThirdEnd);
            }
        }
    }

    fn mark(&mut self, mark: &Mark, kinds: &Kinds) {
        let mut inside = kinds.clone();
        // Holes of the album's own parts meet those of the leaves: a leaf's hole at the same place.
        inside.extend(self.style.hole().map(|hole| (hole.name.clone(), "hole")));
        inside.push((mark.name.clone(), "hole"));
        let within = mark.within.iter().flat_map(|(low, high)| [low, high]);
        for expr in mark.lengths().chain(within) {
            self.wanted(expr, Dimension::Length, &inside);
        }
        if let Some(count) = &mark.count {
            self.wanted(count, Dimension::Number, kinds);
        }
        // Several places are told apart by a name that counts them.
        let hole = self.style.hole().map(|hole| hole.name.as_str());
        let counted = |path: &Path| path.head() == mark.name || Some(path.head()) == hole;
        let mut read = [&mark.across, &mark.up]
            .into_iter()
            .flatten()
            .flat_map(Expr::names);
        let one = |expr: &Expr| matches!(&expr.node, Node::Number(n) if *n == Number::from(1));
        if mark.count.as_ref().is_some_and(|count| !one(count))
            && !read.any(|(path, _)| counted(path))
        {
            let (name, place) = (mark.name.clone(), mark.place);
            self.refuse(place, StyleError::OnePlace { name });
        }
        let said = [&mark.across, &mark.up].into_iter().flatten().count();
        if said != 1 + usize::from(mark.diameter.is_some()) {
            let (name, place) = (mark.name.clone(), mark.place);
            self.refuse(place, StyleError::HalfAHole { name });
        }
    }

    /// A part of the album is no part of a leaf: its name would stand for both.
    fn of_one(&mut self, part: &Part, frame: &Frame) {
        if frame.from.is_some() {
            return;
        }
        for own in frame.on.iter().filter(|own| own.name == part.name) {
            let name = own.name.clone();
            self.refuse(own.place, StyleError::OnItself { name });
        }
        for own in std::iter::once(part).chain(&frame.on) {
            if let Some(other) = self.style.on_leaf_called(&own.name) {
                let (name, first) = (own.name.clone(), other.place);
                self.refuse(own.place, StyleError::PartOfBoth { name, first });
            }
        }
    }

    /// Two slots that may be there together differ by their place and section.
    fn slots_once(&mut self, frame: &Frame) {
        let slots = frame.on.iter();
        let slots: Vec<(&Part, &Slot)> = slots
            .filter_map(|part| Some((part, part.slot()?)))
            .collect();
        for (at, (part, slot)) in slots.iter().enumerate() {
            let alike = slots[..at].iter().find(|(other, before)| {
                before.place == slot.place
                    && before.section == slot.section
                    && !never_both(&other.when, &part.when)
            });
            if let Some((other, _)) = alike {
                let (said, first) = (slot.place.clone(), other.place);
                self.refuse(part.place, StyleError::SlotTwice { said, first });
            }
        }
    }

    /// The marks of all frames.
    pub(super) fn marks(&self) -> impl Iterator<Item = &Mark> {
        let frames = self.style.parts.iter().filter_map(Part::frame);
        frames.flat_map(|frame| &frame.marks)
    }

    /// An expression of this dimension; the bare 0 is a length too.
    pub(super) fn wanted(&mut self, expr: &Expr, wanted: Dimension, kinds: &Kinds) {
        let Some(known) = self.expr(expr, kinds, &[], false) else {
            return;
        };
        if known.dimension == Dimension::Number && wanted == known.dimension {
            // How many there are.
            self.counts_of(expr, Dimension::Length);
        }
        if known.dimension != wanted && !(wanted == Dimension::Length && expr.is_zero()) {
            match wanted {
                Dimension::Length => self.no_length(expr, known.dimension, None),
                _ => self.dimension(known.dimension, wanted, expr.place, None),
            }
        }
    }
}

/// Every circle, as the ways that lead back to where they began; all that stand on one.
fn circles(edges: &[Vec<usize>], mut tell: impl FnMut(&[usize])) -> BTreeSet<usize> {
    let mut told = BTreeSet::new();
    for start in 0..edges.len() {
        let way = (!told.contains(&start)).then(|| way_back(edges, start));
        if let Some(way) = way.flatten() {
            tell(&way);
            told.extend(way);
        }
    }
    told
}

/// The shortest way that leads back to where it began.
fn way_back(edges: &[Vec<usize>], start: usize) -> Option<Vec<usize>> {
    let mut before = BTreeMap::new();
    let mut seen = vec![start];
    let mut at = 0;
    while let Some(&here) = seen.get(at) {
        at += 1;
        for &next in &edges[here] {
            if next == start {
                let back = std::iter::successors(Some(here), |it| before.get(it).copied());
                let mut way: Vec<usize> = back.collect();
                way.reverse();
                return Some(way);
            }
            before.entry(next).or_insert_with(|| {
                seen.push(next);
                here
            });
        }
    }
    None
}

/// Whether one of these conditions says the contrary of one of those.
fn never_both(one: &[Condition], other: &[Condition]) -> bool {
    one.iter().any(|a| other.iter().any(|b| contrary(a, b)))
}

/// Whether one of these holds in every album.
fn either(one: &[Condition], other: &[Condition]) -> bool {
    matches!((one, other), ([a], [b]) if contrary(a, b))
}

fn contrary(a: &Condition, b: &Condition) -> bool {
    match (&a.node, &b.node) {
        (ConditionNode::Not(inner), _) => same(inner, b),
        (_, ConditionNode::Not(inner)) => same(inner, a),
        (ConditionNode::Compare(a, s, b), ConditionNode::Compare(c, t, d)) => {
            a.reads_as(c) && b.reads_as(d) && s.contrary() == *t
        }
        (ConditionNode::Text(a, s, x), ConditionNode::Text(b, t, y)) => {
            (a, x) == (b, y) && s.contrary() == *t
        }
        _ => false,
    }
}

fn same(a: &Condition, b: &Condition) -> bool {
    match (&a.node, &b.node) {
        (ConditionNode::Not(a), ConditionNode::Not(b)) => same(a, b),
        (ConditionNode::Compare(a, s, b), ConditionNode::Compare(c, t, d)) => {
            s == t && a.reads_as(c) && b.reads_as(d)
        }
        (a, b) => same_condition(a, b),
    }
}
