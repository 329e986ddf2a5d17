//! Puts the things of an album together: album, ruler, template, punch and rings.

use super::maker::{Maker, Naming, PLAY};
use super::model::Model;
use super::remeasure::ring_papers;
use super::*;
use crate::album::Album;
use crate::length::Length;
use crate::style::Style;
use itertools::Itertools;

/// Puts an album's things together.
///
/// # Errors
/// Every given or measured name that is no size of its leaf, and thicknesses beyond any album.
pub fn build(
    album: &Album,
    quantities: &[QuantityValue],
    style: &Style,
) -> Result<Scene, Vec<SceneError>> {
    let mut maker = Maker {
        model: Model::new(Scene::default(), style.counts.clone()),
        album,
        style,
        naming: Naming::default(),
        of_album: style
            .names
            .iter()
            .positions(|rule| style.is_of_album(rule.name.head()))
            .collect(),
        plays: plays_asked(style),
        errors: Vec::new(),
    };
    maker.all(quantities);
    if maker.errors.is_empty() {
        Ok(maker.model.scene)
    } else {
        Err(maker.errors)
    }
}

/// The fields of which a rule asks how far they may be off the middle.
fn plays_asked(style: &Style) -> Vec<String> {
    let comparisons = style.rules.iter().flat_map(|rule| rule.comparisons());
    let sides = comparisons.flat_map(|it| [&it.left, &it.right]);
    let names = sides.flat_map(|side| side.names());
    let names = names.filter_map(|(path, _)| path.last().strip_suffix(PLAY));
    names.unique().map(str::to_owned).collect()
}

impl Maker<'_> {
    fn all(&mut self, quantities: &[QuantityValue]) {
        let album = self.thing("album", "album", None, None);
        for q in quantities {
            let fact = match q.value {
                Value::Length(value) => {
                    Fact::Length(self.given(q.name.clone(), value, q.origin, q.place))
                }
                Value::Ratio(n, d) => Fact::Number(n, d),
            };
            self.model.scene.quantities.insert(q.name.clone(), fact);
        }
        if let Some((part, _)) = self.style.leaf_frame() {
            self.model.scene.called.insert(part.name.clone(), "leaf");
        }
        if let Some(mark) = self.style.hole() {
            self.model.scene.called.insert(mark.name.clone(), "hole");
        }
        let ruler = self.thing("ruler", "ruler", None, None);
        let step = Interval::exact(self.album.ruler.step());
        self.length(ruler, "step", step, Origin::Said, None);
        let template = self.template();
        let punch = self.punch();
        let album_thing = &mut self.model.scene.things[album.0 as usize];
        for (name, id) in [
            ("ruler", ruler),
            ("template", template),
            ("punch", punch),
            ("album", album),
        ] {
            album_thing.parts.insert(name.to_owned(), id);
        }
        let counts = self.album.leaves.iter().map(|l| l.count);
        let count = counts.fold(0i64, i64::saturating_add);
        self.number(album, "leaves", count);
        self.of_album(album);
        let leaves: Vec<ThingId> = (0..self.album.leaves.len()).map(|i| self.leaf(i)).collect();
        self.stacks(album, &leaves);
        let rings = self.rings(album);
        let album_thing = &mut self.model.scene.things[album.0 as usize];
        album_thing.lists.insert("leaves", leaves);
        album_thing.tables.insert("rings", rings);
    }

    /// The parts of the album itself, and the names that lean on no leaf.
    fn of_album(&mut self, album: ThingId) {
        let (style, own) = (self.style, &self.album.own);
        self.naming = Naming::default();
        let papers = style.papers_of_album();
        for (part, _) in style.album_frames() {
            if !papers.contains(&part.name.as_str()) {
                let frame = self.thing("frame", &part.name, None, None);
                let parts = &mut self.model.scene.things[album.0 as usize].parts;
                parts.insert(part.name.clone(), frame);
            }
        }
        for name in papers.iter().copied().chain(style.laid_on_album()) {
            self.paper(album, own.into(), name);
        }
        self.names(album, own.into());
        let scene = &self.model.scene;
        let parts = papers.iter();
        let parts = parts.filter_map(|name| scene.thing(album).parts.get(*name).copied());
        let mats = parts.filter(|part| scene.flag(*part, "wanted")).collect();
        let lists = &mut self.model.scene.things[album.0 as usize].lists;
        lists.insert("mats", mats);
        self.override_sizes(album, own.into());
        self.plays(album);
    }

    fn template(&mut self) -> ThingId {
        let said = self.album.template.clone();
        let at = Some(said.place);
        let id = self.thing("template", "template", None, at);
        let punch = said.punch.and_then(|p| self.album.supplies.punches.get(p));
        let count = said.holes.or(punch.and_then(|p| p.holes));
        let count = count.unwrap_or_else(|| self.quantity_count("hole_count"));
        let count = said.offsets.as_ref().map_or(count, |o| o.len() as i64);
        self.number(id, "count", count);
        match said.diameter.or(punch.and_then(|p| p.diameter)) {
            Some(value) => {
                self.length(id, "diameter", value, Origin::Said, at);
            }
            None => {
                let fact = self.model.scene.quantities.get("hole_diameter").cloned();
                self.quantity_length("hole_diameter");
                if let Some(fact) = fact {
                    self.fact(id, "diameter", fact);
                }
            }
        }
        let edge = said.edge.or(punch.and_then(|p| p.edge));
        let pitch = said.pitch.or(punch.and_then(|p| p.pitch));
        for (field, value) in [("edge", edge), ("first", said.first), ("pitch", pitch)] {
            if let Some(value) = value {
                self.length(id, field, value, Origin::Said, at);
            }
        }
        self.fact(id, "unequal", Fact::Flag(said.offsets.is_some()));
        self.fact(id, "published", Fact::Flag(said.pattern.is_some()));
        let radius = "template.diameter / 2";
        // One that is no wider than its hole is for a rule to refuse.
        let diameter = self.model.scene.length(id, "diameter");
        let wide = |eyelet: &Interval| diameter.is_none_or(|d| eyelet.least() >= d.most());
        if let Some(value) = said.eyelet {
            self.length(id, "eyelet", value, Origin::Said, at);
        }
        match said.eyelet.filter(wide) {
            Some(_) => self.follows(id, "rim", "template.eyelet / 2"),
            None => self.follows(id, "rim", radius),
        }
        self.follows(id, "radius", radius);
        if said.eyelet.is_some() {
            let fact = self.model.scene.quantities.get("eyelet_flanges").cloned();
            self.quantity_length("eyelet_flanges");
            if let Some(fact) = fact {
                self.fact(id, "flanges", fact);
            }
        }
        // Offsets are in order, and no two alike.
        let steps = said.offsets.iter().flat_map(|o| o.windows(2));
        let steps = steps.filter_map(|two| two[1].checked_sub(two[0]));
        match steps.min() {
            Some(nearest) => {
                let nearest = Interval::exact(nearest);
                self.length(id, "nearest", nearest, Origin::Said, at);
            }
            None if count > 1 => self.follows(id, "nearest", "template.pitch"),
            None => {}
        }
        match said.offsets.as_ref().and_then(|o| o.last().copied()) {
            Some(span) => {
                self.length(id, "span", Interval::exact(span), Origin::Said, at);
            }
            None if count <= 1 => {
                self.length(
                    id,
                    "span",
                    Interval::exact(Length::ZERO),
                    Origin::Derived,
                    at,
                );
            }
            None => self.follows(id, "span", "(template.count - 1) * template.pitch"),
        }
        id
    }

    fn punch(&mut self) -> ThingId {
        let said = self
            .album
            .template
            .punch
            .and_then(|p| self.album.supplies.punches.get(p));
        let id = self.thing("punch", "punch", None, said.map(|p| p.place));
        if let Some(p) = said {
            for (field, value) in [
                ("reach", p.reach),
                ("takes", p.takes),
                ("diameter", p.diameter),
            ] {
                if let Some(value) = value {
                    self.length(id, field, value, Origin::Said, Some(p.place));
                }
            }
        }
        id
    }

    fn rings(&mut self, album: ThingId) -> Vec<ThingId> {
        let nothing = Interval::exact(Length::ZERO);
        let stack = self
            .model
            .scene
            .length(album, "stack_at_holes")
            .unwrap_or(nothing);
        let fixed = self.album.ring.as_ref().map(|r| r.value);
        let mut rings = Vec::new();
        for (index, ring) in self.album.supplies.rings.iter().enumerate() {
            if fixed.is_some_and(|f| f != index) {
                continue;
            }
            let at = Some(ring.place);
            let id = self.thing("ring", ring.name.clone(), None, at);
            self.number(id, "index", index as i64);
            let papers = ring_papers(ring.inside, stack)
                .into_iter()
                .flat_map(|papers| {
                    let names = ["closed_paper", "turned_paper"].into_iter().zip(papers);
                    names.map(|(name, paper)| (name, paper, Origin::Derived))
                });
            let inside = ("inside", ring.inside, Origin::Said);
            for (field, value, origin) in std::iter::once(inside).chain(papers) {
                let given = self.given(format!("{field} of {}", ring.name), value, origin, at);
                self.fact(id, field, Fact::Length(given));
            }
            if let Some(wire) = ring.wire {
                let given = self.given(format!("wire of {}", ring.name), wire, Origin::Said, at);
                self.fact(id, "wire", Fact::Length(given));
            }
            rings.push(id);
        }
        rings
    }
}
