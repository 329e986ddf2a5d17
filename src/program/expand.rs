//! A style and an album become a [`Program`]: every rule for every thing that it speaks of, in
//! whole ruler steps.
//!
//! Everything here rounds to the safe side, once: an uncertain value stands at its worse end, and
//! `sum a x <= b` over whole unknowns keeps only the whole part of `b` after the common divisor
//! is taken out. May import every room before `program`.

use super::model::{
    Choice, ChoiceKey, Form, Item, Model, NoValue, Picks, Scope, Value, difference,
};
use super::prefer;
use super::*;
use crate::album::{self, Album};
use crate::length::{Length, Ruler};
use crate::style::expr::{Comparison, Condition, ConditionNode, Number, Path, Relation, Test};
use crate::style::{ChoiceRule, Demand, Order, Prefer, Quantity, Rule, Style};
use crate::text::{Fault, Place, Said};
use crate::vocabulary::scene::{self, Origin, QuantityValue, SceneError, ThingId};
use itertools::Itertools;
use num_integer::Integer;
use num_traits::{CheckedMul, Signed, ToPrimitive, Zero};
use std::collections::BTreeSet;

/// The largest value of an unknown that nothing limits: ten metres.
const OPEN: Length = Length::from_nm(10_000 * Length::MM.nm());

/// A style laid over an album, and the program that it makes.
#[derive(Clone, Debug)]
pub struct Expanded {
    pub model: Model,
    pub program: Program,
    /// The scope of each instance, aligned with [`Program::instances`].
    pub scopes: Vec<Scope>,
    /// Ruler steps in one unit of each row, aligned with [`Program::rows`].
    pub row_steps: Vec<Number>,
    /// What the maker named in `prefer` and each unknown's own wish, aligned with
    /// [`Program::stages`].
    pub stage_titles: Vec<String>,
    /// Unknowns that are sizes of things, in the order of the style, and the thing they belong to.
    pub sizes: Vec<SizeOf>,
    /// Units of the ruler.
    pub ruler: Ruler,
}

/// An unknown that is a size of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizeOf {
    pub thing: ThingId,
    pub field: String,
    pub unknown: UnknownId,
    /// Place of its declaration in [`Style::unknowns`].
    pub declared: usize,
}

/// Why a style cannot be laid over an album.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ExpandError {
    #[error(transparent)]
    Scene(#[from] SceneError),
    #[error("no quantity of style `{style}` is called `{}`", .name.value)]
    NoSuchQuantity {
        name: Said<String>,
        style: String,
        known: Vec<String>,
    },
    #[error("quantity `{name}` is a {wanted}")]
    QuantityKind {
        name: String,
        wanted: &'static str,
        place: Place,
    },
    #[error("rule `{rule}` needs `{name}`, of which this album says nothing")]
    Absent {
        rule: String,
        name: String,
        place: Place,
    },
    #[error("rule `{rule}` does not add up to lengths")]
    Kind { rule: String, place: Place },
    #[error("rule `{rule}` divides by nothing")]
    Zero { rule: String, place: Place },
    #[error("rule `{rule}` comes to numbers beyond any album")]
    TooLarge { rule: String, place: Place },
    #[error("rule `{rule}` makes equal what is only known between two ends")]
    UncertainEqual { rule: String, place: Place },
    #[error("{wrong}")]
    Prefer {
        wrong: String,
        help: String,
        place: Place,
    },
    #[error("this album comes to more than {most} {what}")]
    TooMany {
        what: &'static str,
        most: usize,
        place: Place,
    },
}

impl Fault for ExpandError {
    fn place(&self) -> Place {
        match self {
            ExpandError::Scene(e) => e.place(),
            ExpandError::NoSuchQuantity { name, .. } => name.place,
            ExpandError::QuantityKind { place, .. }
            | ExpandError::Absent { place, .. }
            | ExpandError::Kind { place, .. }
            | ExpandError::Zero { place, .. }
            | ExpandError::TooLarge { place, .. }
            | ExpandError::UncertainEqual { place, .. }
            | ExpandError::Prefer { place, .. }
            | ExpandError::TooMany { place, .. } => *place,
        }
    }

    fn label(&self) -> String {
        match self {
            ExpandError::Scene(e) => e.label(),
            ExpandError::NoSuchQuantity { .. } => "not a quantity of this style".into(),
            ExpandError::Absent { .. } => "not known here".into(),
            _ => "here".into(),
        }
    }

    fn help(&self) -> Option<String> {
        Some(match self {
            ExpandError::Scene(e) => return e.help(),
            ExpandError::NoSuchQuantity { name, known, .. } => {
                let near = known
                    .iter()
                    .min_by_key(|k| strsim::damerau_levenshtein(k, &name.value));
                let near = near.map_or(String::new(), |n| format!("the nearest is `{n}`; "));
                format!("{near}there are: {}", known.join(", "))
            }
            ExpandError::QuantityKind { wanted, .. } => match *wanted {
                "length" => "give a length with its unit, such as `1/8 in`".into(),
                _ => "give a number, such as `1/6` or `65 %`".into(),
            },
            ExpandError::Absent { name, .. } => {
                format!("add `when = 'given({name})'` to the rule, or say `{name}` in the album")
            }
            ExpandError::Kind { .. } => {
                "multiply a length by numbers only, and compare it with a length".into()
            }
            ExpandError::Zero { .. } => "divide by a number other than 0".into(),
            ExpandError::TooLarge { .. } => "look for a slip in a measure or a count".into(),
            ExpandError::UncertainEqual { .. } => {
                "say `<=` or `>=`, or give the measure without `±`".into()
            }
            ExpandError::Prefer { help, .. } => help.clone(),
            ExpandError::TooMany { .. } => "make the album in two files".into(),
        })
    }
}

/// Rows beyond this are refused: no album comes near.
const MOST_ROWS: usize = 200_000;

pub(super) struct Maker<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub out: Expanded,
    pub errors: Vec<ExpandError>,
}

/// Lays a style over an album.
///
/// # Errors
/// Everything that the album says and the style does not know, and every rule that has no value
/// here.
pub fn expand(style: &Style, album: &Album) -> Result<Expanded, Vec<ExpandError>> {
    let quantities = quantities(style, album)?;
    let mut scene = scene::build(album, &quantities)
        .map_err(|errors| errors.into_iter().map(ExpandError::Scene).collect_vec())?;
    own_parts(style, &mut scene);
    let mut maker = Maker {
        style,
        album,
        out: Expanded {
            model: Model::new(scene),
            program: Program::default(),
            scopes: Vec::new(),
            row_steps: Vec::new(),
            stage_titles: Vec::new(),
            sizes: Vec::new(),
            ruler: album.ruler,
        },
        errors: Vec::new(),
    };
    for choice in &style.choices {
        maker.choice(choice);
    }
    for (index, unknown) in style.unknowns.iter().enumerate() {
        maker.unknown(index, unknown);
    }
    for (index, rule) in style.rules.iter().enumerate() {
        maker.rule(index, rule);
    }
    if maker.errors.is_empty() {
        prefer::stages(&mut maker);
    }
    if maker.errors.is_empty() {
        Ok(maker.out)
    } else {
        Err(maker.errors)
    }
}

/// The style's quantities with what the album sets.
fn quantities(style: &Style, album: &Album) -> Result<Vec<QuantityValue>, Vec<ExpandError>> {
    let mut errors = Vec::new();
    for (index, (name, value)) in album.set.iter().enumerate() {
        let Some(quantity) = style.quantity(&name.value) else {
            errors.push(ExpandError::NoSuchQuantity {
                name: name.clone(),
                style: style.name.clone(),
                known: style.quantities.iter().map(|q| q.name.clone()).collect(),
            });
            continue;
        };
        let length = matches!(quantity.value, album::Value::Length(_));
        if length != matches!(value.value, album::Value::Length(_)) {
            errors.push(ExpandError::QuantityKind {
                name: name.value.clone(),
                wanted: if length { "length" } else { "number" },
                place: value.place,
            });
        }
        if album.set[..index]
            .iter()
            .any(|(n, _)| n.value == name.value)
        {
            errors.push(ExpandError::Scene(SceneError::GivenTwice {
                name: name.clone(),
            }));
        }
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let value = |q: &Quantity| {
        let set = album.set.iter().find(|(n, _)| n.value == q.name);
        let standard = match q.metric {
            Some(metric) if album.ruler.is_metric() => metric,
            _ => q.value,
        };
        QuantityValue {
            name: q.name.clone(),
            value: set.map_or(standard, |(_, v)| v.value),
            why: q.why.clone(),
            origin: match (set, q.measure) {
                (Some(_), _) => Origin::Said,
                (None, true) => Origin::Assumed,
                (None, false) => Origin::Style,
            },
            place: Some(set.map_or(q.place, |(_, v)| v.place)),
        }
    };
    Ok(style.quantities.iter().map(value).collect())
}

/// Parts of a leaf that only the style speaks of.
fn own_parts(style: &Style, scene: &mut scene::Scene) {
    let names: BTreeSet<&str> = (style.unknowns.iter())
        .filter(|u| u.bindings.len() == 1 && u.bindings[0].list == Path::of("leaves"))
        .map(|u| u.name.head())
        .filter(|head| {
            !style
                .unknowns
                .iter()
                .any(|u| u.bindings.iter().any(|b| b.variable == *head))
        })
        .collect();
    for leaf in scene.leaves().to_vec() {
        for name in &names {
            scene.ensure_part(leaf, name);
        }
    }
}

impl Maker<'_> {
    fn model(&self) -> &Model {
        &self.out.model
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

    fn place_of(&self, scope: &Scope) -> Option<Place> {
        scope
            .0
            .last()
            .and_then(|(_, t)| self.out.model.scene.thing(*t).place)
    }

    fn refuse(&mut self, rule: &str, why: NoValue) {
        let rule = rule.to_owned();
        let error = match why {
            NoValue::Absent(name, place) => ExpandError::Absent {
                rule,
                name: name.to_string(),
                place,
            },
            NoValue::Kind(place) => ExpandError::Kind { rule, place },
            NoValue::Zero(place) => ExpandError::Zero { rule, place },
            NoValue::TooLarge(place) => ExpandError::TooLarge { rule, place },
        };
        if !self.errors.contains(&error) {
            self.errors.push(error);
        }
    }

    fn choice(&mut self, rule: &ChoiceRule) {
        for scope in self.model().scopes(&rule.bindings) {
            if !self.applies(&rule.name.to_string(), &rule.when, &scope) {
                continue;
            }
            let album = self.model().scene.album();
            let owner = match rule.name.0.as_slice() {
                [_] => Some(album),
                _ => self.model().head(rule.name.head(), &scope),
            };
            let Some(owner) = owner else { continue };
            let table = self
                .model()
                .scene
                .thing(owner)
                .tables
                .get(rule.from.as_str());
            let mut items: Vec<Item> = table
                .into_iter()
                .flatten()
                .map(|t| Item {
                    thing: *t,
                    turned: false,
                })
                .collect();
            if rule.turn {
                let both = |i: Item| [i, Item { turned: true, ..i }];
                let square = |i: &Item| {
                    let scene = &self.out.model.scene;
                    i.turned && scene.length(i.thing, "width") == scene.length(i.thing, "height")
                };
                items = items
                    .into_iter()
                    .flat_map(both)
                    .filter(|i| !square(i))
                    .collect();
            }
            let model = self.model();
            let size = |item: &Item, column: &str| match model.column(*item, column) {
                Some(scene::Fact::Length(given)) => model.interval(*given).most().nm(),
                Some(scene::Fact::Number(n, _)) => *n,
                _ => i64::MAX,
            };
            match &rule.prefer {
                Order::Table => {}
                Order::Small(column) => items.sort_by_key(|i| size(i, column)),
                Order::Large(column) => items.sort_by_key(|i| std::cmp::Reverse(size(i, column))),
            }
            let name = self.full_name(owner, rule.name.last());
            let name = if owner == album {
                rule.name.to_string()
            } else {
                name
            };
            let alternatives = items.iter().map(|i| {
                let thing = self.out.model.scene.thing(i.thing);
                if i.turned {
                    format!("{}, turned", thing.label)
                } else {
                    thing.label.clone()
                }
            });
            let alternatives: Vec<String> = alternatives.collect();
            let group = (items.len() > 1).then(|| {
                let id = GroupId(self.out.program.groups.len() as u32);
                self.out.program.groups.push(Group { name, alternatives });
                id
            });
            if !items.is_empty() {
                let key: ChoiceKey = (owner, rule.name.last().to_owned());
                self.out.model.choices.insert(key, Choice { group, items });
            }
        }
    }

    fn unknown(&mut self, declared: usize, rule: &crate::style::UnknownRule) {
        for scope in self.model().scopes(&rule.bindings) {
            if !self.applies(&rule.name.to_string(), &rule.when, &scope) {
                continue;
            }
            let Some(thing) = self.model().head(rule.name.head(), &scope) else {
                self.refuse(
                    &rule.name.to_string(),
                    NoValue::Absent(rule.name.clone(), rule.place),
                );
                continue;
            };
            let field = rule.name.last().to_owned();
            let known = self.model().scene.thing(thing).facts.contains_key(&field);
            if known || self.model().unknowns.contains_key(&(thing, field.clone())) {
                continue;
            }
            let least = match &rule.least {
                Some(path) => match self.model().meaning(path, &scope) {
                    super::model::Meaning::Fact(scene::Fact::Length(given), _) => {
                        let least = self.model().interval(given).least();
                        self.ticks_up(least)
                    }
                    _ => 0,
                },
                None => 0,
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

    fn rule(&mut self, index: usize, rule: &Rule) {
        for scope in self.model().scopes(&rule.bindings) {
            if !self.applies(&rule.name, &rule.when, &scope) {
                continue;
            }
            let start = self.out.program.rows.len();
            let mut group = None;
            match &rule.demand {
                Demand::Require(all) => {
                    for comparison in all {
                        self.comparison(rule, comparison, &scope, &[]);
                    }
                }
                Demand::Either(any) => {
                    let id = GroupId(self.out.program.groups.len() as u32);
                    let alternatives = (1..=any.len()).map(|n| format!("way {n}")).collect();
                    self.out.program.groups.push(Group {
                        name: rule.name.clone(),
                        alternatives,
                    });
                    group = Some(id);
                    for (n, all) in any.iter().enumerate() {
                        let guard = Guard {
                            group: id,
                            alternative: n as u32,
                        };
                        for comparison in all {
                            self.comparison(rule, comparison, &scope, &[guard]);
                        }
                    }
                }
            }
            self.out.program.instances.push(Instance {
                rule: index,
                force: if rule.wish { Force::Wish } else { Force::Must },
                rows: start..self.out.program.rows.len(),
                group,
            });
            self.out.scopes.push(scope);
            if self.out.program.rows.len() > MOST_ROWS {
                let place = self.place_of(&Scope::default()).unwrap_or(rule.place);
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

    fn comparison(
        &mut self,
        rule: &Rule,
        comparison: &Comparison,
        scope: &Scope,
        either: &[Guard],
    ) {
        let mut choices = BTreeSet::new();
        self.model()
            .choices_in(&comparison.left, scope, &mut choices);
        self.model()
            .choices_in(&comparison.right, scope, &mut choices);
        let start = self.out.program.rows.len();
        for picks in self.model().all_picks(&choices) {
            let difference = self
                .model()
                .value(&comparison.left, scope, &picks)
                .and_then(|left| {
                    let right = self.model().value(&comparison.right, scope, &picks)?;
                    difference(left, right, comparison.place)
                });
            let difference = match difference {
                Ok(difference) => difference,
                // An item that does not say the column is not held to the rule.
                Err(NoValue::Absent(..)) if !picks.is_empty() => continue,
                Err(why) => return self.refuse(&rule.name, why),
            };
            let form = match difference {
                Value::Length(form) => form,
                Value::Number(n) => {
                    let holds = match comparison.relation {
                        Relation::AtMost => !n.is_positive(),
                        Relation::AtLeast => !n.is_negative(),
                        Relation::Equal => n.is_zero(),
                    };
                    self.push(
                        Row {
                            terms: Vec::new(),
                            most: if holds { 0 } else { -1 },
                            guards: self
                                .model()
                                .guards(&picks)
                                .into_iter()
                                .chain(either.iter().copied())
                                .sorted()
                                .collect(),
                        },
                        Number::from_integer(1),
                    );
                    continue;
                }
                _ => return self.refuse(&rule.name, NoValue::Kind(comparison.place)),
            };
            let uncertain = form
                .givens
                .keys()
                .any(|g| !self.model().interval(*g).is_exact());
            let sides: &[i64] = match comparison.relation {
                Relation::AtMost => &[1],
                Relation::AtLeast => &[-1],
                Relation::Equal if uncertain => {
                    let error = ExpandError::UncertainEqual {
                        rule: rule.name.clone(),
                        place: comparison.place,
                    };
                    if !self.errors.contains(&error) {
                        self.errors.push(error);
                    }
                    return;
                }
                Relation::Equal => &[1, -1],
            };
            for side in sides {
                let guards = self
                    .model()
                    .guards(&picks)
                    .into_iter()
                    .chain(either.iter().copied())
                    .sorted()
                    .collect();
                match self.row(&form, *side, guards) {
                    Some((row, steps)) => self.push(row, steps),
                    None => return self.refuse(&rule.name, NoValue::TooLarge(comparison.place)),
                }
            }
        }
        self.weakest(start, either);
    }

    fn push(&mut self, row: Row, steps: Number) {
        self.out.program.rows.push(row);
        self.out.row_steps.push(steps);
    }

    /// `side * form <= 0` in whole ticks.
    fn row(&self, form: &Form, side: i64, guards: Vec<Guard>) -> Option<(Row, Number)> {
        let side = Number::from_integer(side.into());
        let step = Number::from_integer(self.out.ruler.step().nm().into());
        let mut constant = Number::zero();
        for (given, n) in &form.givens {
            let n = n * side;
            let interval = self.model().interval(*given);
            let end = if n.is_positive() {
                interval.most()
            } else {
                interval.least()
            };
            let product = n.checked_mul(&Number::from_integer(end.nm().into()))?;
            constant = num_traits::CheckedAdd::checked_add(&constant, &product)?;
        }
        let bound = -constant / step;
        let denominators = form.unknowns.values().fold(1i128, |l, n| l.lcm(n.denom()));
        let terms: Vec<(UnknownId, i128)> = (form.unknowns.iter())
            .map(|(id, n)| {
                Some((
                    *id,
                    (n * side)
                        .checked_mul(&Number::from_integer(denominators))?
                        .to_integer(),
                ))
            })
            .collect::<Option<_>>()?;
        let divisor = terms.iter().fold(0i128, |g, (_, n)| g.gcd(n)).max(1);
        let per_row = Number::new(denominators, divisor);
        let most = bound.checked_mul(&per_row)?.floor().to_integer().to_i64()?;
        let terms = terms
            .into_iter()
            .map(|(id, n)| Some((id, (n / divisor).to_i64()?)))
            .collect::<Option<_>>()?;
        Some((
            Row {
                terms,
                most,
                guards,
            },
            per_row.recip(),
        ))
    }

    /// What every item of a choice asks at least: it bounds the unknowns before an item is picked.
    fn weakest(&mut self, start: usize, either: &[Guard]) {
        let rows = &self.out.program.rows[start..];
        let Some(first) = rows.first() else { return };
        let [guard] = first.guards[..] else { return };
        if !either.is_empty() {
            return;
        }
        let alternatives = self.out.program.groups[guard.group.0 as usize]
            .alternatives
            .len();
        let alike = rows.len() == alternatives
            && rows.iter().all(|r| r.terms == first.terms)
            && rows
                .iter()
                .map(|r| &r.guards[..])
                .all(|g| matches!(g, [g] if g.group == guard.group));
        if alike && let Some(most) = rows.iter().map(|r| r.most).max() {
            let row = Row {
                terms: first.terms.clone(),
                most,
                guards: Vec::new(),
            };
            let steps = self.out.row_steps[start];
            self.push(row, steps);
        }
    }

    /// Whether all conditions hold; one that does not hold over the whole of what is known applies.
    fn applies(&mut self, rule: &str, when: &[Condition], scope: &Scope) -> bool {
        for condition in when {
            match self.model().holds(condition, scope) {
                Ok(true) => {}
                Ok(false) => return false,
                Err(why) => {
                    self.refuse(rule, why);
                    return false;
                }
            }
        }
        true
    }
}

impl Model {
    /// Every way to pick one item of each of these choices.
    pub fn all_picks(&self, choices: &BTreeSet<ChoiceKey>) -> Vec<Picks> {
        let mut all = vec![Picks::new()];
        for key in choices {
            let count = self.choices.get(key).map_or(0, |c| c.items.len());
            all = all
                .into_iter()
                .flat_map(|picks| {
                    (0..count).map(move |n| {
                        let mut picks = picks.clone();
                        picks.insert(key.clone(), n);
                        picks
                    })
                })
                .collect();
        }
        all
    }

    /// Whether a condition can hold.
    ///
    /// # Errors
    /// A name without a value, or texts compared with numbers.
    pub fn holds(&self, condition: &Condition, scope: &Scope) -> Result<bool, NoValue> {
        use super::model::Meaning;
        let at = condition.place;
        match &condition.node {
            ConditionNode::Given(path) => Ok(match self.meaning(path, scope) {
                Meaning::Fact(..) | Meaning::Choice(_) => true,
                Meaning::Column(key, column) => self
                    .choices
                    .get(&key)
                    .is_some_and(|c| c.items.iter().any(|i| self.column(*i, &column).is_some())),
                Meaning::Unknown(_) | Meaning::Absent => false,
            }),
            ConditionNode::Free(path) => {
                Ok(matches!(self.meaning(path, scope), Meaning::Unknown(_)))
            }
            ConditionNode::Not(inner) => Ok(!self.holds(inner, scope)?),
            ConditionNode::Flag(path) => match self.name_value(path, at, scope)? {
                Value::Flag(flag) => Ok(flag),
                _ => Err(NoValue::Kind(at)),
            },
            ConditionNode::Text(path, test, text) => {
                match (self.name_value(path, at, scope)?, test) {
                    (Value::Text(value), Test::Equal) => Ok(value == *text),
                    (Value::Text(value), Test::NotEqual) => Ok(value != *text),
                    _ => Err(NoValue::Kind(at)),
                }
            }
            ConditionNode::Compare(a, test, b) => {
                let picks = Picks::new();
                let d = difference(
                    self.value(a, scope, &picks)?,
                    self.value(b, scope, &picks)?,
                    at,
                )?;
                let (least, most) = match d {
                    Value::Number(n) => (n, n),
                    Value::Length(form) if form.unknowns.is_empty() => {
                        self.ends(&form).ok_or(NoValue::TooLarge(at))?
                    }
                    _ => return Err(NoValue::Kind(at)),
                };
                Ok(match test {
                    Test::Equal => !least.is_positive() && !most.is_negative(),
                    Test::NotEqual => !(least.is_zero() && most.is_zero()),
                    Test::Less => least.is_negative(),
                    Test::AtMost => !least.is_positive(),
                    Test::More => most.is_positive(),
                    Test::AtLeast => !most.is_negative(),
                })
            }
        }
    }

    fn name_value(&self, path: &Path, at: Place, scope: &Scope) -> Result<Value, NoValue> {
        let expr = crate::style::expr::Expr {
            node: crate::style::expr::Node::Name(path.clone()),
            place: at,
        };
        self.value(&expr, scope, &Picks::new())
    }

    /// The ends of what a form without unknowns can be (nanometres).
    pub fn ends(&self, form: &Form) -> Option<(Number, Number)> {
        let mut ends = (Number::zero(), Number::zero());
        for (given, n) in &form.givens {
            let interval = self.interval(*given);
            let at = |l: Length| n.checked_mul(&Number::from_integer(l.nm().into()));
            let (a, b) = (at(interval.least())?, at(interval.most())?);
            ends.0 = num_traits::CheckedAdd::checked_add(&ends.0, &a.min(b))?;
            ends.1 = num_traits::CheckedAdd::checked_add(&ends.1, &a.max(b))?;
        }
        Some(ends)
    }
}

/// What an unknown should be, as the sign of its objective.
pub(super) fn direction(prefer: &Prefer) -> i64 {
    match prefer {
        Prefer::Small => -1,
        Prefer::Large | Prefer::LargestWith(_) => 1,
    }
}
