//! What is there afterwards: the supplies file with all that the albums use taken off, or a file of what is
//! left over, for the next album.

use super::buy::{Purchase, Thing};
use super::needs::at_hand;
use crate::album::edit::{Pen, put_in, row_of};
use crate::cut::offcuts::Left;
use crate::length::Ruler;
use crate::supplies::{Kind, Supplies};
use crate::text::{Files, Place};

/// Everything that was there and was bought, less what is used.
#[derive(Clone, Copy)]
pub struct Afterwards<'a> {
    pub supplies: &'a Supplies,
    pub purchase: &'a Purchase,
    /// Offcuts of the cutting plan that are worth keeping.
    pub offcuts: &'a [Left],
    pub ruler: Ruler,
}

impl Afterwards<'_> {
    /// A text of supplies with these counts and offcuts; its comments stay. `None` if it is no TOML, or has
    /// none of the supplies.
    pub fn taken_off(&self, text: &str) -> Option<String> {
        let mut pen = Pen::of(text)?;
        let mut any = false;
        for thing in &self.purchase.things {
            let (name, _) = at_hand(self.supplies, thing.kind, thing.at)?;
            if let Some(mut row) = pen.row(thing.kind.word(), name) {
                row.put(count_key(thing.kind), count(thing)?);
                any = true;
            }
        }
        pen.top().remove("offcut");
        self.push_offcuts(&mut pen)?;
        any.then(|| pen.text())
    }

    /// What is left over, each as its file describes it, with a line of what it is left of. `None` if that
    /// is nothing.
    pub fn left_over(&self, title: &str, files: &Files) -> Option<String> {
        let mut pen = Pen::of("")?;
        let left = self.purchase.things.iter().filter(|thing| thing.left() > 0);
        let mut any = !self.offcuts.is_empty();
        for thing in left {
            let (name, _) = at_hand(self.supplies, thing.kind, thing.at)?;
            let from = Pen::of(files.text(place(self.supplies, thing)?.file))?;
            let list = thing.kind.word();
            pen.push(list, from.copy(list, name)?)?;
            pen.row(list, name)?
                .put(count_key(thing.kind), count(thing)?);
            any = true;
        }
        self.push_offcuts(&mut pen)?;
        let title = title.replace(char::is_control, " ");
        any.then(|| format!("# What is left of {title}.\n\n{}", pen.text().trim_start()))
    }

    fn push_offcuts(&self, pen: &mut Pen) -> Option<()> {
        for one in self.offcuts {
            let paper = &self.purchase.order.papers.get(one.paper)?.name;
            let size = self.ruler.show_size(one.width, one.height);
            let mut row = match paper.as_str() {
                "" => row_of(&[("size", &size)]),
                paper => row_of(&[("paper", paper), ("size", &size)]),
            };
            put_in(&mut row, "count", i64::try_from(one.count).ok()?);
            pen.push("offcut", row)?;
        }
        Some(())
    }
}

impl Afterwards<'_> {
    /// The texts in which supplies stand, each once.
    pub fn texts<'f>(supplies: &Supplies, files: &'f Files) -> Vec<&'f str> {
        let bags = supplies.bags.iter().map(|it| it.place);
        let papers = supplies.papers.iter().map(|it| it.place);
        let cards = supplies
            .prints
            .iter()
            .chain(&supplies.cards)
            .map(|it| it.place);
        let rings = supplies.rings.iter().map(|it| it.place);
        let all = bags.chain(papers).chain(cards).chain(rings);
        let mut texts: Vec<&str> = Vec::new();
        for text in all.map(|place| files.text(place.file)) {
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
        texts
    }
}

fn count_key(kind: Kind) -> &'static str {
    match kind {
        Kind::Paper => "sheets",
        _ => "count",
    }
}

fn count(thing: &Thing) -> Option<i64> {
    i64::try_from(thing.left()).ok()
}

fn place(supplies: &Supplies, thing: &Thing) -> Option<Place> {
    let at = thing.at;
    match thing.kind {
        Kind::Bag => supplies.bags.get(at).map(|it| it.place),
        Kind::Paper => supplies.papers.get(at).map(|it| it.place),
        Kind::Print => supplies.prints.get(at).map(|it| it.place),
        Kind::Card => supplies.cards.get(at).map(|it| it.place),
        Kind::Ring => supplies.rings.get(at).map(|it| it.place),
        Kind::Punch => supplies.punches.get(at).map(|it| it.place),
        Kind::Parcel => supplies.parcels.get(at).map(|it| it.place),
    }
}
