//! One kind of leaf: its bag, its parts, inserts and holes.

use super::maker::{Maker, Naming, Saying};
use super::remeasure::narrow_mats;
use super::slots::NO_SECTION;
use super::thickness::{OFF_HOLES, OFF_MIDDLE};
use super::*;
use crate::album::{Insert, PartPaper};
use crate::style::parts::{Kind, Part, Thickens};
use crate::supplies::{Bag, Bottom, Paper};
use itertools::Itertools;

/// What stands in for a thickness that nobody gave: of a mat's paper, and of a card.
const PAPER: &str = "paper_caliper";
const CARD: &str = "card_caliper";

impl Maker<'_> {
    pub(super) fn leaf(&mut self, index: usize) -> ThingId {
        let album = self.album;
        let leaf = &album.leaves[index];
        let bag = &album.supplies.bags[leaf.bag];
        let label = self.style.leaf_name().unwrap_or("leaf");
        let id = self.thing("leaf", label, None, Some(leaf.place));
        self.naming = Naming::default();
        self.fact(id, "name", Fact::Text(leaf.name.clone()));
        self.number(id, "count", leaf.count);
        let before = album.leaves[..index].iter().map(|leaf| leaf.count);
        self.number(id, "before", before.fold(0, i64::saturating_add));
        self.fact(id, "turned", Fact::Flag(leaf.turned));
        self.bag(index, id, bag);
        self.own_names(id, leaf.into());
        self.usual_sides(index, id);
        for name in self.style.papers_of_leaf() {
            self.paper(id, leaf.into(), name);
        }
        let mats = self.wanted_papers(id);
        let slots = self.slots(id, leaf);
        let inserts: Vec<(ThingId, Option<ThingId>)> = leaf
            .inserts
            .iter()
            .map(|it| self.insert(id, it, (&slots, leaf.exchanged)))
            .collect();
        self.names(id, leaf.into());
        self.depths(&slots);
        let holes = self.holes(id);
        let opens = |slot: ThingId| self.style.opens(self.model.scene.text(slot, "name"));
        let on_it = |((id, slot), said): (&(ThingId, Option<ThingId>), &Insert)| {
            let closed = slot.is_some_and(|slot| !opens(slot));
            closed.then_some((*id, said.count))
        };
        let glued = inserts.iter().zip(&leaf.inserts).filter_map(on_it);
        let (glued, pieces): (Vec<ThingId>, Vec<i64>) = glued.unzip();
        let pieces = pieces.into_iter().fold(0, i64::saturating_add);
        self.number(id, "glued_pieces", pieces);
        for slot in &slots {
            let here = inserts.iter().filter(|(_, of)| *of == Some(*slot));
            let here: Vec<ThingId> = here.map(|(insert, _)| *insert).collect();
            self.fact(*slot, "used", Fact::Flag(!here.is_empty()));
            self.at(*slot).lists.insert("inserts", here);
        }
        let inserts: Vec<ThingId> = inserts.into_iter().map(|(insert, _)| insert).collect();
        let thing = self.at(id);
        thing.lists.insert("glued", glued);
        thing.lists.insert("inserts", inserts.clone());
        thing.lists.insert("slots", slots);
        thing.lists.insert("holes", holes);
        thing.lists.insert("mats", mats);
        self.override_sizes(id, leaf.into());
        for insert in inserts {
            if let Some(height) = self.model.scene.thing(insert).facts.get("height").cloned() {
                self.fact(insert, "given_height", height);
            }
        }
        for (mat, narrow) in narrow_mats(&self.model.scene, id) {
            self.fact(mat, "narrow", Fact::Flag(narrow));
        }
        if bag.bottom == Bottom::Block && bag.gusset.is_none() {
            let pocket = bag.pocket.as_ref().filter(|_| bag.folded.is_none());
            let flap = pocket.is_some_and(|pocket| pocket.why.is_none());
            self.assume(Assumption::Bottom { leaf: id, flap });
        }
        self.plays(id);
        self.thickness(id, bag, leaf);
        id
    }

    /// What the supplies say of a leaf's bag.
    fn bag(&mut self, index: usize, leaf: ThingId, bag: &Bag) {
        let at = Some(bag.place);
        let id = self.thing("bag", "bag", Some(leaf), at);
        self.part(leaf, "bag", id);
        self.fact(id, "name", Fact::Text(bag.name.clone()));
        let bottom = match bag.bottom {
            Bottom::Block => "block",
            Bottom::Pinch => "pinch",
        };
        self.fact(id, "bottom", Fact::Text(bottom.to_owned()));
        for measure in BagMeasure::ALL {
            let pocket = bag.pocket.as_ref().map(|pocket| pocket.place);
            let at = match measure {
                BagMeasure::PocketEdge | BagMeasure::PocketDepth => pocket.or(at),
                _ => at,
            };
            self.of_bag(index, id, measure.name(), measure, at);
        }
        if let Some(why) = bag.pocket.as_ref().and_then(|pocket| pocket.why.clone()) {
            self.fact(id, "pocket_why", Fact::Text(why));
        }
        if let Some(layers) = bag.flap_layers {
            self.number(id, "flap_layers", layers);
        }
    }

    /// Where a style says no more, a leaf is as wide and as high as its bag.
    fn usual_sides(&mut self, index: usize, leaf: ThingId) {
        let said = &self.album.leaves[index];
        for side in [BagMeasure::Width, BagMeasure::Height] {
            let field = side.name();
            if self.has(leaf, field) {
                continue;
            }
            let bag = self.model.scene.part(leaf, "bag");
            let fact = bag.and_then(|bag| {
                let facts = &self.model.scene.thing(bag).facts;
                let folded = facts.get("folded").filter(|_| side == BagMeasure::Height);
                folded.or_else(|| facts.get(field)).cloned()
            });
            let size = self.model.scene.size_name(leaf, field);
            if let Some(fact) = fact {
                if let Fact::Length(given) = &fact {
                    self.model.scene.givens[given.0 as usize]
                        .label
                        .clone_from(&size);
                }
                self.fact(leaf, field, fact);
            }
            self.said_instead(leaf, said.into(), &size);
        }
    }

    /// A measure of the leaf's bag, where the bag says it.
    pub(super) fn of_bag(
        &mut self,
        leaf: usize,
        thing: ThingId,
        field: &str,
        measure: BagMeasure,
        place: Option<Place>,
    ) {
        let album = self.album;
        let bag = &album.supplies.bags[album.leaves[leaf].bag];
        if let Some(value) = measure.of(bag) {
            let given = self.length(thing, field, value, Origin::Said, place);
            let it = OfBag {
                given,
                leaf,
                measure,
            };
            self.model.scene.of_bags.push(it);
        }
    }

    /// What kind of thing a part of a leaf is, by its style.
    pub(super) fn kind_of_part(&self, name: &str) -> &'static str {
        match self.style.on_leaf_called(name).map(|part| &part.kind) {
            Some(Kind::Slot(_)) => "slot",
            Some(Kind::Ply { .. }) => "ply",
            _ if self.style.has_part(name) => "mat",
            _ => "name",
        }
    }

    /// A piece of paper of a leaf, or of the album: there if its case holds and the album does not leave it out.
    pub(super) fn paper(&mut self, leaf: ThingId, said: Saying<'_>, name: &str) {
        if self.model.scene.thing(leaf).parts.contains_key(name) {
            return;
        }
        let of_album = leaf == self.model.scene.album();
        let id = self.thing("mat", name, (!of_album).then_some(leaf), None);
        self.part(leaf, name, id);
        let style = self.style;
        let on_leaf = style.on_leaf().iter().filter(|part| part.name == name);
        let cases: Vec<&Part> = match of_album {
            true => style.of_album_called(name).collect(),
            false => on_leaf.collect(),
        };
        let scope = self.model.scope_of(leaf);
        let (mut there, mut any) = (false, false);
        for case in &cases {
            self.ensure_all(leaf, said, &case.when);
            there |= self.all_hold(&case.when, &scope);
            any = true;
        }
        let named = said.parts.iter().find(|(part, _)| part == name);
        let paper = match named {
            _ if any && !there => &PartPaper::None,
            Some((_, paper)) => paper,
            None if style.is_usual(name) => &PartPaper::Any,
            None => &PartPaper::None,
        };
        self.fact(id, "wanted", Fact::Flag(*paper != PartPaper::None));
        let off = self.lies_so(id, &cases);
        match (named, paper) {
            (None, PartPaper::None) if off => self.fact(id, "directed", Fact::Flag(false)),
            (None, _) if !any => self.fact(id, "directed", Fact::Flag(false)),
            (_, PartPaper::Papers(papers)) => self.papers(id, papers, PAPER),
            (_, PartPaper::Any) => self.papers(id, &[], PAPER),
            (_, PartPaper::None) => {
                // What is not there leans on nothing.
                self.fact(id, "directed", Fact::Flag(false));
                self.stands_in(id, "caliper", PAPER);
            }
        }
    }

    /// Notes whether a piece lies even at both sides and may reach the holes, and where its leaf is thicker by it: false if that is
    /// everywhere.
    fn lies_so(&mut self, mat: ThingId, cases: &[&Part]) -> bool {
        let mut ends = cases.iter().flat_map(|it| [&it.lies.left, &it.lies.right]);
        let centred = ends.all(Option::is_none);
        let first = cases.first().map(|part| &part.kind);
        let off_holes = matches!(
            first,
            Some(Kind::Paper {
                thickens: Thickens::Middle,
                ..
            })
        );
        self.fact(mat, "centred", Fact::Flag(centred && !off_holes));
        let Some(Kind::Paper { thickens, .. }) = first else {
            return first.is_some();
        };
        let off = match thickens {
            Thickens::All => None,
            Thickens::Holes => Some(OFF_MIDDLE),
            Thickens::Middle => Some(OFF_HOLES),
        };
        if let Some(off) = off {
            self.fact(mat, off, Fact::Flag(true));
        }
        *thickens != Thickens::All
    }

    /// The pieces of paper that a leaf has.
    fn wanted_papers(&self, leaf: ThingId) -> Vec<ThingId> {
        let scene = &self.model.scene;
        let papers = self.style.papers_of_leaf().into_iter();
        let papers = papers.filter_map(|name| scene.part(leaf, name));
        papers.filter(|part| scene.flag(*part, "wanted")).collect()
    }

    /// Sheet and caliper of what a thing is cut from. Where it may be several papers, each value
    /// reaches from the least to the most of them, so that what fits is right for every one.
    pub(super) fn papers(&mut self, thing: ThingId, papers: &[usize], assumed: &str) {
        let album = self.album;
        let known = |at: &usize| Some((album.supplies.papers.get(*at)?, self.stands_for(*at)));
        let papers: Vec<(&Paper, &str)> = papers.iter().filter_map(known).collect();
        let directed = papers.iter().any(|(p, _)| p.directed);
        self.fact(thing, "directed", Fact::Flag(directed));
        let Some(((first, usual), others)) = papers.split_first() else {
            return self.usual(thing, "caliper", assumed);
        };
        let at = Some(first.place);
        let over = |side: fn(&Paper) -> Interval| {
            let sides = others.iter().map(|(p, _)| side(p));
            sides.fold(side(first), hull)
        };
        self.length(thing, "sheet_width", over(|p| p.width), Origin::Said, at);
        self.length(thing, "sheet_height", over(|p| p.height), Origin::Said, at);
        // Without its own thickness a paper has the usual one.
        if papers.iter().all(|(p, _)| p.caliper.is_none())
            && papers.iter().map(|it| it.1).all_equal()
        {
            return self.usual(thing, "caliper", usual);
        }
        let calipers: Vec<Interval> = papers
            .iter()
            .map(|(p, usual)| p.caliper.unwrap_or_else(|| self.quantity_length(usual)))
            .collect();
        let caliper = calipers.iter().copied().reduce(hull);
        let weighed = papers
            .iter()
            .any(|(p, _)| p.from_weight || p.caliper.is_none());
        let origin = match weighed {
            true => Origin::Assumed,
            false => Origin::Said,
        };
        let names: Vec<&str> = papers.iter().map(|(p, _)| p.name.as_str()).collect();
        if let Some(caliper) = caliper {
            let label = format!("thickness of {}", names.join(" or "));
            let said = self.length_called(label, (thing, "caliper"), caliper, origin, at);
            if papers.iter().all(|(p, _)| p.caliper.is_some()) {
                self.fact(thing, "own_caliper", Fact::Length(said));
            }
        }
    }

    /// What stands in for the thickness of a paper. One paper has one thickness in the album: what an insert
    /// is cut from is card, and so is a mat of it.
    fn stands_for(&self, paper: usize) -> &'static str {
        let papers = &self.album.supplies.papers;
        let pad = |at: usize| {
            papers
                .get(at)
                .and_then(|it| it.design_of)
                .map_or(at, |it| it.0)
        };
        let mut inserts = self.album.leaves.iter().flat_map(|leaf| &leaf.inserts);
        let is_card = inserts.any(|it| it.papers.iter().any(|at| pad(*at) == pad(paper)));
        if is_card { CARD } else { PAPER }
    }

    /// An insert, and the slot that it goes into.
    pub(super) fn insert(
        &mut self,
        leaf: ThingId,
        insert: &Insert,
        (slots, exchanged): (&[ThingId], bool),
    ) -> (ThingId, Option<ThingId>) {
        let at = Some(insert.place);
        let id = self.thing("insert", insert.name.clone(), Some(leaf), at);
        self.fact(id, "name", Fact::Text(insert.name.clone()));
        self.fact(id, "place", Fact::Text(self.place_of(insert).to_owned()));
        let slot = self.slot_of(slots, insert, exchanged);
        let section = slot.map_or(NO_SECTION, |slot| self.model.scene.text(slot, "section"));
        let section = Fact::Text(section.to_owned());
        self.fact(id, "section", section);
        match slot {
            Some(slot) => {
                let name = self.model.scene.text(slot, "name").to_owned();
                let mut of_style = self.style.slots();
                let edge = of_style.find(|(part, _)| part.name == name);
                let edge = edge.and_then(|(_, slot)| slot.edge.clone());
                self.fact(id, "slot", Fact::Text(name));
                if let Some(edge) = edge {
                    self.fact(id, "edge", Fact::Text(edge));
                }
            }
            None if self.style.parts.is_empty() => {}
            None => {
                let (insert, lacks) = (id, self.lacks(leaf, insert));
                let nowhere = &mut self.model.scene.nowhere;
                nowhere.push(Nowhere {
                    insert,
                    leaf,
                    lacks,
                });
            }
        }
        let grip = insert.grip.word();
        self.fact(id, "grip", Fact::Text(grip.into()));
        self.number(id, "count", insert.count);
        let (show, origin, show_at) = match &insert.show {
            Some(said) => (said.value, Origin::Said, Some(said.place)),
            None => (Interval::default(), Origin::Style, None),
        };
        self.length(id, "show", show, origin, show_at);
        let card = insert.card.and_then(|c| self.album.supplies.cards.get(c));
        for (field, said, of_card) in [
            ("width", &insert.width, card.map(|c| c.width)),
            ("height", &insert.height, card.map(|c| c.height)),
        ] {
            match said {
                Some(said) => self.said(id, field, Some(said.value), Some(said.place)),
                None => self.said(id, field, of_card, card.map(|c| c.place)),
            }
        }
        self.papers(id, &insert.papers, CARD);
        if let Some(caliper) = insert.caliper.or(card.and_then(|c| c.caliper)) {
            let label = format!("thickness of {}", insert.name);
            self.length_called(label, (id, "caliper"), caliper, Origin::Said, at);
        }
        let photo = insert.photo.as_ref();
        let photo = photo.map(|photo| self.photo(id, insert, photo));
        self.fact(id, "has_photo", Fact::Flag(photo.is_some()));
        let photos = photo.into_iter().collect();
        self.at(id).lists.insert("photos", photos);
        (id, slot)
    }

    pub(super) fn photo(
        &mut self,
        insert: ThingId,
        said: &Insert,
        photo: &crate::album::Photo,
    ) -> ThingId {
        let name = format!("{}.photo", said.name);
        let id = self.thing("photo", name, Some(insert), Some(photo.place));
        // Small whole sides make every size a whole multiple; others are kept within a few steps.
        const WHOLE: i64 = 64;
        // The same shape whichever side is said first.
        let shape = photo.shape.map(|(a, b)| (a.min(b), a.max(b)));
        if let Some((across, up)) = shape {
            self.number(id, "shape_across", across);
            self.number(id, "shape_up", up);
        }
        let whole = shape.is_some_and(|(_, up)| up <= WHOLE);
        self.fact(id, "shape_whole", Fact::Flag(whole));
        for (word, lies) in crate::album::WayUp::WORDS {
            self.fact(id, word, Fact::Flag(photo.lies == Some(lies)));
        }
        let mut prints = Vec::new();
        for &p in &photo.prints {
            let Some(print) = self.album.supplies.prints.get(p) else {
                continue;
            };
            let at = Some(print.place);
            let item = self.thing("print", print.name.clone(), None, at);
            self.number(item, "index", p as i64);
            for (field, value) in [("width", print.width), ("height", print.height)] {
                let label = format!("{field} of {}", print.name);
                self.length_called(label, (item, field), value, Origin::Said, at);
            }
            prints.push(item);
        }
        self.at(id).tables.insert("prints", prints);
        id
    }

    pub(super) fn holes(&mut self, leaf: ThingId) -> Vec<ThingId> {
        let scene = &self.model.scene;
        let offsets = super::template(self.style, self.album).offsets;
        let template = scene.part(scene.album(), "template");
        let count = match &offsets {
            Some(offsets) => offsets.len() as i64,
            None => template.map_or(0, |template| scene.count(template, "count")),
        };
        let mut holes = Vec::new();
        for place in 0..count {
            let id = self.thing("hole", format!("hole {}", place + 1), Some(leaf), None);
            self.number(id, "place", place);
            let offset = offsets.as_ref().and_then(|o| o.get(place as usize));
            if let Some(offset) = offset {
                self.length(id, "offset", Interval::exact(*offset), Origin::Said, None);
            }
            self.names_of_hole(id);
            if !self.has(id, "height") {
                let height = match offset {
                    Some(_) => "template.first + hole.offset",
                    None => "template.first + hole.place * template.pitch",
                };
                self.follows(id, "height", height);
            }
            holes.push(id);
        }
        holes
    }
}

/// From the least to the most of both.
fn hull(one: Interval, other: Interval) -> Interval {
    let least = one.least().min(other.least());
    let most = one.most().max(other.most());
    // Between two such ends there is always an interval.
    Interval::between(least, most).unwrap_or(one)
}
