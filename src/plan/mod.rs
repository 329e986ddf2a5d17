//! All sizes of an album, verified, as facts: what the reports, the drawings and the cutting read.
//!
//! A plan exists only after [`verify`] has tested it against the text of the rules. May import
//! every earlier room; of `solve` only what it returned.

pub mod clash;
pub mod leaf;
pub mod sentence;
pub mod value;
pub mod verify;

use crate::album::Album;
use crate::length::{Interval, Length, Ruler};
use crate::program::expand::Expanded;
use crate::program::model::ChoiceKey;
use crate::program::{InstanceId, Stage};
use crate::solve::{Holder, Solution, StageOutcome, Verdict};
use crate::style::Style;
use crate::vocabulary::scene::{Fact, Origin, ThingId};
use std::collections::{BTreeMap, BTreeSet};
use verify::{Finished, Line, VerifyError, verify};

pub use leaf::{InsertPlan, LeafPlan, PhotoPlan};

/// How sure the plan is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certainty {
    /// Every size is proved best in the order of the preferences.
    Best,
    /// It fits; a limit was met before everything was proved best. `same_again`: the same input
    /// stops at the same place.
    Found { same_again: bool },
}

/// Why a size is what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// A rule stops it; its name, its sentence with numbers, its source.
    Rule {
        name: String,
        because: String,
        source: String,
    },
    /// An earlier preference stops it.
    Preference(String),
    /// It may not be smaller or larger, whatever the rules say.
    Limit(Length),
    /// The album or its supplies say it.
    Given,
    /// It was measured on what is already made.
    Measured,
    /// A limit was met before the reason was found.
    Unknown,
}

/// One size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SizePlan {
    /// `front_mat.width`, `photo_mat.photo.width`; without its leaf.
    pub name: String,
    /// The leaf's name; empty for the template.
    pub leaf: String,
    pub value: Interval,
    pub held_by: Vec<Reason>,
}

/// One line of the rule book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleLine {
    pub name: String,
    /// Which leaf and thing it speaks of; empty for the whole album.
    pub of: String,
    pub wish: bool,
    pub kept: bool,
    /// Whole ruler steps left over; nothing for rules that compare bare numbers.
    pub steps_left: Option<i64>,
    pub because: String,
    pub source: String,
    /// What one ruler step of breaking it costs in a fix; absent: it never gives.
    pub give: Option<i64>,
}

/// The holes, the same for every leaf and bag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holes {
    pub diameter: Interval,
    /// Centres to the spine edge.
    pub edge: Interval,
    /// Centres above the tail, lowest first.
    pub heights: Vec<Interval>,
    /// Absent with one hole, or where a pattern spaces them unequally.
    pub pitch: Option<Interval>,
    pub pattern: Option<String>,
}

/// The ring that was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RingPlan {
    pub name: String,
    pub inside: Interval,
    pub wire: Option<Interval>,
    /// Thickest stack that it may hold.
    pub takes: Length,
}

/// Something that stands in for a measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    pub name: String,
    pub value: String,
    pub why: String,
}

/// An album, worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub title: String,
    pub style: String,
    pub ruler: Ruler,
    pub certainty: Certainty,
    pub leaves: Vec<LeafPlan>,
    pub holes: Holes,
    pub template: Vec<SizePlan>,
    pub ring: Option<RingPlan>,
    pub stack_at_holes: Interval,
    pub stack_in_middle: Interval,
    pub rules: Vec<RuleLine>,
    pub assumed: Vec<Assumed>,
    /// Sizes that nothing limits.
    pub unlimited: Vec<String>,
    pub proofs: usize,
}

/// Everything that a plan is made from.
#[derive(Clone, Copy)]
pub struct Parts<'a> {
    pub style: &'a Style,
    pub album: &'a Album,
    pub expanded: &'a Expanded,
    pub solution: &'a Solution,
}

/// Reads the picked items of all choices off a solution.
pub fn picks(expanded: &Expanded, solution: &Solution) -> BTreeMap<ChoiceKey, usize> {
    let taken = |choice: &crate::program::model::Choice| match choice.group {
        None => 0,
        Some(group) => solution
            .taken
            .get(group.0 as usize)
            .copied()
            .flatten()
            .unwrap_or(0) as usize,
    };
    let choices = expanded.model.choices.iter();
    choices
        .map(|(key, choice)| (key.clone(), taken(choice)))
        .collect()
}

/// Wishes that the solution does not keep.
pub fn dropped(expanded: &Expanded, solution: &Solution) -> BTreeSet<InstanceId> {
    let stages = expanded.program.stages.iter().zip(&solution.stages);
    stages
        .filter_map(|(stage, outcome)| match (stage, outcome) {
            (Stage::Keep(_), StageOutcome::Kept) => None,
            (Stage::Keep(instance), _) => Some(*instance),
            _ => None,
        })
        .collect()
}

/// Makes a verified plan of a solution that fits.
///
/// # Errors
/// The plan breaks a rule: a defect of this program.
pub fn make(parts: Parts<'_>) -> Result<Plan, VerifyError> {
    let Parts {
        style,
        album,
        expanded,
        solution,
    } = parts;
    let picks = picks(expanded, solution);
    let dropped = dropped(expanded, solution);
    let finished = Finished {
        values: &solution.values,
        picks: &picks,
        dropped: &dropped,
    };
    let lines = verify(style, expanded, finished)?;
    let view = View {
        parts,
        finished,
        lines: &lines,
    };
    let certainty = match solution.verdict {
        Verdict::FitsFound { reproducible } => Certainty::Found {
            same_again: reproducible,
        },
        _ => Certainty::Best,
    };
    let scene = &expanded.model.scene;
    let leaves = scene.leaves().iter().enumerate();
    let leaves = leaves
        .map(|(n, id)| leaf::plan(view, *id, &album.leaves[n]))
        .collect();
    let nothing = Interval::exact(Length::ZERO);
    let stack = |field: &str| scene.length(scene.album(), field).unwrap_or(nothing);
    Ok(Plan {
        title: album.title.clone(),
        style: style.name.clone(),
        ruler: album.ruler,
        certainty,
        leaves,
        holes: view.holes(),
        template: view.template(),
        ring: view.ring(),
        stack_at_holes: stack("stack_at_holes"),
        stack_in_middle: stack("stack_in_middle"),
        rules: view.rules(),
        assumed: view.assumed(),
        unlimited: solution
            .unlimited
            .iter()
            .map(|u| expanded.program.unknowns[u.0 as usize].name.clone())
            .collect(),
        proofs: solution.stats.proofs_checked,
    })
}

/// A solution seen through its style and album.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub parts: Parts<'a>,
    pub finished: Finished<'a>,
    pub lines: &'a [Line],
}

impl View<'_> {
    fn scene(&self) -> &crate::vocabulary::scene::Scene {
        &self.parts.expanded.model.scene
    }

    /// A length of a thing, given or found.
    pub fn length(&self, thing: ThingId, field: &str) -> Option<Interval> {
        let model = &self.parts.expanded.model;
        if let Some(unknown) = model.unknowns.get(&(thing, field.to_owned())) {
            let ticks = *self.finished.values.get(unknown.0 as usize)?;
            return self
                .parts
                .expanded
                .ruler
                .length_of(ticks)
                .map(Interval::exact);
        }
        match self.scene().thing(thing).facts.get(field)? {
            Fact::Length(given) => Some(model.interval(*given)),
            Fact::Derived(text) => self.derived(text, thing),
            _ => None,
        }
    }

    /// The ends of a derived value.
    fn derived(&self, text: &'static str, thing: ThingId) -> Option<Interval> {
        let model = &self.parts.expanded.model;
        let expr = model.derived(text)?;
        let scope = model.scope_of(thing);
        let mut open = BTreeSet::new();
        value::uncertain(model, self.finished.picks, expr, &scope, &mut open);
        let open: Vec<_> = open.into_iter().take(8).collect();
        let mut ends: Option<(i64, i64)> = None;
        for corner in 0u32..1 << open.len() {
            let at_most = open
                .iter()
                .enumerate()
                .filter(|(n, _)| corner >> n & 1 == 1)
                .map(|(_, g)| *g)
                .collect();
            let point = value::Point {
                model,
                values: self.finished.values,
                step: self.parts.expanded.ruler.step(),
                picks: self.finished.picks,
                at_most: &at_most,
            };
            let amount = point.value(expr, &scope)?.amount()?;
            let (low, high) = (amount.floor().to_integer(), amount.ceil().to_integer());
            let (low, high) = (i64::try_from(low).ok()?, i64::try_from(high).ok()?);
            ends = Some(ends.map_or((low, high), |(a, b)| (a.min(low), b.max(high))));
        }
        let (low, high) = ends?;
        Interval::between(Length::from_nm(low), Length::from_nm(high))
    }

    /// A size with what holds it.
    pub fn size(&self, thing: ThingId, field: &str) -> Option<SizePlan> {
        let value = self.length(thing, field)?;
        let scene = self.scene();
        let leaf = scene
            .leaf_of(thing)
            .map_or(String::new(), |l| scene.text(l, "name").to_owned());
        let key = (thing, field.to_owned());
        let held_by = match self.parts.expanded.model.unknowns.get(&key) {
            Some(unknown) => self.held_by(unknown.0 as usize),
            None => vec![match scene.thing(thing).facts.get(field) {
                Some(Fact::Length(given)) if scene.given(*given).origin == Origin::Measured => {
                    Reason::Measured
                }
                _ => Reason::Given,
            }],
        };
        Some(SizePlan {
            name: scene.size_name(thing, field),
            leaf,
            value,
            held_by,
        })
    }

    fn held_by(&self, unknown: usize) -> Vec<Reason> {
        let expanded = self.parts.expanded;
        let Some(Some(held)) = self.parts.solution.held_by.get(unknown) else {
            return vec![Reason::Unknown];
        };
        let bounds = &expanded.program.unknowns[unknown];
        let mut reasons = Vec::new();
        for holder in &held.holders {
            let reason = match holder {
                Holder::Instance(id) => match self.lines.get(id.0 as usize) {
                    Some(line) => self.rule_reason(line),
                    None => continue,
                },
                Holder::Row(_) => continue,
                Holder::Stage(n) => Reason::Preference(expanded.stage_titles[*n].clone()),
                Holder::Bound => {
                    let ticks = if held.larger {
                        bounds.most
                    } else {
                        bounds.least
                    };
                    Reason::Limit(expanded.ruler.length_of(ticks).unwrap_or(Length::ZERO))
                }
            };
            if !reasons.contains(&reason) {
                reasons.push(reason);
            }
        }
        reasons
    }

    fn rule_reason(&self, line: &Line) -> Reason {
        let rule = &self.parts.style.rules[line.rule];
        Reason::Rule {
            name: rule.name.clone(),
            because: self.sentence(line),
            source: rule.source.clone(),
        }
    }

    fn sentence(&self, line: &Line) -> String {
        sentence::sentence(self.parts.style, self.parts.expanded, self.finished, line)
    }

    fn template_thing(&self) -> Option<ThingId> {
        let scene = self.scene();
        scene.thing(scene.album()).parts.get("template").copied()
    }

    fn holes(&self) -> Holes {
        let scene = self.scene();
        let nothing = Interval::exact(Length::ZERO);
        let template = self.template_thing();
        let of = |field: &str| template.and_then(|t| self.length(t, field));
        let first_leaf = scene.leaves().first();
        let holes = first_leaf.and_then(|l| scene.thing(*l).lists.get("holes"));
        Holes {
            diameter: of("diameter").unwrap_or(nothing),
            edge: of("edge").unwrap_or(nothing),
            heights: holes
                .into_iter()
                .flatten()
                .filter_map(|h| self.length(*h, "height"))
                .collect(),
            pitch: of("pitch"),
            pattern: self
                .parts
                .album
                .template
                .pattern
                .as_ref()
                .map(|p| p.value.clone()),
        }
    }

    fn template(&self) -> Vec<SizePlan> {
        let template = self.template_thing();
        let sizes = ["edge", "first", "pitch"].iter();
        sizes.filter_map(|f| self.size(template?, f)).collect()
    }

    fn ring(&self) -> Option<RingPlan> {
        let scene = self.scene();
        let key = (scene.album(), "ring".to_owned());
        let choice = self.parts.expanded.model.choices.get(&key)?;
        let pick = self.finished.picks.get(&key).copied().unwrap_or(0);
        let thing = choice.items.get(pick)?.thing;
        let inside = scene.length(thing, "inside")?;
        let takes = match scene.quantities.get("ring_fill") {
            Some(Fact::Number(n, d)) if *d > 0 => {
                let share = i128::from(inside.least().nm()) * i128::from(*n) / i128::from(*d);
                Length::from_nm(i64::try_from(share).unwrap_or(0))
            }
            _ => inside.least(),
        };
        Some(RingPlan {
            name: scene.thing(thing).label.clone(),
            inside,
            wire: scene.length(thing, "wire"),
            takes,
        })
    }

    fn rules(&self) -> Vec<RuleLine> {
        let step = self.parts.expanded.ruler.step();
        let lines = self.lines.iter().map(|line| {
            let rule = &self.parts.style.rules[line.rule];
            RuleLine {
                name: rule.name.clone(),
                of: self.of(line.instance),
                wish: rule.wish,
                kept: line.holds,
                steps_left: line.steps_left(step),
                because: self.sentence(line),
                source: rule.source.clone(),
                give: rule.give,
            }
        });
        lines.collect()
    }

    /// Which leaf and thing a rule speaks of.
    fn of(&self, instance: InstanceId) -> String {
        of(self.parts.expanded, instance)
    }

    fn assumed(&self) -> Vec<Assumed> {
        let scene = self.scene();
        let ruler = self.parts.expanded.ruler;
        let mut all = Vec::new();
        for note in &scene.assumed {
            let (name, value, why) = match note {
                crate::vocabulary::scene::Assumption::Quantity(name) => {
                    let Some(quantity) = self.parts.style.quantity(name) else {
                        continue;
                    };
                    let Some(Fact::Length(given)) = scene.quantities.get(name) else {
                        continue;
                    };
                    let given = scene.given(*given);
                    if given.origin != Origin::Assumed {
                        continue;
                    }
                    (
                        name.clone(),
                        ruler.show_interval(given.value),
                        quantity.why.clone(),
                    )
                }
                crate::vocabulary::scene::Assumption::Size { thing, field, why } => {
                    let Some(value) = self.length(*thing, field) else {
                        continue;
                    };
                    let leaf = scene.leaf_of(*thing).map_or("", |l| scene.text(l, "name"));
                    let name = match scene.leaves().len() {
                        0 | 1 => scene.size_name(*thing, field),
                        _ => format!("{leaf}: {}", scene.size_name(*thing, field)),
                    };
                    (name, ruler.show_interval(value), (*why).to_owned())
                }
            };
            let assumed = Assumed { name, value, why };
            if !all.contains(&assumed) {
                all.push(assumed);
            }
        }
        all
    }
}

/// Which leaf and thing an instance speaks of, for a maker; empty for the whole album.
pub fn of(expanded: &Expanded, instance: InstanceId) -> String {
    let scene = &expanded.model.scene;
    let Some((_, thing)) = expanded.scopes[instance.0 as usize].0.last() else {
        return String::new();
    };
    let leaf = scene.leaf_of(*thing).map_or("", |l| scene.text(l, "name"));
    let label = &scene.thing(*thing).label;
    match (scene.leaves().len() > 1, scene.thing(*thing).kind) {
        (_, "leaf") => leaf.to_owned(),
        (true, _) => format!("{leaf}: {label}"),
        (false, _) => label.clone(),
    }
}
