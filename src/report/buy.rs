//! The shopping list, as a maker reads it and for programs.

use super::handout::{Block, Section, Table, on_screen};
use super::json::{joined, list, pretty, start};
use super::words::{count, listed, plain, wrapped};
use crate::length::{Length, Ruler};
use crate::money::Money;
use crate::shop::buy::{Line, Purchase, Thing};
use crate::shop::needs::at_hand;
use crate::shop::short::Short;
use crate::supplies::{Kind, Supplies};
use itertools::Itertools;
use serde_json::json;

/// A purchase, and what its report needs besides.
#[derive(Clone, Copy)]
pub struct Shopping<'a> {
    pub title: &'a str,
    pub supplies: &'a Supplies,
    pub purchase: &'a Purchase,
    /// Rings of albums that name none, and photos from no named print.
    pub any_ring: u64,
    pub any_print: u64,
    /// Inside diameter of the smallest ring that takes those albums.
    pub ring: Option<Length>,
    pub ruler: Ruler,
}

/// Why no choice of packs is enough, and what to do, for so many copies of one album.
pub fn not_enough(short: &[Short], copies: Option<u64>) -> String {
    let mut text = String::new();
    for it in short {
        let (have, need) = (it.have, it.need);
        let (missing, name) = (need.saturating_sub(have), &it.name);
        let are = if missing == 1 { "is" } else { "are" };
        let missing = match it.kind {
            Kind::Paper => count(missing, "sheet", "sheets"),
            _ => missing.to_string(),
        };
        let needed = match it.kind {
            Kind::Paper => format!("the best plan found takes {need}"),
            _ => format!("{need} are needed"),
        };
        let sales = it.sales.iter().filter(|it| it.packs > 0);
        let sales = sales.map(|it| match it.each {
            1 => format!("{} for {}", it.packs, it.cost),
            each => format!(
                "{} of {each} for {}",
                count(it.packs, "pack", "packs"),
                it.cost
            ),
        });
        let sales = match listed(&sales.collect::<Vec<_>>()) {
            none if none.is_empty() => none,
            some => format!(" ({some})"),
        };
        let said = format!(
            "{missing} of {name} {are} missing: {needed}, and with all that is for sale{sales} you have {have}."
        );
        text.push_str(&wrapped(&said, "", "  "));
    }
    let enough = |it: &Short, copies: u64| {
        let copies = u128::from(it.have) * u128::from(copies) / u128::from(it.need.max(1));
        u64::try_from(copies).unwrap_or(u64::MAX)
    };
    let copies = copies.filter(|copies| *copies > 1);
    // Of sheets a copy takes no fixed share.
    let counted = short.iter().filter(|it| it.kind != Kind::Paper);
    let some = copies.and_then(|copies| counted.map(|it| enough(it, copies)).min());
    if let (Some(some), Some(copies)) = (some, copies) {
        let how = match some {
            0 => String::new(),
            _ => format!(": ask with `--copies {some}`"),
        };
        let said = format!("So at most {some} of the {copies} albums can be made{how}.");
        text.push_str(&wrapped(&said, "", ""));
    }
    let proved = match short {
        [] => {
            "The packs that you can buy are not enough (proved). Raise a `most`, or add a `[[pack]]`."
        }
        _ => {
            "That this is not enough is proved. If more can be bought, raise the `most` of a pack, or add a `[[pack]]`."
        }
    };
    text + &wrapped(proved, "", "")
}

impl Shopping<'_> {
    fn name(&self, kind: Kind, at: usize) -> &str {
        at_hand(self.supplies, kind, at).map_or("", |(name, _)| name)
    }

    /// `50 of small brown`, `1 sheet of wave print`.
    fn amount(&self, kind: Kind, at: usize, number: u64) -> String {
        let name = self.name(kind, at);
        match kind {
            Kind::Paper => format!("{} of {name}", count(number, "sheet", "sheets")),
            _ => format!("{number} of {name}"),
        }
    }

    /// `24 sheets of pad, 2 of each design`, if that is all that a pack holds.
    fn of_pad(&self, holds: &[(Kind, usize, i64)], times: u64) -> Option<String> {
        let papers = &self.supplies.papers;
        let pad = |(kind, at, n): &(Kind, usize, i64)| {
            let paper = papers.get(*at).filter(|_| *kind == Kind::Paper)?;
            Some((paper.design_of?.0, *n))
        };
        let (first, each) = pad(holds.first()?)?;
        let same = holds.len() > 1 && holds.iter().all(|it| pad(it) == Some((first, each)));
        let each = u64::try_from(each).ok()?.saturating_mul(times);
        let all = each.saturating_mul(holds.len() as u64);
        let name = &papers.get(first)?.name;
        let sheets = count(all, "sheet", "sheets");
        same.then(|| format!("{sheets} of {name}, {each} of each design"))
    }

    fn line(&self, line: &Line) -> String {
        let each = |times: u64| {
            if let Some(said) = self.of_pad(&line.pack.holds, times) {
                return said;
            }
            let holds = line.pack.holds.iter();
            let all = holds.map(|&(kind, at, n)| {
                self.amount(
                    kind,
                    at,
                    u64::try_from(n).unwrap_or(0).saturating_mul(times),
                )
            });
            listed(&all.collect::<Vec<_>>())
        };
        let what = match line.pack.holds[..] {
            [(_, _, 1)] => each(line.times),
            _ => format!("{} of {}", count(line.times, "pack", "packs"), each(1)),
        };
        match line.times {
            1 => format!("{what}: {}.", line.cost),
            _ => format!("{what}, {} each: {}.", line.pack.price, line.cost),
        }
    }

    fn missing(&self) -> impl Iterator<Item = &Thing> {
        self.purchase
            .things
            .iter()
            .filter(|thing| thing.missing() > 0)
    }

    /// Sheets are counted by the designs of a pad.
    fn any_design(&self) -> bool {
        let papers = self.purchase.things.iter();
        let mut papers = papers.filter(|thing| thing.kind == Kind::Paper);
        papers.any(|it| {
            let paper = self.supplies.papers.get(it.at);
            paper.is_some_and(|paper| paper.design_of.is_some())
        })
    }

    fn head(&self) -> String {
        let Purchase {
            price,
            proved,
            least,
            ..
        } = self.purchase;
        let mut said = match (self.purchase.lines.is_empty(), self.missing().next()) {
            (true, None) if self.open().is_empty() => {
                "You have all of it: there is nothing to buy.".to_owned()
            }
            (true, None) => "You have all that is named; the rest is below.".to_owned(),
            (true, Some(_)) => "What is missing has no price.".to_owned(),
            (false, _) if *proved => {
                let of = if self.any_design() {
                    " for these designs"
                } else {
                    ""
                };
                format!("Buy for {price}. No other choice costs less{of} (proved).")
            }
            (false, _) if *least > Money::ZERO => format!(
                "Buy for {price}: the cheapest choice found. You need at least {least} (proved)."
            ),
            (false, _) => format!("Buy for {price}: the cheapest choice found."),
        };
        if !self.purchase.lines.is_empty() && self.missing().next().is_some() {
            said.push_str(" Some of what you need has no price and comes on top.");
        }
        if self.purchase.fewest {
            said.push_str(
                " Some of your papers share only some of their pieces: you get their fewest sheets, \
                 and other sheets may cost less.",
            );
        }
        said
    }

    /// The shopping list as text, and what else there is to know.
    pub fn text(&self, more: &[Section]) -> String {
        let sections = [&self.sections(), more].concat();
        on_screen(self.title, &sections)
    }

    /// The answer, then what to buy, what has no price, what is not counted, what stays.
    pub fn sections(&self) -> Vec<Section> {
        let lines = self.purchase.lines.iter().map(|line| self.line(line));
        let missing: Vec<String> = self
            .missing()
            .map(|it| format!("{}.", self.amount(it.kind, it.at, it.missing())))
            .collect();
        let without_price = match missing.is_empty() {
            true => Vec::new(),
            false => {
                let said = "Type `price = \"1.10\"` beside its name, or add a `[[pack]]`, and it counts too.";
                vec![Block::dashes(missing), Block::text(said)]
            }
        };
        let short = self.missing().next().is_some();
        let rows = self.purchase.things.iter().map(|thing| {
            let name = self.name(thing.kind, thing.at).to_owned();
            let mut row = vec![name];
            row.extend([thing.used, thing.at_home, thing.bought].map(|n| n.to_string()));
            row.extend(short.then(|| thing.missing().to_string()));
            row.push(thing.left().to_string());
            row
        });
        let mut head = vec!["", "Used", "At home", "Bought"];
        head.extend(short.then_some("To get"));
        head.push("Left");
        let table = Table {
            numbers: (1..head.len()).collect(),
            ..Table::new(&head, rows.collect())
        };
        let all = [
            ("", vec![Block::Text(self.head())]),
            ("Buy", vec![Block::dashes(lines.collect())]),
            ("Without a price", without_price),
            ("Not named yet", vec![Block::dashes(self.open())]),
            ("What you use, and what stays", vec![Block::Table(table)]),
        ];
        let all = all.into_iter();
        let all = all.map(|(title, blocks)| Section::new(title, blocks));
        all.filter(|section| !section.is_empty()).collect()
    }

    /// What names no supply, so that nothing can be said of it.
    fn open(&self) -> Vec<String> {
        let mut said = Vec::new();
        if self.any_ring > 0 {
            let rings = count(self.any_ring, "ring", "rings");
            let of = match self.ring {
                Some(inside) => format!("at least {} inside", self.ruler.show(inside)),
                None => "any kind".to_owned(),
            };
            said.push(format!("{rings} of {of}: your supplies name none."));
        }
        if self.any_print > 0 {
            let prints = count(self.any_print, "print", "prints");
            said.push(format!("{prints} of any size: your supplies name none."));
        }
        let all = &self.purchase.order.any_paper;
        let pieces: u64 = all.iter().map(|want| want.count).sum();
        if pieces > 0 {
            let pieces = count(pieces, "piece", "pieces");
            let names: Vec<String> = all.iter().map(|it| plain(&it.label())).unique().collect();
            let names = listed(&names);
            said.push(format!(
                "Paper for {pieces} that no paper is named for: {names}."
            ));
        }
        said
    }

    /// The same for other programs.
    pub fn json(&self, exit: u8, needs: &[String]) -> String {
        let Purchase { order, .. } = self.purchase;
        let any_paper: u64 = order.any_paper.iter().map(|want| want.count).sum();
        let of = |&(kind, at, count): &(Kind, usize, i64)| json!({ "kind": kind.word(), "name": self.name(kind, at), "count": count });
        let rest = json!({
            "title": self.title,
            "verdict": if self.purchase.proved { "proved" } else { "best found" },
            "exit": exit,
            "proved": self.purchase.proved,
            "price": self.purchase.price.to_string(),
            "least": self.purchase.least.to_string(),
            "packs": list(&self.purchase.lines, |line| json!({
                "of": list(&line.pack.holds, of),
                "count": line.times,
                "each": line.pack.price.to_string(),
                "price": line.cost.to_string(),
            })),
            "supplies": list(&self.purchase.things, |thing| json!({
                "kind": thing.kind.word(),
                "name": self.name(thing.kind, thing.at),
                "used": thing.used,
                "at_home": thing.at_home,
                "bought": thing.bought,
                "missing": thing.missing(),
                "left": thing.left(),
            })),
            "any_ring": self.any_ring,
            "ring_inside": self.ring.map(|it| self.ruler.show(it)),
            "any_print": self.any_print,
            "any_paper": any_paper,
            "needs": needs,
        });
        pretty(&joined([start("buy"), rest]))
    }
}
