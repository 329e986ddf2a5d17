//! Puts the things of an album together: album, ruler, template, punch and rings.

use super::maker::{Maker, Naming, PLAY};
use super::model::Model;
use super::remeasure::ring_papers;
use super::*;
use crate::album::{Album, Template};
use crate::style::{Style, unread};
use itertools::Itertools;

/// What an album says of its holes, without what its kind has no use for: eyelets, and a pattern of punched holes.
pub fn template(style: &Style, album: &Album) -> Template {
    let mut said = album.template.clone();
    said.eyelet = said.eyelet.filter(|_| unread::has(style, "eyelet"));
    match said.pattern.is_some() && !unread::has(style, "pattern") {
        true => Template {
            place: said.place,
            first: said.first,
            eyelet: said.eyelet,
            punch: said.punch,
            ..Template::default()
        },
        false => said,
    }
}

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
        of_album: style.names_of_album(),
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
        for (name, id) in [
            ("ruler", ruler),
            ("template", template),
            ("punch", punch),
            ("album", album),
        ] {
            self.part(album, name, id);
        }
        let counts = self.album.leaves.iter().map(|l| l.count);
        let count = counts.fold(0i64, i64::saturating_add);
        self.number(album, "leaves", count);
        self.of_album(album);
        let leaves: Vec<ThingId> = (0..self.album.leaves.len()).map(|i| self.leaf(i)).collect();
        self.stacks(album, &leaves);
        let rings = self.rings(album);
        let album_thing = self.at(album);
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
                self.part(album, &part.name, frame);
            }
        }
        let papers = [papers, style.laid_on_album()].concat();
        for name in &papers {
            self.paper(album, own.into(), name);
        }
        self.names(album, own.into());
        let scene = &self.model.scene;
        let parts = papers.iter().filter_map(|name| scene.part(album, name));
        let mats = parts.filter(|part| scene.flag(*part, "wanted")).collect();
        self.at(album).lists.insert("mats", mats);
        self.override_sizes(album, own.into());
        self.plays(album);
    }

    fn template(&mut self) -> ThingId {
        let said = template(self.style, self.album);
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
            None => self.usual(id, "diameter", "hole_diameter"),
        }
        let edge = said.edge.or(punch.and_then(|p| p.edge));
        let pitch = said.pitch.or(punch.and_then(|p| p.pitch));
        self.said(id, "edge", edge, at);
        self.said(id, "first", said.first, at);
        self.said(id, "pitch", pitch, at);
        self.fact(id, "unequal", Fact::Flag(said.offsets.is_some()));
        self.fact(id, "published", Fact::Flag(said.pattern.is_some()));
        let radius = "template.diameter / 2";
        // One that is no wider than its hole is for a rule to refuse.
        let diameter = self.model.scene.length(id, "diameter");
        self.said(id, "eyelet", said.eyelet, at);
        let wide = |eyelet: &Interval| diameter.is_none_or(|d| eyelet.least() >= d.most());
        match said.eyelet.filter(wide) {
            Some(_) => self.follows(id, "rim", "template.eyelet / 2"),
            None => self.follows(id, "rim", radius),
        }
        self.follows(id, "radius", radius);
        if said.eyelet.is_some() {
            self.usual(id, "flanges", "eyelet_flanges");
        }
        // Offsets are in order, and no two alike.
        let steps = said.offsets.iter().flat_map(|o| o.windows(2));
        let steps = steps.filter_map(|two| two[1].checked_sub(two[0]));
        let nearest = steps.min().map(Interval::exact);
        self.said(id, "nearest", nearest, at);
        if nearest.is_none() && count > 1 {
            self.follows(id, "nearest", "template.pitch");
        }
        let span = said.offsets.as_ref().and_then(|o| o.last().copied());
        self.said(id, "span", span.map(Interval::exact), at);
        match span {
            Some(_) => {}
            None if count <= 1 => {
                self.length(id, "span", Interval::default(), Origin::Derived, at);
            }
            None => self.follows(id, "span", "(template.count - 1) * template.pitch"),
        }
        id
    }

    fn punch(&mut self) -> ThingId {
        let punches = &self.album.supplies.punches;
        let said = self.album.template.punch.and_then(|p| punches.get(p));
        let at = said.map(|p| p.place);
        let id = self.thing("punch", "punch", None, at);
        if let Some(p) = said {
            self.said(id, "reach", p.reach, at);
            self.said(id, "takes", p.takes, at);
            self.said(id, "diameter", p.diameter, at);
        }
        id
    }

    fn rings(&mut self, album: ThingId) -> Vec<ThingId> {
        let stack = self.model.scene.length(album, "stack_at_holes");
        let stack = stack.unwrap_or_default();
        let fixed = self.album.ring.as_ref().map(|r| r.value);
        let mut rings = Vec::new();
        for (index, ring) in self.album.supplies.rings.iter().enumerate() {
            if fixed.is_some_and(|f| f != index) {
                continue;
            }
            let at = Some(ring.place);
            let id = self.thing("ring", ring.name.clone(), None, at);
            self.number(id, "index", index as i64);
            let papers = ring_papers(ring.inside, stack);
            for (field, value, origin) in [
                ("inside", Some(ring.inside), Origin::Said),
                ("closed_paper", papers.map(|it| it[0]), Origin::Derived),
                ("turned_paper", papers.map(|it| it[1]), Origin::Derived),
                ("wire", ring.wire, Origin::Said),
            ] {
                if let Some(value) = value {
                    let label = format!("{field} of {}", ring.name);
                    self.length_called(label, (id, field), value, origin, at);
                }
            }
            rings.push(id);
        }
        rings
    }
}
