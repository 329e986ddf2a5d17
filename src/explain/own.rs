//! The measures that a maker gave, which a fix may change: how far, and at what price.
//!
//! Quantities that give or that the album sets, sizes that it gives or measured, the holes that it
//! places, and the pocket as its bag says it. A bag's own width, height and gusset are not among
//! them: another bag is another choice. May import every room up to `program`.

use super::deeds::Deed;
use crate::album::{Album, Value};
use crate::length::{Interval, Length};
use crate::program::InstanceId;
use crate::program::expand::Expanded;
use crate::scene::{BagMeasure, Fact, GivenId, Origin, ThingId};
use crate::style::Style;

/// What is changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum What {
    /// Less is accepted than a rule asks for.
    Rule(InstanceId),
    /// A quantity of the style, everywhere.
    Quantity(String),
    /// A size that the album gives or measured.
    Size { thing: ThingId, field: String },
    /// A measure of the template that the album gives.
    Template(&'static str),
    /// A bag's pocket, by its place in the supplies.
    Pocket { bag: usize, measure: BagMeasure },
    /// A quantity that the album sets is as the style has it.
    Usual(String),
    /// Something that no measure says is done otherwise.
    Deed(Deed),
    /// An insert is left out.
    LeaveOut(ThingId),
    /// A rule is not asked for at all. No fix does so: it shows which rules nothing mends.
    Aside(InstanceId),
}

/// No measure is made larger by more than this: 1 m.
const FARTHEST: Length = Length::from_nm(1_000 * Length::MM.nm());

/// What a ruler step of a change costs.
const CUTTING_DOWN: i64 = 1;
/// Of what is made already.
const CUTTING_AGAIN: i64 = 2;
/// A thing that is to be larger is made anew.
const LARGER: i64 = 3;
/// Of holes and pockets.
const MOVING: i64 = 2;
/// Of a quantity that the album sets, if the style has no price for it.
const SETTING: i64 = 3;

/// A measure that the maker gave.
pub(super) struct Own {
    pub what: What,
    /// The given values that it stands for.
    pub givens: Vec<GivenId>,
    /// The most ruler steps and the price of each, smaller and larger.
    pub smaller: (i64, i64),
    pub larger: (i64, i64),
}

/// All of them: quantities in the style's order, holes, then leaf by leaf.
pub(super) fn all(style: &Style, album: &Album, expanded: &Expanded) -> Vec<Own> {
    let mut list = List {
        style,
        album,
        expanded,
        found: Vec::new(),
    };
    list.quantities();
    list.template();
    list.of(None);
    for at in 0..album.leaves.len() {
        list.of(Some(at));
    }
    list.pockets();
    list.found
}

struct List<'a> {
    style: &'a Style,
    album: &'a Album,
    expanded: &'a Expanded,
    found: Vec<Own>,
}

impl List<'_> {
    /// `left` is what must be left of it (ruler steps); `prices` are those of smaller and larger.
    fn push(
        &mut self,
        what: What,
        givens: Vec<GivenId>,
        value: Interval,
        left: i64,
        prices: (i64, Option<i64>),
    ) {
        let ruler = self.expanded.ruler;
        let smaller = (ruler.ticks_down(value.least()) - left).max(0);
        let larger = prices.1.map_or(0, |_| ruler.ticks_down(FARTHEST));
        self.found.push(Own {
            what,
            givens,
            smaller: (smaller, prices.0),
            larger: (larger, prices.1.unwrap_or(prices.0)),
        });
    }

    fn quantities(&mut self) {
        for quantity in &self.style.quantities {
            let is_set = is_set(self.album, &quantity.name);
            let price = quantity.give.or(is_set.then_some(SETTING));
            let scene = &self.expanded.model.scene;
            let (Some(price), Some(Fact::Length(given))) =
                (price, scene.quantities.get(&quantity.name))
            else {
                continue;
            };
            // A measure is never nothing; a reveal or an ease may be.
            let left = i64::from(quantity.measure);
            let what = What::Quantity(quantity.name.clone());
            let value = scene.given(*given).value;
            self.push(what, vec![*given], value, left, (price, Some(price)));
        }
    }

    /// Holes that the album itself places, or assumes; what a published pattern or a punch says stays.
    fn template(&mut self) {
        let scene = &self.expanded.model.scene;
        let Some(template) = scene.part(scene.album(), "template") else {
            return;
        };
        let mut said = self.album.template.clone();
        if said.pattern.is_some() {
            (said.edge, said.pitch, said.diameter) = (None, None, None);
        }
        let punches = &self.album.supplies.punches;
        if let Some(punch) = said.punch.and_then(|at| punches.get(at)) {
            said.edge = said.edge.filter(|_| punch.edge.is_none());
            said.pitch = said.pitch.filter(|_| punch.pitch.is_none());
        }
        for field in ["edge", "first", "pitch", "diameter", "eyelet"] {
            let Some(Fact::Length(given)) = scene.thing(template).facts.get(field) else {
                continue;
            };
            let (given, value) = (*given, scene.given(*given).value);
            // Holes that are only assumed may be punched larger.
            let assumed = field == "diameter"
                && matches!(scene.given(given).origin, Origin::Style | Origin::Assumed);
            let left = match template_measure(&mut said, field) {
                Some(_) => 1,
                None if assumed => i64::MAX,
                None => continue,
            };
            let what = What::Template(field);
            self.push(what, vec![given], value, left, (MOVING, Some(MOVING)));
        }
    }

    /// Sizes of a leaf, or of the parts of the album itself.
    fn of(&mut self, at: Option<usize>) {
        let scene = &self.expanded.model.scene;
        let leaf = at.map(|at| scene.leaves()[at]);
        let things: Vec<ThingId> = match leaf {
            Some(leaf) => {
                let things = (0..scene.things.len() as u32).map(ThingId);
                things.filter(|t| scene.leaf_of(*t) == Some(leaf)).collect()
            }
            None => scene.thing(scene.album()).parts.values().copied().collect(),
        };
        for thing in things {
            let label = &self.expanded.model.scene.thing(thing).label;
            let fields: Vec<String> = match self.expanded.model.scene.thing(thing).kind {
                "insert" => ["width", "height", "show"].map(str::to_owned).to_vec(),
                "photo" | "mat" => ["width", "height"].map(str::to_owned).to_vec(),
                "bag" => Vec::new(),
                _ => {
                    let names = self.style.names.iter();
                    let names = names.filter(|rule| rule.name.head() == label);
                    names.map(|rule| rule.name.last().to_owned()).collect()
                }
            };
            for field in &fields {
                self.size(at, thing, field);
            }
        }
    }

    fn size(&mut self, at: Option<usize>, thing: ThingId, field: &str) {
        let scene = &self.expanded.model.scene;
        let Some(Fact::Length(given)) = scene.thing(thing).facts.get(field) else {
            return;
        };
        let (id, given) = (*given, scene.given(*given));
        let own = &self.album.own;
        let leaf = at.map(|at| &self.album.leaves[at]);
        let (said, measured) = match leaf {
            Some(leaf) => (&leaf.given, &leaf.measured),
            None => (&own.given, &own.measured),
        };
        let name = scene.size_name(thing, field);
        let is = |all: &[(crate::text::Said<String>, Interval)]| {
            all.iter().any(|(n, _)| n.value == name)
        };
        let mut inserts = leaf.into_iter().flat_map(|leaf| &leaf.inserts);
        let insert = inserts
            .find(|i| scene.thing(thing).kind == "insert" && i.name == scene.thing(thing).label);
        let prices = match given.origin {
            // A bag is as large as it is.
            Origin::Measured if scene.thing(thing).kind == "leaf" => return,
            Origin::Measured if is(measured) => (CUTTING_AGAIN, Some(LARGER)),
            Origin::Said if is(said) => (CUTTING_DOWN, Some(LARGER)),
            Origin::Said => match insert {
                None => return,
                Some(insert) => {
                    let said = match field {
                        "width" => insert.width.is_some(),
                        "height" => insert.height.is_some(),
                        _ => true,
                    };
                    // A card that is bought can be cut down only.
                    (CUTTING_DOWN, said.then_some(LARGER))
                }
            },
            _ => return,
        };
        let left = i64::from(field != "show");
        let what = What::Size {
            thing,
            field: field.to_owned(),
        };
        let value = given.value;
        self.push(what, vec![id], value, left, prices);
    }

    /// A bag's pocket is the same in all leaves that are made of it.
    fn pockets(&mut self) {
        for (bag, said) in self.album.supplies.bags.iter().enumerate() {
            for measure in [BagMeasure::PocketEdge, BagMeasure::PocketDepth] {
                let value = measure.of(said);
                let scene = &self.expanded.model.scene;
                let of_it = scene.of_bags.iter().filter(|it| {
                    it.measure == measure
                        && self.album.leaves[it.leaf].bag == bag
                        && is_still(self.expanded, it.leaf, it.given)
                });
                let givens: Vec<GivenId> = of_it.map(|it| it.given).collect();
                if let (Some(value), false) = (value, givens.is_empty()) {
                    let what = What::Pocket { bag, measure };
                    self.push(what, givens, value, 1, (MOVING, Some(MOVING)));
                }
            }
        }
    }
}

/// Whether a leaf has this measure of its bag, and not one that was measured on it.
fn is_still(expanded: &Expanded, leaf: usize, given: GivenId) -> bool {
    let scene = &expanded.model.scene;
    let Some(leaf) = scene.leaves().get(leaf) else {
        return false;
    };
    let parts = scene.thing(*leaf).parts.values();
    let mut facts = parts
        .map(|part| scene.thing(*part))
        .filter(|part| part.kind != "bag")
        .flat_map(|part| part.facts.values());
    facts.any(|fact| matches!(fact, Fact::Length(id) if *id == given))
}

/// Whether the album sets a quantity.
pub(super) fn is_set(album: &Album, name: &str) -> bool {
    album.set.iter().any(|(n, _)| n.value == name)
}

/// A measure of the holes, as the album gives it.
pub(super) fn template_measure<'a>(
    template: &'a mut crate::album::Template,
    field: &str,
) -> &'a mut Option<Interval> {
    match field {
        "edge" => &mut template.edge,
        "first" => &mut template.first,
        "pitch" => &mut template.pitch,
        "diameter" => &mut template.diameter,
        _ => &mut template.eyelet,
    }
}

/// Quantities that the album sets to a number of their own, with what the style has instead.
pub(super) fn set_otherwise(style: &Style, album: &Album) -> Vec<(String, Value, Value)> {
    let set = album.set.iter().filter_map(|(name, said)| {
        let usual = style.quantity(&name.value)?.usual(album.ruler);
        (usual != said.value).then(|| (name.value.clone(), said.value, usual))
    });
    set.collect()
}
