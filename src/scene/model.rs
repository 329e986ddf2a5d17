//! A style laid over an album: which names mean which unknown, choice or given value, and what an
//! expression comes to as a linear form. What is added and multiplied is `form`'s.

pub use super::form::{Form, NoValue, Terms, Value, difference};
use super::form::{add, scale};
use super::{Fact, GivenId, GroupId, Scene, ThingId, UnknownId};
use crate::length::Interval;
use crate::style::expr::{Binding, Expr, Node, Number, Path};
use crate::text::Place;
use num_traits::{CheckedDiv, Zero};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// The things that the variables of a `for` stand for, outermost first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Scope(pub Vec<(Cow<'static, str>, ThingId)>);

impl Scope {
    /// That thing by this name, if there is one.
    pub fn of(name: &str, thing: Option<ThingId>) -> Scope {
        let named = thing.map(|thing| (name.to_owned().into(), thing));
        Scope(named.into_iter().collect())
    }

    /// With a thing more, innermost.
    pub fn with(&self, name: &str, thing: ThingId) -> Scope {
        let mut inner = self.clone();
        inner.push(name, thing);
        inner
    }

    pub fn push(&mut self, name: &str, thing: ThingId) {
        self.0.push((name.to_owned().into(), thing));
    }

    /// The scope in which a thing's own derived values are read.
    fn inside(scene: &Scene, thing: ThingId) -> Scope {
        let mut chain: Vec<ThingId> =
            std::iter::successors(Some(thing), |t| scene.thing(*t).owner).collect();
        chain.reverse();
        let named = |t: ThingId| (scene.thing(t).kind.into(), t);
        Scope(chain.into_iter().map(named).collect())
    }
}

/// One item that a choice may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item {
    pub thing: ThingId,
    /// Its width and height change places.
    pub turned: bool,
}

/// One choice of one thing, its items in the order of preference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Absent where there is one item only.
    pub group: Option<GroupId>,
    pub items: Vec<Item>,
}

/// Which choice or size: whose, and its name.
pub type Key = (ThingId, String);
pub type ChoiceKey = Key;

/// The item picked of each choice, by its place.
pub type Picks = BTreeMap<ChoiceKey, usize>;

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning<'m> {
    Fact(&'m Fact, ThingId),
    Unknown(UnknownId),
    /// A column of a choice's items.
    Column(&'m ChoiceKey, &'m str),
    /// A choice itself.
    Choice(&'m ChoiceKey),
    Absent,
}

/// No list of bindings runs over more things.
pub const MOST_SCOPES: usize = 100_000;

/// What things have by a name, in the order of things and names. Each has few: looking for one copies
/// nothing.
#[derive(Clone, Debug)]
pub struct Named<T>(BTreeMap<ThingId, Vec<(Key, T)>>);

impl<T> Default for Named<T> {
    fn default() -> Self {
        Named(BTreeMap::new())
    }
}

impl<T> Named<T> {
    pub fn find(&self, thing: ThingId, name: &str) -> Option<&(Key, T)> {
        self.0.get(&thing)?.iter().find(|((_, own), _)| own == name)
    }

    pub fn get(&self, key: &Key) -> Option<&T> {
        self.find(key.0, &key.1).map(|(_, it)| it)
    }

    /// In the place of what had this name before.
    pub fn insert(&mut self, key: Key, it: T) {
        let own = self.0.entry(key.0).or_default();
        match own.binary_search_by(|(known, _)| known.cmp(&key)) {
            Ok(at) => own[at].1 = it,
            Err(at) => own.insert(at, (key, it)),
        }
    }

    pub fn iter(&self) -> impl Iterator<Item = &(Key, T)> {
        self.0.values().flatten()
    }
}

/// A style laid over an album.
#[derive(Clone, Debug, Default)]
pub struct Model {
    pub scene: Scene,
    pub unknowns: Named<UnknownId>,
    pub choices: Named<Choice>,
    /// The places of sums that add up numbers, from the style.
    pub counts: BTreeSet<Place>,
}

impl Model {
    /// A model without unknowns or choices yet.
    pub fn new(scene: Scene, counts: BTreeSet<Place>) -> Model {
        Model {
            scene,
            counts,
            ..Model::default()
        }
    }

    /// The expressions of all derived values.
    pub fn all_derived(&self) -> impl Iterator<Item = &Expr> {
        let facts = self.scene.things.iter().flat_map(|it| it.facts.values());
        facts.filter_map(|fact| match fact {
            Fact::Derived(expr) => Some(&**expr),
            _ => None,
        })
    }

    /// The scope in which a thing's own derived values are read.
    pub fn scope_of(&self, thing: ThingId) -> Scope {
        Scope::inside(&self.scene, thing)
    }

    /// The thing that the first word of a name stands for.
    pub fn head(&self, head: &str, scope: &Scope) -> Option<ThingId> {
        if let Some((_, thing)) = scope.0.iter().rev().find(|(v, _)| v == head) {
            return Some(*thing);
        }
        let kind = self.scene.kind_of(head);
        for (_, bound) in scope.0.iter().rev() {
            let chain = std::iter::successors(Some(*bound), |t| self.scene.thing(*t).owner);
            for thing in chain {
                if self.scene.thing(thing).kind == kind {
                    return Some(thing);
                }
                if let Some(part) = self.scene.part(thing, head) {
                    return Some(part);
                }
            }
        }
        self.scene.part(self.scene.album(), head)
    }

    /// What a name stands for in a scope.
    pub fn meaning<'m>(&'m self, path: &'m Path, scope: &Scope) -> Meaning<'m> {
        let album = self.scene.album();
        if let [name] = path.0.as_slice()
            && let Some(fact) = self.scene.quantities.get(name)
            && !scope.0.iter().any(|(v, _)| v == name)
        {
            return Meaning::Fact(fact, album);
        }
        if let Some(key) = self.choice(album, path.head()) {
            return match path.0.as_slice() {
                [_] => Meaning::Choice(key),
                [_, column] => Meaning::Column(key, column),
                _ => Meaning::Absent,
            };
        }
        let (Some(mut thing), Some(mut rest)) = (self.head(path.head(), scope), path.0.get(1..))
        else {
            return Meaning::Absent;
        };
        // `leaf.board.height`: the part of that leaf. A choice of its own comes first.
        while let [part, inner @ ..] = rest
            && !inner.is_empty()
            && self.choice(thing, part).is_none()
            && let Some(found) = self.scene.part(thing, part)
        {
            (thing, rest) = (found, inner);
        }
        match rest {
            [field] => {
                if let Some(fact) = self.scene.thing(thing).facts.get(field) {
                    return Meaning::Fact(fact, thing);
                }
                if let Some((_, unknown)) = self.unknowns.find(thing, field) {
                    return Meaning::Unknown(*unknown);
                }
                self.choice(thing, field)
                    .map_or(Meaning::Absent, Meaning::Choice)
            }
            [choice, column] => match self.choice(thing, choice) {
                Some(key) => Meaning::Column(key, column),
                None => Meaning::Absent,
            },
            _ => Meaning::Absent,
        }
    }

    fn choice(&self, thing: ThingId, name: &str) -> Option<&ChoiceKey> {
        self.choices.find(thing, name).map(|(key, _)| key)
    }

    /// A column of one item; `None` if the item does not say it.
    pub fn column(&self, item: Item, column: &str) -> Option<&Fact> {
        let column = match (item.turned, column) {
            (true, "width") => "height",
            (true, "height") => "width",
            _ => column,
        };
        self.scene.thing(item.thing).facts.get(column)
    }

    /// The things of a list, in order.
    pub fn list(&self, path: &Path, scope: &Scope) -> &[ThingId] {
        let (owner, field) = match path.0.as_slice() {
            [list] => (Some(self.scene.album()), list),
            [head, list] => (self.head(head, scope), list),
            _ => return &[],
        };
        owner.map_or(&[], |owner| self.scene.list(owner, field))
    }

    /// Every scope of a list of bindings, in the album's order; no more than one above [`MOST_SCOPES`].
    pub fn scopes(&self, bindings: &[Binding]) -> Vec<Scope> {
        let mut scopes = vec![Scope::default()];
        for binding in bindings {
            let things = |scope| self.list(&binding.list, scope).iter();
            let with = |scope: &Scope, thing: &ThingId| scope.with(&binding.variable, *thing);
            let longer = scopes
                .iter()
                .flat_map(|scope| things(scope).map(|thing| with(scope, thing)));
            scopes = longer.take(MOST_SCOPES + 1).collect();
        }
        scopes
    }

    /// Every name that an expression reads, and those that derived values read in it, with its meaning.
    pub fn reads(&self, expr: &Expr, scope: &Scope, found: &mut dyn FnMut(&Path, Meaning<'_>)) {
        match &expr.node {
            Node::Number(_) => {}
            Node::Name(path) => {
                let meaning = self.meaning(path, scope);
                found(path, meaning);
                if let Meaning::Fact(Fact::Derived(formula), thing) = meaning {
                    self.reads(formula, &self.scope_of(thing), found);
                }
            }
            Node::Negative(a) => self.reads(a, scope, found),
            Node::Add(a, b) | Node::Subtract(a, b) | Node::Multiply(a, b) | Node::Divide(a, b) => {
                self.reads(a, scope, found);
                self.reads(b, scope, found);
            }
            Node::Sum(binding, body) => {
                for thing in self.list(&binding.list, scope) {
                    self.reads(body, &scope.with(&binding.variable, *thing), found);
                }
            }
        }
    }

    /// The linear form of an expression, with the picked items' columns in it.
    ///
    /// # Errors
    /// A name without a value, an operation that is not linear, or numbers that cannot be held.
    pub fn value(&self, expr: &Expr, scope: &Scope, picks: &Picks) -> Result<Value, NoValue> {
        self.read(expr, scope, Some(picks))
    }

    /// The same of one that reads no choice's column; `None` of any other.
    pub fn value_without_choice(
        &self,
        expr: &Expr,
        scope: &Scope,
    ) -> Option<Result<Value, NoValue>> {
        match self.read(expr, scope, None) {
            Err(NoValue::NoColumn(..)) => None,
            read => Some(read),
        }
    }

    fn read(&self, expr: &Expr, scope: &Scope, picks: Option<&Picks>) -> Result<Value, NoValue> {
        let at = expr.place;
        let big = NoValue::TooLarge(at);
        match &expr.node {
            Node::Number(n) => Ok(Value::Number(*n)),
            Node::Name(path) => self.name(path, at, scope, picks),
            Node::Negative(a) => scale(self.read(a, scope, picks)?, Number::from_integer(-1), at),
            Node::Add(a, b) => add(self.read(a, scope, picks)?, self.read(b, scope, picks)?, at),
            Node::Subtract(a, b) => {
                let b = scale(self.read(b, scope, picks)?, Number::from_integer(-1), at)?;
                add(self.read(a, scope, picks)?, b, at)
            }
            Node::Multiply(a, b) => {
                match (self.read(a, scope, picks)?, self.read(b, scope, picks)?) {
                    (Value::Number(n), other) | (other, Value::Number(n)) => scale(other, n, at),
                    _ => Err(NoValue::Kind(at)),
                }
            }
            Node::Divide(a, b) => match self.read(b, scope, picks)? {
                Value::Number(n) if n.is_zero() => Err(NoValue::Zero(b.place)),
                Value::Number(n) => {
                    let inverse = Number::from_integer(1).checked_div(&n).ok_or(big)?;
                    scale(self.read(a, scope, picks)?, inverse, at)
                }
                _ => Err(NoValue::Kind(b.place)),
            },
            Node::Sum(binding, body) => {
                let mut total = None;
                for thing in self.list(&binding.list, scope) {
                    let inner = scope.with(&binding.variable, *thing);
                    let next = self.read(body, &inner, picks)?;
                    total = Some(match total {
                        None => next,
                        Some(sum) => add(sum, next, at)?,
                    });
                }
                Ok(total.unwrap_or_else(|| match self.counts.contains(&at) {
                    true => Value::Number(Number::zero()),
                    false => Value::Length(Form::default()),
                }))
            }
        }
    }

    pub(super) fn name(
        &self,
        path: &Path,
        at: Place,
        scope: &Scope,
        picks: Option<&Picks>,
    ) -> Result<Value, NoValue> {
        let fact = |fact: &Fact, thing| match fact {
            Fact::Length(given) => Ok(Value::Length(Form {
                givens: Terms::one(*given),
                ..Form::default()
            })),
            Fact::Number(n, d) => Ok(Value::Number(Number::new((*n).into(), (*d).into()))),
            Fact::Text(text) => Ok(Value::Text(text.clone())),
            Fact::Flag(flag) => Ok(Value::Flag(*flag)),
            Fact::Derived(formula) => self.read(formula, &self.scope_of(thing), picks),
        };
        match self.meaning(path, scope) {
            Meaning::Fact(f, thing) => fact(f, thing),
            Meaning::Unknown(unknown) => Ok(Value::Length(Form {
                unknowns: Terms::one(unknown),
                ..Form::default()
            })),
            Meaning::Column(key, column) => {
                let absent = || NoValue::Absent(path.clone(), at);
                let choice = self.choices.get(key).ok_or_else(absent)?;
                let unsaid = || NoValue::NoColumn(path.clone(), at);
                let picks = picks.ok_or_else(unsaid)?;
                let pick = picks.get(key).copied().unwrap_or(0);
                let item = *choice.items.get(pick).ok_or_else(absent)?;
                fact(self.column(item, column).ok_or_else(unsaid)?, item.thing)
            }
            Meaning::Choice(_) | Meaning::Absent => Err(NoValue::Absent(path.clone(), at)),
        }
    }

    /// A given value's interval.
    pub fn interval(&self, given: GivenId) -> Interval {
        self.scene.given(given).value
    }
}
