//! What is there afterwards: the supplies file with all that the albums use taken off, or a file of what is
//! left over, for the next album.

use super::buy::{Purchase, Thing};
use super::needs::at_hand;
use crate::album::edit::{Pen, Rows, put_in, row_of, rows_in_line};
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
    /// Each text of supplies that has something of what the albums use, under its name, with these counts;
    /// its comments stay. Offcuts stand where their paper does.
    pub fn taken_off(&self, files: &Files) -> Vec<(String, String)> {
        let mut all: Vec<(String, String)> = Vec::new();
        for (at, (name, text)) in Afterwards::texts(self.supplies, files)
            .into_iter()
            .enumerate()
        {
            let home = |one: &Left| {
                let paper = self.purchase.order.papers.get(one.paper);
                let own = self.supplies.papers.iter();
                let mut own = own.filter(|it| paper.is_some_and(|paper| paper.name == it.name));
                own.next()
                    .map_or(at == 0, |it| files.text(it.place.file) == text)
            };
            all.extend(self.taken(text, &home).map(|text| (name.to_owned(), text)));
        }
        all
    }

    /// One of them; `None` if it is no TOML, or has none of the supplies.
    fn taken(&self, text: &str, home: &dyn Fn(&Left) -> bool) -> Option<String> {
        let mut pen = Pen::of(text)?;
        let mut any = false;
        for (kind, at, designs) in self.rows() {
            let (name, _) = at_hand(self.supplies, kind, at)?;
            let Some(mut row) = pen.row(kind.word(), name) else {
                continue;
            };
            any = true;
            match designs {
                true => {
                    let all = self.supplies.designs_of(at);
                    row.put("designs", self.designs(all)?);
                }
                false => row.put(count_key(kind), self.left(kind, at)?),
            }
        }
        any |= pen.has(&["offcut"]);
        pen.top().remove("offcut");
        self.push_offcuts(&mut pen, home)?;
        any.then(|| pen.text())
    }

    /// What is left over, each as its file describes it, with a line of what it is left of. `None` if that
    /// is nothing.
    pub fn left_over(&self, title: &str, files: &Files) -> Option<String> {
        let mut pen = Pen::of("")?;
        let mut any = !self.offcuts.is_empty();
        for (kind, at, designs) in self.rows() {
            let left: Vec<usize> = match designs {
                true => self.supplies.designs_of(at).collect(),
                false => vec![at],
            };
            let is_left = |at: &usize| self.thing(kind, *at).is_some_and(|it| it.left() > 0);
            let left: Vec<usize> = left.into_iter().filter(is_left).collect();
            if left.is_empty() {
                continue;
            }
            let (name, _) = at_hand(self.supplies, kind, at)?;
            let from = Pen::of(files.text(place(self.supplies, kind, at)?.file))?;
            pen.push(kind.word(), from.copy(kind.word(), name)?)?;
            let mut row = pen.row(kind.word(), name)?;
            match designs {
                true => row.put("designs", self.designs(left.into_iter())?),
                false => row.put(count_key(kind), self.left(kind, at)?),
            }
            any = true;
        }
        self.push_offcuts(&mut pen, &|_| true)?;
        let title = title.replace(char::is_control, " ");
        any.then(|| format!("# What is left of {title}.\n\n{}", pen.text().trim_start()))
    }

    /// The supplies that were used or bought, each as it stands in a file: a pad, of which designs were
    /// counted, once.
    fn rows(&self) -> Vec<(Kind, usize, bool)> {
        let mut rows = Vec::new();
        for Thing { kind, at, .. } in &self.purchase.things {
            let paper = self.supplies.papers.get(*at);
            let pad = paper.and_then(|it| it.design_of).map(|(pad, _)| pad);
            let row = match pad.filter(|_| *kind == Kind::Paper) {
                Some(pad) => (*kind, pad, true),
                None => (*kind, *at, false),
            };
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
        rows
    }

    fn thing(&self, kind: Kind, at: usize) -> Option<&Thing> {
        let mut things = self.purchase.things.iter();
        things.find(|it| (it.kind, it.at) == (kind, at))
    }

    /// How many of a supply are there afterwards.
    fn left(&self, kind: Kind, at: usize) -> Option<i64> {
        let home = at_hand(self.supplies, kind, at)?.1;
        let left = self.thing(kind, at).map_or(home, Thing::left);
        i64::try_from(left).ok()
    }

    /// Designs of a pad with their sheets, as an album file has them.
    fn designs(&self, papers: impl Iterator<Item = usize>) -> Option<Rows> {
        let mut rows = Vec::new();
        for at in papers {
            let (pad, design) = self.supplies.papers.get(at)?.design_of?;
            let design = self.supplies.papers.get(pad)?.designs.get(design)?;
            let mut row = row_of(&[("name", &design.name)]);
            put_in(&mut row, "sheets", self.left(Kind::Paper, at)?);
            if let Some(sides) = design.sides {
                put_in(&mut row, "sides", sides);
            }
            rows.push(row);
        }
        Some(rows_in_line(rows))
    }

    fn push_offcuts(&self, pen: &mut Pen, here: &dyn Fn(&Left) -> bool) -> Option<()> {
        for one in self.offcuts.iter().filter(|one| here(one)) {
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
    /// The texts in which supplies stand, each once, with their names.
    pub fn texts<'f>(supplies: &Supplies, files: &'f Files) -> Vec<(&'f str, &'f str)> {
        let bags = supplies.bags.iter().map(|it| it.place);
        let papers = supplies.papers.iter().map(|it| it.place);
        let cards = supplies
            .prints
            .iter()
            .chain(&supplies.cards)
            .map(|it| it.place);
        let rings = supplies.rings.iter().map(|it| it.place);
        let all = bags.chain(papers).chain(cards).chain(rings);
        let mut texts: Vec<(&str, &str)> = Vec::new();
        for Place { file, .. } in all {
            let text = files.text(file);
            if !texts.iter().any(|(_, known)| *known == text) {
                texts.push((files.name(file), text));
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

fn place(supplies: &Supplies, kind: Kind, at: usize) -> Option<Place> {
    match kind {
        Kind::Bag => supplies.bags.get(at).map(|it| it.place),
        Kind::Paper => supplies.papers.get(at).map(|it| it.place),
        Kind::Print => supplies.prints.get(at).map(|it| it.place),
        Kind::Card => supplies.cards.get(at).map(|it| it.place),
        Kind::Ring => supplies.rings.get(at).map(|it| it.place),
        Kind::Punch => supplies.punches.get(at).map(|it| it.place),
        Kind::Parcel => supplies.parcels.get(at).map(|it| it.place),
    }
}
