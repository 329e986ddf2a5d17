//! The musts of an album with every change that may be made as an unknown amount.
//!
//! A change has a price for each ruler step and a limit. With all amounts at nothing the program is
//! the album's own.

use super::own::{self, What};
use crate::album::Album;
use crate::length::Length;
use crate::program::expand::{Expanded, RowSource};
use crate::program::model::Form;
use crate::program::rows::Loose;
use crate::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, Unknown, UnknownId,
};
use crate::scene::GivenId;
use crate::scene::model::Value;
use crate::style::Style;
use crate::style::expr::Number;
use num_traits::{CheckedMul, ToPrimitive};
use std::collections::{BTreeMap, BTreeSet};

/// A change that may be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    pub what: What,
    /// A measure is made larger; otherwise smaller.
    pub more: bool,
    /// Its amount in the softened program (ruler steps; 1 where something is left out or aside).
    pub unknown: UnknownId,
    /// For each ruler step, or for leaving something out or aside.
    pub price: i64,
}

/// What leaving something out costs, in the price of ruler steps.
pub(super) const LEAVING_OUT: i64 = 60;
/// What a rule costs that is not asked for: more than any change of measures.
const ASIDE: i64 = 100_000_000;
/// No rule is broken by more than this.
const MOST_BROKEN: Length = Length::from_nm(400 * Length::MM.nm());

/// The musts of an album, softened.
#[derive(Clone, Debug)]
pub struct Softened {
    pub program: Program,
    /// In the order of the style's quantities, the album's holes and sizes, and the rules.
    pub changes: Vec<Change>,
    /// The album's instance behind each of the program's.
    pub of: Vec<Option<InstanceId>>,
}

struct Softener<'a> {
    style: &'a Style,
    expanded: &'a Expanded,
    may: &'a dyn Fn(&What, bool) -> bool,
    out: Softened,
    /// The amounts by which a given value is made smaller or larger.
    moved: BTreeMap<GivenId, Vec<(UnknownId, bool)>>,
}

/// Softens an album's musts by the changes that `may` be made, larger if the second argument is
/// true; rules in `aside` are not asked for. `None` if numbers grow too large.
pub fn soften(
    style: &Style,
    album: &Album,
    expanded: &Expanded,
    aside: &BTreeSet<InstanceId>,
    may: &dyn Fn(&What, bool) -> bool,
) -> Option<Softened> {
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
            of: Vec::new(),
        },
        moved: BTreeMap::new(),
    };
    softener.measures(album);
    for (index, instance) in expanded.program.instances.iter().enumerate() {
        let id = InstanceId(index as u32);
        if instance.force == Force::Must && !aside.contains(&id) {
            softener.instance(id, instance)?;
        }
    }
    Some(softener.out)
}

impl Softener<'_> {
    /// The amount of a change; `None` if it may not be made.
    fn amount(
        &mut self,
        (what, more): (What, bool),
        name: String,
        price: i64,
        most: i64,
    ) -> Option<UnknownId> {
        if most < 1 || !(self.may)(&what, more) {
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
            more,
            unknown,
            price,
        });
        Some(unknown)
    }

    fn measures(&mut self, album: &Album) {
        for own in own::all(self.style, album, self.expanded) {
            for (more, (most, price)) in [(false, own.smaller), (true, own.larger)] {
                let sense = if more { "larger" } else { "smaller" };
                let label = own.givens.first();
                let label = label.map_or("", |id| &self.expanded.model.scene.given(*id).label);
                let name = format!("{label} {sense}");
                let what = (own.what.clone(), more);
                if let Some(unknown) = self.amount(what, name, price, most) {
                    for given in &own.givens {
                        self.moved.entry(*given).or_default().push((unknown, more));
                    }
                }
            }
        }
    }

    /// A group whose first alternative asks for a rule; the second does not, and costs the change.
    fn aside(&mut self, id: InstanceId) -> Option<Guard> {
        let name = "aside".to_owned();
        let unknown = self.amount((What::Aside(id), false), name.clone(), ASIDE, 1)?;
        let group = GroupId(self.out.program.groups.len() as u32);
        self.out.program.groups.push(Group {
            name,
            alternatives: vec!["asked for".to_owned(), "aside".to_owned()],
        });
        let guard = |alternative| Guard { group, alternative };
        let start = self.out.program.rows.len();
        self.out.program.rows.push(Row {
            terms: vec![(unknown, -1)],
            most: -1,
            guards: vec![guard(1)],
        });
        self.out.program.instances.push(Instance {
            rule: crate::program::prefer::DEFINITION,
            force: Force::Must,
            rows: start..start + 1,
            group: None,
        });
        self.out.of.push(None);
        Some(guard(0))
    }

    fn instance(&mut self, id: InstanceId, instance: &Instance) -> Option<()> {
        let rule = self.style.rules.get(instance.rule);
        let own = rule.and_then(|r| r.give.map(|price| (r.name.clone(), price)));
        let most = rule.and_then(|rule| self.most_given(rule.give_most.as_ref()?, id));
        let most = most.unwrap_or(MOST_BROKEN).min(MOST_BROKEN);
        let most = self.expanded.ruler.ticks_down(most);
        let own =
            own.and_then(|(name, price)| self.amount((What::Rule(id), false), name, price, most));
        let aside = self.aside(id);
        let start = self.out.program.rows.len();
        for index in instance.rows.clone() {
            let row = &self.expanded.program.rows[index];
            let mut soft = match &self.expanded.row_sources[index] {
                RowSource::Form { form, side } => self.row(form, *side, own)?,
                RowSource::Numbers => row.clone(),
                RowSource::Follows => continue,
            };
            soft.guards = row.guards.clone();
            soft.guards.extend(aside);
            soft.guards.sort_unstable();
            self.out.program.rows.push(soft);
        }
        self.out.program.instances.push(Instance {
            rows: start..self.out.program.rows.len(),
            ..instance.clone()
        });
        self.out.of.push(Some(id));
        Some(())
    }

    /// The most by which a rule may be broken, as its style says; `None` where this album does not know.
    fn most_given(&self, most: &crate::style::expr::Expr, id: InstanceId) -> Option<Length> {
        let model = &self.expanded.model;
        let scope = self.expanded.scopes.get(id.0 as usize)?;
        let Value::Length(form) = model.value_without_choice(most, scope)?.ok()? else {
            return None;
        };
        // The worse end of what is uncertain.
        let (least, _) = model.ends(&form)?;
        Some(Length::from_nm(least.floor().to_integer().to_i64()?))
    }

    /// `side * form <= 0` with given values made smaller or larger and the rule's own amount taken
    /// off.
    fn row(&self, form: &Form, side: i64, own: Option<UnknownId>) -> Option<Row> {
        let mut loose = Loose::of(&self.expanded.model, form, side, &BTreeMap::new())?;
        for (given, n) in form.givens.iter() {
            for (unknown, more) in self.moved.get(given).into_iter().flatten() {
                let sign = if *more { side } else { -side };
                loose
                    .terms
                    .add(*unknown, n.checked_mul(&Number::from_integer(sign.into()))?)?;
            }
        }
        if let Some(unknown) = own {
            loose.terms.add(unknown, Number::from_integer(-1))?;
        }
        let (terms, most, _) = loose.whole(self.expanded.ruler.step())?;
        Some(Row {
            terms,
            most,
            guards: Vec::new(),
        })
    }
}
