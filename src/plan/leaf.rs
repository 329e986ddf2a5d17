//! One kind of leaf in a plan: its mats, its inserts, how thick it is and where it is punched.

use super::view::View;
use super::{SizePlan, capacity};
use crate::album;
use crate::length::{Interval, Length};
use crate::program::model::Scope;
use crate::scene::stack;
use crate::scene::{Fact, Scene, ThingId};
use crate::style::parts::{Frame, Kind, Part};
use crate::supplies::Supplies;

/// A kind of leaf, worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeafPlan {
    pub name: String,
    pub count: i64,
    /// Its plain back is outside; it is punched at its other side edge.
    pub turned: bool,
    pub bag: String,
    pub width: Interval,
    pub height: Interval,
    /// Mats and band: label, papers if they are decided, width, height.
    pub parts: Vec<PartPlan>,
    pub inserts: Vec<InsertPlan>,
    /// In the middle, inserts included.
    pub thickness: Interval,
    pub thickness_at_holes: Interval,
    /// Layers of bag at each hole, lowest first.
    pub layers_at_holes: Vec<i64>,
    /// Layers that the thickness at the holes counts with: the most that a hole can meet, unless the
    /// holes are given. `None` if that thickness was measured.
    pub layers_counted: Option<i64>,
    /// It is one layer of paper, not a bag.
    pub single: bool,
    /// Its bag may have been measured the other way round.
    pub lies: bool,
    /// Thickest stack that the punch takes, where that is known.
    pub punch_takes: Option<Interval>,
    /// How many such leaves, and no others, the rules of capacity allow; `None` if there are none.
    pub capacity: Option<i64>,
}

/// A mat or a band of a leaf, or a part of the album itself that is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartPlan {
    pub label: String,
    /// Pieces alike in one leaf, or in the album.
    pub count: i64,
    /// Glued all over; else at its ends only.
    pub flat: bool,
    pub paper: Option<String>,
    pub width: SizePlan,
    pub height: SizePlan,
    /// How far it runs under something else.
    pub runs_under: Option<Interval>,
    /// Twice what its outline leaves out of its width times its height (square nanometres).
    pub twice_off: i128,
}

/// Something tucked in or glued on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InsertPlan {
    pub name: String,
    pub paper: Option<String>,
    /// Pieces of it in one leaf.
    pub count: i64,
    pub width: SizePlan,
    pub height: SizePlan,
    /// What shows beyond the edge of its slot: from least to most (nanometres), negative
    /// where it stays below; `None` if it is glued on.
    pub shows: Option<(i64, i64)>,
    pub grip: album::Grip,
    /// The pull tab that is glued to it, if its style gives the size of one.
    pub tab: Option<TabPlan>,
    pub photo: Option<PhotoPlan>,
    pub thickness: Interval,
}

/// A pull tab, a piece of paper of its own: what is glued on, what the slot hides and what is seen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TabPlan {
    pub width: SizePlan,
    pub height: SizePlan,
}

impl TabPlan {
    /// What the tab of a card is called: `finds pull tab`.
    pub fn of(&self, card: &str) -> String {
        format!("{card} pull tab")
    }
}

/// A photo on an insert.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoPlan {
    pub width: SizePlan,
    pub height: SizePlan,
    /// The print that it is trimmed from, its size as it lies, and whether it is turned.
    pub print: Option<PrintPlan>,
    /// Border at each side, border above, and caption strip below.
    pub border_side: Interval,
    pub border_above: Interval,
    pub border_below: Interval,
}

/// What comes off a print.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrintPlan {
    pub name: String,
    pub turned: bool,
    pub width: Interval,
    pub height: Interval,
    /// Off the left, the right, and one end.
    pub off_left: Length,
    pub off_right: Length,
    pub off_end: Length,
}

impl PrintPlan {
    /// Nothing comes off it.
    pub fn is_whole(&self) -> bool {
        let off = [self.off_left, self.off_right, self.off_end];
        off.iter().all(|off| *off == Length::ZERO)
    }
}

/// Mats and band of a leaf, then the parts that only the style speaks of.
pub(crate) fn mats(scene: &Scene, leaf: ThingId) -> impl Iterator<Item = ThingId> {
    let mats = scene.list(leaf, "mats");
    let own = scene.thing(leaf).parts.values();
    let own = own.filter(|p| scene.thing(**p).kind == "mat" && !mats.contains(p));
    mats.iter().chain(own).copied()
}

pub(super) fn plan(view: View<'_>, id: ThingId, said: &album::Leaf) -> LeafPlan {
    let scene = view.scene();
    let of = |thing: ThingId, field: &str| view.length(thing, field);
    let supplies = &view.parts.album.supplies;
    let bag = &supplies.bags[said.bag];
    let style = view.parts.style;
    let parts = mats(scene, id);
    let parts = parts.filter_map(|part| {
        let rule = style.on_leaf_called(&scene.thing(part).label);
        piece(view, (Some(id), part), &said.parts, rule)
    });
    let parts = parts.collect();
    let inserts = scene.list(id, "inserts").iter().zip(&said.inserts);
    let punch = scene.part(scene.album(), "punch");
    LeafPlan {
        name: said.name.clone(),
        count: said.count,
        turned: said.turned,
        bag: bag.name.clone(),
        width: of(id, "width").unwrap_or_default(),
        height: of(id, "height").unwrap_or_default(),
        parts,
        inserts: inserts
            .filter_map(|(it, text)| insert(view, *it, text))
            .collect(),
        thickness: of(id, "thickness").unwrap_or_default(),
        thickness_at_holes: of(id, "thickness_at_holes").unwrap_or_default(),
        layers_at_holes: Vec::new(),
        layers_counted: Some(scene.count(id, "layers_counted")).filter(|n| *n > 0),
        single: (scene.plies.get(&id)).is_some_and(|plies| plies.in_middle(scene) < 2),
        lies: bag.gusset.is_some() && bag.folded.is_none() && bag.width.least() > bag.height.most(),
        punch_takes: punch.and_then(|p| of(p, "takes")),
        capacity: capacity::leaves(view, id),
    }
}

/// The parts of the album itself that are cut.
pub(super) fn of_album(view: View<'_>) -> Vec<PartPlan> {
    let (scene, style) = (view.scene(), view.parts.style);
    let parts = scene.list(scene.album(), "mats").iter();
    let parts = parts.filter_map(|part| {
        let rule = style.of_album_called(&scene.thing(*part).label).next();
        piece(view, (None, *part), &view.parts.album.own.parts, rule)
    });
    parts.collect()
}

/// The papers that an album names for a part, as they are read.
pub(super) fn paper(
    view: View<'_>,
    said: &[(String, album::PartPaper)],
    name: &str,
) -> Option<String> {
    let paper = said.iter().find(|(part, _)| part == name);
    paper.and_then(|(_, paper)| match paper {
        album::PartPaper::Papers(papers) => named(&view.parts.album.supplies, papers),
        _ => None,
    })
}

/// A piece of paper, if both its sides are known; `rule` is what its style says of it.
fn piece(
    view: View<'_>,
    (leaf, part): (Option<ThingId>, ThingId),
    said: &[(String, album::PartPaper)],
    rule: Option<&Part>,
) -> Option<PartPlan> {
    let label = view.scene().thing(part).label.clone();
    let paper = paper(view, said, &label);
    let count = Some(count(view, leaf, &label)).filter(|it| *it > 0)?;
    Some(PartPlan {
        flat: !rule.is_some_and(|part| matches!(part.kind, Kind::Paper { flat: false, .. })),
        count,
        label,
        paper,
        width: view.size(part, "width")?,
        height: view.size(part, "height")?,
        runs_under: None,
        twice_off: 0,
    })
}

/// How many pieces of that name there are: in a leaf, or in the album. What no frame shows is there once, and
/// none of it if its frame is there 0 times.
pub(crate) fn count(view: View<'_>, leaf: Option<ThingId>, name: &str) -> i64 {
    let model = &view.parts.expanded.model;
    let (mut count, mut shown) = (0_i64, false);
    for (part, frame) in view.parts.style.frames() {
        if frame.from.is_some() != leaf.is_some() {
            continue;
        }
        let scope = Scope::of(&part.name, leaf);
        let there = |it: &&Part| it.name == name && model.all_hold(&it.when, &scope);
        // A frame that is cut itself is one of them.
        let on_it = frame.on.iter().filter(there).count();
        let itself = leaf.is_none() && there(&part);
        let here = on_it as i64 + i64::from(itself);
        if here > 0 {
            shown = true;
            count = count.saturating_add(here.saturating_mul(alike(view, frame, &scope)));
        }
    }
    if shown { count } else { 1 }
}

/// How many of a frame there are.
pub(crate) fn alike(view: View<'_>, frame: &Frame, scope: &Scope) -> i64 {
    let count = frame.count.as_ref();
    let count = count.and_then(|count| view.point().ends(count, scope));
    let count = count.and_then(|it| i64::try_from(it.least.to_integer()).ok());
    count.unwrap_or(1).max(0)
}

/// The papers that a piece may be cut from, as they are read; `None` if none is named.
fn named(supplies: &Supplies, papers: &[usize]) -> Option<String> {
    let names = papers.iter().filter_map(|p| supplies.papers.get(*p));
    let names: Vec<&str> = names.map(|p| p.name.as_str()).collect();
    (!names.is_empty()).then(|| names.join(" or "))
}

/// What the style leaves above a photo on its insert.
fn above(view: View<'_>) -> Option<Interval> {
    let scene = view.scene();
    let mut unknowns = view.parts.style.unknowns.iter();
    let (name, _) = unknowns.find_map(|unknown| unknown.above.as_ref())?;
    match scene.quantities.get(name.head())? {
        Fact::Length(given) => Some(scene.given(*given).value),
        _ => None,
    }
}

fn insert(view: View<'_>, id: ThingId, said: &album::Insert) -> Option<InsertPlan> {
    let scene = view.scene();
    let width = view.size(id, "width")?;
    let height = view.size(id, "height")?;
    let supplies = &view.parts.album.supplies;
    let mut photos = scene.list(id, "photos").iter();
    let photo = photos.find_map(|p| photo(view, *p, &width, &height));
    Some(InsertPlan {
        name: said.name.clone(),
        paper: named(supplies, &said.papers),
        count: said.count,
        shows: None,
        grip: said.grip,
        tab: None,
        photo,
        thickness: view.length(id, "thickness").unwrap_or_default(),
        width,
        height,
    })
}

pub(crate) fn photo(
    view: View<'_>,
    id: ThingId,
    mat_width: &SizePlan,
    mat_height: &SizePlan,
) -> Option<PhotoPlan> {
    let width = view.size(id, "width")?;
    let height = view.size(id, "height")?;
    let key = (id, "print".to_owned());
    let item = view.finished.item(&view.parts.expanded.model, &key);
    let print = item.and_then(|item| print(view, item, &width, &height));
    let above = above(view).unwrap_or_default();
    let less = |a: Interval, b: Interval| {
        let low = (a.least().nm() - b.most().nm()).max(0);
        let high = (a.most().nm() - b.least().nm()).max(low);
        Interval::between(Length::from_nm(low), Length::from_nm(high))
    };
    let sides = less(mat_width.value, width.value)?;
    let below = less(mat_height.value, stack::plus(height.value, above)?)?;
    Some(PhotoPlan {
        border_side: stack::share(sides, 1, 2)?,
        border_above: above,
        border_below: below,
        width,
        height,
        print,
    })
}

fn print(
    view: View<'_>,
    item: crate::program::model::Item,
    width: &SizePlan,
    height: &SizePlan,
) -> Option<PrintPlan> {
    let model = &view.parts.expanded.model;
    let side = |column: &str| match model.column(item, column)? {
        Fact::Length(given) => Some(model.interval(*given)),
        _ => None,
    };
    let (print_width, print_height) = (side("width")?, side("height")?);
    let off = (print_width.most().nm() - width.value.most().nm()).max(0);
    // Half off each side where the ruler allows it, else one ruler step more off the right.
    let ruler = view.parts.expanded.ruler;
    let half = Length::from_nm(off / 2);
    let left = match ruler.length_of(ruler.ticks_down(half)) {
        Some(left) if off % 2 != 0 || !ruler.holds(half) => left.nm(),
        _ => off / 2,
    };
    Some(PrintPlan {
        name: model.scene.thing(item.thing).label.clone(),
        turned: item.turned,
        width: print_width,
        height: print_height,
        off_left: Length::from_nm(left),
        off_right: Length::from_nm(off - left),
        off_end: Length::from_nm((print_height.most().nm() - height.value.most().nm()).max(0)),
    })
}
