//! The musts of an album with every change that may be made as an unknown amount.
//!
//! A change has a price for each ruler step and a limit. With all amounts at nothing the program is
//! the album's own.

use crate::program::expand::{Expanded, RowSource};
use crate::program::model::Form;
use crate::program::rows::Loose;
use crate::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Unknown, UnknownId,
};
use crate::style::Style;
use crate::style::expr::Number;
use crate::vocabulary::scene::{Fact, GivenId, Origin, ThingId};
use num_traits::CheckedMul;
use std::collections::BTreeMap;

/// What is changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Less is accepted than a rule asks for.
    Rule(InstanceId),
    /// A quantity of the style is made smaller, everywhere.
    Quantity(String),
    /// A size that the album gives is cut down.
    Size { thing: ThingId, field: String },
    /// A measure of the template that the album gives is made smaller.
    Template(String),
    /// An insert is left out.
    LeaveOut(ThingId),
}

/// A change that may be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    pub what: What,
    /// Its amount in the softened program (ruler steps; 1 where something is left out).
    pub unknown: UnknownId,
    /// For each ruler step, or for leaving something out.
    pub price: i64,
}

/// What leaving something out costs, in the price of ruler steps.
pub(super) const LEAVING_OUT: i64 = 60;
/// What cutting a given size down by one ruler step costs.
const CUTTING_DOWN: i64 = 1;
/// What moving the holes by one ruler step costs.
const MOVING: i64 = 2;
/// No rule is broken by more than this (ruler steps).
const MOST_STEPS: i64 = 128;

/// The musts of an album, softened.
#[derive(Clone, Debug)]
pub struct Softened {
    pub program: Program,
    /// In the order of the style's quantities, the album's sizes and inserts, and the rules.
    pub changes: Vec<Change>,
}

struct Softener<'a> {
    style: &'a Style,
    expanded: &'a Expanded,
    may: &'a dyn Fn(&What) -> bool,
    out: Softened,
    /// The amount by which a given value is made smaller.
    smaller: BTreeMap<GivenId, UnknownId>,
    /// The group that says whether an insert is left out.
    left_out: BTreeMap<ThingId, GroupId>,
}

/// Softens an album's musts by the changes that `may` be made. Nothing where numbers grow too large.
pub fn soften(style: &Style, expanded: &Expanded, may: &dyn Fn(&What) -> bool) -> Option<Softened> {
    let mut softener = Softener {
        style,
        expanded,
        may,
        out: Softened {
            program: Program {
                unknowns: expanded.program.unknowns.clone(),
                groups: expanded.program.groups.clone(),
                ..Program::default()
            },
            changes: Vec::new(),
        },
        smaller: BTreeMap::new(),
        left_out: BTreeMap::new(),
    };
    softener.quantities();
    softener.template();
    softener.sizes();
    for (index, instance) in expanded.program.instances.iter().enumerate() {
        if instance.force == Force::Must {
            softener.instance(InstanceId(index as u32), instance)?;
        }
    }
    Some(softener.out)
}

impl Softener<'_> {
    /// The amount of a change; nothing where it may not be made.
    fn amount(&mut self, what: What, name: String, price: i64, most: i64) -> Option<UnknownId> {
        if !(self.may)(&what) {
            return None;
        }
        let unknown = UnknownId(self.out.program.unknowns.len() as u32);
        self.out.program.unknowns.push(Unknown {
            name,
            least: 0,
            most,
            open: false,
        });
        self.out.changes.push(Change {
            what,
            unknown,
            price,
        });
        Some(unknown)
    }

    fn quantities(&mut self) {
        let scene = &self.expanded.model.scene;
        for quantity in &self.style.quantities {
            let Some(price) = quantity.give else { continue };
            let Some(Fact::Length(given)) = scene.quantities.get(&quantity.name) else {
                continue;
            };
            let value = scene.given(*given).value;
            let most = self.expanded.ruler.ticks_down(value.least());
            if most < 1 || !value.is_exact() {
                continue;
            }
            let what = What::Quantity(quantity.name.clone());
            let name = format!("{} smaller", quantity.name);
            if let Some(unknown) = self.amount(what, name, price, most) {
                self.smaller.insert(*given, unknown);
            }
        }
    }

    /// Holes that the album itself places can be moved; a published pattern cannot.
    fn template(&mut self) {
        let scene = &self.expanded.model.scene;
        let Some(template) = scene.thing(scene.album()).parts.get("template") else {
            return;
        };
        if scene.flag(*template, "published") {
            return;
        }
        for field in ["edge", "first", "pitch"] {
            let Some(Fact::Length(given)) = scene.thing(*template).facts.get(field) else {
                continue;
            };
            let most = self
                .expanded
                .ruler
                .ticks_down(scene.given(*given).value.least())
                - 1;
            if most < 1 {
                continue;
            }
            let name = format!("template.{field} smaller");
            if let Some(unknown) = self.amount(What::Template(field.to_owned()), name, MOVING, most)
            {
                self.smaller.insert(*given, unknown);
            }
        }
    }

    /// Given sizes can be cut down; inserts can be left out.
    fn sizes(&mut self) {
        let scene = &self.expanded.model.scene;
        for leaf in scene.leaves() {
            for thing in (0..scene.things.len() as u32).map(ThingId) {
                let kind = scene.thing(thing).kind;
                if scene.leaf_of(thing) != Some(*leaf)
                    || !matches!(kind, "insert" | "photo" | "mat")
                {
                    continue;
                }
                for field in ["width", "height"] {
                    self.cut_down(thing, field);
                }
                if kind == "insert" {
                    self.leave_out(thing);
                }
            }
        }
    }

    fn cut_down(&mut self, thing: ThingId, field: &str) {
        let scene = &self.expanded.model.scene;
        let Some(Fact::Length(given)) = scene.thing(thing).facts.get(field) else {
            return;
        };
        let value = scene.given(*given);
        let most = self.expanded.ruler.ticks_down(value.value.least()) - 1;
        if value.origin != Origin::Said || most < 1 {
            return;
        }
        let what = What::Size {
            thing,
            field: field.to_owned(),
        };
        let name = format!("{} smaller", scene.size_name(thing, field));
        if let Some(unknown) = self.amount(what, name, CUTTING_DOWN, most) {
            self.smaller.insert(*given, unknown);
        }
    }

    fn leave_out(&mut self, insert: ThingId) {
        let name = format!("{} left out", self.expanded.model.scene.thing(insert).label);
        let what = What::LeaveOut(insert);
        let Some(unknown) = self.amount(what, name.clone(), LEAVING_OUT, 1) else {
            return;
        };
        let group = GroupId(self.out.program.groups.len() as u32);
        self.out.program.groups.push(Group {
            name,
            alternatives: vec!["in".to_owned(), "left out".to_owned()],
        });
        let start = self.out.program.rows.len();
        self.out.program.rows.push(Row {
            terms: vec![(unknown, -1)],
            most: -1,
            guards: vec![Guard {
                group,
                alternative: 1,
            }],
        });
        self.out.program.instances.push(Instance {
            rule: crate::program::prefer::DEFINITION,
            force: Force::Must,
            rows: start..start + 1,
            group: None,
        });
        self.left_out.insert(insert, group);
    }

    fn instance(&mut self, id: InstanceId, instance: &Instance) -> Option<()> {
        let rule = self.style.rules.get(instance.rule);
        let own = rule.and_then(|r| r.give.map(|price| (r.name.clone(), price)));
        let own =
            own.and_then(|(name, price)| self.amount(What::Rule(id), name, price, MOST_STEPS));
        let of_insert = self.insert_of(id);
        let start = self.out.program.rows.len();
        for index in instance.rows.clone() {
            let row = &self.expanded.program.rows[index];
            let mut soft = match &self.expanded.row_sources[index] {
                RowSource::Form { form, side } => self.row(form, *side, own)?,
                RowSource::Numbers => row.clone(),
                RowSource::Follows => continue,
            };
            soft.guards = row.guards.clone();
            if let Some(group) = of_insert {
                soft.guards.push(Guard {
                    group,
                    alternative: 0,
                });
                soft.guards.sort_unstable();
            }
            self.out.program.rows.push(soft);
        }
        self.out.program.instances.push(Instance {
            rows: start..self.out.program.rows.len(),
            ..instance.clone()
        });
        Some(())
    }

    /// The group of the insert that a rule speaks of.
    fn insert_of(&self, id: InstanceId) -> Option<GroupId> {
        let scene = &self.expanded.model.scene;
        let scope = &self.expanded.scopes[id.0 as usize];
        let (_, thing) = scope.0.last()?;
        let mut chain = std::iter::successors(Some(*thing), |t| scene.thing(*t).owner);
        chain.find_map(|t| self.left_out.get(&t).copied())
    }

    /// `side * form <= 0` with given values made smaller and the rule's own amount taken off.
    fn row(&self, form: &Form, side: i64, own: Option<UnknownId>) -> Option<Row> {
        let mut loose = Loose::of(&self.expanded.model, form, side, &BTreeMap::new())?;
        for (given, n) in &form.givens {
            if let Some(unknown) = self.smaller.get(given) {
                loose.add(
                    *unknown,
                    n.checked_mul(&Number::from_integer((-side).into()))?,
                )?;
            }
        }
        if let Some(unknown) = own {
            loose.add(unknown, Number::from_integer(-1))?;
        }
        let (terms, most, _) = loose.whole(self.expanded.ruler.step())?;
        Some(Row {
            terms,
            most,
            guards: Vec::new(),
        })
    }
}
