//! A style and an album become a [`Program`]: every rule for every thing that it speaks of, in
//! whole ruler steps. May import what `program` may.

use super::maker::Maker;
pub use super::maker::{Expanded, RowSource, SaidBy, SizeOf};
use super::*;
use super::{prefer, said};
use crate::album::Album;
use crate::length::Length;
use crate::scene::model::{Choice, ChoiceKey, Item, Model, NoValue, Picks, Scope, Value};
use crate::scene::{self, ThingId};
use crate::style::expr::{Condition, Expr, Number};
use crate::style::parts::{End, Is, Kind, MOST_MARKS};
use crate::style::{ChoiceRule, Demand, Order, Rule, Style};
use crate::text::Fault;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// The largest value of an unknown that nothing limits: ten metres.
const OPEN: Length = Length::from_nm(10_000 * Length::MM.nm());

/// Rows beyond this are refused: no album comes near.
const MOST_ROWS: usize = 200_000;

/// Lays a style over an album.
///
/// # Errors
/// Everything that the album says and the style does not know, and every rule that has no value
/// here.
pub fn expand(style: &Style, album: &Album) -> Result<Expanded, Vec<ExpandError>> {
    let (expanded, errors) = expand_so_far(style, album)?;
    if errors.is_empty() {
        Ok(expanded)
    } else {
        Err(errors)
    }
}

/// As [`expand`]; what has no value is left out, and said.
///
/// # Errors
/// Where there is no scene.
pub(super) fn expand_so_far(
    style: &Style,
    album: &Album,
) -> Result<(Expanded, Vec<ExpandError>), Vec<ExpandError>> {
    let quantities = said::quantities(style, album)?;
    said::names(style, album)?;
    let scene = scene::build(album, &quantities, style)
        .map_err(|errors| errors.into_iter().map(ExpandError::Scene).collect_vec())?;
    let mut maker = Maker {
        style,
        album,
        out: Expanded {
            model: Model::new(scene, style.counts.clone()),
            program: Program::default(),
            scopes: Vec::new(),
            row_steps: Vec::new(),
            row_sources: Vec::new(),
            said_by: Vec::new(),
            stage_titles: Vec::new(),
            sizes: Vec::new(),
            ruler: album.ruler,
            accepted: BTreeMap::new(),
        },
        errors: Vec::new(),
        nowhere: BTreeSet::new(),
        runs: Vec::new(),
    };
    maker.nowhere();
    maker.counts();
    for choice in &style.choices {
        maker.choice(choice);
    }
    for (index, unknown) in style.unknowns.iter().enumerate() {
        maker.unknown(index, unknown);
    }
    for (index, rule) in style.rules.iter().enumerate() {
        maker.rule(index, rule);
        if maker.out.program.rows.len() > MOST_ROWS {
            break;
        }
    }
    said::accepted(&mut maker);
    if maker.errors.is_empty() {
        prefer::stages(&mut maker);
    }
    Ok((maker.out, maker.errors))
}

impl<'a> Maker<'a> {
    /// Refuses counts of frames and marks that come to no whole number, and marks with more places than
    /// can be worked out. On a part of the album, a place that reads the hole of a leaf is there only where
    /// a leaf has that hole.
    fn counts(&mut self) {
        let scene = &self.out.model.scene;
        let leaves = scene.leaves();
        let holes = |leaf: &ThingId| scene.thing(*leaf).lists.get("holes");
        let holes = leaves.first().and_then(holes).map_or(0, Vec::len) as i64;
        let called = self.style.hole().map(|mark| &mark.name);
        let mut errors = Vec::new();
        for part in &self.style.parts {
            let Some(frame) = part.frame() else { continue };
            let scopes = match frame.from {
                Some(_) => leaves
                    .iter()
                    .map(|it| Scope::of(&part.name, Some(*it)))
                    .collect(),
                None => vec![Scope::default()],
            };
            let there = scopes.iter();
            for scope in there.filter(|it| self.model().all_hold(&part.when, it)) {
                if let Some(count) = &frame.count {
                    self.count((&part.name, count), scope, &mut errors);
                }
                for on in &frame.on {
                    if let Kind::Ply { layers } = &on.kind
                        && self.model().all_hold(&on.when, scope)
                    {
                        self.count((&on.name, layers), scope, &mut errors);
                    }
                }
                for mark in &frame.marks {
                    let Some(count) = &mark.count else { continue };
                    let mut read = mark.lengths().flat_map(Expr::names);
                    let hole = called.filter(|hole| {
                        frame.from.is_none() && read.any(|(path, _)| path.head() == hole.as_str())
                    });
                    let most = hole.map_or(MOST_MARKS, |_| holes.min(MOST_MARKS));
                    let places = self.count((&mark.name, count), scope, &mut errors);
                    if let Some(places) = places.filter(|it| *it > most) {
                        errors.push(ExpandError::MorePlaces {
                            mark: mark.name.clone(),
                            places,
                            most,
                            hole: hole.cloned(),
                            place: count.place,
                        });
                    }
                }
            }
        }
        for step in &self.style.steps {
            for sentence in step.does.iter().chain(&step.checks) {
                self.scopes(&sentence.bindings);
            }
        }
        let rings = self.style.name_rule("ring", "count").into_iter();
        for row in rings.flat_map(|rule| &rule.rows) {
            if let Is::Value(End::At(count)) = &row.is
                && self.model().all_hold(&row.when, &Scope::default())
            {
                self.count(("ring", count), &Scope::default(), &mut errors);
            }
        }
        self.errors
            .extend(errors.into_iter().unique_by(|it| it.place()));
    }

    /// What a count comes to.
    fn count(
        &self,
        (of, count): (&str, &Expr),
        scope: &Scope,
        errors: &mut Vec<ExpandError>,
    ) -> Option<i64> {
        let wrong = match self.model().value(count, scope, &Picks::new()) {
            Ok(Value::Number(n)) => match n.to_integer().try_into() {
                Ok(whole) if n.is_integer() && whole >= 0 => return Some(whole),
                _ => WrongPlace::Count(n.to_string()),
            },
            Err(NoValue::Absent(name, _)) => WrongPlace::Absent(name.to_string()),
            _ => return None,
        };
        let of = (of, wrong);
        errors.push(PlaceError::new((self.model(), self.album), of, (count, scope)).into());
        None
    }

    fn ticks_up(&self, length: Length) -> i64 {
        self.out.ruler.ticks_up(length)
    }

    /// A size's name with its leaf in front, where the album has several.
    fn full_name(&self, thing: ThingId, field: &str) -> String {
        let scene = &self.out.model.scene;
        let name = scene.size_name(thing, field);
        match scene.leaf_of(thing) {
            Some(leaf) if scene.leaves().len() > 1 => {
                format!("{}: {name}", scene.text(leaf, "name"))
            }
            _ => name,
        }
    }

    /// Another group, of which one alternative is taken.
    fn group(&mut self, name: String, alternatives: Vec<String>) -> GroupId {
        let groups = &mut self.out.program.groups;
        groups.push(Group { name, alternatives });
        GroupId(groups.len() as u32 - 1)
    }

    fn choice(&mut self, rule: &'a ChoiceRule) {
        for scope in self.scopes(&rule.bindings).iter() {
            if !self.applies(&rule.name.to_string(), &rule.when, scope) {
                continue;
            }
            let album = self.model().scene.album();
            let owner = match rule.name.0.as_slice() {
                [_] => Some(album),
                _ => self.model().head(rule.name.head(), scope),
            };
            let Some(owner) = owner else { continue };
            let model = self.model();
            let scene = &model.scene;
            let table = scene.thing(owner).tables.get(rule.from.as_str());
            let items = table.into_iter().flatten().flat_map(|&thing| {
                let side = |side| scene.length(thing, side);
                let turned = rule.turn && side("width") != side("height");
                let turned = turned.then_some(true);
                let ways = [false].into_iter().chain(turned);
                ways.map(move |turned| Item { thing, turned })
            });
            let mut items: Vec<Item> = items.collect();
            // What an item does not say comes last, whichever way the column is wanted.
            let size = |item: &Item, column: &str| match model.column(*item, column) {
                Some(scene::Fact::Length(given)) => {
                    let nm = model.interval(*given).most().nm();
                    Some(Number::from_integer(nm.into()))
                }
                Some(scene::Fact::Number(n, d)) => Some(Number::new((*n).into(), (*d).into())),
                _ => None,
            };
            match &rule.prefer {
                Order::Table => {}
                Order::Small(column) => items.sort_by_key(|i| {
                    let size = size(i, column);
                    (size.is_none(), size)
                }),
                Order::Large(column) => items.sort_by_key(|i| {
                    let size = size(i, column);
                    (size.is_none(), std::cmp::Reverse(size))
                }),
            }
            let name = match owner == album {
                true => rule.name.to_string(),
                false => self.full_name(owner, rule.name.last()),
            };
            let alternatives = items.iter().map(|item| {
                let turned = if item.turned { ", turned" } else { "" };
                format!("{}{turned}", scene.thing(item.thing).label)
            });
            let alternatives: Vec<String> = alternatives.collect();
            let group = (items.len() > 1).then(|| self.group(name, alternatives));
            if !items.is_empty() {
                let key: ChoiceKey = (owner, rule.name.last().to_owned());
                self.out.model.choices.insert(key, Choice { group, items });
            }
        }
    }

    fn unknown(&mut self, declared: usize, rule: &'a crate::style::UnknownRule) {
        for scope in self.scopes(&rule.bindings).iter() {
            if !self.applies(&rule.name.to_string(), &rule.when, scope) {
                continue;
            }
            let Some(thing) = self.model().head(rule.name.head(), scope) else {
                self.refuse(
                    &rule.name.to_string(),
                    NoValue::Absent(rule.name.clone(), rule.place),
                    scope,
                );
                continue;
            };
            let field = rule.name.last().to_owned();
            let known = self.model().scene.thing(thing).facts.contains_key(&field);
            if known || self.model().unknowns.find(thing, &field).is_some() {
                continue;
            }
            // What is cut has sides.
            let cut = ["mat", "insert", "photo"].contains(&self.model().scene.thing(thing).kind)
                && ["width", "height"].contains(&field.as_str());
            let least = match &rule.least {
                None => i64::from(cut),
                Some((path, _)) => match self.model().meaning(path, scope) {
                    crate::scene::model::Meaning::Fact(scene::Fact::Length(given), _) => {
                        // No less than the quantity may be.
                        let least = self.ticks_up(self.model().interval(*given).most());
                        least.max(i64::from(cut))
                    }
                    _ => {
                        self.refuse(&rule.name.to_string(), NoValue::Kind(rule.place), scope);
                        continue;
                    }
                },
            };
            let id = UnknownId(self.out.program.unknowns.len() as u32);
            let name = self.full_name(thing, &field);
            let most = self.out.ruler.ticks_down(OPEN);
            self.out.program.unknowns.push(Unknown {
                name,
                least,
                most,
                open: true,
            });
            self.out.model.unknowns.insert((thing, field.clone()), id);
            self.out.sizes.push(SizeOf {
                thing,
                field,
                unknown: id,
                declared,
            });
        }
    }

    fn rule(&mut self, index: usize, rule: &'a Rule) {
        for scope in self.scopes(&rule.bindings).iter() {
            if scope
                .0
                .iter()
                .any(|(_, thing)| self.nowhere.contains(thing))
                || !self.applies(&rule.name, &rule.when, scope)
            {
                continue;
            }
            let start = self.out.program.rows.len();
            let group = match &rule.demand {
                Demand::Require(_) => None,
                Demand::Either(any) => {
                    let alternatives = (1..=any.len()).map(|n| format!("way {n}")).collect();
                    Some(self.group(rule.name.clone(), alternatives))
                }
            };
            for (way, all) in rule.ways().iter().enumerate() {
                let guard = group.map(|group| Guard {
                    group,
                    alternative: way as u32,
                });
                for (place, comparison) in all.iter().enumerate() {
                    self.comparison(rule, comparison, scope, guard.as_slice());
                    self.said_by(way, place);
                }
            }
            self.out.program.instances.push(Instance {
                rule: index,
                force: if rule.wish { Force::Wish } else { Force::Must },
                rows: start..self.out.program.rows.len(),
                group,
            });
            self.out.scopes.push(scope.clone());
            if self.out.program.rows.len() > MOST_ROWS {
                let place = rule.place;
                let what = "rows";
                self.errors.push(ExpandError::TooMany {
                    what,
                    most: MOST_ROWS,
                    place,
                });
                return;
            }
        }
    }

    /// The rows made last are of this comparison.
    fn said_by(&mut self, way: usize, comparison: usize) {
        let rows = self.out.program.rows.len();
        self.out.said_by.resize(rows, SaidBy { way, comparison });
    }

    /// Whether all conditions hold; one that does not hold over the whole of what is known applies.
    fn applies(&mut self, rule: &str, when: &[Condition], scope: &Scope) -> bool {
        for condition in when {
            match self.model().holds(condition, scope) {
                Ok(true) => {}
                Ok(false) => return false,
                Err(why) => {
                    self.refuse(rule, why, scope);
                    return false;
                }
            }
        }
        true
    }
}
