//! The given measures of an album, and the album with one of them changed.
//!
//! A measure is changed where it was said, so that everything that reads it follows: a bag's width
//! changes every leaf made of that bag. May import `length`, `text`, `supplies`, `album`, `style`.

use crate::album::{Album, Insert, Template, Value};
use crate::length::{Interval, Length, Ruler};
use crate::scene::BagMeasure;
use crate::style::Style;
use crate::style::parts::NameRule;
use crate::supplies::{Bag, Card, Paper, Punch, Ring};
use crate::text::Said;
use std::collections::BTreeSet;

/// A measure that an album, its supplies or its style says.
#[derive(Clone, Debug)]
pub(super) struct Measure {
    /// As the maker says it: `leaf.width`, `width of small print`, `ease`.
    pub name: String,
    /// The leaf whose measure it is; empty for supplies, quantities and the template.
    pub leaf: String,
    pub value: Interval,
    /// The step that it is changed by: of the ruler, or finer for what is only a layer thick, and for an
    /// allowance of less than two steps.
    pub step: Length,
    /// It tells of a thing that the maker has, a punch or a paper: it takes another of these to change it.
    pub of_a_thing: bool,
    /// What its style says it costs to make it smaller.
    pub give: i64,
    at: At,
}

#[derive(Clone, Debug)]
enum At {
    Quantity {
        name: String,
        /// What must be left of it.
        least: Length,
    },
    Bag(usize, Side<Bag>),
    Paper(usize, Side<Paper>),
    Print(usize, Side<Card>),
    Card(usize, Side<Card>),
    Ring(usize, Side<Ring>),
    Punch(usize, Side<Punch>),
    Template(Side<Template>),
    Insert(usize, usize, Side<Insert>),
    Given(usize, usize),
    Measured(usize, usize),
}

/// Where in a thing a measure stands; `None` if it was not said.
type Side<T> = fn(&mut T) -> Option<&mut Interval>;

/// Quantities that are the thickness of one layer.
const THICKNESSES: [&str; 4] = [
    "bag_caliper",
    "paper_caliper",
    "card_caliper",
    "print_caliper",
];

/// A bag's measures, and whether each is only layers thick.
const BAG: [(BagMeasure, Side<Bag>, bool); 10] = [
    (BagMeasure::Width, |b| Some(&mut b.width), false),
    (BagMeasure::Folded, |b| b.folded.as_mut(), false),
    (BagMeasure::Height, |b| Some(&mut b.height), false),
    (BagMeasure::Gusset, |b| b.gusset.as_mut(), false),
    (
        BagMeasure::PocketEdge,
        |b| b.pocket.as_mut().map(|p| &mut p.edge),
        false,
    ),
    (
        BagMeasure::PocketDepth,
        |b| b.pocket.as_mut().and_then(|p| p.depth.as_mut()),
        false,
    ),
    (BagMeasure::FrontDepth, |b| b.front_depth.as_mut(), false),
    (BagMeasure::BackDepth, |b| b.back_depth.as_mut(), false),
    (BagMeasure::Caliper, |b| b.caliper.as_mut(), true),
    (BagMeasure::Squeezed, |b| b.squeezed.as_mut(), true),
];

const PAPER: [(&str, Side<Paper>, bool); 3] = [
    ("width", |p| Some(&mut p.width), false),
    ("height", |p| Some(&mut p.height), false),
    ("thickness", |p| p.caliper.as_mut(), true),
];

const CARD: [(&str, Side<Card>, bool); 3] = [
    ("width", |c| Some(&mut c.width), false),
    ("height", |c| Some(&mut c.height), false),
    ("thickness", |c| c.caliper.as_mut(), true),
];

const RING: [(&str, Side<Ring>, bool); 2] = [
    ("inside", |r| Some(&mut r.inside), false),
    ("wire", |r| r.wire.as_mut(), true),
];

const PUNCH: [(&str, Side<Punch>, bool); 5] = [
    ("diameter", |p| p.diameter.as_mut(), false),
    ("reach", |p| p.reach.as_mut(), false),
    ("takes", |p| p.takes.as_mut(), true),
    ("edge", |p| p.edge.as_mut(), false),
    ("pitch", |p| p.pitch.as_mut(), false),
];

const TEMPLATE: [(&str, Side<Template>); 5] = [
    ("template.diameter", |t| t.diameter.as_mut()),
    ("template.edge", |t| t.edge.as_mut()),
    ("template.first", |t| t.first.as_mut()),
    ("template.pitch", |t| t.pitch.as_mut()),
    ("template.eyelet", |t| t.eyelet.as_mut()),
];

const INSERT: [(&str, Side<Insert>, bool); 4] = [
    ("width", |i| said(&mut i.width), false),
    ("height", |i| said(&mut i.height), false),
    ("show", |i| said(&mut i.show), false),
    ("thickness", |i| i.caliper.as_mut(), true),
];

fn said(size: &mut Option<Said<Interval>>) -> Option<&mut Interval> {
    Some(&mut size.as_mut()?.value)
}

/// The step by which a thickness is changed.
fn thin_step(ruler: Ruler) -> Length {
    if ruler.is_metric() {
        Ruler::FINEST
    } else {
        Length::from_nm(Length::INCH.nm() / 1000)
    }
}

/// Every measure of an album that is a length: those of the leaf that is asked about first, then
/// other leaves', supplies', the template's, the style's quantities. Measures of supplies that the
/// album does not use are left out.
pub(super) fn all(style: &Style, album: &Album, leaf: &str) -> Vec<Measure> {
    let mut list = List {
        ruler: album.ruler,
        // What stands in the album is only looked at, in a copy.
        album: album.clone(),
        found: Vec::new(),
    };
    let template = &mut list.album.template;
    if template.pattern.is_some() {
        // What it says stays, as long as it does.
        (template.edge, template.pitch, template.diameter) = (None, None, None);
    }
    let first = album.leaves.iter().position(|l| l.name == leaf);
    let others = (0..album.leaves.len()).filter(|n| Some(*n) != first);
    let leaves: Vec<usize> = first.into_iter().chain(others).collect();
    let mut bags = BTreeSet::new();
    for &at in &leaves {
        if bags.insert(album.leaves[at].bag) {
            list.bag(album.leaves[at].bag, &album.leaves[at].name, style);
        }
        list.leaf(at);
    }
    list.supplies();
    for (name, side) in TEMPLATE {
        let value = side(&mut list.album.template).copied();
        list.push(name.to_owned(), "", value, false, At::Template(side));
    }
    list.quantities(style);
    list.found
}

struct List {
    ruler: Ruler,
    album: Album,
    found: Vec<Measure>,
}

impl List {
    fn push(&mut self, name: String, leaf: &str, value: Option<Interval>, thin: bool, at: At) {
        let Some(value) = value else { return };
        let step = if thin {
            thin_step(self.ruler)
        } else {
            self.ruler.step()
        };
        self.found.push(Measure {
            name,
            leaf: leaf.to_owned(),
            value,
            step,
            of_a_thing: thin,
            give: 0,
            at,
        });
    }

    fn bag(&mut self, at: usize, leaf: &str, style: &Style) {
        // How high a bag is that is folded up comes last: it is no size of the leaf.
        let folded = self.album.supplies.bags[at].folded.is_some();
        let last = |it: &&(BagMeasure, Side<Bag>, bool)| folded && it.0 == BagMeasure::Height;
        let order = BAG.iter().filter(|it| !last(it));
        for &(measure, side, thin) in order.chain(BAG.iter().filter(last)) {
            let bag = &mut self.album.supplies.bags[at];
            let value = side(bag).copied();
            let (name, leaf) = match measure {
                BagMeasure::Caliper => (format!("thickness of {}", bag.name), ""),
                BagMeasure::Squeezed => (format!("squeezed thickness of {}", bag.name), ""),
                _ => (called(style, measure, folded), leaf),
            };
            self.push(name, leaf, value, thin, At::Bag(at, side));
        }
    }

    fn leaf(&mut self, at: usize) {
        let name = self.album.leaves[at].name.clone();
        for n in 0..self.album.leaves[at].inserts.len() {
            for (field, side, thin) in INSERT {
                let insert = &mut self.album.leaves[at].inserts[n];
                let value = side(insert).copied();
                let said = if thin {
                    format!("{field} of {}", insert.name)
                } else {
                    format!("{}.{field}", insert.name)
                };
                self.push(said, &name, value, thin, At::Insert(at, n, side));
            }
        }
        let leaf = &self.album.leaves[at];
        let given = (0..).map(|n| At::Given(at, n)).zip(&leaf.given);
        let measured = (0..).map(|n| At::Measured(at, n)).zip(&leaf.measured);
        let sizes = given.chain(measured);
        let sizes: Vec<_> = sizes.map(|(at, size)| (at, size.clone())).collect();
        for (at, (said, value)) in sizes {
            let thin = said.value.contains("thickness");
            self.push(said.value, &name, Some(value), thin, at);
        }
    }

    fn supplies(&mut self) {
        let used = Used::of(&self.album);
        macro_rules! each {
            ($($used:expr, $list:ident, $sides:ident, $at:path;)*) => {$(
                for at in $used {
                    for (field, side, thin) in $sides {
                        let it = &mut self.album.supplies.$list[at];
                        let (value, name) = (side(it).copied(), format!("{field} of {}", it.name));
                        self.push(name, "", value, thin, $at(at, side));
                    }
                }
            )*};
        }
        each! {
            used.prints, prints, CARD, At::Print;
            used.cards, cards, CARD, At::Card;
            used.papers, papers, PAPER, At::Paper;
            used.rings, rings, RING, At::Ring;
            used.punches, punches, PUNCH, At::Punch;
        }
    }

    fn quantities(&mut self, style: &Style) {
        for quantity in &style.quantities {
            let mut set = self.album.set.iter();
            let value = set.find(|(n, _)| n.value == quantity.name);
            let value = value.map_or(quantity.usual(self.ruler), |(_, said)| said.value);
            let Value::Length(value) = value else {
                continue;
            };
            let thin = THICKNESSES.contains(&quantity.name.as_str());
            let least = quantity.least(self.ruler).unwrap_or(Length::ZERO);
            let name = quantity.name.clone();
            let at = At::Quantity {
                name: name.clone(),
                least,
            };
            self.push(name, "", Some(value), thin, at);
            let step = self.ruler.step();
            let pushed = self.found.last_mut().filter(|_| !thin);
            if let Some(it) = pushed {
                it.of_a_thing = quantity.measure;
                it.give = quantity.give.unwrap_or(0);
                if !quantity.measure && value.least().nm() < 2 * step.nm() && step.nm() % 2 == 0 {
                    it.step = Length::from_nm(step.nm() / 2);
                }
            }
        }
    }
}

/// Places of the supplies that an album uses.
#[derive(Default)]
struct Used {
    prints: BTreeSet<usize>,
    cards: BTreeSet<usize>,
    papers: BTreeSet<usize>,
    rings: BTreeSet<usize>,
    punches: BTreeSet<usize>,
}

impl Used {
    fn of(album: &Album) -> Used {
        let mut used = Used::default();
        for leaf in &album.leaves {
            for (_, paper) in &leaf.parts {
                if let crate::album::PartPaper::Papers(papers) = paper {
                    used.papers.extend(papers);
                }
            }
            for insert in &leaf.inserts {
                used.papers.extend(&insert.papers);
                used.cards.extend(insert.card);
                let photo = insert.photo.iter();
                used.prints.extend(photo.flat_map(|p| p.prints.iter()));
            }
        }
        used.punches.extend(album.template.punch);
        match &album.ring {
            Some(said) => used.rings.extend([said.value]),
            None => used.rings.extend(0..album.supplies.rings.len()),
        }
        used
    }
}

impl Measure {
    /// The measure, longer by a number of its steps (shorter where negative); `None` if no such
    /// thing can be.
    fn at(&self, steps: i64) -> Option<Interval> {
        let least = match &self.at {
            At::Quantity { least, .. } => *least,
            At::Insert(..) if self.name.ends_with(".show") => Length::ZERO,
            _ => Length::from_nm(1),
        };
        let value = self.value.longer(self.step.checked_mul(steps)?)?;
        (value.least() >= least).then_some(value)
    }

    /// How many steps it can go in a direction, up to `most`.
    pub(super) fn reaches(&self, more: bool, most: i64) -> i64 {
        let can = |steps: i64| self.at(if more { steps } else { -steps }).is_some();
        (1..=most).take_while(|&steps| can(steps)).count() as i64
    }

    /// Whether it is only tried down to half of what the style asks for.
    pub(super) fn is_halved(&self) -> bool {
        matches!(&self.at, At::Quantity { least, .. } if *least > Length::from_nm(1))
    }

    /// The album with this measure longer by a number of its steps, shorter where negative; nothing
    /// where no such thing can be.
    pub(super) fn changed(&self, album: &Album, steps: i64) -> Option<Album> {
        let value = self.at(steps)?;
        let mut album = album.clone();
        *self.slot(&mut album)? = value;
        // A pattern that is not kept to is none.
        if matches!(self.at, At::Template(_)) {
            album.template.pattern = None;
        }
        Some(album)
    }

    fn slot<'a>(&self, album: &'a mut Album) -> Option<&'a mut Interval> {
        let supplies = &mut album.supplies;
        match &self.at {
            At::Quantity { name, .. } => {
                let found = album.set.iter().position(|(n, _)| n.value == *name);
                let at = found.unwrap_or_else(|| {
                    let value = Said::nowhere(Value::Length(self.value));
                    album.set.push((Said::nowhere(name.clone()), value));
                    album.set.len() - 1
                });
                match &mut album.set.get_mut(at)?.1.value {
                    Value::Length(value) => Some(value),
                    Value::Ratio(..) => None,
                }
            }
            At::Bag(at, side) => side(supplies.bags.get_mut(*at)?),
            At::Paper(at, side) => side(supplies.papers.get_mut(*at)?),
            At::Print(at, side) => side(supplies.prints.get_mut(*at)?),
            At::Card(at, side) => side(supplies.cards.get_mut(*at)?),
            At::Ring(at, side) => side(supplies.rings.get_mut(*at)?),
            At::Punch(at, side) => side(supplies.punches.get_mut(*at)?),
            At::Template(side) => side(&mut album.template),
            At::Insert(leaf, n, side) => side(album.leaves.get_mut(*leaf)?.inserts.get_mut(*n)?),
            At::Given(leaf, n) => Some(&mut album.leaves.get_mut(*leaf)?.given.get_mut(*n)?.1),
            At::Measured(leaf, n) => {
                Some(&mut album.leaves.get_mut(*leaf)?.measured.get_mut(*n)?.1)
            }
        }
    }
}

/// What a style calls a measure of a bag: the first of its names that is only this measure.
fn called(style: &Style, measure: BagMeasure, folded: bool) -> String {
    // Of a bag that is folded up the name for its height is that of the leaf.
    let first = |rule: &&NameRule| {
        let mut rows = rule.rows.iter().filter_map(BagMeasure::of_row);
        let mut known = rows.find(|it| folded || *it != BagMeasure::Folded);
        known.take() == Some(measure)
    };
    let rule = style.names.iter().find(first);
    let frame = style.leaf_name().unwrap_or("leaf");
    let is_usual = |side: &str| style.name_rule(frame, side).is_none();
    match (rule, measure) {
        (Some(rule), _) => rule.name.to_string(),
        // What follows from it and more is another size.
        (None, BagMeasure::Width) if is_usual("width") => format!("{frame}.width"),
        (None, BagMeasure::Folded) if is_usual("height") => format!("{frame}.height"),
        (None, BagMeasure::Height) if !folded && is_usual("height") => format!("{frame}.height"),
        (None, _) => format!("bag.{}", measure.name()),
    }
}
