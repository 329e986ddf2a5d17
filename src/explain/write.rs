//! Fixes written into the text of an album file, as its maker would type them.
//!
//! What comes out is text: whoever keeps it reads it again and works the album out first. A bag of a file
//! of supplies is never changed there, as other albums read it: the album gets one of its own.
//! May import `length`, `supplies`, `album`, and `scene` for what measures are called.

use super::changed::{is_size_of, still_there};
use super::deeds::{Deed, Side, Supply};
use super::{Fix, FixChange, Kind};
use crate::album::Album;
use crate::album::edit::{Pen, Table, put_in, row_of};
use crate::album::field::same_ends;
use crate::length::{Interval, Ruler, parse_size};
use crate::scene::BagMeasure;
use crate::supplies::patterns::Pattern;

/// An album's text with these fixes in it. `others` are the texts of its supplies. `None` where one of
/// them cannot be written.
pub fn written(album: &Album, text: &str, others: &[&str], fixes: &[&Fix]) -> Option<String> {
    let mut writer = Writer {
        album,
        ruler: album.ruler,
        pen: Pen::of(text)?,
        others: others.iter().filter_map(|text| Pen::of(text)).collect(),
    };
    let mut changes: Vec<&FixChange> = Vec::new();
    for change in fixes.iter().flat_map(|fix| &fix.changes) {
        // What mends one part may be the same as, or more of, what mends another.
        let covers = |a: &FixChange, b: &FixChange| match (a, b) {
            (FixChange::Do(a), FixChange::Do(b)) => a.covers(b),
            _ => a == b,
        };
        changes.retain(|other| !covers(change, other));
        if !changes.iter().any(|other| covers(other, change)) {
            changes.push(change);
        }
    }
    for change in changes {
        writer.change(change)?;
    }
    let written = writer.pen.text();
    Some(same_ends(text, written))
}

struct Writer<'a> {
    album: &'a Album,
    ruler: Ruler,
    pen: Pen,
    others: Vec<Pen>,
}

impl Writer<'_> {
    fn change(&mut self, change: &FixChange) -> Option<()> {
        match change {
            FixChange::Accept { rule, of, by } => {
                let by = self.ruler.show(*by);
                let mut keys = vec![("rule", rule.as_str()), ("of", of), ("by", &by)];
                keys.retain(|(_, text)| !text.is_empty());
                self.pen.push("accept", row_of(&keys))
            }
            FixChange::Measure {
                kind, name, of, to, ..
            } => {
                let to_text = self.ruler.show_interval(*to);
                match kind {
                    Kind::Quantity => {
                        self.pen.table("set")?.put(name, to_text);
                        Some(())
                    }
                    Kind::Size | Kind::Made => self.size(of, name, *to),
                    Kind::Template(key) => {
                        self.pen.table("template")?.put(key, to_text);
                        Some(())
                    }
                    Kind::Pocket(measure) => self.pocket(of, *measure, &to_text),
                }
            }
            FixChange::Usual { quantity, .. } => {
                self.pen.table("set")?.remove(quantity);
                Some(())
            }
            FixChange::Do(deed) => self.deed(deed),
            FixChange::LeaveOut { name, leaf } => self.leave_out(leaf, name),
        }
    }

    /// The only leaf has no name in a fix.
    fn leaf_name(&self, leaf: &str) -> Option<String> {
        match (leaf, &self.album.leaves[..]) {
            ("", [only]) => Some(only.name.clone()),
            ("", _) => None,
            _ => Some(leaf.to_owned()),
        }
    }

    /// A size that was measured, given, or said of an insert.
    fn size(&mut self, leaf: &str, name: &str, to: Interval) -> Option<()> {
        let text = self.ruler.show_interval(to);
        let own = &self.album.own;
        for (key, said) in [("measured", &own.measured), ("given", &own.given)] {
            if leaf.is_empty() && said.iter().any(|(n, _)| n.value == name) {
                self.pen.table(key)?.put(name, text);
                return Some(());
            }
        }
        let leaf = self.leaf_name(leaf)?;
        for said in ["measured", "given"] {
            let mut row = self.pen.row("leaf", &leaf)?;
            if let Some(mut said) = row.table(said).filter(|said| said.has(name)) {
                said.put(name, text);
                return Some(());
            }
        }
        let (insert, field) = name.rsplit_once('.')?;
        let said = self.album.leaves.iter().find(|it| it.name == leaf)?;
        let said = said.inserts.iter().find(|it| it.name == insert)?;
        let mut row = self.pen.insert(&leaf, insert)?;
        if field == "show" || row.has(field) {
            row.put(field, text);
            return Some(());
        }
        // Of a card of the supplies the album says no size.
        let card = said.card.and_then(|at| self.album.supplies.cards.get(at));
        let (width, height) = match row.text("size") {
            Some(size) => parse_size(size).ok()?,
            None => card.map(|card| (card.width, card.height))?,
        };
        let (width, height) = match field {
            "width" => (to, height),
            _ => (width, to),
        };
        let size = self.ruler.type_size(width, height);
        match row.has("card") {
            true => row.put_for("card", "size", size),
            false => row.put("size", size),
        }
        Some(())
    }

    fn pocket(&mut self, bag: &str, measure: BagMeasure, to: &str) -> Option<()> {
        let key = match measure {
            BagMeasure::PocketEdge => "edge",
            _ => "depth",
        };
        let name = self.own_bag(bag)?;
        let mut row = self.pen.row("bag", &name)?;
        row.table_or_new("pocket")?.put(key, to);
        Some(())
    }

    /// The name of this bag in the album's own text: one of its supplies is copied into it.
    fn own_bag(&mut self, name: &str) -> Option<String> {
        let other = format!("{name}, changed");
        // Another change of the same fix may have copied it.
        let known = [name, other.as_str()].map(|it| self.pen.row("bag", it).is_some());
        match known {
            [true, _] => Some(name.to_owned()),
            [_, true] => Some(other),
            [false, false] => self.copy_bag(name, &other),
        }
    }

    /// A copy of a bag by another name, and the leaves made of it.
    fn copy_bag(&mut self, name: &str, other: &str) -> Option<String> {
        let mut copy = self.copy_of("bag", name)?;
        put_in(&mut copy, "name", other);
        self.pen.push("bag", copy)?;
        for leaf in &self.album.leaves {
            if self.album.supplies.bags.get(leaf.bag)?.name == name {
                self.pen.row("leaf", &leaf.name)?.put("bag", other);
            }
        }
        Some(other.to_owned())
    }

    fn leave_out(&mut self, leaf: &str, name: &str) -> Option<()> {
        let leaf = self.leaf_name(leaf)?;
        self.pen.take_out(&leaf, name)?;
        let mut after = self.album.clone();
        let it = after.leaves.iter_mut().find(|it| it.name == leaf)?;
        it.inserts.retain(|insert| insert.name != name);
        for (key, said) in [("given", &it.given), ("measured", &it.measured)] {
            if let Some(mut row) = self.pen.row("leaf", &leaf)?.table(key) {
                let its = said.iter().filter(|(n, _)| is_size_of(name, &n.value));
                its.for_each(|(n, _)| row.remove(&n.value));
            }
        }
        let keep = |line: &str| still_there(self.album, &after, line);
        self.pen.retain("prefer", keep);
        Some(())
    }

    fn deed(&mut self, deed: &Deed) -> Option<()> {
        let ruler = self.ruler;
        match deed {
            Deed::Place { leaf, insert, to } => {
                let mut row = self.pen.insert(leaf, insert)?;
                row.put("place", to.place.as_str());
                match &to.section {
                    Some(section) => row.put("section", section.as_str()),
                    None => row.remove("section"),
                }
            }
            Deed::Turn {
                leaf,
                insert,
                width,
                height,
            } => self.turn((leaf, insert), *width, *height)?,
            Deed::Show { leaf, insert, to } => {
                self.pen.insert(leaf, insert)?.put("show", ruler.show(*to));
            }
            Deed::Grip { leaf, insert, grip } => {
                self.pen.insert(leaf, insert)?.put("grip", grip.word());
            }
            Deed::Use {
                supply,
                leaf,
                of,
                to,
                ..
            } => self.use_it(*supply, (leaf, of), to)?,
            Deed::RingOf { from, to, .. } => self.ring_of(from, &ruler.show(*to))?,
            Deed::SheetOf {
                leaf, of, from, to, ..
            } => self.sheet_of((leaf, of), from, *to)?,
            Deed::BagOf { from, side, to, .. } => self.bag_of(from, *side, *to)?,
            Deed::Pick {
                from,
                side,
                pack,
                to,
            } => {
                let name = self.own_bag(from)?;
                let to = Interval::between(*to, pack.most())?;
                self.bag_size(&name, *side, to)?;
            }
            Deed::Pattern { from, to } => self.pattern(from, to.as_deref())?,
            Deed::Row { to, .. } => {
                let to = ruler.show_interval(*to);
                self.pen.table("template")?.put("first", to);
            }
            Deed::Holes { to, .. } => {
                let mut template = self.pen.table("template")?;
                template.put("holes", *to);
                if *to < 2 {
                    template.remove("pitch");
                }
            }
            Deed::NoEyelets => self.pen.table("template")?.remove("eyelet"),
            Deed::Without { leaf, part } => self.part(leaf, part, "none")?,
            Deed::With { part, paper } => {
                for leaf in &self.album.leaves {
                    self.part(&leaf.name, part, paper)?;
                }
            }
            Deed::Thinner {
                leaf, insert, to, ..
            } => {
                let to = ruler.show(*to);
                self.pen.insert(leaf, insert)?.put("caliper", to);
            }
            Deed::FewerOf {
                leaf, insert, left, ..
            } => self.pen.insert(leaf, insert)?.put("count", *left),
            Deed::Fewer { leaf, by, .. } => {
                let now = self.album.leaves.iter().find(|it| it.name == *leaf)?.count;
                self.pen.row("leaf", leaf)?.put("count", now - by);
            }
        }
        Some(())
    }

    fn turn(
        &mut self,
        (leaf, insert): (&str, &str),
        width: Interval,
        height: Interval,
    ) -> Option<()> {
        let Some(mut row) = self.pen.insert(leaf, insert) else {
            self.size(leaf, &format!("{insert}.width"), width)?;
            return self.size(leaf, &format!("{insert}.height"), height);
        };
        for key in ["width", "height", "card"] {
            row.remove(key);
        }
        row.put("size", self.ruler.type_size(width, height));
        Some(())
    }

    /// Another ring of that kind. How many there are, and what they cost, is not known of it.
    fn ring_of(&mut self, from: &str, inside: &str) -> Option<()> {
        let mut ring = self.copy_of("ring", from)?;
        let name = format!("ring of {inside}");
        put_in(&mut ring, "name", &name);
        put_in(&mut ring, "inside", inside);
        for key in ["count", "price"] {
            ring.remove(key);
        }
        self.pen.push("ring", ring)?;
        self.pen.table("template")?.put("ring", name);
        Some(())
    }

    /// Larger sheets of a paper. How many there are, and what they cost, is not known of them.
    fn sheet_of(
        &mut self,
        (leaf, of): (&str, &str),
        from: &str,
        (width, height): (Interval, Interval),
    ) -> Option<()> {
        let mut paper = self.copy_of("paper", from)?;
        let name = Deed::larger(from);
        put_in(&mut paper, "name", &name);
        put_in(&mut paper, "size", self.ruler.type_size(width, height));
        for key in ["sheets", "price"] {
            paper.remove(key);
        }
        self.pen.push("paper", paper)?;
        self.use_it(Supply::Paper, (leaf, of), &name)
    }

    fn bag_of(&mut self, from: &str, side: Side, to: Interval) -> Option<()> {
        let name = Deed::larger(from);
        // It may be larger one way already.
        if self.pen.row("bag", &name).is_none() {
            self.copy_bag(from, &name)?;
        }
        for key in ["count", "pack", "price"] {
            self.pen.row("bag", &name)?.remove(key);
        }
        self.bag_size(&name, side, to)
    }

    /// A copy of a row of the album or of its supplies.
    fn copy_of(&self, list: &str, name: &str) -> Option<Table> {
        let mut all = [&self.pen].into_iter().chain(&self.others);
        all.find_map(|pen| pen.copy(list, name))
    }

    fn bag_size(&mut self, name: &str, side: Side, to: Interval) -> Option<()> {
        let mut row = self.pen.row("bag", name)?;
        let (width, height) = parse_size(row.text("size")?).ok()?;
        let (width, height) = match side {
            Side::Wide => (to, height),
            Side::High => (width, to),
        };
        row.put("size", self.ruler.type_size(width, height));
        Some(())
    }

    /// A leaf's own piece of paper, which stands among its keys or in its `papers`; one of the album itself,
    /// if no leaf is named.
    fn part(&mut self, leaf: &str, part: &str, paper: &str) -> Option<()> {
        if leaf.is_empty() {
            self.pen.table("papers")?.put(part, paper);
            return Some(());
        }
        let mut row = self.pen.row("leaf", leaf)?;
        match row.table("papers") {
            Some(mut papers) if papers.has(part) => papers.put(part, paper),
            _ => row.put(part, paper),
        }
        Some(())
    }

    fn use_it(&mut self, supply: Supply, (leaf, of): (&str, &str), to: &str) -> Option<()> {
        match supply {
            Supply::Punch => self.pen.table("template")?.put("punch", to),
            Supply::Ring => self.pen.table("template")?.put("ring", to),
            Supply::Bag => self.pen.row("leaf", leaf)?.put("bag", to),
            Supply::Print => {
                let mut row = self.pen.insert(leaf, of)?;
                row.table_or_new("photo")?.put("print", to);
            }
            Supply::Paper => match self.pen.insert(leaf, of) {
                Some(mut insert) => insert.put("paper", to),
                None => self.part(leaf, of, to)?,
            },
        }
        Some(())
    }

    /// Another pattern of holes, or none; what the old one fixed is not said any more.
    fn pattern(&mut self, from: &str, to: Option<&str>) -> Option<()> {
        let was = Pattern::named(from)?;
        let mut template = self.pen.table("template")?;
        for (key, fixed) in [("diameter", was.diameter), ("edge", was.edge)] {
            if fixed.is_some() {
                template.remove(key);
            }
        }
        template.remove("pitch");
        match to {
            Some(to) => {
                template.put("pattern", to);
                template.remove("holes");
            }
            None => {
                template.remove("pattern");
                template.put("holes", was.holes());
            }
        }
        Some(())
    }
}
