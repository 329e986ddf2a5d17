//! Every name, dimension and product of a style, tested before any album is looked at.
//!
//! A length is never compared with a number, two unknowns are never multiplied, and what may be
//! missing is asked for in a `when`.

use super::expr::*;
use super::names::{Kinds, Known, Lost, Names, kind_of};
use super::parts::Is;
use super::*;
use crate::text::{At, Problem};
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;
use std::borrow::Borrow;
use std::collections::BTreeSet;

pub(super) struct Checker<'a> {
    pub style: &'a Style,
    pub names: Names<'a>,
    pub errors: Vec<At<StyleError>>,
    /// What may be missing need not be asked for: a row or a sentence without it is passed over.
    pub lenient: bool,
    /// Sums of numbers, by their places.
    counts: BTreeSet<Place>,
    /// Numbers where lengths are needed: the quantities in each, of which one may lack its unit.
    pub(super) unitless: Vec<(Vec<&'a Quantity>, At<StyleError>)>,
    /// Quantities that are numbers somewhere else: a length is multiplied with them, or they count.
    pub(super) counting: BTreeSet<String>,
}

/// Everything that is wrong with a style's names, dimensions and products; and the sums in it that are
/// numbers.
pub fn check(style: &Style) -> Result<BTreeSet<Place>, Vec<At<StyleError>>> {
    let mut checker = Checker {
        style,
        names: Names::of(style, false),
        errors: Vec::new(),
        lenient: false,
        counts: BTreeSet::new(),
        unitless: Vec::new(),
        counting: BTreeSet::new(),
    };
    for unknown in &style.unknowns {
        let kinds = checker.kinds(&unknown.bindings);
        checker.declared(unknown, &kinds);
        checker.conditions(&unknown.when, &kinds);
        if let Prefer::LargestWith(other, at) = &unknown.prefer {
            let known = style.unknowns.iter().map(|it| &it.name);
            checker.one_of(other, known, *at);
        }
        for (quantity, at) in unknown.least.iter().chain(&unknown.above) {
            checker.least(quantity, *at);
        }
    }
    for choice in &style.choices {
        let kinds = checker.kinds(&choice.bindings);
        checker.conditions(&choice.when, &kinds);
    }
    for rule in &style.rules {
        checker.rule(rule);
    }
    checker.tables();
    checker.units();
    checker.base();
    checker.misnamed();
    // A name that is not known may be the slip that leaves a quantity unread.
    if checker.errors.is_empty() {
        checker.errors = unread::unread(style);
        let names = unread::names(style, &checker.names);
        checker.errors.extend(names);
    }
    match checker.errors.is_empty() {
        true => Ok(checker.counts),
        false => Err(checker.errors),
    }
}

/// No condition asks for more names than this.
const MOST_ASKED: usize = 100;

impl Checker<'_> {
    /// Refuses a word that is none of these.
    fn one_of<T: PartialEq + ToString>(
        &mut self,
        word: &T,
        known: impl IntoIterator<Item = impl Borrow<T>>,
        at: Place,
    ) {
        let known: Vec<_> = known.into_iter().collect();
        if !known.iter().any(|it| it.borrow() == word) {
            let (name, known) = (word.to_string(), known.iter());
            let known = known.map(|it| it.borrow().to_string()).collect();
            self.errors.push(StyleError::Unknown { name, known }.at(at));
        }
    }

    /// An unknown is a size of something that there is.
    fn declared(&mut self, unknown: &UnknownRule, kinds: &Kinds) {
        let place = unknown.place;
        let name = unknown.name.to_string();
        if kinds.len() < unknown.bindings.len() {
            // What is wrong with its `for` comes first.
            return;
        }
        let mut of_album = self.style.of_album_called(unknown.name.head());
        if !kinds.is_empty() && of_album.next().is_some() {
            self.refuse(place, StyleError::SizeOfNothing { name });
        } else if let Err(lost) = self.names.declared(unknown, kinds) {
            let nothing = |name| StyleError::SizeOfNothing { name };
            self.lost(lost, name, place, nothing);
        } else {
            self.both_sides(unknown);
        }
    }

    /// A piece is cut only if it has both its sides.
    fn both_sides(&mut self, unknown: &UnknownRule) {
        let [head, side] = unknown.name.0.as_slice() else {
            return;
        };
        let other = match side.as_str() {
            "width" => "height",
            "height" => "width",
            _ => return,
        };
        let mut parts = self.style.of_album_called(head);
        let piece = parts.next().or(self.style.on_leaf_called(head));
        let known = |it: &Path| matches!(&it.0[..], [h, s] if h == head && s == other);
        let found = self.style.unknowns.iter().any(|it| known(&it.name));
        if piece.is_some() && !found && self.style.name_rule(head, other).is_none() {
            let (name, other) = (head.clone(), format!("{head}.{other}"));
            let side = side.clone();
            self.refuse(unknown.place, StyleError::OneSide { name, side, other });
        }
    }

    /// A row of `[name]` that is called wrongly is the one fault, and not that nothing finds it.
    fn misnamed(&mut self) {
        let shapes = self.errors.iter().filter_map(|it| match &it.what {
            StyleError::NameShape { name } => Some(name.clone()),
            _ => None,
        });
        let shapes: BTreeSet<String> = shapes.collect();
        self.errors.retain(
            |it| !matches!(&it.what, StyleError::Unknown { name, .. } if shapes.contains(name)),
        );
    }

    fn kinds(&mut self, bindings: &[Binding]) -> Kinds {
        let mut kinds = Kinds::new();
        for binding in bindings {
            self.bind(binding, &mut kinds);
        }
        kinds
    }

    pub(super) fn bind(&mut self, binding: &Binding, kinds: &mut Kinds) {
        let found = match binding.list.0.as_slice() {
            [list] => vocabulary::list("", list),
            [head, list] => {
                let single = || vocabulary::SINGLE.iter().copied().find(|s| s == head);
                let kind = kind_of(kinds, head).or_else(single);
                kind.and_then(|k| vocabulary::list(k, list))
            }
            _ => None,
        };
        match found {
            Some(kind) => kinds.push((binding.variable.clone(), kind)),
            None => {
                let full = |(owner, list, _): &(&str, &str, &str)| {
                    [*owner, *list].iter().filter(|w| !w.is_empty()).join(".")
                };
                let known = vocabulary::LISTS.iter().map(full).collect();
                let list = binding.list.to_string();
                self.refuse(binding.place, StyleError::List { list, known });
            }
        }
    }

    fn rule(&mut self, rule: &Rule) {
        let kinds = self.kinds(&rule.bindings);
        if kinds.len() < rule.bindings.len() {
            return;
        }
        self.conditions(&rule.when, &kinds);
        for comparison in rule.comparisons() {
            let (left, right) = (&comparison.left, &comparison.right);
            if let Some((left, right)) = self.both(left, right, &kinds, &rule.when, false) {
                let alike = self.alike((left, &comparison.left), (right, &comparison.right));
                let no_amount = matches!(left.dimension, Dimension::Text | Dimension::Flag);
                if alike && no_amount {
                    let place = comparison.left.place;
                    self.dimension(left.dimension, Dimension::Length, place, None);
                }
            }
        }
        let before = self.errors.len();
        for expr in rule.words().filter_map(Words::value) {
            self.expr(expr, &kinds, &rule.when, false);
        }
        // The words of a rule know its two sides, too.
        for error in self.errors.iter_mut().skip(before) {
            if let StyleError::Unknown { name, known } = &mut error.what
                && !name.contains('.')
            {
                let sides = ["left", "right", "off"].map(str::to_owned);
                *known = [sides.to_vec(), std::mem::take(known)].concat();
            }
        }
        for part in &rule.mend {
            if self.style.whole.is_none() && !self.style.has_part(&part.value) {
                let (name, place) = (part.value.clone(), part.place);
                self.refuse(place, StyleError::MendsNothing { name });
            }
        }
        if let Some(most) = &rule.give_most {
            self.of_facts(most, &kinds);
            let known = self.expr(most, &kinds, &rule.when, false);
            if let Some(known) = known.filter(|it| it.dimension != Dimension::Length) {
                self.dimension(known.dimension, Dimension::Length, most.place, None);
            }
        }
    }

    /// Refuses the names of sizes to be found.
    pub(super) fn of_facts(&mut self, expr: &Expr, kinds: &Kinds) {
        for (name, place) in expr.names() {
            let unknown = self.names.lookup(name, kinds).is_ok_and(|k| k.unknown);
            if unknown {
                let name = name.to_string();
                self.refuse(place, StyleError::WhenUnknown { name });
            }
        }
    }

    pub(super) fn conditions(&mut self, when: &[Condition], kinds: &Kinds) {
        for condition in when {
            self.condition(condition, kinds, when);
        }
    }

    /// Those of a sentence, which is said when all sizes are known.
    pub(super) fn conditions_said(&mut self, when: &[Condition], kinds: &Kinds) {
        for condition in when {
            match &condition.node {
                ConditionNode::Compare(a, _, b) => self.compared(a, b, kinds, when),
                _ => self.condition(condition, kinds, when),
            }
        }
    }

    fn compared(&mut self, a: &Expr, b: &Expr, kinds: &Kinds, when: &[Condition]) {
        if let Some((left, right)) = self.both(a, b, kinds, when, false) {
            self.alike((left, a), (right, b));
        }
    }

    fn both(
        &mut self,
        a: &Expr,
        b: &Expr,
        kinds: &Kinds,
        when: &[Condition],
        in_sum: bool,
    ) -> Option<(Known, Known)> {
        let left = self.expr(a, kinds, when, in_sum);
        left.zip(self.expr(b, kinds, when, in_sum))
    }

    fn condition(&mut self, condition: &Condition, kinds: &Kinds, when: &[Condition]) {
        let at = condition.place;
        match &condition.node {
            ConditionNode::Given(path) | ConditionNode::Free(path) => {
                self.lookup_or_refuse(path, at, kinds, true);
            }
            ConditionNode::Not(inner) => self.condition(inner, kinds, when),
            ConditionNode::Flag(path) => self.fact(path, Dimension::Flag, at, kinds, when),
            ConditionNode::Text(path, _, text) => {
                self.fact(path, Dimension::Text, at, kinds, when);
                // A file that is taken over may ask for what other kinds have.
                if at.file == self.style.file
                    && let Some(known) = self.names.texts(path, kinds)
                {
                    self.one_of(text, known, at);
                }
            }
            ConditionNode::Compare(a, _, b) => {
                for side in [a, b] {
                    self.of_facts(side, kinds);
                }
                self.compared(a, b, kinds, when);
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

    pub(super) fn expr(
        &mut self,
        expr: &Expr,
        kinds: &Kinds,
        when: &[Condition],
        in_sum: bool,
    ) -> Option<Known> {
        match &expr.node {
            Node::Number(_) => Some(Known::fact(Dimension::Number)),
            Node::Name(path) => self.name(path, expr.place, kinds, when),
            Node::Negative(a) => self.expr(a, kinds, when, in_sum),
            Node::Add(a, b) | Node::Subtract(a, b) => {
                let (left, right) = self.both(a, b, kinds, when, in_sum)?;
                let dimension = match left.dimension {
                    Dimension::Number => right.dimension,
                    dimension => dimension,
                };
                self.alike((left, a), (right, b)).then_some(Known {
                    unknown: left.unknown || right.unknown,
                    dimension,
                    ..left
                })
            }
            Node::Multiply(a, b) => {
                let (left, right) = self.both(a, b, kinds, when, in_sum)?;
                if left.unknown && right.unknown {
                    self.refuse(expr.place, StyleError::Product);
                    return None;
                }
                match (left.dimension, right.dimension) {
                    (Dimension::Number, of) => {
                        self.counts_of(a, of);
                        Some(right)
                    }
                    (of, Dimension::Number) => {
                        self.counts_of(b, of);
                        Some(left)
                    }
                    _ => {
                        let other = Some((a.place, left.dimension.word()));
                        self.dimension(right.dimension, Dimension::Number, b.place, other);
                        None
                    }
                }
            }
            Node::Divide(a, b) => {
                let (left, right) = self.both(a, b, kinds, when, in_sum)?;
                if right.unknown {
                    self.refuse(b.place, StyleError::Quotient);
                    return None;
                }
                if right.dimension != Dimension::Number {
                    self.dimension(right.dimension, Dimension::Number, b.place, None);
                    return None;
                }
                self.counts_of(b, left.dimension);
                Some(left)
            }
            Node::Sum(binding, body) => {
                if in_sum {
                    self.refuse(expr.place, StyleError::SumInSum);
                    return None;
                }
                let mut inner = kinds.clone();
                self.bind(binding, &mut inner);
                if inner.len() == kinds.len() {
                    return None;
                }
                let known = self.expr(body, &inner, when, true)?;
                if known.dimension == Dimension::Number {
                    self.counts.insert(expr.place);
                }
                Some(known)
            }
        }
    }

    /// A name in an expression: known, and asked for if it may be missing.
    fn name(&mut self, path: &Path, at: Place, kinds: &Kinds, when: &[Condition]) -> Option<Known> {
        let known = self.lookup_or_refuse(path, at, kinds, false)?;
        if known.loose && !self.names.tables {
            let name = path.to_string();
            self.refuse(at, StyleError::MostInRule { name });
        }
        if known.unknown || !known.optional || self.lenient {
            return Some(known);
        }
        let full = self.names.full(path, kinds);
        let mut named = Vec::new();
        when.iter().for_each(|c| self.asked(c, &mut named));
        let asked = |p: &Path| full.starts_with(&self.names.full(p, kinds));
        let asked = named.into_iter().any(asked);
        if !asked {
            let (name, more) = (path.to_string(), !when.is_empty());
            self.refuse(at, StyleError::Optional { name, more });
        }
        Some(known)
    }

    /// The names that a condition asks for, through the style's own names too.
    pub(super) fn asked<'s>(&'s self, condition: &'s Condition, named: &mut Vec<&'s Path>) {
        match &condition.node {
            ConditionNode::Given(path) | ConditionNode::Free(path) => named.push(path),
            ConditionNode::Flag(path) => {
                let rule = match path.0.as_slice() {
                    [head, field] => self.style.name_rule(head, field),
                    _ => None,
                };
                let rows = rule.into_iter().flat_map(|rule| &rule.rows);
                let holds = rows.filter_map(|row| match &row.is {
                    Is::Holds(any) if any.len() == 1 => any.first(),
                    _ => None,
                });
                // Names do not lean on themselves: that is an error of its own.
                if named.len() < MOST_ASKED {
                    holds.for_each(|condition| self.asked(condition, named));
                }
            }
            _ => {}
        }
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
                optional: true,
                ..Known::fact(Dimension::Flag)
            });
        }
        match self.names.lookup(path, kinds) {
            Ok(known) => Some(known),
            Err(Lost::Told) => None,
            Err(lost) => {
                let known = self.names.near(path, kinds);
                let nothing = |name| StyleError::Unknown { name, known };
                self.lost(lost, path.to_string(), at, nothing);
                None
            }
        }
    }

    /// A name stands for nothing, or for one of several.
    fn lost(
        &mut self,
        lost: Lost,
        name: String,
        at: Place,
        nothing: impl FnOnce(String) -> StyleError,
    ) {
        let wrong = match lost {
            Lost::Nothing | Lost::Told => nothing(name),
            Lost::Unbound(kind) => StyleError::Unbound { name, kind },
            Lost::Several(leaves) => StyleError::WhichLeaf { name, leaves },
        };
        self.refuse(at, wrong);
    }

    pub(super) fn refuse(&mut self, at: Place, what: StyleError) {
        self.errors.push(what.at(at));
    }
}
