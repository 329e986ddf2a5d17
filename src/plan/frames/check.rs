//! The laid frames against the text of the style: every end of every part, what is tucked in, holes
//! and folds, what hides what, what stands out.
//!
//! It shares nothing with the laying: each end is worked out again from its expression, with the
//! ends that others have now, and compared with what is there (`value`).

mod value;

use super::{Area, FramePlan, Laid, Marked, What, holes_met};
use crate::length::{Interval, Length};
use crate::plan::Parts;
use crate::plan::value::Point;
use crate::plan::verify::Finished;
use crate::plan::verify::VerifyError;
use crate::program::model::Scope;
use crate::scene::ThingId;
use crate::style::expr::Expr;
use crate::style::parts::{Edge, End, Frame, Kind, Mark, Part, Slot};
use std::collections::BTreeSet;

/// Halves of odd counts of nanometres, added up.
pub(super) const NEAR: i64 = 4;

/// Tests laid frames against the style of a solution.
///
/// # Errors
/// The first part that does not lie where the style says: a defect of this program.
pub fn check(
    parts: Parts<'_>,
    finished: Finished<'_>,
    frames: &[FramePlan],
) -> Result<(), VerifyError> {
    let point = finished.point(parts.expanded);
    let scene = &parts.expanded.model.scene;
    for (part, frame) in parts.style.frames() {
        let of = |leaf: Option<usize>| {
            let mut all = frames.iter();
            all.find(|it| it.name == part.name && it.leaf == leaf)
        };
        let mut laid: Vec<(Option<ThingId>, &FramePlan)> = Vec::new();
        match frame.from {
            Some(_) => {
                for (n, id) in scene.leaves().iter().enumerate() {
                    let found = of(Some(n)).ok_or_else(|| misplaced(&part.name, &part.name))?;
                    laid.push((Some(*id), found));
                }
            }
            None => laid.extend(of(None).map(|found| (None, found))),
        }
        for (leaf, laid) in laid {
            let again = Again {
                parts,
                point,
                scope: Scope::of(&part.name, leaf),
                leaf,
                laid,
                mark: None,
            };
            if !again.corners(part, &laid.outline) {
                return Err(again.wrong(&part.name));
            }
            again.frame(&part.name, frame)?;
        }
    }
    Ok(())
}

fn misplaced(part: &str, frame: &str) -> VerifyError {
    VerifyError::Misplaced {
        part: part.to_owned(),
        frame: frame.to_owned(),
    }
}

/// A frame whose places are worked out again.
struct Again<'a> {
    parts: Parts<'a>,
    point: Point<'a>,
    scope: Scope,
    leaf: Option<ThingId>,
    laid: &'a FramePlan,
    /// `NAME.place` of a mark.
    mark: Option<(String, i64)>,
}

/// One axis of a part: where it is, what the style says of it, its own size, the frame's.
struct Axis<'a> {
    at: (i64, i64),
    said: [&'a Option<End>; 3],
    own: Option<i64>,
    whole: i64,
}

impl Again<'_> {
    fn wrong(&self, part: &str) -> VerifyError {
        misplaced(part, &self.laid.name)
    }

    fn frame(&self, name: &str, frame: &Frame) -> Result<(), VerifyError> {
        let side = |field: &str| self.of(name, field);
        let FramePlan { width, height, .. } = self.laid;
        for (laid, side) in [(width, side("width")), (height, side("height"))] {
            if !side.is_some_and(|side| near(laid.middle().nm(), side)) {
                return Err(self.wrong(name));
            }
        }
        let mut all = self.laid.parts.iter();
        let mut all = all
            .by_ref()
            .filter(|it| !matches!(it.what, What::Insert(..)));
        let mut next = all.next();
        for on in frame.on.iter().filter(|on| self.hold(&on.when)) {
            match next {
                Some(laid) if laid.name == on.name => {
                    self.part(on, laid)?;
                    next = all.next();
                }
                // A piece of paper that its leaf has not.
                _ if matches!(on.kind, Kind::Paper { .. }) => {}
                _ => return Err(self.wrong(&on.name)),
            }
        }
        if let Some(more) = next {
            return Err(self.wrong(&more.name));
        }
        self.inserts(frame)?;
        self.hidden()?;
        self.out()?;
        let mut marks = self.laid.marks.iter();
        for mark in &frame.marks {
            self.marks(mark, &mut marks)?;
        }
        match marks.next() {
            Some(more) => Err(self.wrong(&more.name)),
            None => Ok(()),
        }
    }

    /// Whether these are the corners that a style says.
    fn corners(&self, of: &Part, laid: &[(i64, i64)]) -> bool {
        let corner = |((x, y), at): (&(Expr, Expr), &(i64, i64))| {
            let is = |expr: &Expr, at: i64| self.middle(expr).is_some_and(|it| near(it, at));
            is(x, at.0) && is(y, at.1)
        };
        of.outline.len() == laid.len() && of.outline.iter().zip(laid).all(corner)
    }

    fn part(&self, on: &Part, laid: &Laid) -> Result<(), VerifyError> {
        let wrong = || Err(self.wrong(&laid.name));
        let own = |field: &str| match laid.what {
            What::Paper(Some(_)) => self.of(&on.name, field),
            _ => None,
        };
        let (area, lies) = (laid.area, &on.lies);
        let axes = [
            Axis {
                at: (area.left, area.right),
                said: lies.across(),
                own: own("width"),
                whole: self.laid.width.middle().nm(),
            },
            Axis {
                at: (area.low, area.high),
                said: lies.up(),
                own: own("height"),
                whole: self.laid.height.middle().nm(),
            },
        ];
        if !axes.iter().all(|axis| self.lies(axis)) {
            return wrong();
        }
        let sides = [laid.width, laid.height];
        let told = sides.map(|it| it.middle().nm());
        // Where two ends leave no room between them, there is none.
        let room = [area.right - area.left, area.high - area.low].map(|it| it.max(0));
        // Of the tightest of several uncertain ends the middle is none of what is between them.
        let tightest = |axis: &Axis<'_>| {
            let mut ends = axis.said.into_iter().flatten();
            ends.any(|end| !matches!(end, End::At(_)))
        };
        // So where there may be none at all.
        let none = |side: Interval| side.least() == Length::ZERO && !side.is_exact();
        let is_told = |n: usize| tightest(&axes[n]) || none(sides[n]) || near(told[n], room[n]);
        if !is_told(0) || !is_told(1) {
            return wrong();
        }
        if !self.corners(on, &laid.outline) {
            return wrong();
        }
        // Glue lies in its part, and is as wide as the style says.
        let glue = |((edge, wide), it): (&(Edge, Expr), &Area)| {
            let across = matches!(edge, Edge::Left | Edge::Right);
            let is = if across {
                it.right - it.left
            } else {
                it.high - it.low
            };
            let at = match edge {
                Edge::Left => it.left == area.left,
                Edge::Right => it.right == area.right,
                Edge::Low => it.low == area.low,
                Edge::High => it.high == area.high,
            };
            let room = if across { room[0] } else { room[1] };
            at && self
                .middle(wide)
                .is_some_and(|wide| near(is, wide.min(room)))
        };
        let mut glued = on.glued.iter().zip(&laid.glued);
        if on.glued.len() != laid.glued.len() || !glued.all(glue) {
            return wrong();
        }
        let same = match (&on.kind, laid.what) {
            (Kind::Ply { layers, .. }, What::Ply(n)) => self.middle(layers) == Some(n),
            (Kind::Slot(slot), What::Slot(opens)) => slot.opens == opens,
            (Kind::Paper { .. }, What::Paper(_)) => true,
            _ => false,
        };
        if same { Ok(()) } else { wrong() }
    }

    /// Whether an axis of a part is as the style says: every end that is said, else in the middle, or
    /// to the ends of the frame.
    fn lies(&self, axis: &Axis<'_>) -> bool {
        let Axis {
            at: (from, to),
            said: [near_end, far_end, size],
            own,
            whole,
        } = axis;
        let is = |end: &Option<End>, value: i64| match end {
            None => true,
            Some(end) => self.end(end).is_some_and(|it| near(it, value)),
        };
        if !is(near_end, *from) || !is(far_end, *to) || !is(size, to - from) {
            return false;
        }
        let both = near_end.is_some() && far_end.is_some();
        match (size.is_some(), own) {
            _ if both => true,
            (false, None) => {
                (near_end.is_some() || near(*from, 0)) && (far_end.is_some() || near(*to, *whole))
            }
            (said, own) => {
                let free = near_end.is_none() && far_end.is_none();
                let sized = said || own.is_some_and(|own| near(own, to - from));
                sized && (!free || near(from + to, *whole))
            }
        }
    }

    /// What is tucked in stands on the closed end of its slot, in its middle; what is glued on lies
    /// inside, if it is not larger.
    fn inserts(&self, frame: &Frame) -> Result<(), VerifyError> {
        let Some(leaf) = self.leaf else { return Ok(()) };
        let scene = &self.parts.expanded.model.scene;
        let things = scene.list(leaf, "inserts");
        let mut found = BTreeSet::new();
        for laid in &self.laid.parts {
            let What::Insert(n, _) = laid.what else {
                continue;
            };
            let wrong = || self.wrong(&laid.name);
            let thing = *things.get(n).ok_or_else(wrong)?;
            found.insert(n);
            let slot = laid.slot.and_then(|slot| self.laid.parts.get(slot));
            let slot = slot.ok_or_else(wrong)?;
            let mut rules = frame.on.iter().filter(|on| on.name == slot.name);
            let asked = |on: &Part| match &on.kind {
                Kind::Slot(Slot { place, section, .. }) => {
                    let text = |field| scene.text(thing, field);
                    *place == text("place")
                        && section.as_ref().is_none_or(|it| *it == text("section"))
                }
                _ => false,
            };
            let inner = self.scope.with("insert", thing);
            let size = |field: &str| self.exact(&Expr::name("insert", field), &inner);
            let (area, room) = (laid.area, slot.area);
            let sized = [
                ("width", area.right - area.left),
                ("height", area.high - area.low),
            ];
            let sized = sized.map(|(field, it)| size(field).is_some_and(|side| near(side, it)));
            let What::Slot(opens) = slot.what else {
                return Err(wrong());
            };
            let across = near(area.left + area.right, room.left + room.right);
            let up = near(area.low + area.high, room.low + room.high);
            let inside = |from: i64, to: i64, (a, b): (i64, i64)| {
                (a <= from + NEAR && to <= b + NEAR) || to - from > b - a
            };
            let stands = match opens {
                Some(Edge::High) => across && near(area.low, room.low),
                Some(Edge::Low) => across && near(area.high, room.high),
                Some(Edge::Right) => up && near(area.left, room.left),
                Some(Edge::Left) => up && near(area.right, room.right),
                None => {
                    inside(area.left, area.right, (room.left, room.right))
                        && inside(area.low, area.high, (room.low, room.high))
                }
            };
            if !rules.any(asked) || sized != [true, true] || !stands {
                return Err(wrong());
            }
        }
        // Every insert lies somewhere.
        match (0..things.len()).find(|n| !found.contains(n)) {
            Some(n) => Err(self.wrong(scene.text(things[n], "name"))),
            None => Ok(()),
        }
    }

    /// What lies before each part, and how far it runs under that.
    fn hidden(&self) -> Result<(), VerifyError> {
        let all = &self.laid.parts;
        for (at, laid) in all.iter().enumerate() {
            let before: Vec<&Laid> = match laid.back {
                false => all[..at].iter().collect(),
                true => all[at + 1..].iter().filter(|it| it.back).collect(),
            };
            let hides = |it: &&Laid| match it.what {
                What::Paper(_) => true,
                What::Ply(layers) => layers > 0,
                _ => false,
            };
            let shared = |it: &&Laid| {
                let (a, b) = (it.area, laid.area);
                a.left.max(b.left) < a.right.min(b.right) && a.low.max(b.low) < a.high.min(b.high)
            };
            let before = before.into_iter().filter(hides).filter(shared);
            let before: Vec<&Laid> = before.collect();
            let areas: Vec<Area> = before.iter().map(|it| it.area).collect();
            if areas != laid.behind {
                return Err(self.wrong(&laid.name));
            }
            let Area { low, high, .. } = laid.area;
            let over = before.iter().filter(|it| matches!(it.what, What::Ply(_)));
            let over = over
                .map(|it| it.area)
                .filter(|it| it.low <= low && low < it.high);
            let over = over.map(|it| it.high).max().filter(|over| *over <= high);
            let paper = matches!(laid.what, What::Paper(_));
            let runs = laid.runs_under.map(|it| it.middle().nm());
            let right = match (over.filter(|_| paper), runs) {
                (Some(over), Some(runs)) => near(over - low, runs),
                (None, None) => true,
                _ => false,
            };
            if !right {
                return Err(self.wrong(&laid.name));
            }
        }
        Ok(())
    }

    /// Every piece lies inside the frame, or what stands out is among the facts.
    fn out(&self) -> Result<(), VerifyError> {
        let (width, height) = (
            self.laid.width.middle().nm(),
            self.laid.height.middle().nm(),
        );
        let [left, right, low, high] = self.laid.out.map(|it| it.nm());
        let mut most = [0; 4];
        for laid in self.laid.pieces(false).chain(self.laid.pieces(true)) {
            let it = laid.area;
            let over = [-it.left, it.right - width, -it.low, it.high - height];
            most = [0, 1, 2, 3].map(|n| most[n].max(over[n]));
        }
        let told = [left, right, low, high];
        match most.iter().zip(told).all(|(most, told)| near(*most, told)) {
            true => Ok(()),
            false => Err(self.wrong(&self.laid.name)),
        }
    }

    fn marks<'m>(
        &self,
        mark: &Mark,
        marked: &mut impl Iterator<Item = &'m Marked>,
    ) -> Result<(), VerifyError> {
        let wrong = || self.wrong(&mark.name);
        let count = match &mark.count {
            None => 1,
            Some(count) => self.middle(count).ok_or_else(wrong)?,
        };
        let scene = &self.parts.expanded.model.scene;
        let leaf = self.leaf.filter(|_| mark.diameter.is_some());
        let holes = leaf.map(|leaf| scene.list(leaf, "holes"));
        let met = holes_met(self.parts, self.leaf, mark);
        for place in 0..count {
            let thing = usize::try_from(place).ok();
            let thing = thing.and_then(|n| holes?.get(n)).copied();
            let mut scope = self.scope.clone();
            let met = place.try_into().ok().and_then(|n: usize| met.get(n));
            let hole = thing.map(|thing| (&mark.name, thing));
            for (called, thing) in hole.into_iter().chain(met.map(|(it, hole)| (it, *hole))) {
                scope.push(called, thing);
            }
            let again = Again {
                scope,
                mark: thing.is_none().then(|| (mark.name.clone(), place)),
                ..*self
            };
            let laid = marked.next().ok_or_else(wrong)?;
            let both = |expr: &Option<Expr>, value: Option<Interval>| match (expr, value) {
                (Some(expr), Some(value)) => {
                    let it = again.middle(expr);
                    it.is_some_and(|it| near(it, value.middle().nm()))
                }
                (None, None) => true,
                _ => false,
            };
            let right = laid.name == mark.name
                && both(&mark.across, laid.across)
                && both(&mark.up, laid.up)
                && both(&mark.diameter, laid.diameter);
            if !right {
                return Err(wrong());
            }
        }
        Ok(())
    }
}

fn near(a: i64, b: i64) -> bool {
    (a - b).abs() <= NEAR
}
