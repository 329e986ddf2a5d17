//! What the expressions of a frame come to.

use super::amount::{Amount, Ends};
use super::check::NEAR;
use crate::length::{Interval, Length};
use crate::plan::leaf::{self, LeafPlan, PartPlan};
use crate::plan::view::View;
use crate::program::model::{Meaning, Scope};
use crate::program::{PlaceError, WrongPlace};
use crate::scene::ThingId;
use crate::style::expr::{Condition, ConditionNode, Expr, Node, Number, Path, Test};
use crate::style::parts::{End, Is, Part};
use crate::text::Place;
use crate::vocabulary;
use num_traits::{CheckedDiv, Zero};
use std::collections::BTreeMap;

/// An insert of the leaf that is laid: its place, its thing, its sizes.
#[derive(Clone)]
pub(crate) struct Tucked {
    pub index: usize,
    pub name: String,
    pub count: i64,
    pub place: String,
    pub section: String,
    pub width: Amount,
    pub height: Amount,
}

/// Lays one frame.
#[derive(Clone)]
pub(crate) struct Laying<'a> {
    pub view: View<'a>,
    pub scope: Scope,
    pub leaf: Option<(ThingId, &'a LeafPlan)>,
    /// The pieces of paper that may lie on it: those of the leaf, or of the album.
    pub pieces: &'a [PartPlan],
    pub width: Amount,
    pub height: Amount,
    pub ends: BTreeMap<String, Ends>,
    pub inserts: Vec<Tucked>,
    /// Which inserts lie in which slot.
    pub slots: BTreeMap<String, Vec<usize>>,
    /// `NAME.place` of the mark that is worked out.
    pub mark: Option<(String, i64)>,
    /// How far what is in its slots stands out of it, once all lies in its place.
    pub out: [Length; 4],
    /// What the style says falsely of where things lie on it.
    pub wrong: Vec<PlaceError>,
}

impl<'a> Laying<'a> {
    pub(crate) fn of_leaf(
        view: View<'a>,
        name: &str,
        id: ThingId,
        leaf: &'a LeafPlan,
    ) -> Laying<'a> {
        let scene = view.scene();
        let things = scene.list(id, "inserts").iter().enumerate();
        let inserts = things.filter_map(|(n, thing)| {
            let text = |field| scene.text(*thing, field).to_owned();
            Some(Tucked {
                index: n,
                name: text("name"),
                count: scene.count(*thing, "count"),
                place: text("place"),
                section: text("section"),
                width: Amount::of(view.length(*thing, "width")?),
                height: Amount::of(view.length(*thing, "height")?),
            })
        });
        Laying {
            scope: Scope::of(name, Some(id)),
            leaf: Some((id, leaf)),
            pieces: &leaf.parts,
            width: Amount::of(leaf.width),
            height: Amount::of(leaf.height),
            inserts: inserts.collect(),
            ..Laying::of_album(view)
        }
    }

    /// Of the album, with no part of it in hand.
    pub(crate) fn of_album(view: View<'a>) -> Laying<'a> {
        Laying {
            view,
            scope: Scope::default(),
            leaf: None,
            pieces: &[],
            width: Amount::exact(Number::zero()),
            height: Amount::exact(Number::zero()),
            ends: BTreeMap::new(),
            inserts: Vec::new(),
            slots: BTreeMap::new(),
            mark: None,
            out: [Length::ZERO; 4],
            wrong: Vec::new(),
        }
    }

    /// Of a frame of the album; `None` if it is not there.
    pub(super) fn of_part(view: View<'a>, part: &Part, own: &'a [PartPlan]) -> Option<Laying<'a>> {
        let mut laying = Laying::of_album(view);
        laying.pieces = own;
        if !laying.holds(&part.when) {
            return None;
        }
        let side = |laying: &Laying<'a>, field: &str| {
            laying.name(&Path(vec![part.name.clone(), field.to_owned()]))
        };
        laying.width = side(&laying, "width")?;
        laying.height = side(&laying, "height")?;
        let frame = part.frame()?;
        (leaf::alike(view, frame, &laying.scope) > 0).then_some(laying)
    }

    /// Whether conditions hold; `SLOT.used`: something lies in it.
    pub(crate) fn holds(&self, when: &[Condition]) -> bool {
        when.iter()
            .all(|condition| self.one_holds(condition).unwrap_or(false))
    }

    pub(crate) fn one_holds(&self, condition: &Condition) -> Option<bool> {
        match &condition.node {
            ConditionNode::Flag(path) if path.last() == "used" => {
                self.slots.get(path.head()).map(|inside| !inside.is_empty())
            }
            ConditionNode::Not(inner) => self.one_holds(inner).map(|holds| !holds),
            node => {
                let model = &self.view.parts.expanded.model;
                match (model.holds(condition, &self.scope), node) {
                    (Ok(holds), _) => Some(holds),
                    (Err(_), ConditionNode::Compare(a, test, b)) => self.compares(a, *test, b),
                    (Err(_), _) => None,
                }
            }
        }
    }

    /// Whether sizes that were found compare so, for a part of what is uncertain.
    fn compares(&self, a: &Expr, test: Test, b: &Expr) -> Option<bool> {
        let node = Node::Subtract(Box::new(a.clone()), Box::new(b.clone()));
        let off = self.value(&Expr {
            node,
            place: a.place,
        })?;
        let (least, most, zero) = (off.least, off.most, Number::zero());
        Some(match test {
            Test::Equal => least <= zero && zero <= most,
            Test::NotEqual => (least, most) != (zero, zero),
            Test::Less => least < zero,
            Test::AtMost => least <= zero,
            Test::More => most > zero,
            Test::AtLeast => most >= zero,
        })
    }

    /// What an expression comes to: exactly where it speaks of nothing that is only laid here.
    pub(crate) fn value(&self, expr: &Expr) -> Option<Amount> {
        let laid = expr.names().iter().any(|(path, _)| self.is_laid(path));
        if !laid && let Some(amount) = self.exactly(expr) {
            return Some(amount);
        }
        match &expr.node {
            Node::Number(n) => Some(Amount::exact(*n)),
            Node::Name(path) => self.name(path),
            Node::Negative(a) => self.value(a)?.times(Number::from_integer(-1)),
            Node::Add(a, b) => self.value(a)?.plus(self.value(b)?),
            Node::Subtract(a, b) => self.value(a)?.minus(self.value(b)?),
            Node::Multiply(a, b) => {
                let (a, b) = (self.value(a)?, self.value(b)?);
                match (a.least == a.most, b.least == b.most) {
                    (_, true) => a.times(b.least),
                    (true, _) => b.times(a.least),
                    _ => None,
                }
            }
            Node::Divide(a, b) => {
                let by = self.value(b)?;
                let one = Number::from_integer(1);
                (by.least == by.most && !by.least.is_zero())
                    .then(|| one.checked_div(&by.least))
                    .flatten()
                    .and_then(|inverse| self.value(a)?.times(inverse))
            }
            // What it runs over is no thing of this frame: only facts can be added up.
            Node::Sum(..) => self.exactly(expr),
        }
    }

    /// Notes which of these expressions of a part or a mark read what this album does not have.
    pub(super) fn absent<'e>(&mut self, of: &str, all: impl IntoIterator<Item = &'e Expr>) {
        for expr in all {
            let unknown = |(path, _): &(&Path, Place)| self.name(path).is_none();
            let names = || expr.names().into_iter();
            if let Some((path, place)) =
                names().find(unknown).filter(|_| self.value(expr).is_none())
            {
                self.wrong.push(PlaceError {
                    of: of.to_owned(),
                    wrong: WrongPlace::Absent(path.to_string()),
                    reads: Vec::new(),
                    place,
                });
            }
        }
    }

    /// Notes where its ends leave a piece another size than the one that it is cut to.
    pub(super) fn sized(&mut self, on: &Part, own: [Option<Amount>; 2], ends: Ends) {
        let axes = [(on.lies.across(), "width"), (on.lies.up(), "height")];
        for ((said, side), own) in axes.into_iter().zip(own) {
            let said = said.into_iter().flatten().map(|end| match end {
                End::At(expr) => Some(expr),
                // Of what is uncertain the tightest is none of its ends.
                End::Most(_) | End::Least(_) => None,
            });
            let said: Option<Vec<&Expr>> = said.collect();
            let last = said.as_ref().and_then(|said| said.last());
            let (Some(last), Some(cut), Some(room)) = (last, own, ends.of(side)) else {
                continue;
            };
            let [cut, room] = [cut.drawn(), room.drawn().max(0)];
            if (cut - room).abs() > NEAR {
                let show = |nm| self.view.parts.album.ruler.show(Length::from_nm(nm));
                let [cut, room] = [cut, room].map(show);
                let wrong = WrongPlace::Size { side, cut, room };
                let about = (&self.view.parts.expanded.model, self.view.parts.album);
                let wrong = PlaceError::new(about, (&on.name, wrong), (last, &self.scope));
                self.wrong.push(wrong);
            }
        }
    }

    /// Whether a name is known only once things are laid.
    pub(super) fn is_laid(&self, path: &Path) -> bool {
        let model = &self.view.parts.expanded.model;
        model.meaning(path, &self.scope) == Meaning::Absent
    }

    pub(super) fn end_of(&self, path: &Path) -> Option<Amount> {
        match path.0.as_slice() {
            [part, field] => self.ends.get(part)?.of(field),
            _ => None,
        }
    }

    pub(super) fn exactly(&self, expr: &Expr) -> Option<Amount> {
        self.view.point().ends(expr, &self.scope)
    }

    pub(crate) fn name(&self, path: &Path) -> Option<Amount> {
        if let Some((mark, place)) = &self.mark
            && path.head() == mark
            && path.last() == "place"
        {
            return Some(Amount::exact(Number::from_integer((*place).into())));
        }
        if self.is_laid(path)
            && let Some(end) = self.end_of(path)
        {
            return Some(end);
        }
        if path.last() == "widest" {
            let inside = self.slots.get(path.head())?.iter();
            let widths = inside.map(|n| self.inserts[*n].width);
            return widths.reduce(|a, b| a.join(b, Ord::max));
        }
        if let Some(at) = vocabulary::OUT.iter().position(|it| *it == path.last())
            && self.leaf.is_some_and(|(leaf, _)| self.is(path, leaf))
        {
            return Some(Amount::of(Interval::exact(self.out[at])));
        }
        let exact = self.exactly(&Expr::unsaid(Node::Name(path.clone())));
        exact.or_else(|| {
            let mut names = self.view.parts.style.names.iter();
            let rule = names.find(|rule| rule.name == *path)?;
            let mut rows = rule.rows.iter().filter(|row| self.holds(&row.when));
            rows.find_map(|row| match &row.is {
                Is::Value(end) => self.end(end),
                Is::Holds(_) => None,
            })
        })
    }

    /// Whether a name is one of this thing itself.
    fn is(&self, path: &Path, thing: ThingId) -> bool {
        let model = &self.view.parts.expanded.model;
        path.0.len() == 2 && model.head(path.head(), &self.scope) == Some(thing)
    }

    /// An end: of several, the tightest of those that can be worked out.
    pub(super) fn end(&self, end: &End) -> Option<Amount> {
        let all = end.all().iter().filter_map(|expr| self.value(expr));
        match end {
            End::At(expr) => self.value(expr),
            End::Most(_) => all.reduce(|a, b| a.join(b, Ord::max)),
            End::Least(_) => all.reduce(|a, b| a.join(b, Ord::min)),
        }
    }
}
