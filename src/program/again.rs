//! The rules laid over the same album with another bag, without reading them again.
//!
//! A bag of the same shape makes the same things, and so the same rows but for their right sides.
//! [`Again`] keeps each of these as a sum over the values that move, and the conditions that the
//! rules were chosen by; where one of those turns out otherwise, [`expand`](super::expand) has to
//! be asked. May import what `program` may.

use super::ExpandError;
use super::expand::expand_so_far;
use super::maker::{Expanded, RowSource};
use super::prefer::DEFINITION;
use super::rows::{FINEST, whole_part};
use super::{Program, Row};
use crate::album::Album;
use crate::length::Interval;
use crate::scene::facts::Tested;
use crate::scene::model::Model;
use crate::scene::{BagShape, Fact, GivenId, Scene};
use crate::style::expr::{Number, Relation};
use crate::style::{Order, Style};
use crate::supplies::Bag;
use itertools::Itertools;
use num_integer::Integer;
use std::ops::Range;

/// The rules laid over an album, ready for other bags of one shape.
#[derive(Clone, Debug)]
pub struct Again {
    /// As it was for the first bag.
    pub expanded: Expanded,
    shape: BagShape,
    leaves: Vec<usize>,
    /// Right sides that move, in the order of their rows.
    sides: Vec<Side>,
    /// Rows that are as weak as the weakest of those before them.
    weakest: Vec<(usize, Range<usize>)>,
    /// Conditions on values that move, and what became of them.
    tested: Vec<Tested>,
    /// Values that an equality reads.
    exact: Vec<GivenId>,
}

/// The right side of a row: the whole part of `(base + sum of times * end) / under`.
#[derive(Clone, Debug)]
struct Side {
    row: usize,
    base: i128,
    ends: Vec<(GivenId, End, i128)>,
    under: i128,
}

/// Which end of a value.
#[derive(Clone, Copy, Debug)]
enum End {
    Least,
    Most,
}

impl End {
    fn of(self, value: Interval) -> i128 {
        match self {
            End::Least => value.least().nm().into(),
            End::Most => value.most().nm().into(),
        }
    }
}

impl Again {
    /// Prepares what was expanded for `album`, in which `leaves` (places in [`Album::leaves`]) have
    /// one bag, for other bags.
    ///
    /// `None` if another bag may change more than right sides: where what it says orders the
    /// items of a choice or is the least of an unknown, or numbers are very fine.
    pub fn new(style: &Style, album: &Album, leaves: &[usize], expanded: Expanded) -> Option<Self> {
        let first = album.leaves.get(*leaves.first()?)?.bag;
        if leaves
            .iter()
            .any(|at| album.leaves.get(*at).is_none_or(|leaf| leaf.bag != first))
        {
            return None;
        }
        let bag = album.supplies.bags.get(first)?;
        let moving = expanded.model.scene.moving(leaves);
        if moves_more(style, &expanded, &moving) {
            return None;
        }
        let mut again = Again {
            shape: BagShape::from(bag),
            leaves: leaves.to_vec(),
            sides: Vec::new(),
            weakest: Vec::new(),
            tested: tested(style, &expanded.model, &moving),
            exact: exact(style, &expanded, &moving),
            expanded,
        };
        for instance in &again.expanded.program.instances {
            if instance.rule == DEFINITION {
                continue;
            }
            for row in instance.rows.clone() {
                match &again.expanded.row_sources[row] {
                    RowSource::Form { .. } => {
                        again.sides.extend(side(&again.expanded, row, &moving)?);
                    }
                    RowSource::Numbers => {}
                    RowSource::Follows => {
                        let rows = &again.expanded.program;
                        again.weakest.push((row, alternatives_before(rows, row)?));
                    }
                }
            }
        }
        // What was said of the first bag must come out of it again.
        let mut scene = again.expanded.model.scene.clone();
        let mut sides = Vec::new();
        again.lay(&mut scene, album, bag, &mut sides)?;
        let rows = &again.expanded.program.rows;
        let same = rows.iter().map(|row| row.most).eq(sides);
        (same && scene == again.expanded.model.scene).then_some(again)
    }

    /// The right side of every row for another bag, in `sides`. `scene` is a copy of the first
    /// bag's or was used here before; it becomes this bag's.
    ///
    /// `None` if the rules have to be laid over this bag anew.
    pub fn lay(
        &self,
        scene: &mut Scene,
        album: &Album,
        bag: &Bag,
        sides: &mut Vec<i64>,
    ) -> Option<()> {
        if BagShape::from(bag) != self.shape {
            return None;
        }
        scene.remeasure(album, &self.leaves, bag)?;
        let value = |id: GivenId| scene.given(id).value;
        if !self.exact.iter().all(|id| value(*id).is_exact())
            || !self.tested.iter().all(|it| it.is_as_before(scene))
        {
            return None;
        }
        sides.clear();
        sides.extend(self.expanded.program.rows.iter().map(|row| row.most));
        for side in &self.sides {
            let add = |sum: i128, (id, end, times): &(GivenId, End, i128)| {
                sum.checked_add(times.checked_mul(end.of(value(*id)))?)
            };
            let over = side.ends.iter().try_fold(side.base, add)?;
            sides[side.row] = whole_part(over, side.under)?;
        }
        for (row, rows) in &self.weakest {
            sides[*row] = sides[rows.clone()].iter().copied().max()?;
        }
        Some(())
    }

    /// The program with these right sides.
    pub fn program(&self, sides: &[i64]) -> Program {
        let mut program = self.expanded.program.clone();
        for (row, most) in program.rows.iter_mut().zip(sides) {
            row.most = *most;
        }
        program
    }
}

/// Whether what is wrong with an album is wrong with every bag of the shape that these leaves
/// have: names without a value are, if no rule applies by what a bag measures or needs it exactly.
pub fn all_of_a_shape(
    style: &Style,
    album: &Album,
    leaves: &[usize],
    errors: &[ExpandError],
) -> bool {
    let of_things = |it: &ExpandError| {
        matches!(
            it,
            ExpandError::Absent { .. } | ExpandError::Kind { .. } | ExpandError::Nowhere { .. }
        )
    };
    errors.iter().all(of_things)
        && expand_so_far(style, album).is_ok_and(|(expanded, _)| {
            let moving = expanded.model.scene.moving(leaves);
            tested(style, &expanded.model, &moving).is_empty()
                && exact(style, &expanded, &moving).is_empty()
        })
}

/// Whether a value that moves decides more than right sides.
fn moves_more(style: &Style, expanded: &Expanded, moving: &[GivenId]) -> bool {
    let moves = |fact: Option<&Fact>| match fact {
        Some(Fact::Length(id)) => moving.binary_search(id).is_ok(),
        _ => false,
    };
    let model = &expanded.model;
    let least = style.unknowns.iter().filter_map(|u| u.least.as_ref());
    let mut least = least.map(|(path, _)| model.scene.quantities.get(path.head()));
    let items = style.choices.iter().any(|rule| {
        let column = match &rule.prefer {
            Order::Table => None,
            Order::Small(column) | Order::Large(column) => Some(column.as_str()),
        };
        let turned = rule.turn.then_some(["width", "height"]);
        let columns = column.into_iter().chain(turned.into_iter().flatten());
        let columns: Vec<&str> = columns.collect();
        let named = model.choices.iter();
        let named = named.filter(|((_, name), _)| name == rule.name.last());
        let mut items = named.flat_map(|(_, choice)| &choice.items);
        items.any(|item| columns.iter().any(|it| moves(model.column(*item, it))))
    });
    // The least of an unknown is a quantity, which no bag moves; anything else is not looked into.
    items || least.any(|fact| fact.is_none())
}

/// The sum behind a row's right side, where a value in it moves.
fn side(expanded: &Expanded, row: usize, moving: &[GivenId]) -> Option<Option<Side>> {
    let RowSource::Form { form, side } = &expanded.row_sources[row] else {
        return Some(None);
    };
    let moves = |id: &GivenId| moving.binary_search(id).is_ok();
    if !form.givens.keys().any(moves) {
        return Some(None);
    }
    let common = |l: i128, n: &Number| (n.denom() / l.gcd(n.denom())).checked_mul(l);
    let common = form.givens.values().try_fold(1i128, common)?;
    if common > FINEST {
        return None;
    }
    // One unit of the row is `steps` ruler steps.
    let steps = expanded.row_steps[row];
    let step = i128::from(expanded.ruler.step().nm());
    let mut sum = Side {
        row,
        base: 0,
        ends: Vec::new(),
        under: step.checked_mul(*steps.numer())?.checked_mul(common)?,
    };
    for (id, n) in form.givens.iter() {
        let times = (n * Number::from_integer(common)).to_integer();
        let times = times.checked_mul(i128::from(*side))?;
        // The value stands at its worse end; it goes over to the right side.
        let end = if times > 0 { End::Most } else { End::Least };
        let times = times.checked_neg()?.checked_mul(*steps.denom())?;
        if moves(id) {
            sum.ends.push((*id, end, times));
        } else {
            let part = times.checked_mul(end.of(expanded.model.interval(*id)))?;
            sum.base = sum.base.checked_add(part)?;
        }
    }
    Some(Some(sum))
}

/// The rows, one for each alternative of a choice, before a row that is as weak as the weakest.
fn alternatives_before(program: &Program, row: usize) -> Option<Range<usize>> {
    let before: &Row = program.rows.get(row.checked_sub(1)?)?;
    let group = before.guards.first()?.group;
    let count = program.groups.get(group.0 as usize)?.alternatives.len();
    Some(row.checked_sub(count)?..row)
}

/// The conditions on values that move, over all declarations and all that they speak of.
fn tested(style: &Style, model: &Model, moving: &[GivenId]) -> Vec<Tested> {
    let mut found: Vec<Tested> = Vec::new();
    for (bindings, when) in style.cases().filter(|(_, when)| !when.is_empty()) {
        for scope in model.scopes(bindings) {
            for condition in when {
                if let Some(tested) = model.tested(condition, &scope)
                    && tested.givens().any(|id| moving.binary_search(id).is_ok())
                    && !found.contains(&tested)
                {
                    found.push(tested);
                }
                if !model.holds(condition, &scope).unwrap_or(false) {
                    break;
                }
            }
        }
    }
    found
}

/// Values that move and that a rule with an equality reads: equalities of uncertain ones are
/// refused.
fn exact(style: &Style, expanded: &Expanded, moving: &[GivenId]) -> Vec<GivenId> {
    let equal = |rule: usize| {
        let rule = style.rules.get(rule);
        rule.is_some_and(|r| r.comparisons().any(|c| c.relation == Relation::Equal))
    };
    let instances = expanded.program.instances.iter();
    let equal = instances.filter(|it| equal(it.rule));
    let sources = equal.flat_map(|it| &expanded.row_sources[it.rows.clone()]);
    let givens = sources.filter_map(|source| match source {
        RowSource::Form { form, .. } => Some(form.givens.keys().copied()),
        RowSource::Numbers | RowSource::Follows => None,
    });
    let moves = |id: &GivenId| moving.binary_search(id).is_ok();
    givens.flatten().filter(moves).sorted().dedup().collect()
}
