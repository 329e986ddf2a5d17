//! Every name, dimension and product of a style, tested before any album is looked at.
//!
//! A length is never compared with a number, two unknowns are never multiplied, and what may be
//! missing is asked for in a `when`.

use super::expr::*;
use super::*;
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;

/// What a name is, as far as the style and the vocabulary can tell.
#[derive(Clone, Copy, Debug)]
struct Known {
    dimension: Dimension,
    /// The solver may have to find it.
    unknown: bool,
    /// An album may say nothing of it.
    optional: bool,
}

struct Checker<'a> {
    style: &'a Style,
    errors: Vec<StyleError>,
}

/// Variables of a `for` and the kinds of things that they stand for.
type Kinds = Vec<(String, &'static str)>;

/// Everything that is wrong with a style's names, dimensions and products.
pub fn check(style: &Style) -> Vec<StyleError> {
    let mut checker = Checker {
        style,
        errors: Vec::new(),
    };
    for unknown in &style.unknowns {
        let kinds = checker.kinds(&unknown.bindings);
        checker.conditions(&unknown.when, &kinds);
        if let Some(least) = &unknown.least {
            checker.least(least, unknown.place);
        }
    }
    for choice in &style.choices {
        let kinds = checker.kinds(&choice.bindings);
        checker.conditions(&choice.when, &kinds);
    }
    for rule in &style.rules {
        checker.rule(rule);
    }
    checker.errors
}

impl Checker<'_> {
    /// The least of an unknown is a length of the style's own quantities.
    fn least(&mut self, path: &Path, at: Place) {
        match path.0.as_slice() {
            [name] => match self.style.quantity(name).map(|q| q.value) {
                Some(Value::Length(_)) => {}
                Some(Value::Ratio(..)) => {
                    self.dimension(Dimension::Number, Dimension::Length, at, None)
                }
                None => self.errors.push(StyleError::Unknown {
                    name: path.to_string(),
                    known: self
                        .style
                        .quantities
                        .iter()
                        .map(|q| q.name.clone())
                        .collect(),
                    place: at,
                }),
            },
            _ => self.errors.push(StyleError::LeastQuantity { place: at }),
        }
    }

    fn kinds(&mut self, bindings: &[Binding]) -> Kinds {
        let mut kinds = Kinds::new();
        for binding in bindings {
            self.bind(binding, &mut kinds);
        }
        kinds
    }

    fn bind(&mut self, binding: &Binding, kinds: &mut Kinds) {
        let found = match binding.list.0.as_slice() {
            [list] => vocabulary::list("", list),
            [head, list] => {
                let kind = kinds.iter().rev().find(|(v, _)| v == head).map(|(_, k)| *k);
                kind.and_then(|k| vocabulary::list(k, list))
            }
            _ => None,
        };
        match found {
            Some(kind) => kinds.push((binding.variable.clone(), kind)),
            None => self.errors.push(StyleError::List {
                list: binding.list.to_string(),
                known: vocabulary::LISTS
                    .iter()
                    .map(|(owner, list, _)| {
                        [*owner, *list].iter().filter(|w| !w.is_empty()).join(".")
                    })
                    .collect(),
                place: binding.place,
            }),
        }
    }

    fn rule(&mut self, rule: &Rule) {
        let kinds = self.kinds(&rule.bindings);
        if kinds.len() < rule.bindings.len() {
            return;
        }
        self.conditions(&rule.when, &kinds);
        for comparison in rule.comparisons() {
            let left = self.expr(&comparison.left, &kinds, &rule.when, false);
            let right = self.expr(&comparison.right, &kinds, &rule.when, false);
            if let (Some(left), Some(right)) = (left, right) {
                let alike = self.alike((left, &comparison.left), (right, &comparison.right));
                let no_amount = matches!(left.dimension, Dimension::Text | Dimension::Flag);
                if alike && no_amount {
                    let place = comparison.left.place;
                    self.dimension(left.dimension, Dimension::Length, place, None);
                }
            }
        }
        for words in &rule.because {
            if let Words::Value(expr) = words {
                self.expr(expr, &kinds, &rule.when, false);
            }
        }
    }

    fn conditions(&mut self, when: &[Condition], kinds: &Kinds) {
        for condition in when {
            self.condition(condition, kinds, when);
        }
    }

    fn condition(&mut self, condition: &Condition, kinds: &Kinds, when: &[Condition]) {
        let at = condition.place;
        match &condition.node {
            ConditionNode::Given(path) | ConditionNode::Free(path) => {
                self.lookup_or_refuse(path, at, kinds, true);
            }
            ConditionNode::Not(inner) => self.condition(inner, kinds, when),
            ConditionNode::Flag(path) => self.fact(path, Dimension::Flag, at, kinds, when),
            ConditionNode::Text(path, _, _) => self.fact(path, Dimension::Text, at, kinds, when),
            ConditionNode::Compare(a, _, b) => {
                for side in [a, b] {
                    for (name, place) in side.names() {
                        let unknown = self.lookup(name, kinds).is_some_and(|k| k.unknown);
                        if unknown {
                            let name = name.to_string();
                            self.errors.push(StyleError::WhenUnknown { name, place });
                        }
                    }
                }
                let left = self.expr(a, kinds, when, false);
                let right = self.expr(b, kinds, when, false);
                if let (Some(left), Some(right)) = (left, right) {
                    self.alike((left, a), (right, b));
                }
            }
        }
    }

    fn fact(
        &mut self,
        path: &Path,
        wanted: Dimension,
        at: Place,
        kinds: &Kinds,
        when: &[Condition],
    ) {
        if let Some(known) = self.name(path, at, kinds, when)
            && known.dimension != wanted
        {
            self.dimension(known.dimension, wanted, at, None);
        }
    }

    /// Both sides of a comparison or a sum are of one dimension.
    fn alike(&mut self, left: (Known, &Expr), right: (Known, &Expr)) -> bool {
        if left.0.dimension == right.0.dimension {
            return true;
        }
        let bare = |e: &Expr| matches!(e.node, Node::Number(_)).then_some(e.place);
        if let Some(place) = bare(left.1).or(bare(right.1)) {
            self.errors.push(StyleError::BareNumber { place });
        } else {
            let other = Some((left.1.place, left.0.dimension.word()));
            self.dimension(right.0.dimension, left.0.dimension, right.1.place, other);
        }
        false
    }

    fn dimension(
        &mut self,
        is: Dimension,
        wanted: Dimension,
        place: Place,
        other: Option<(Place, &'static str)>,
    ) {
        self.errors.push(StyleError::Dimension {
            what: is.word(),
            wanted: wanted.word(),
            place,
            other,
        });
    }

    fn expr(
        &mut self,
        expr: &Expr,
        kinds: &Kinds,
        when: &[Condition],
        in_sum: bool,
    ) -> Option<Known> {
        let number = Known {
            dimension: Dimension::Number,
            unknown: false,
            optional: false,
        };
        match &expr.node {
            Node::Number(_) => Some(number),
            Node::Name(path) => self.name(path, expr.place, kinds, when),
            Node::Negative(a) => self.expr(a, kinds, when, in_sum),
            Node::Add(a, b) | Node::Subtract(a, b) => {
                let left = self.expr(a, kinds, when, in_sum);
                let right = self.expr(b, kinds, when, in_sum);
                let (left, right) = (left?, right?);
                self.alike((left, a), (right, b)).then_some(Known {
                    unknown: left.unknown || right.unknown,
                    ..left
                })
            }
            Node::Multiply(a, b) => {
                let left = self.expr(a, kinds, when, in_sum);
                let right = self.expr(b, kinds, when, in_sum);
                let (left, right) = (left?, right?);
                if left.unknown && right.unknown {
                    self.errors.push(StyleError::Product {
                        place: expr.place,
                        left: a.place,
                        right: b.place,
                    });
                    return None;
                }
                match (left.dimension, right.dimension) {
                    (Dimension::Number, _) => Some(right),
                    (_, Dimension::Number) => Some(left),
                    _ => {
                        let other = Some((a.place, left.dimension.word()));
                        self.dimension(right.dimension, Dimension::Number, b.place, other);
                        None
                    }
                }
            }
            Node::Divide(a, b) => {
                let left = self.expr(a, kinds, when, in_sum);
                let right = self.expr(b, kinds, when, in_sum);
                let (left, right) = (left?, right?);
                if right.unknown {
                    self.errors.push(StyleError::Quotient { place: b.place });
                    return None;
                }
                if right.dimension != Dimension::Number {
                    self.dimension(right.dimension, Dimension::Number, b.place, None);
                    return None;
                }
                Some(left)
            }
            Node::Sum(binding, body) => {
                if in_sum {
                    self.errors.push(StyleError::SumInSum { place: expr.place });
                    return None;
                }
                let mut inner = kinds.clone();
                self.bind(binding, &mut inner);
                if inner.len() == kinds.len() {
                    return None;
                }
                self.expr(body, &inner, when, true)
            }
        }
    }

    /// A name in an expression: known, and asked for if it may be missing.
    fn name(&mut self, path: &Path, at: Place, kinds: &Kinds, when: &[Condition]) -> Option<Known> {
        let known = self.lookup_or_refuse(path, at, kinds, false)?;
        let asked = |c: &Condition| match &c.node {
            ConditionNode::Given(p) | ConditionNode::Free(p) => {
                p == path || (p.0.len() < path.0.len() && path.0.starts_with(&p.0))
            }
            _ => false,
        };
        if known.optional && !known.unknown && !when.iter().any(asked) {
            let name = path.to_string();
            self.errors.push(StyleError::Optional { name, place: at });
        }
        Some(known)
    }

    fn lookup_or_refuse(
        &mut self,
        path: &Path,
        at: Place,
        kinds: &Kinds,
        choice: bool,
    ) -> Option<Known> {
        if choice && self.style.choices.iter().any(|c| c.name == *path) {
            return Some(Known {
                dimension: Dimension::Flag,
                unknown: false,
                optional: true,
            });
        }
        let known = self.lookup(path, kinds);
        if known.is_none() {
            self.errors.push(StyleError::Unknown {
                name: path.to_string(),
                known: self.near(path, kinds),
                place: at,
            });
        }
        known
    }

    fn lookup(&self, path: &Path, kinds: &Kinds) -> Option<Known> {
        let fact = |dimension, optional| Known {
            dimension,
            unknown: false,
            optional,
        };
        if let [name] = path.0.as_slice() {
            let value = self.style.quantity(name)?;
            let dimension = match value.value {
                Value::Length(_) => Dimension::Length,
                Value::Ratio(..) => Dimension::Number,
            };
            return Some(fact(dimension, false));
        }
        let head = path.head();
        let choice = self.style.choices.iter().find(|c| {
            let words = &c.name.0;
            path.0.len() == words.len() + 1 && path.0.starts_with(words)
        });
        if let Some(choice) = choice {
            let (_, kind) = vocabulary::TABLES.iter().find(|(t, _)| *t == choice.from)?;
            let name = vocabulary::find(kind, path.last())?;
            return Some(Known {
                dimension: name.dimension,
                unknown: false,
                // A choice from an empty table is not there at all.
                optional: choice.bindings.is_empty(),
            });
        }
        let kind = self.kind_of(head, kinds)?;
        let [_, field] = path.0.as_slice() else {
            return None;
        };
        let declared = self.style.unknowns.iter().find(|u| {
            let head_is = u.name.head();
            let same = head_is == head
                || u.bindings.iter().any(|b| b.variable == head_is)
                    && self.variable_kind(u, head_is) == Some(kind);
            u.name.last() == field && same
        });
        let named = vocabulary::find(kind, field);
        if declared.is_some() {
            return Some(Known {
                dimension: Dimension::Length,
                unknown: true,
                optional: true,
            });
        }
        let named = named?;
        Some(Known {
            dimension: named.dimension,
            unknown: named.found,
            optional: named.optional,
        })
    }

    fn variable_kind(&self, unknown: &UnknownRule, variable: &str) -> Option<&'static str> {
        let binding = unknown.bindings.iter().find(|b| b.variable == variable)?;
        vocabulary::LISTS
            .iter()
            .find(|(_, list, _)| *list == binding.list.last())
            .map(|(_, _, k)| *k)
    }

    /// The kind of thing that the first word of a name stands for.
    fn kind_of(&self, head: &str, kinds: &Kinds) -> Option<&'static str> {
        if let Some((_, kind)) = kinds.iter().rev().find(|(v, _)| v == head) {
            return Some(kind);
        }
        if let Some(single) = vocabulary::SINGLE.iter().find(|s| **s == head) {
            return Some(single);
        }
        let leaf = kinds.iter().any(|(_, k)| *k == "leaf");
        if let Some(part) = vocabulary::LEAF_PARTS.iter().find(|p| **p == head) {
            return leaf.then_some(part);
        }
        let part = self.style.unknowns.iter().any(|u| {
            u.name.head() == head
                && u.bindings.len() == 1
                && !u.bindings.iter().any(|b| b.variable == head)
        });
        (part && leaf).then_some("mat")
    }

    /// Names that could have been meant.
    fn near(&self, path: &Path, kinds: &Kinds) -> Vec<String> {
        let head = path.head();
        if path.0.len() == 1 {
            return self
                .style
                .quantities
                .iter()
                .map(|q| q.name.clone())
                .collect();
        }
        match self.kind_of(head, kinds) {
            Some(kind) => {
                let facts = vocabulary::NAMES
                    .iter()
                    .filter(|n| n.kind == kind)
                    .map(|n| n.field.to_owned());
                let unknowns = self
                    .style
                    .unknowns
                    .iter()
                    .filter(|u| u.name.head() == head)
                    .map(|u| u.name.last().to_owned());
                facts
                    .chain(unknowns)
                    .unique()
                    .map(|f| format!("{head}.{f}"))
                    .collect()
            }
            None => {
                let variables = kinds.iter().map(|(v, _)| v.clone());
                let single = vocabulary::SINGLE.iter().map(|s| (*s).to_owned());
                let parts = self.style.unknowns.iter().map(|u| u.name.head().to_owned());
                let pocket = vocabulary::LEAF_PARTS.iter().map(|s| (*s).to_owned());
                variables
                    .chain(single)
                    .chain(parts)
                    .chain(pocket)
                    .unique()
                    .map(|h| format!("{h}.{}", path.0[1..].join(".")))
                    .collect()
            }
        }
    }
}
