//! The names of a style: for each leaf the first row that applies and can be worked out, and what
//! follows from it for another bag.

use super::facts::Tested;
use super::follows::{Follows, How, Tightest, play, tightest_of};
use super::maker::{Maker, PLAY, Saying};
use super::model::{Form, Meaning, Picks, Scope};
use super::*;
use crate::style::expr::{Condition, Node, Path};
use crate::style::parts::{End, Is, Row};
use crate::vocabulary;

/// What a field is called by which the tightest of several is missed.
const SHORT: &str = "_short";

impl Maker<'_> {
    /// Works out the names of a leaf itself, and what these lean on.
    pub(super) fn own_names(&mut self, leaf: ThingId, said: Saying<'_>) {
        let frame = self.style.leaf_name();
        let own = |at: &usize| Some(self.style.names[*at].name.head()) == frame;
        let own: Vec<usize> = (0..self.style.names.len()).filter(own).collect();
        for at in own {
            self.name(leaf, said, at);
        }
    }

    /// Works out every name that is left.
    pub(super) fn names(&mut self, leaf: ThingId, said: Saying<'_>) {
        for at in 0..self.style.names.len() {
            self.name(leaf, said, at);
        }
    }

    /// Works out what a name of the tables needs before it is asked for.
    pub(super) fn ensure(&mut self, leaf: ThingId, said: Saying<'_>, path: &Path) {
        let style = self.style;
        let frame = style.leaf_name();
        let words: Vec<&str> = path.0.iter().map(String::as_str).collect();
        let words = match words[..] {
            [first, _, _] if first == "leaf" || Some(first) == frame => &words[1..],
            _ => &words[..],
        };
        let &[head, field] = words else { return };
        let head = match frame {
            Some(frame) if head == "leaf" => frame,
            _ => head,
        };
        let rule = |rule: &crate::style::parts::NameRule| rule.name.0 == [head, field];
        if let Some(at) = style.names.iter().position(rule) {
            self.name(leaf, said, at);
        }
        let of_album = leaf == self.model.scene.album();
        let papers = match of_album {
            true if style.of_album_called(head).next().is_some() => style.papers_of_album(),
            false if style.has_part(head) => style.papers_of_leaf(),
            _ => Vec::new(),
        };
        for name in papers {
            self.paper(leaf, said, name);
        }
    }

    /// The same for all that a condition reads.
    pub(super) fn ensure_all(&mut self, leaf: ThingId, said: Saying<'_>, when: &[Condition]) {
        for path in when.iter().flat_map(Condition::names) {
            self.ensure(leaf, said, path);
        }
    }

    /// Whether all of these hold here, of what is uncertain for some of it at least. What bags
    /// measure decides it: that is noted.
    pub(super) fn all_hold(&mut self, when: &[Condition], scope: &Scope) -> bool {
        when.iter().all(|condition| {
            if let Some(tested) = self.model.tested(condition, scope) {
                self.note(tested);
            }
            self.model.holds(condition, scope).unwrap_or(false)
        })
    }

    fn note(&mut self, tested: Tested) {
        if !self.model.scene.chosen.contains(&tested) {
            self.model.scene.chosen.push(tested);
        }
    }

    fn name(&mut self, leaf: ThingId, said: Saying<'_>, at: usize) {
        let style = self.style;
        let rule = &style.names[at];
        let [head, field] = rule.name.0.as_slice() else {
            return;
        };
        // A hole's are worked out hole by hole, those of the album with it.
        let of_hole = style.hole().is_some_and(|mark| mark.name == *head);
        let single = vocabulary::SINGLE.contains(&head.as_str());
        let of_album = leaf == self.model.scene.album();
        let elsewhere = of_album != self.of_album.contains(&at);
        if of_hole || single || elsewhere || !self.naming.begun.insert(at) {
            return;
        }
        for path in rule.reads() {
            self.ensure(leaf, said, path);
        }
        let frame = style.leaf_name();
        let is_leaf = frame == Some(head.as_str());
        let scope = self.model.scope_of(leaf);
        let fact = self.first_row(&rule.rows, &scope, (leaf, head, field, is_leaf));
        let size = format!("{head}.{field}");
        let is_said = said.sizes().any(|(name, ..)| name.value == size);
        let thing = match fact {
            Some((thing, fact)) => {
                self.fact(thing, field, fact);
                thing
            }
            None if is_leaf && is_said => leaf,
            None => return,
        };
        self.said_instead(thing, said, &size);
        if !is_leaf {
            let same = |at: &usize| style.names[*at].name.head() == head;
            let others = (0..style.names.len()).filter(same);
            others.for_each(|at| self.name(leaf, said, at));
        }
    }

    /// The names of one hole.
    pub(super) fn names_of_hole(&mut self, hole: ThingId) {
        let style = self.style;
        let Some(mark) = style.hole() else { return };
        for rule in style
            .names
            .iter()
            .filter(|rule| rule.name.head() == mark.name)
        {
            let scope = self.model.scope_of(hole);
            let taken = rule.rows.iter().find_map(|row| match &row.is {
                Is::Value(End::At(expr)) => {
                    let applies = self.all_hold(&row.when, &scope);
                    (applies && self.can_be_worked_out(expr, &scope)).then_some(expr)
                }
                Is::Value(_) | Is::Holds(_) => None,
            });
            if let Some(expr) = taken {
                let fact = Fact::Derived(Arc::new(expr.clone()));
                self.fact(hole, rule.name.last(), fact);
            }
        }
    }

    /// The thing that names with this head are of: the leaf itself, or a part of it.
    fn named_thing(&mut self, leaf: ThingId, head: &str, is_leaf: bool) -> ThingId {
        if is_leaf {
            return leaf;
        }
        if let Some(thing) = self.model.scene.part(leaf, head) {
            return thing;
        }
        let (kind, owner) = match leaf == self.model.scene.album() {
            true => ("name", None),
            false => (self.kind_of_part(head), Some(leaf)),
        };
        let at = self.model.scene.thing(leaf).place;
        let thing = self.thing(kind, head, owner, at);
        self.part(leaf, head, thing);
        thing
    }

    /// The first row that applies and can be worked out, as a fact of its thing.
    fn first_row(
        &mut self,
        rows: &[Row],
        scope: &Scope,
        (leaf, head, field, is_leaf): (ThingId, &str, &str, bool),
    ) -> Option<(ThingId, Fact)> {
        for row in rows {
            if !self.all_hold(&row.when, scope) {
                continue;
            }
            let fact = match &row.is {
                Is::Holds(any) => {
                    let mut holds = false;
                    for condition in any {
                        holds |= self.all_hold(std::slice::from_ref(condition), scope);
                    }
                    Fact::Flag(holds)
                }
                Is::Value(End::At(expr)) => {
                    if !self.can_be_worked_out(expr, scope) {
                        continue;
                    }
                    match &expr.node {
                        Node::Name(path) if row.assumed.is_none() => {
                            self.same_as(path, expr, scope, head, field)
                        }
                        _ => Fact::Derived(Arc::new(expr.clone())),
                    }
                }
                Is::Value(End::Most(all) | End::Least(all)) => {
                    let most = matches!(row.is, Is::Value(End::Most(_)));
                    let thing = self.named_thing(leaf, head, is_leaf);
                    match self.tightest(all, most, scope, (leaf, thing, field)) {
                        Some(fact) => fact,
                        None => continue,
                    }
                }
            };
            let thing = self.named_thing(leaf, head, is_leaf);
            if let Some(why) = &row.assumed {
                self.assume(Assumption::Size {
                    thing,
                    field: field.to_owned(),
                    why: why.clone(),
                });
            }
            return Some((thing, fact));
        }
        None
    }

    /// A name that is only another one's is the same fact; a measure of a bag is called by it from
    /// then on.
    fn same_as(
        &mut self,
        path: &Path,
        expr: &Expr,
        scope: &Scope,
        head: &str,
        field: &str,
    ) -> Fact {
        match self.model.meaning(path, scope) {
            Meaning::Fact(Fact::Derived(_), _) => Fact::Derived(Arc::new(expr.clone())),
            Meaning::Fact(fact, thing) => {
                let fact = fact.clone();
                if let (Fact::Length(given), "bag") = (&fact, self.model.scene.thing(thing).kind) {
                    let given = &mut self.model.scene.givens[given.0 as usize];
                    given.label = format!("{head}.{field}");
                }
                fact
            }
            _ => Fact::Derived(Arc::new(expr.clone())),
        }
    }

    /// Whether every name in an expression has a value in this album, or will be found.
    pub(super) fn can_be_worked_out(&self, expr: &Expr, scope: &Scope) -> bool {
        // What a sum runs over may not be there yet: it is asked when the sum is worked out.
        let bound = expr.bindings();
        let mut names = expr.names().into_iter();
        names.all(|(path, _)| match self.model.meaning(path, scope) {
            Meaning::Absent if bound.iter().any(|it| it.variable == path.head()) => true,
            Meaning::Absent => self.comes_later(path, scope),
            _ => true,
        })
    }

    /// A size that is to be found, a column of a choice, or what the vocabulary always has.
    fn comes_later(&self, path: &Path, scope: &Scope) -> bool {
        let style = self.style;
        let found = style
            .unknowns
            .iter()
            .any(|unknown| unknown.name == *path && self.model.all_hold(&unknown.when, scope));
        let choice = style.choices.iter().any(|choice| {
            let words = &choice.name.0;
            let items = match choice.from.as_str() {
                "rings" => !self.album.supplies.rings.is_empty(),
                _ => true,
            };
            items && path.0.len() == words.len() + 1 && path.0.starts_with(words)
        });
        let [head, field] = path.0.as_slice() else {
            return found || choice;
        };
        let kind = self.model.scene.kind_of(head);
        let always = vocabulary::SINGLE.contains(&kind) || kind == "leaf";
        let always = always && vocabulary::find(kind, field).is_some_and(|it| !it.optional);
        let out = kind == "leaf" && vocabulary::OUT.contains(&field.as_str());
        found || choice || always || out
    }

    fn form(&self, expr: &Expr, scope: &Scope) -> Option<Form> {
        let value = self.model.value(expr, scope, &Picks::new());
        value.ok()?.known()
    }

    /// The tightest of several lengths that are known. Where what is uncertain leaves open which it
    /// is, the last one stands, less (or more) by as much as it may miss: never above the true one.
    fn tightest(
        &mut self,
        all: &[Expr],
        most: bool,
        scope: &Scope,
        (leaf, thing, field): (ThingId, ThingId, &str),
    ) -> Option<Fact> {
        let known: Vec<&Expr> = (all.iter())
            .filter(|expr| self.can_be_worked_out(expr, scope))
            .collect();
        let of: Option<Vec<Form>> = known.iter().map(|expr| self.form(expr, scope)).collect();
        let of = of.filter(|of| !of.is_empty())?;
        let (taken, short) = tightest_of(&self.model.scene, &of, most)?;
        let last = *known.last()?;
        let mut given = None;
        let fact = match taken {
            Tightest::Is(at) => Fact::Derived(Arc::new(known[at].clone())),
            Tightest::Last => Fact::Derived(Arc::new(last.clone())),
            Tightest::About => {
                let name = format!("{field}{SHORT}");
                let at = self.model.scene.thing(thing).place;
                given = Some(self.length(thing, &name, short, Origin::Derived, at));
                let own = &self.model.scene.thing(thing).label;
                let name = Expr::name(own, &name);
                let (last, name) = (Box::new(last.clone()), Box::new(name));
                let node = match most {
                    true => Node::Add(last, name),
                    false => Node::Subtract(last, name),
                };
                Fact::Derived(Arc::new(Expr::unsaid(node)))
            }
        };
        if of.len() > 1 {
            let how = How::Tightest { of, most, taken };
            self.model.scene.follows.push(Follows { leaf, given, how });
        }
        Some(fact)
    }

    /// What the album gives or measures takes the place of what a name comes to.
    pub(super) fn said_instead(&mut self, thing: ThingId, said: Saying<'_>, size: &str) {
        for (name, value, origin) in said.sizes().filter(|(name, ..)| name.value == size) {
            let field = size.rsplit_once('.').map_or(size, |(_, field)| field);
            self.replace(thing, name, field, value, origin);
            self.naming.said.insert(size.to_owned());
        }
    }

    /// How far lengths may be off the middle of what is given, for those that a rule asks it of.
    pub(super) fn plays(&mut self, leaf: ThingId) {
        let parts = &self.model.scene.thing(leaf).parts;
        let of: Vec<ThingId> = std::iter::once(leaf)
            .chain(parts.values().copied())
            .collect();
        let asked = self.plays.clone();
        for thing in of {
            for field in &asked {
                let name = format!("{field}{PLAY}");
                if !self.has(thing, field) || self.has(thing, &name) {
                    continue;
                }
                let (kind, at) = (
                    self.model.scene.thing(thing).kind,
                    self.model.scene.thing(thing).place,
                );
                let expr = Expr::name(kind, field);
                let form = self.form(&expr, &self.model.scope_of(thing));
                let value = form.as_ref().and_then(|form| play(&self.model.scene, form));
                if let (Some(form), Some(value)) = (form, value) {
                    let given = Some(self.length(thing, &name, value, Origin::Derived, at));
                    let how = How::Play(form);
                    self.model.scene.follows.push(Follows { leaf, given, how });
                }
            }
        }
    }
}
