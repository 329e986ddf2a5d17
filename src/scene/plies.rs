//! Layers of a leaf's bag: at a hole, and in the middle, from the boxes of the style's plies.
//!
//! A ply counts at a place unless what is known says that it is not there. Ends are subtracted as
//! sums of given values, so that one that stands in both is exact.

use super::facts::{self, Tested};
use super::maker::Maker;
use super::model::{Form, Picks, Scope, Value};
use super::*;
use crate::album::Leaf;
use crate::length::Length;
use crate::style::expr::{Condition, ConditionNode, Number};
use crate::style::parts::{Bound, End, Kind};
use num_traits::{Signed, ToPrimitive, Zero};

/// No bag has more layers than this in one place.
const MOST_LAYERS: i64 = 1000;

/// The plies of one leaf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plies {
    boxes: Vec<Ply>,
    /// Where its holes stand across, from the least to the most.
    holes: Option<(Form, Form)>,
    /// Their heights; absent where they are still to be found.
    heights: Option<Vec<Form>>,
    middle: Option<Form>,
}

/// A layer, or several alike, over a box.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Ply {
    layers: i64,
    /// What bags measure decides whether it is there: these, or their contraries.
    when: Vec<(Tested, bool)>,
    across: [Bounds; 2],
    up: [Bounds; 2],
}

/// An end of a box: of several lengths, the tightest or the widest; none where it is the frame's.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Bounds {
    of: Vec<Form>,
    /// What is beyond one of them is outside; else only what is beyond all of them.
    any: bool,
}

impl Bounds {
    fn beyond(&self, beyond: impl Fn(&Form) -> bool) -> bool {
        match self.any {
            true => self.of.iter().any(beyond),
            false => !self.of.is_empty() && self.of.iter().all(beyond),
        }
    }
}

fn certainly_less(scene: &Scene, less: &Form, more: &Form) -> bool {
    let ends = less.less(more).and_then(|form| facts::ends(scene, &form));
    ends.is_some_and(|(_, most)| most.is_negative())
}

impl Ply {
    fn is_there(&self, scene: &Scene) -> bool {
        let mut when = self.when.iter();
        when.all(|(tested, not)| tested.holds(scene, *not))
    }
}

impl Plies {
    /// Layers whose boxes are not known to be elsewhere: `below` tells whether a place lies below an end,
    /// `above` whether above one. `low` and `high` are the place's ends across.
    fn here<P: Copy>(
        &self,
        scene: &Scene,
        ((low, high), up): ((P, P), P),
        below: impl Fn(P, &Form) -> bool,
        above: impl Fn(P, &Form) -> bool,
    ) -> i64 {
        let here = |ply: &&Ply| {
            let [left, right] = &ply.across;
            let [bottom, top] = &ply.up;
            ply.is_there(scene)
                && !(left.beyond(|end| below(high, end))
                    || right.beyond(|end| above(low, end))
                    || bottom.beyond(|end| below(up, end))
                    || top.beyond(|end| above(up, end)))
        };
        let here = self.boxes.iter().filter(here);
        here.map(|ply| ply.layers).sum()
    }

    /// The most layers at a place.
    fn at(&self, scene: &Scene, across: (&Form, &Form), up: &Form) -> i64 {
        let below = |place: &Form, end: &Form| certainly_less(scene, place, end);
        let above = |place: &Form, end: &Form| certainly_less(scene, end, place);
        self.here(scene, (across, up), below, above)
    }

    /// The most along a line from the low edge to the high one: some ply begins there.
    fn along(&self, scene: &Scene, ends: (&Form, &Form)) -> i64 {
        let nothing = Form::default();
        let begins = self.boxes.iter().flat_map(|ply| &ply.up[0].of);
        let all = std::iter::once(&nothing).chain(begins);
        let inside = all.filter(|up| !certainly_less(scene, up, &nothing));
        let layers = inside.map(|up| self.at(scene, ends, up));
        layers.max().unwrap_or(0)
    }

    /// The most layers that a hole meets, for its leaf's thickness.
    pub fn at_holes(&self, scene: &Scene) -> i64 {
        let Some((low, high)) = &self.holes else {
            return 0;
        };
        match &self.heights {
            Some(heights) => {
                let met = heights.iter().map(|up| self.at(scene, (low, high), up));
                met.max().unwrap_or_else(|| self.along(scene, (low, high)))
            }
            None => self.along(scene, (low, high)),
        }
    }

    /// The most in the middle of what is bound.
    pub fn in_middle(&self, scene: &Scene) -> i64 {
        let middle = self.middle.as_ref();
        middle.map_or(0, |middle| self.along(scene, (middle, middle)))
    }
}

/// Where a hole is, once its sizes are found.
#[derive(Clone, Copy, Debug)]
pub struct HoleAt {
    pub across: Interval,
    pub up: Interval,
}

impl Plies {
    /// Layers that a hole goes through, as a maker reads them.
    pub fn told(&self, scene: &Scene, hole: HoleAt) -> i64 {
        let nm = |length: Length| Number::from_integer(length.nm().into());
        let below = |place: Interval, end: &Form| {
            facts::ends(scene, end).is_some_and(|(least, _)| nm(place.most()) < least)
        };
        let above = |place: Interval, end: &Form| {
            facts::ends(scene, end).is_some_and(|(_, most)| nm(place.least()) > most)
        };
        let across = (hole.across, hole.across);
        self.here(scene, (across, hole.up), below, above)
    }
}

impl Maker<'_> {
    /// The plies of a leaf, as its style lists them. A style that lists none has bags of two layers.
    pub(super) fn plies(&mut self, leaf: ThingId, said: &Leaf) -> Plies {
        let style = self.style;
        let scope = self.model.scope_of(leaf);
        let mut plies = Plies::default();
        let mut listed = false;
        for part in style.on_leaf() {
            let Kind::Ply { layers } = &part.kind else {
                continue;
            };
            listed = true;
            self.ensure_all(leaf, said.into(), &part.when);
            let mut when = Vec::new();
            let holds = part.when.iter().all(|condition| {
                if let Some(tested) = self.model.tested(condition, &scope) {
                    when.push((tested.anew(), is_contrary(condition)));
                    return true;
                }
                self.model.holds(condition, &scope).unwrap_or(false)
            });
            if !holds {
                continue;
            }
            let layers = self.layers(layers, &scope);
            plies.boxes.push(Ply {
                layers,
                when,
                across: self.both(part.lies.across(), "width", &scope),
                up: self.both(part.lies.up(), "height", &scope),
            });
        }
        if !listed {
            plies.boxes.push(Ply {
                layers: 2,
                ..Ply::default()
            });
        }
        self.places(leaf, &scope, &mut plies);
        plies
    }

    /// Where the holes of a leaf stand and where its middle is.
    fn places(&mut self, leaf: ThingId, scope: &Scope, plies: &mut Plies) {
        let style = self.style;
        let bound = style.leaf_frame().map(|(_, frame)| frame.bound);
        // A leaf that is folded has its middle in the middle of each half.
        let share = match bound {
            Some(Bound::Fold) => 4,
            _ => 2,
        };
        plies.middle = self.read(&format!("leaf.width / {share}"), scope);
        let holes = match style.hole() {
            Some(mark) => {
                let exact = mark.across.as_ref();
                let exact = exact.and_then(|across| self.length_of(across, scope));
                let within = mark.within.as_ref();
                let within = within.and_then(|(low, high)| {
                    Some((self.length_of(low, scope)?, self.length_of(high, scope)?))
                });
                exact.map(|at| (at.clone(), at)).or(within)
            }
            None => None,
        };
        let all = self.model.scene.list(leaf, "holes");
        // Without a place of their own they may stand anywhere on the near half.
        let anywhere = || Some((Form::default(), plies.middle.clone()?));
        plies.holes = holes.or_else(anywhere);
        let height = |hole: &ThingId| {
            let scope = self.model.scope_of(*hole);
            self.read("hole.height", &scope)
        };
        let heights: Option<Vec<Form>> = all.iter().map(height).collect();
        plies.heights = heights.filter(|heights| !heights.is_empty());
    }

    fn read(&self, text: &str, scope: &Scope) -> Option<Form> {
        let Some(Fact::Derived(expr)) = Fact::derived(text) else {
            return None;
        };
        self.length_of(&expr, scope)
    }

    /// A length that is known, as a sum of given values.
    fn length_of(&self, expr: &Expr, scope: &Scope) -> Option<Form> {
        match self.model.value(expr, scope, &Picks::new()).ok()? {
            Value::Number(n) if n.is_zero() => Some(Form::default()),
            value => value.known(),
        }
    }

    /// How many layers a ply has: a whole number.
    fn layers(&mut self, expr: &Expr, scope: &Scope) -> i64 {
        let mut quantities = BTreeSet::new();
        self.quantities_in(expr, scope, &mut quantities);
        self.model.scene.read.extend(quantities.iter().cloned());
        let value = self.model.value(expr, scope, &Picks::new());
        let whole = match value {
            Ok(Value::Number(n)) if n.is_integer() => n.to_integer().to_i64(),
            _ => None,
        };
        match whole.filter(|n| (0..=MOST_LAYERS).contains(n)) {
            Some(layers) => layers,
            None => {
                if let Some(name) = quantities.first() {
                    self.wrong_quantity(name, "whole number from 0 to 1000");
                }
                1
            }
        }
    }

    /// The quantities that an expression leans on, through names too.
    fn quantities_in(&self, expr: &Expr, scope: &Scope, found: &mut BTreeSet<String>) {
        for (path, _) in expr.names() {
            if let [name] = path.0.as_slice() {
                found.insert(name.clone());
            } else if let super::model::Meaning::Fact(Fact::Derived(inner), thing) =
                self.model.meaning(path, scope)
            {
                self.quantities_in(inner, &self.model.scope_of(thing), found);
            }
        }
    }

    /// Both ends of a part on one axis; one that is not said follows from the other and the size.
    fn both(
        &self,
        [near, far, size]: [&Option<End>; 3],
        whole: &str,
        scope: &Scope,
    ) -> [Bounds; 2] {
        let near_bounds = near.as_ref().map(|end| self.bounds(end, true, scope));
        let far_bounds = far.as_ref().map(|end| self.bounds(end, false, scope));
        let exact = |end: &Option<End>| match end {
            Some(End::At(expr)) => self.length_of(expr, scope),
            _ => None,
        };
        let one = |form: Option<Form>| Bounds {
            of: form.into_iter().collect(),
            any: true,
        };
        let size = exact(size);
        match (near_bounds, far_bounds, size) {
            (Some(near), Some(far), _) => [near, far],
            (Some(low), None, Some(size)) => {
                [low, one(exact(near).and_then(|near| near.plus(&size)))]
            }
            (None, Some(high), Some(size)) => {
                [one(exact(far).and_then(|far| far.less(&size))), high]
            }
            (None, None, Some(size)) => {
                let whole = self.read(&format!("leaf.{whole}"), scope);
                let left = whole.and_then(|whole| whole.less(&size)).map(half);
                let right = left.as_ref().and_then(|left| left.plus(&size));
                [one(left), one(right)]
            }
            (near, far, None) => [near.unwrap_or_default(), far.unwrap_or_default()],
        }
    }

    fn bounds(&self, end: &End, low: bool, scope: &Scope) -> Bounds {
        let known = end.all().iter();
        let known = known.filter_map(|expr| self.length_of(expr, scope));
        let of: Vec<Form> = known.collect();
        // The largest of several low ends is the tightest, and so is the smallest of high ends.
        let any = match end {
            End::At(_) => true,
            End::Most(_) => low,
            End::Least(_) => !low,
        };
        let all = of.len() == end.all().len();
        Bounds {
            of: if any || all { of } else { Vec::new() },
            any,
        }
    }
}

/// Whether a condition asks for the contrary of what it compares.
fn is_contrary(condition: &Condition) -> bool {
    match &condition.node {
        ConditionNode::Not(inner) => !is_contrary(inner),
        _ => false,
    }
}

fn half(mut form: Form) -> Form {
    for n in form.givens.values_mut() {
        *n /= Number::from_integer(2);
    }
    form
}
