//! Bags in order, and those that no other beats.
//!
//! A bag is as good as its photo, its price and so on: its *respects*. What is not known counts as the
//! worst. A bag is unbeaten if no other is as good in every respect that is asked for and better in
//! one. Bags are taken one at a time, and what is kept does not grow with their number: the best few,
//! the unbeaten (of those that are equal in every respect the first, and how many there are), and of
//! those that do not fit the few that miss least.

use super::{Answer, Fit, Offer};
use crate::length::{Interval, Length};
use std::cmp::{Ordering, Reverse};

/// What bags are compared by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Respect {
    /// A larger photo: the shorter side first, then both together.
    Photo,
    /// Less money for the bags of the album, in whole packs.
    Price,
    /// More leaves on the ring.
    Leaves,
    /// Less paper (area).
    Paper,
    /// A thinner stack at the holes.
    Thickness,
}

impl Respect {
    /// All of them, with the words that name them.
    pub const ALL: [(&'static str, Respect); 5] = [
        ("photo", Respect::Photo),
        ("price", Respect::Price),
        ("leaves", Respect::Leaves),
        ("paper", Respect::Paper),
        ("thickness", Respect::Thickness),
    ];

    /// The word that names it.
    pub fn name(self) -> &'static str {
        let named = Respect::ALL.iter().find(|(_, respect)| *respect == self);
        named.map_or("", |(name, _)| name)
    }

    /// How good a bag is, more being better; what is not known is less than all else.
    fn worth(self, offer: &Offer, fit: &Fit) -> Worth {
        let less = |amount: i128| Some((-amount, 0));
        match self {
            Respect::Photo => fit.photo.as_ref().map(|photo| {
                let (shorter, both) = photo.size();
                (i128::from(shorter.nm()), i128::from(both.nm()))
            }),
            Respect::Price => offer.cost.price.and_then(|money| less(money.0.into())),
            Respect::Leaves => fit.leaves_on_ring().map(|leaves| (leaves.into(), 0)),
            Respect::Paper => less(fit.paper.iter().map(|sheets| sheets.area).sum()),
            Respect::Thickness => less(fit.stack_at_holes.most().nm().into()),
        }
    }
}

impl Fit {
    /// Leaves that the ring takes: of the kind that holds the photo, else of the first kind.
    pub fn leaves_on_ring(&self) -> Option<i64> {
        let ring = self.ring.as_ref()?;
        let of_photo = |(leaf, _): &&(String, i64)| {
            let photo = self.photo.as_ref();
            photo.is_some_and(|photo| photo.leaf == *leaf)
        };
        let takes = ring.takes.iter().find(of_photo).or(ring.takes.first());
        takes.map(|(_, leaves)| *leaves)
    }
}

/// One respect of one bag.
type Worth = Option<(i128, i128)>;

/// A bag that fits, with its place among the others.
#[derive(Clone, Debug)]
pub struct Ranked {
    pub offer: Offer,
    /// Its place in what was read, from 0.
    pub at: u64,
    /// 1 for the best; bags that are equal in every respect share it. Nothing for a bag that is shown
    /// only because it is unbeaten, behind others that are not shown.
    pub rank: Option<u64>,
    pub unbeaten: bool,
    /// Bags equal to it in every respect, itself not counted.
    pub ties: u64,
}

/// Bags in order.
#[derive(Clone, Debug)]
pub struct Ranking {
    by: Vec<Respect>,
    at_least: Vec<AtLeast>,
    most: usize,
    best: Vec<Held>,
    unbeaten: Vec<Held>,
    failed: Vec<(Nearness, Offer)>,
    less: Vec<(Less, Offer)>,
    pub counts: Counts,
}

/// How many bags there were, and what became of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    pub taken: u64,
    /// They fit and give what is asked for.
    pub fit: u64,
    /// They fit, and give less than is asked for.
    pub small: u64,
    /// They do not fit.
    pub clash: u64,
    /// They were not settled.
    pub open: u64,
}

/// A bag that fits, and how good it is in each respect.
#[derive(Clone, Debug)]
struct Held {
    offer: Offer,
    at: u64,
    worth: Vec<Worth>,
    alike: u64,
}

/// Fewer rules in the way, then less that is missing, then what comes first; what was not settled
/// stands behind.
type Nearness = (usize, i128, u64);
/// Fewer things that are not there, then fewer leaves missing, then less length, then what comes first.
type Less = (usize, i64, i128, u64);
/// Bags that give less than is asked for, of which the nearest are kept.
const MOST_LESS: usize = 3;

impl Ranking {
    /// An order by these respects, the first one first, that keeps the best `most` of those that give
    /// all that is asked for.
    pub fn new(by: &[Respect], at_least: &[AtLeast], most: usize) -> Ranking {
        Ranking {
            by: by.to_vec(),
            at_least: at_least.to_vec(),
            most,
            best: Vec::new(),
            unbeaten: Vec::new(),
            failed: Vec::new(),
            less: Vec::new(),
            counts: Counts::default(),
        }
    }

    /// Takes the next bag.
    pub fn take(&mut self, offer: Offer) {
        let at = self.counts.taken;
        self.counts.taken += 1;
        match &offer.answer {
            Answer::Fits(fit) if self.at_least.iter().any(|it| it.lack(fit).is_some()) => {
                self.counts.small += 1;
                let near = self.less_by(fit, at);
                keep(&mut self.less, MOST_LESS, near, offer);
            }
            Answer::Fits(fit) => {
                self.counts.fit += 1;
                let each = self.by.iter().map(|respect| respect.worth(&offer, fit));
                let held = Held {
                    worth: each.collect(),
                    offer,
                    at,
                    alike: 0,
                };
                self.among_unbeaten(&held);
                self.among_best(held);
            }
            Answer::Clash(conflict) => {
                self.counts.clash += 1;
                let missing = conflict.rules.iter().filter_map(|rule| rule.missing);
                let sum = missing.map(|(length, _)| i128::from(length.nm())).sum();
                let near = (conflict.rules.len(), sum, at);
                keep(&mut self.failed, self.most, near, offer);
            }
            Answer::NotWorkable(_) => {
                self.counts.clash += 1;
                keep(&mut self.failed, self.most, (usize::MAX, 0, at), offer);
            }
            Answer::Undecided(_) | Answer::Defect(_) => {
                self.counts.open += 1;
                keep(&mut self.failed, self.most, (usize::MAX, 0, at), offer);
            }
        }
    }

    fn among_best(&mut self, held: Held) {
        // What is equal keeps the order in which it came.
        let place = self.best.partition_point(|other| other.worth >= held.worth);
        if place < self.most {
            self.best.insert(place, held);
            self.best.truncate(self.most);
        }
    }

    fn among_unbeaten(&mut self, held: &Held) {
        if let Some(same) = self.unbeaten.iter_mut().find(|o| o.worth == held.worth) {
            same.alike += 1;
            return;
        }
        let beaten = |one: &Held, by: &Held| {
            let mut each = one.worth.iter().zip(&by.worth);
            each.all(|(one, by)| by >= one)
        };
        if self.unbeaten.iter().any(|other| beaten(held, other)) {
            return;
        }
        self.unbeaten.retain(|other| !beaten(other, held));
        self.unbeaten.push(held.clone());
    }

    fn less_by(&self, fit: &Fit, at: u64) -> Less {
        let mut less = (0, 0, 0, at);
        for lack in self.at_least.iter().filter_map(|it| it.lack(fit)) {
            match lack {
                Lack::Nothing => less.0 += 1,
                Lack::Leaves { few, .. } => less.1 += few,
                Lack::Sides { narrow, low, .. } => less.2 += i128::from(narrow.nm() + low.nm()),
            }
        }
        less
    }

    /// If none gives what is asked for, the nearest of those that fit.
    pub fn less(&self) -> Vec<Offer> {
        let none = self.counts.fit == 0;
        let less = self.less.iter().filter(|_| none);
        less.map(|(_, offer)| offer.clone()).collect()
    }

    /// The best, best first, then those that are unbeaten though others come first; and those of
    /// which nothing came, in the order in which they miss.
    pub fn finish(self) -> (Vec<Ranked>, Vec<Offer>) {
        let mut ranked: Vec<Ranked> = Vec::new();
        let unbeaten = |worth: &[Worth]| self.unbeaten.iter().find(|o| o.worth == worth);
        let mut before: Option<(&[Worth], u64)> = None;
        for (n, held) in self.best.iter().enumerate() {
            let rank = match before {
                Some((worth, rank)) if worth == held.worth => rank,
                _ => n as u64 + 1,
            };
            before = Some((&held.worth, rank));
            let same = self.best.iter().filter(|o| o.worth == held.worth).count() as u64 - 1;
            let front = unbeaten(&held.worth);
            ranked.push(Ranked {
                offer: held.offer.clone(),
                at: held.at,
                rank: Some(rank),
                unbeaten: front.is_some(),
                ties: front.map_or(same, |front| front.alike),
            });
        }
        let mut rest: Vec<&Held> = self.unbeaten.iter().collect();
        rest.retain(|held| !self.best.iter().any(|o| o.worth == held.worth));
        rest.sort_by(|a, b| order(a, b));
        ranked.extend(rest.into_iter().map(|held| Ranked {
            offer: held.offer.clone(),
            at: held.at,
            rank: None,
            unbeaten: true,
            ties: held.alike,
        }));
        let failed = self.failed.into_iter().map(|(_, failed)| failed);
        (ranked, failed.collect())
    }
}

/// Keeps the nearest of those that are not what is looked for.
fn keep<N: Ord>(all: &mut Vec<(N, Offer)>, most: usize, near: N, offer: Offer) {
    let place = all.partition_point(|(other, _)| *other <= near);
    if place < most {
        all.insert(place, (near, offer));
        all.truncate(most);
    }
}

fn order(one: &Held, other: &Held) -> Ordering {
    (Reverse(&one.worth), one.at).cmp(&(Reverse(&other.worth), other.at))
}

/// What a bag must give to be looked at, as typed and as meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AtLeast {
    pub words: String,
    pub least: Least,
}

/// What a bag must give.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Least {
    /// A photo of these sides, either way up.
    Photo(Length, Length),
    /// An insert of this width and height.
    Insert(String, Length, Length),
    /// This number of leaves on the ring.
    Leaves(i64),
}

/// What is missing of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lack {
    /// There is no such thing.
    Nothing,
    /// Leaves on the ring, and how many fewer that is.
    Leaves { on: i64, few: i64 },
    /// A thing of these sides, and by how much it is too narrow and too low; at least one is more than zero.
    Sides {
        width: Interval,
        height: Interval,
        narrow: Length,
        low: Length,
    },
}

impl AtLeast {
    /// What is missing of it in what a bag gives; `None` if that is enough.
    pub fn lack(&self, fit: &Fit) -> Option<Lack> {
        match &self.least {
            Least::Photo(a, b) => {
                let Some(photo) = &fit.photo else {
                    return Some(Lack::Nothing);
                };
                // Its shorter side is that of what is given.
                let (short, long) = (*a.min(b), *a.max(b));
                let wanted = match photo.width.least() <= photo.height.least() {
                    true => (short, long),
                    false => (long, short),
                };
                lack((photo.width, photo.height), wanted)
            }
            Least::Insert(name, width, height) => {
                let inserts = fit.inserts.iter().filter(|it| it.name == *name);
                let lacks = inserts.map(|it| lack((it.width, it.height), (*width, *height)));
                // One that is enough will do.
                lacks
                    .min_by_key(|it| it.is_some())
                    .unwrap_or(Some(Lack::Nothing))
            }
            Least::Leaves(least) => match fit.leaves_on_ring() {
                None => Some(Lack::Nothing),
                Some(on) => (on < *least).then_some(Lack::Leaves {
                    on,
                    few: least - on,
                }),
            },
        }
    }
}

fn lack((width, height): (Interval, Interval), wanted: (Length, Length)) -> Option<Lack> {
    let less =
        |has: Interval, wanted: Length| Length::from_nm((wanted.nm() - has.least().nm()).max(0));
    let (narrow, low) = (less(width, wanted.0), less(height, wanted.1));
    (narrow.max(low) > Length::ZERO).then_some(Lack::Sides {
        width,
        height,
        narrow,
        low,
    })
}
