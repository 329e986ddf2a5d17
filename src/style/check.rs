//! Every name, dimension and product of a style, tested before any album is looked at.
//!
//! A length is never compared with a number, two unknowns are never multiplied, and what may be
//! missing is asked for in a `when`.

use super::expr::*;
use super::fault::{Refused, meant_of, no_list, size_of_nothing, unbound, which_leaf};
use super::names::{Kinds, Known, Lost, Names, kind_of};
use super::parts::Is;
use super::*;
use crate::text::{Wrong, ask};
use crate::vocabulary::{self, Dimension};
use itertools::Itertools;
use std::borrow::Borrow;
use std::collections::BTreeSet;

pub(super) struct Checker<'a> {
    pub style: &'a Style,
    pub names: Names<'a>,
    pub errors: Vec<Refused>,
    /// What may be missing need not be asked for: a row or a sentence without it is passed over.
    pub lenient: bool,
    /// Sums of numbers, by their places.
    counts: BTreeSet<Place>,
    /// Numbers where lengths are needed: the quantities in each, of which one may lack its unit.
    pub(super) unitless: Vec<(Vec<&'a Quantity>, Refused)>,
    /// Quantities that are numbers somewhere else: a length is multiplied with them, or they count.
    pub(super) counting: BTreeSet<String>,
    /// It looks at the words of a rule, which know its two sides, too.
    in_words: bool,
}

/// Everything that is wrong with a style's names, dimensions and products; and the sums in it that are
/// numbers.
pub(super) fn check(style: &Style) -> Result<BTreeSet<Place>, Vec<Refused>> {
    let mut checker = Checker {
        style,
        names: Names::of(style, false),
        errors: Vec::new(),
        lenient: false,
        counts: BTreeSet::new(),
        unitless: Vec::new(),
        counting: BTreeSet::new(),
        in_words: false,
    };
    for unknown in &style.unknowns {
        let kinds = checker.kinds(&unknown.bindings);
        checker.declared(unknown, &kinds);
        checker.conditions(&unknown.when, &kinds);
        if let Prefer::LargestWith(other, at) = &unknown.prefer {
            let known = style.unknowns.iter().map(|it| &it.name);
            checker.one_of(other, known, *at);
        }
        for quantity in unknown.least.iter().chain(&unknown.above) {
            checker.least(quantity, unknown.place);
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
            let known = known.iter().map(|it| it.borrow().to_string());
            self.unknown(word.to_string(), known.collect(), at);
        }
    }

    /// Refuses a name that is none of these.
    pub(super) fn unknown(&mut self, name: String, mut known: Vec<String>, at: Place) {
        // A row of `[name]` that is called wrongly is the one fault, and not that nothing finds it.
        let misnamed = |rule: &NameRule| rule.name.0.len() != 2 && rule.name.to_string() == name;
        if self.style.names.iter().any(misnamed) {
            return;
        }
        if self.in_words && !name.contains('.') {
            known.splice(0..0, ["left", "right", "off"].map(str::to_owned));
        }
        let what = format!("there is no `{name}` here");
        let wrong = Wrong::new(what, meant_of(&name, &known));
        self.refuse_lost(at, name, wrong);
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
            let wrong = size_of_nothing(&name);
            self.refuse_lost(place, name, wrong);
        } else if let Err(lost) = self.names.declared(unknown, kinds) {
            if !self.lost(&lost, &name, place) {
                let wrong = size_of_nothing(&name);
                self.refuse_lost(place, name, wrong);
            }
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
            let what = format!("`{head}` has a {side} to be found, and no other side");
            let help = format!(
                "add an `[[unknown]]` with `name = \"{head}.{other}\"`, or say `\"{head}.{other}\" = '...'` under `[name]`"
            );
            self.refuse(unknown.place, Wrong::new(what, help));
        }
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
                let known: Vec<String> = vocabulary::LISTS.iter().map(full).collect();
                let list = binding.list.to_string();
                let wrong = no_list(&list, &known);
                self.refuse_lost(binding.place, list, wrong);
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
        self.in_words = true;
        for expr in rule.words().filter_map(Words::value) {
            self.expr(expr, &kinds, &rule.when, false);
        }
        self.in_words = false;
        for part in &rule.mend {
            if self.style.whole.is_none() && !self.style.has_part(&part.value) {
                let what = format!("no leaf has a piece of paper `{}`", part.value);
                let help = "name a part of a leaf that is cut from paper, or delete `mend`";
                self.refuse(part.place, Wrong::new(what, help));
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
    fn of_facts(&mut self, expr: &Expr, kinds: &Kinds) {
        for (name, place) in expr.names() {
            let unknown = self.names.lookup(name, kinds).is_ok_and(|k| k.unknown);
            if unknown {
                let later = "which tuckwright works out later";
                let what = format!("a condition or `give_most` cannot read `{name}`, {later}");
                let help = "name a quantity or what the album says; in a `when`, type `free(...)` around it";
                self.refuse(place, Wrong::new(what, help));
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
                    let what = "a rule cannot multiply two sizes that tuckwright works out";
                    let help = "multiply a size by a named quantity or a number: a rule is a sum";
                    self.refuse(expr.place, Wrong::new(what, help));
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
                    let what = "a rule cannot divide by a size that tuckwright works out";
                    let help = "multiply the other side instead, or divide by a number";
                    self.refuse(b.place, Wrong::new(what, help));
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
                    let help = "write two rules, or name the inner sum under `[name]`";
                    self.refuse(
                        expr.place,
                        Wrong::new("a sum cannot hold another sum", help),
                    );
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
            let what =
                format!("a rule cannot read `{path}`, which is known only when all sizes are");
            let help = "compare each of the sizes that it comes from instead";
            self.refuse(at, Wrong::new(what, help));
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
            let name = path.to_string();
            let what = format!("`{name}` may be missing in an album");
            let wrong = Wrong::new(what, ask(&name, !when.is_empty()));
            self.refuse_lost(at, name, wrong);
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
                let name = path.to_string();
                if !self.lost(&lost, &name, at) {
                    let known = self.names.near(path, kinds);
                    self.unknown(name, known, at);
                }
                None
            }
        }
    }

    /// Refuses a name that stands for one of several; whether it did.
    fn lost(&mut self, lost: &Lost, name: &str, at: Place) -> bool {
        match lost {
            Lost::Nothing | Lost::Told => return false,
            Lost::Unbound(kind) => self.refuse_lost(at, name.to_owned(), unbound(name, kind)),
            Lost::Several(leaves) => self.refuse(at, which_leaf(name, leaves)),
        }
        true
    }

    pub(super) fn refuse(&mut self, at: Place, what: Wrong) {
        self.errors.push(Refused::at(at, what));
    }

    /// The same because a name stands for nothing there.
    fn refuse_lost(&mut self, at: Place, lost: String, what: Wrong) {
        let lost = Some(lost);
        self.errors.push(Refused {
            lost,
            ..Refused::at(at, what)
        });
    }
}
