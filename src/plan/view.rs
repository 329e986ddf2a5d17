//! A solution seen through its style and album: lengths, reasons, rules with their numbers.

use super::value::Point;
use super::verify::{Finished, Line, inspect};
use super::*;
use crate::scene::{self, Assumption, BagMeasure, Fact, Origin, Scene, ThingId};
use crate::style::expr::{Expr, Path};
use crate::vocabulary;
use std::borrow::Cow;

/// A solution seen through its style and album.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub parts: Parts<'a>,
    pub finished: Finished<'a>,
    pub lines: Lines<'a>,
}

/// The rules in a plan.
#[derive(Clone, Copy)]
pub(crate) enum Lines<'a> {
    /// All of them, verified, and which the plan lists.
    All(&'a [Line], Listed),
    /// Each is looked at when it is asked for.
    Asked,
}

impl<'a> View<'a> {
    pub(super) fn line(&self, instance: usize) -> Option<Cow<'a, Line>> {
        match self.lines {
            Lines::All(lines, _) => lines.get(instance).map(Cow::Borrowed),
            Lines::Asked => {
                let Parts {
                    style, expanded, ..
                } = self.parts;
                let id = InstanceId(u32::try_from(instance).ok()?);
                let line = inspect(style, expanded, self.finished, id).ok()?;
                Some(Cow::Owned(line))
            }
        }
    }

    pub fn scene(&self) -> &'a Scene {
        &self.parts.expanded.model.scene
    }

    /// The style's named lengths, as the album sets them.
    pub fn quantities(&self) -> BTreeMap<String, Interval> {
        let scene = self.scene();
        let length = |fact: &Fact| match fact {
            Fact::Length(given) => Some(scene.given(*given).value),
            _ => None,
        };
        let all = scene.quantities.iter();
        all.filter_map(|(name, fact)| Some((name.clone(), length(fact)?)))
            .collect()
    }

    /// A length of a thing, given or found.
    pub fn length(&self, thing: ThingId, field: &str) -> Option<Interval> {
        let model = &self.parts.expanded.model;
        if let Some(unknown) = model.unknowns.get(&(thing, field.to_owned())) {
            let ticks = *self.finished.values.get(unknown.0 as usize)?;
            let length = self.parts.expanded.ruler.length_of(ticks);
            return length.map(Interval::exact);
        }
        match self.scene().thing(thing).facts.get(field)? {
            Fact::Length(given) => Some(model.interval(*given)),
            Fact::Derived(formula) => self.derived(formula, thing),
            _ => None,
        }
    }

    /// The ends of a derived value.
    pub(super) fn derived(&self, expr: &Expr, thing: ThingId) -> Option<Interval> {
        let model = &self.parts.expanded.model;
        let ends = self.point().ends(expr, &model.scope_of(thing))?;
        let low = i64::try_from(ends.least.floor().to_integer()).ok()?;
        let high = i64::try_from(ends.most.ceil().to_integer()).ok()?;
        Interval::between(Length::from_nm(low), Length::from_nm(high))
    }

    /// The values of the plan.
    pub(super) fn point(&self) -> Point<'a> {
        self.finished.point(self.parts.expanded)
    }

    /// A column of the item that a choice of the album takes.
    pub(super) fn picked(&self, choice: &str, column: &str) -> Option<Interval> {
        let scene = self.scene();
        let key = (scene.album(), choice.to_owned());
        let item = self.finished.item(&self.parts.expanded.model, &key)?;
        scene.length(item.thing, column)
    }

    /// Whether the album has this part of its own.
    pub(super) fn is_wanted(&self, part: &str) -> bool {
        let scene = self.scene();
        let part = scene.thing(scene.album()).parts.get(part);
        part.is_some_and(|part| scene.flag(*part, "wanted"))
    }

    /// A size with what holds it.
    pub fn size(&self, thing: ThingId, field: &str) -> Option<SizePlan> {
        let value = self.length(thing, field)?;
        let scene = self.scene();
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
            leaf: scene.leaf_name(thing).to_owned(),
            value,
            held_by,
        })
    }

    pub(super) fn sentence(&self, line: &Line) -> Phrase {
        sentence::sentence(self.parts.style, self.parts.expanded, self.finished, line)
    }

    pub fn template_thing(&self) -> Option<ThingId> {
        let scene = self.scene();
        scene.part(scene.album(), "template")
    }

    pub(super) fn holes(&self) -> Holes {
        let scene = self.scene();
        let template = self.template_thing();
        let of = |field: &str| template.and_then(|t| self.length(t, field));
        let first = scene.leaves().first();
        let holes = scene.holes().iter();
        let heights = holes.filter_map(|hole| self.length(*hole, "height"));
        let pattern = scene::template(self.parts.style, self.parts.album).pattern;
        Holes {
            diameter: of("diameter").unwrap_or_default(),
            rim: of("rim").unwrap_or_default(),
            flanges: of("flanges").unwrap_or_default(),
            edge: first.and_then(|it| self.across(*it)).unwrap_or_default(),
            heights: heights.collect(),
            pitch: of("pitch"),
            pattern: pattern.map(|said| said.value),
        }
    }

    /// How far the holes of a leaf are from its left edge.
    pub(super) fn across(&self, leaf: ThingId) -> Option<Interval> {
        self.derived(self.parts.style.hole()?.across.as_ref()?, leaf)
    }

    /// Sizes of the template that the style has found.
    pub(super) fn template(&self) -> Vec<SizePlan> {
        let template = self.template_thing();
        let unknowns = self.parts.style.unknowns.iter();
        let names = unknowns.map(|unknown| &unknown.name);
        let of_it = names.filter(|name| name.0.len() == 2 && name.head() == "template");
        let sizes = of_it.unique();
        sizes
            .filter_map(|name| self.size(template?, name.last()))
            .collect()
    }

    /// What was found and stands nowhere else in the answer. What a photo's sides are multiples of is
    /// no size.
    pub(super) fn others(&self) -> Vec<SizePlan> {
        let scene = self.scene();
        let sides = ["width", "height"];
        let whole = |thing| sides.iter().all(|f| self.length(thing, f).is_some());
        let elsewhere = |thing: ThingId, field: &str| match scene.thing(thing).kind {
            "insert" | "photo" => true,
            "template" => true,
            "mat" => matches!(field, "width" | "height") && whole(thing),
            _ => false,
        };
        let sizes = self.parts.expanded.sizes.iter();
        let others = sizes.filter(|it| !elsewhere(it.thing, &it.field));
        others
            .filter_map(|it| self.size(it.thing, &it.field))
            .collect()
    }

    /// The names of sizes that nothing limits. Without anything that is pierced there is no template: its
    /// sizes are nobody's.
    pub(super) fn unlimited(&self) -> Vec<String> {
        let Parts {
            style,
            expanded,
            solution,
            ..
        } = self.parts;
        let scene = self.scene();
        let reads = |expr: &Expr| {
            let mut names = expr.paths().into_iter();
            names.any(|path| ["template", "hole"].contains(&scene.kind_of(path.head())))
        };
        let marks = style.album_frames().flat_map(|(_, frame)| &frame.marks);
        let mut at = marks.flat_map(|mark| [&mark.across, &mark.up]).flatten();
        let is_pierced = !scene.leaves().is_empty() || at.any(reads);
        let of_nobody = |id: &UnknownId| {
            let mut sizes = expanded.sizes.iter();
            let size = sizes.find(|it| it.unknown == *id);
            !is_pierced && size.is_some_and(|it| Some(it.thing) == self.template_thing())
        };
        let names = solution.unlimited.iter().filter(|id| !of_nobody(id));
        names
            .map(|id| expanded.program.unknowns[id.0 as usize].name.clone())
            .collect()
    }

    pub(super) fn rules(&self) -> Vec<RuleLine> {
        let step = self.parts.expanded.ruler.step();
        let Lines::All(lines, listed) = self.lines else {
            return Vec::new();
        };
        let lines = lines.iter().filter(|line| match listed {
            Listed::All => true,
            Listed::NotKept => !line.holds,
        });
        let lines = lines.map(|line| {
            let rule = &self.parts.style.rules[line.rule];
            RuleLine {
                name: rule.name.clone(),
                of: self.of(line.instance),
                wish: rule.wish,
                kept: line.holds,
                steps_left: line.steps_left(step),
                because: self.sentence(line),
                watch: rule.watch.as_ref().map(|words| {
                    let Parts {
                        style, expanded, ..
                    } = self.parts;
                    sentence::filled(style, expanded, self.finished, line, words)
                }),
                source: rule.source.clone(),
                give: rule.give,
            }
        });
        lines.collect()
    }

    /// Which leaf and thing a rule speaks of.
    pub(super) fn of(&self, instance: InstanceId) -> String {
        of(self.parts.expanded, instance)
    }

    pub(super) fn assumed(&self) -> Vec<Assumed> {
        let mut all = Vec::new();
        let style = self.parts.style;
        let read = crate::program::read(style, self.parts.expanded);
        // What a style says of its own tables comes after what every album is worked out from.
        let measured = style.quantities.iter().filter(|it| it.measure);
        let measured = measured.filter(|it| read.iter().any(|path| path.0 == [it.name.as_str()]));
        let measured = measured.map(|it| Assumption::Quantity(it.name.clone()));
        let measured: Vec<Assumption> = measured.collect();
        for note in self.scene().assumed.iter().chain(&measured) {
            let assumed = match note {
                Assumption::Quantity(name) => self.assumed_quantity(name, &read),
                Assumption::Bottom { leaf, flap } => Some(bottom(self.scene(), *leaf, *flap)),
                Assumption::Size { thing, field, why } => self.assumed_size(*thing, field, why),
            };
            all.extend(assumed.filter(|it| !all.contains(it)));
        }
        all
    }

    fn assumed_quantity(&self, name: &str, read: &[&Path]) -> Option<Assumed> {
        let style = self.parts.style;
        let reads = |is: &dyn Fn(&Path) -> bool| {
            let all = || read.iter().any(|path| path.0 == [name] || is(path));
            style.parts.is_empty() || all()
        };
        let leaves = self.parts.album.leaves.iter();
        let mut inserts = leaves.flat_map(|leaf| &leaf.inserts);
        let of_holes = vocabulary::OF_HOLES.contains(&name);
        let of_paper = vocabulary::BASE.iter().any(|(base, ..)| *base == name) && !of_holes;
        if of_holes && !reads(&|path| path.head() == "template")
            || of_paper
                && self.parts.album.leaves.is_empty()
                && !reads(&|path| path.last() == "caliper")
            || vocabulary::OF_PHOTOS.contains(&name) && inserts.all(|it| it.photo.is_none())
        {
            return None;
        }
        let quantity = style.quantity(name)?;
        let Some(Fact::Length(given)) = self.scene().quantities.get(name) else {
            return None;
        };
        let given = self.scene().given(*given);
        (given.origin == Origin::Assumed).then(|| Assumed {
            name: name.to_owned(),
            value: Phrase::default().length(given.value),
            why: quantity.why.clone(),
            title: None,
            of_bag: None,
        })
    }

    /// `None` if it was given or measured after all.
    fn assumed_size(&self, thing: ThingId, field: &str, why: &str) -> Option<Assumed> {
        let scene = self.scene();
        let Fact::Derived(_) = scene.thing(thing).facts.get(field)? else {
            return None;
        };
        let name = scene.size_name(thing, field);
        let style = self.parts.style;
        Some(Assumed {
            title: style.tells(&name).title.clone(),
            of_bag: style.names.iter().find_map(|rule| {
                let same = rule.name.to_string() == name;
                same.then(|| rule.rows.iter().find_map(BagMeasure::of_row))?
            }),
            name: of_leaf(scene, thing, &name),
            value: Phrase::default().length(self.length(thing, field)?),
            why: why.to_owned(),
        })
    }
}

/// A name with its leaf in front, if the album has several.
fn of_leaf(scene: &Scene, thing: ThingId, name: &str) -> String {
    match scene.leaves().len() {
        0 | 1 => name.to_owned(),
        _ => format!("{}: {name}", scene.leaf_name(thing)),
    }
}

/// The leaves whose bag counts as the worse of two, since its bottom is not known.
pub(crate) fn unknown_bottoms(scene: &Scene) -> Vec<Assumed> {
    let each = scene.assumed.iter();
    let each = each.filter_map(|note| match note {
        Assumption::Bottom { leaf, flap: false } => Some(bottom(scene, *leaf, false)),
        _ => None,
    });
    each.collect()
}

fn bottom(scene: &Scene, leaf: ThingId, flap: bool) -> Assumed {
    let (value, why) = if flap { FLAP } else { UNKNOWN_BOTTOM };
    Assumed {
        name: of_leaf(scene, leaf, "bag.bottom"),
        value: Phrase::words(value),
        why: why.to_owned(),
        title: None,
        of_bag: None,
    }
}

/// What a flat bag counts as if neither its bottom nor its gusset is known.
const UNKNOWN_BOTTOM: (&str, &str) = (
    "pinch or block",
    "it is not given: the worse of both is counted, a block bottom's layers at the holes and a pinch bottom's mouth, narrower by what is tucked in",
);

/// The same if its flap is known to make a pocket.
const FLAP: (&str, &str) = (
    "block",
    "it has a flap for its pocket: a block bottom's layers are counted at the holes",
);
