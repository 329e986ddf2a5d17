//! One kind of leaf: its bag, pocket, mats, inserts, sections and holes.

use super::make::Maker;
use super::remeasure::{narrow_mats, plays};
use super::*;
use crate::album::{Grip, Insert, PartPaper, Section, Where};
use crate::length::Length;
use crate::supplies::{Bottom, Paper};

impl Maker<'_> {
    pub(super) fn leaf(&mut self, index: usize) -> ThingId {
        let album = self.album;
        let leaf = &album.leaves[index];
        let bag = &album.supplies.bags[leaf.bag];
        let id = self.thing("leaf", "leaf", None, Some(leaf.place));
        let at = Some(bag.place);
        self.fact(id, "name", Fact::Text(leaf.name.clone()));
        self.number(id, "count", leaf.count);
        self.fact(id, "turned", Fact::Flag(leaf.turned));
        for (field, measure) in [
            ("bag_width", BagMeasure::Width),
            ("bag_height", BagMeasure::Height),
            ("width", BagMeasure::Width),
            ("height", BagMeasure::LeafHeight),
            ("gusset", BagMeasure::Gusset),
        ] {
            self.of_bag(index, id, field, measure, at);
        }
        self.fact(id, "folded", Fact::Flag(bag.folded.is_some()));
        self.fact(id, "pinch", Fact::Flag(bag.bottom == Bottom::Pinch));
        let has_pocket = self.pocket(index, id, bag).is_some();
        self.fact(id, "has_pocket", Fact::Flag(has_pocket));
        let mut band = false;
        let mut mats = Vec::new();
        let known = |name: &str| self.parts.iter().any(|part| part.name == name);
        let named = leaf.parts.iter().filter(|(name, _)| known(name));
        for (name, paper) in named {
            // What lies on the pocket needs one.
            let here = has_pocket || !matches!(name.as_str(), "pocket_mat" | "band");
            let part = self.part(id, name, if here { paper } else { &PartPaper::None });
            if self.scene.flag(part, "wanted") {
                band |= name == "band";
                mats.push(part);
            }
        }
        self.fact(id, "has_band", Fact::Flag(band));
        for part in self.parts {
            self.unnamed_part(id, &part.name);
        }
        let inserts: Vec<ThingId> = leaf.inserts.iter().map(|i| self.insert(id, i)).collect();
        let sections = self.sections(index, id, &inserts);
        let holes = self.holes(id);
        let on_back = |(id, said): (&ThingId, &Insert)| {
            (said.goes == Where::Back).then_some((*id, said.count))
        };
        let glued = inserts.iter().zip(&leaf.inserts).filter_map(on_back);
        let (glued, pieces): (Vec<ThingId>, Vec<i64>) = glued.unzip();
        let pieces = pieces.into_iter().fold(0, i64::saturating_add);
        self.number(id, "glued_pieces", pieces);
        let thing = &mut self.scene.things[id.0 as usize];
        thing.lists.insert("glued", glued);
        thing.lists.insert("inserts", inserts);
        thing.lists.insert("sections", sections);
        thing.lists.insert("holes", holes);
        thing.lists.insert("mats", mats);
        for (said, origin) in [
            (&leaf.given, Origin::Said),
            (&leaf.measured, Origin::Measured),
        ] {
            for (name, value) in said {
                self.override_size(id, name, *value, origin);
            }
        }
        let inserts = self.scene.thing(id).lists.get("inserts").cloned();
        for insert in inserts.unwrap_or_default() {
            if let Some(height) = self.scene.thing(insert).facts.get("height").cloned() {
                self.fact(insert, "given_height", height);
            }
        }
        self.no_deeper_than_its_edge(id);
        for (mat, narrow) in narrow_mats(&self.scene, id) {
            self.fact(mat, "narrow", Fact::Flag(narrow));
        }
        let gusset = self.scene.thing(id).facts.contains_key("gusset");
        if bag.bottom == Bottom::Block && !gusset {
            self.assume(Assumption::Bottom(id));
        }
        for (thing, field, value) in plays(&self.scene, id) {
            self.length(thing, field, value, Origin::Derived, at);
        }
        self.thickness(id, bag, leaf);
        id
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
            self.scene.of_bags.push(it);
        }
    }

    pub(super) fn part(&mut self, leaf: ThingId, name: &str, paper: &PartPaper) -> ThingId {
        let id = self.thing("mat", name, Some(leaf), None);
        let wanted = *paper != PartPaper::None;
        self.fact(id, "wanted", Fact::Flag(wanted));
        let papers: &[usize] = match paper {
            PartPaper::Papers(papers) => papers,
            PartPaper::None | PartPaper::Any => &[],
        };
        self.papers(id, papers, "paper_caliper");
        self.scene.things[leaf.0 as usize]
            .parts
            .insert(name.to_owned(), id);
        id
    }

    /// A part of which the album says nothing; a leaf has it unless the album says otherwise.
    fn unnamed_part(&mut self, leaf: ThingId, name: &str) {
        if self.scene.thing(leaf).parts.contains_key(name) {
            return;
        }
        let id = self.thing("mat", name, Some(leaf), None);
        self.fact(id, "wanted", Fact::Flag(true));
        self.fact(id, "directed", Fact::Flag(false));
        let parts = &mut self.scene.things[leaf.0 as usize].parts;
        parts.insert(name.to_owned(), id);
    }

    /// Sheet and caliper of what a thing is cut from. Where it may be several papers, each value
    /// reaches from the least to the most of them, so that what fits is right for every one.
    pub(super) fn papers(&mut self, thing: ThingId, papers: &[usize], assumed: &str) {
        let album = self.album;
        let papers = papers.iter().filter_map(|p| album.supplies.papers.get(*p));
        let papers: Vec<&Paper> = papers.collect();
        let directed = papers.iter().any(|p| p.directed);
        self.fact(thing, "directed", Fact::Flag(directed));
        let Some((first, others)) = papers.split_first() else {
            return self.usual_caliper(thing, assumed);
        };
        let at = Some(first.place);
        let over = |side: fn(&Paper) -> Interval| {
            let sides = others.iter().map(|p| side(p));
            sides.fold(side(first), hull)
        };
        self.length(thing, "sheet_width", over(|p| p.width), Origin::Said, at);
        self.length(thing, "sheet_height", over(|p| p.height), Origin::Said, at);
        // Without its own thickness a paper has the usual one.
        if papers.iter().all(|p| p.caliper.is_none()) {
            return self.usual_caliper(thing, assumed);
        }
        let calipers: Vec<Interval> = papers
            .iter()
            .map(|p| p.caliper.unwrap_or_else(|| self.quantity_length(assumed)))
            .collect();
        let caliper = calipers.iter().copied().reduce(hull);
        let weighed = papers.iter().any(|p| p.from_weight || p.caliper.is_none());
        let origin = if weighed {
            Origin::Assumed
        } else {
            Origin::Said
        };
        let names: Vec<&str> = papers.iter().map(|p| p.name.as_str()).collect();
        if let Some(caliper) = caliper {
            let name = format!("thickness of {}", names.join(" or "));
            let id = self.given(name, caliper, origin, at);
            self.fact(thing, "caliper", Fact::Length(id));
        }
    }

    /// The thickness that stands in where none is said.
    fn usual_caliper(&mut self, thing: ThingId, assumed: &str) {
        self.quantity_length(assumed);
        if let Some(fact) = self.scene.quantities.get(assumed).cloned() {
            self.fact(thing, "caliper", fact);
        }
    }

    pub(super) fn insert(&mut self, leaf: ThingId, insert: &Insert) -> ThingId {
        let at = Some(insert.place);
        let id = self.thing("insert", insert.name.clone(), Some(leaf), at);
        let gusset = self.scene.thing(leaf).facts.contains_key("gusset");
        self.fact(id, "name", Fact::Text(insert.name.clone()));
        let place = match insert.goes {
            Where::Mouth => "mouth",
            Where::Pocket => "pocket",
            Where::Band => "band",
            Where::Back => "back",
        };
        self.fact(id, "place", Fact::Text(place.into()));
        // Without a name the mouth is its front slot: it is the first that an open mouth shows, and
        // the shallower one as a rule, so that what goes in there goes in behind the gusset too.
        let section = match (insert.goes, insert.section) {
            (Where::Mouth, Some(Section::Back)) if gusset => "back",
            (Where::Mouth, _) if gusset => "front",
            (Where::Mouth, _) => "only",
            _ => "none",
        };
        self.fact(id, "section", Fact::Text(section.into()));
        let grip = match insert.grip {
            Grip::Plain => "plain",
            Grip::Notch => "notch",
            Grip::Tab => "tab",
            Grip::String => "string",
        };
        self.fact(id, "grip", Fact::Text(grip.into()));
        self.number(id, "count", insert.count);
        let (show, origin, show_at) = match &insert.show {
            Some(said) => (said.value, Origin::Said, Some(said.place)),
            None => (Interval::exact(Length::ZERO), Origin::Style, None),
        };
        self.length(id, "show", show, origin, show_at);
        let card = insert.card.and_then(|c| self.album.supplies.cards.get(c));
        for (field, said, of_card) in [
            ("width", &insert.width, card.map(|c| c.width)),
            ("height", &insert.height, card.map(|c| c.height)),
        ] {
            match (said, of_card) {
                (Some(said), _) => {
                    self.length(id, field, said.value, Origin::Said, Some(said.place));
                }
                (None, Some(value)) => {
                    self.length(id, field, value, Origin::Said, card.map(|c| c.place));
                }
                (None, None) => {}
            }
        }
        self.papers(id, &insert.papers, "card_caliper");
        if let Some(caliper) = insert.caliper.or(card.and_then(|c| c.caliper)) {
            let given = self.given(
                format!("thickness of {}", insert.name),
                caliper,
                Origin::Said,
                at,
            );
            self.fact(id, "caliper", Fact::Length(given));
        }
        let mut photos = Vec::new();
        if let Some(photo) = &insert.photo {
            photos.push(self.photo(id, insert, photo));
        }
        self.fact(id, "has_photo", Fact::Flag(!photos.is_empty()));
        self.scene.things[id.0 as usize]
            .lists
            .insert("photos", photos);
        id
    }

    pub(super) fn photo(
        &mut self,
        insert: ThingId,
        said: &Insert,
        photo: &crate::album::Photo,
    ) -> ThingId {
        let id = self.thing(
            "photo",
            format!("{}.photo", said.name),
            Some(insert),
            Some(photo.place),
        );
        // Small whole sides make every size a whole multiple; others are kept within a few steps.
        const WHOLE: i64 = 64;
        if let Some((a, b)) = photo.shape {
            // The same shape whichever side is said first.
            let (across, up) = (a.min(b), a.max(b));
            self.number(id, "shape_across", across);
            self.number(id, "shape_up", up);
            self.fact(id, "shape_whole", Fact::Flag(up <= WHOLE));
        } else {
            self.fact(id, "shape_whole", Fact::Flag(false));
        }
        let mut prints = Vec::new();
        for &p in &photo.prints {
            let Some(print) = self.album.supplies.prints.get(p) else {
                continue;
            };
            let item = self.thing("print", print.name.clone(), None, Some(print.place));
            self.number(item, "index", p as i64);
            for (field, value) in [("width", print.width), ("height", print.height)] {
                let given = self.given(
                    format!("{field} of {}", print.name),
                    value,
                    Origin::Said,
                    Some(print.place),
                );
                self.fact(item, field, Fact::Length(given));
            }
            prints.push(item);
        }
        self.scene.things[id.0 as usize]
            .tables
            .insert("prints", prints);
        id
    }

    pub(super) fn holes(&mut self, leaf: ThingId) -> Vec<ThingId> {
        let template = &self.album.template;
        let offsets = template.offsets.clone();
        let count = match (
            &offsets,
            self.scene.things.iter().find(|t| t.kind == "template"),
        ) {
            (Some(offsets), _) => offsets.len() as i64,
            (None, Some(t)) => match t.facts.get("count") {
                Some(Fact::Number(n, 1)) => *n,
                _ => 0,
            },
            (None, None) => 0,
        };
        let mut holes = Vec::new();
        for place in 0..count {
            let id = self.thing("hole", format!("hole {}", place + 1), Some(leaf), None);
            self.number(id, "place", place);
            match offsets.as_ref().and_then(|o| o.get(place as usize)) {
                Some(offset) => {
                    self.length(id, "offset", Interval::exact(*offset), Origin::Said, None);
                    self.follows(id, "height", "template.first + hole.offset");
                }
                None if place == 0 => self.follows(id, "height", "template.first"),
                None => self.follows(id, "height", "template.first + hole.place * template.pitch"),
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
