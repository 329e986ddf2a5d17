//! How much an album of one kind of leaf may hold: the rules that its style marks, tried with more and
//! more such leaves. Imports `length`, `style`, `scene` and what reads a solution.

use super::RingPlan;
use super::view::View;
use crate::length::{Interval, Length};
use crate::scene::{self, ThingId, stack};
use crate::style::Rule;
use crate::style::expr::{Comparison, Expr, Node, Number, Path, Relation};
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, ToPrimitive, Zero};

/// No album has more leaves.
const MOST: i64 = 10_000;

/// A value at its least and at its most.
type Ends = [Number; 2];

/// An album of so many leaves of one kind.
struct Trial<'a> {
    view: View<'a>,
    count: i64,
    at_holes: Interval,
    in_middle: Interval,
}

/// The most leaves of one kind, and no others, with which the style's rules of capacity hold. `None`
/// if it has none that apply.
pub(crate) fn leaves(view: View<'_>, leaf: ThingId) -> Option<i64> {
    let rules = marked(view);
    if rules.is_empty() {
        return None;
    }
    let scene = view.scene();
    let template = view.template_thing();
    let flanges = template.and_then(|t| view.length(t, "flanges"));
    let one = view.length(leaf, "thickness_at_holes").unwrap_or_default();
    let one = stack::plus(one, flanges.unwrap_or_default())?;
    let in_middle = scene.length(leaf, "thickness").unwrap_or_default();
    if one.most() <= Length::ZERO {
        return Some(0);
    }
    let holds = |count: i64| {
        let trial = Trial {
            view,
            count,
            at_holes: one,
            in_middle,
        };
        rules.iter().all(|rule| trial.keeps(rule).unwrap_or(false))
    };
    // More leaves are never easier to hold.
    let (mut most, mut over) = (0, MOST + 1);
    while over - most > 1 {
        let middle = most + (over - most) / 2;
        match holds(middle) {
            true => most = middle,
            false => over = middle,
        }
    }
    Some(most)
}

/// The ring that was picked.
pub(crate) fn ring(view: View<'_>) -> Option<RingPlan> {
    let scene = view.scene();
    let mut choices = view.parts.style.choices.iter();
    let of_album = choices.find(|it| it.from == "rings" && it.bindings.is_empty())?;
    let key = (scene.album(), of_album.name.last().to_owned());
    let thing = view.finished.item(&view.parts.expanded.model, &key)?.thing;
    let inside = scene.length(thing, "inside")?;
    Some(RingPlan {
        name: scene.thing(thing).label.clone(),
        inside,
        wire: scene.length(thing, "wire"),
        takes: thickest(view).unwrap_or(inside.least()),
    })
}

/// The thickest stack that the first of these rules allows.
fn thickest(view: View<'_>) -> Option<Length> {
    let rule = marked(view).into_iter().next()?;
    let comparison = rule.comparisons().next()?;
    let trial = Trial {
        view,
        count: 0,
        at_holes: Interval::default(),
        in_middle: Interval::default(),
    };
    let [least, _] = trial.value(&comparison.right)?;
    Some(Length::from_nm(least.floor().to_integer().to_i64()?))
}

/// The rules of capacity that apply to this album.
fn marked(view: View<'_>) -> Vec<&Rule> {
    let model = &view.parts.expanded.model;
    let here = |rule: &&Rule| {
        let holds = || model.all_hold(&rule.when, &Default::default());
        rule.capacity && rule.bindings.is_empty() && holds()
    };
    view.parts.style.rules.iter().filter(here).collect()
}

impl Trial<'_> {
    fn keeps(&self, rule: &Rule) -> Option<bool> {
        let keep = |all: &Vec<Comparison>| {
            let mut all = all.iter();
            all.try_fold(true, |kept, it| Some(kept & self.kept(it)?))
        };
        let kept: Option<Vec<bool>> = rule.ways().iter().map(keep).collect();
        kept.map(|kept| kept.contains(&true))
    }

    /// With each value at its worse end.
    fn kept(&self, comparison: &Comparison) -> Option<bool> {
        let [left, right] = [&comparison.left, &comparison.right].map(|side| self.value(side));
        let ([least, most], [low, high]) = (left?, right?);
        Some(match comparison.relation {
            Relation::AtMost => most <= low,
            Relation::AtLeast => least >= high,
            Relation::Equal => least == high && most == low,
        })
    }

    fn value(&self, expr: &Expr) -> Option<Ends> {
        match &expr.node {
            Node::Number(n) => Some([*n, *n]),
            Node::Name(path) => self.name(path, expr),
            Node::Negative(a) => {
                let [least, most] = self.value(a)?;
                Some([-most, -least])
            }
            Node::Add(a, b) => {
                let (a, b) = (self.value(a)?, self.value(b)?);
                Some([a[0].checked_add(&b[0])?, a[1].checked_add(&b[1])?])
            }
            Node::Subtract(a, b) => {
                let (a, b) = (self.value(a)?, self.value(b)?);
                Some([a[0].checked_sub(&b[1])?, a[1].checked_sub(&b[0])?])
            }
            Node::Multiply(a, b) => {
                let (a, b) = (self.value(a)?, self.value(b)?);
                let mut all = Vec::new();
                for (x, y) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
                    all.push(a[x].checked_mul(&b[y])?);
                }
                Some([*all.iter().min()?, *all.iter().max()?])
            }
            Node::Divide(a, b) => {
                let (a, [by, same]) = (self.value(a)?, self.value(b)?);
                let by = Some(by).filter(|by| *by == same && !by.is_zero())?;
                let (x, y) = (a[0].checked_div(&by)?, a[1].checked_div(&by)?);
                Some([x.min(y), x.max(y)])
            }
            Node::Sum(..) => None,
        }
    }

    /// All of its leaves, with the covers.
    fn stack(&self, one: Interval, of_covers: &str) -> Option<Interval> {
        let leaves = stack::times(one, self.count)?;
        stack::plus(leaves, scene::covers(self.view.scene(), of_covers))
    }

    fn name(&self, path: &Path, expr: &Expr) -> Option<Ends> {
        let words: Vec<&str> = path.0.iter().map(String::as_str).collect();
        let ends = |value: Interval| {
            let nm = |length: Length| Number::from_integer(length.nm().into());
            [nm(value.least()), nm(value.most())]
        };
        match words[..] {
            ["album", "leaves"] => Some([Number::from_integer(self.count.into()); 2]),
            ["album", "stack_at_holes"] => self.stack(self.at_holes, "at_holes").map(ends),
            ["album", "stack_in_middle"] => self.stack(self.in_middle, "in_middle").map(ends),
            [choice, paper @ ("closed_paper" | "turned_paper")] => {
                let inside = self.view.picked(choice, "inside")?.least();
                let stack = self.stack(self.at_holes, "at_holes")?.most();
                Some(ends(Interval::exact(match paper {
                    "closed_paper" => stack::closed_paper(inside, stack)?,
                    _ => stack::turned_paper(inside, stack),
                })))
            }
            _ => {
                let scope = Default::default();
                let ends = self.view.point().ends(expr, &scope)?;
                Some([ends.least, ends.most])
            }
        }
    }
}
