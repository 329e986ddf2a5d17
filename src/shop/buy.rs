//! What to buy for albums, at the least money: packs for what is missing beyond what is at home, and of
//! papers the sheets that cost least, which need not be the fewest.
//!
//! Whether some sheets are enough is a question for `nest`. Its "no" comes with a certificate: values of
//! pieces and how much of them a sheet of each size holds at most. That is a row for `cover`, which then
//! names the next cheapest packs; so the questions go on until the answer is a plan (Benders 1962, with
//! `nest` as the second of two problems). A "no" by search rules out these numbers of sheets only.

mod check;
mod close;
mod open;

use super::cover::{Basket, Demand, NoBasket, Shopping, TooFew};
use super::needs::{Needs, at_hand};
use super::short::{Sale, Short};
use crate::cut::batch::{Batch, Patience, WorkError};
use crate::cut::job::Counted;
use crate::cut::pool;
use crate::cut::{Order, Stages};
use crate::length::Ruler;
use crate::money::Money;
use crate::nest::{self, Certificate, Cutting, Job, Reason, Verdict};
use crate::solve::Limits;
use crate::supplies::packs::SOLD;
use crate::supplies::{Kind, Pack, Supplies};
use std::sync::atomic::Ordering;

/// Nodes of one question about sheets, about two seconds.
const NODES: u64 = 20_000;
/// Steps for replaying one certificate, a few seconds.
const STEPS: u64 = 2_000_000_000;
/// The most questions about sheets.
const ROUNDS: usize = 400;

/// How the sheets are cut.
#[derive(Clone, Copy)]
pub struct How<'a> {
    pub stages: Option<Stages>,
    pub ruler: Ruler,
    pub patience: &'a Patience<'a>,
}

/// A pack and how often it is bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    pub pack: Pack,
    pub times: u64,
    pub cost: Money,
}

/// A supply that is used or bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thing {
    pub kind: Kind,
    /// Place in the list of its kind.
    pub at: usize,
    /// What the albums use; of a paper the whole sheets of the cutting plan.
    pub used: u64,
    pub at_home: u64,
    pub bought: u64,
    /// It has a price, of its own or in a pack.
    pub priced: bool,
}

impl Thing {
    /// What must still be got, because it has no price.
    pub fn missing(&self) -> u64 {
        self.used
            .saturating_sub(self.at_home.saturating_add(self.bought))
    }

    /// What is there afterwards.
    pub fn left(&self) -> u64 {
        self.at_home
            .saturating_add(self.bought)
            .saturating_sub(self.used)
    }
}

/// What to buy, and the plan that it is enough for.
#[derive(Clone, Debug)]
pub struct Purchase {
    pub lines: Vec<Line>,
    pub price: Money,
    /// No other choice costs less.
    pub proved: bool,
    /// No choice costs less than this.
    pub least: Money,
    /// Some papers share only some of their pieces, so that their sheets are the fewest, and not the cheapest.
    pub fewest: bool,
    /// In the order of kinds, then of the supplies.
    pub things: Vec<Thing>,
    /// The sheets in it are those that are there once all is bought.
    pub order: Order,
    pub batches: Vec<Batch>,
}

/// Why there is no purchase.
#[derive(Debug)]
pub enum BuyError {
    /// All packs that can be bought are not enough (proved); of these, all that is at hand and for
    /// sale is too few. Empty where only several of them together are.
    NotEnough(Vec<Short>),
    /// The time was up before any choice was found.
    Undecided,
    TooLarge,
    Cut(WorkError),
}

impl From<NoBasket> for BuyError {
    fn from(why: NoBasket) -> BuyError {
        match why {
            NoBasket::NotEnough => BuyError::NotEnough(Vec::new()),
            NoBasket::Undecided => BuyError::Undecided,
            NoBasket::TooLarge => BuyError::TooLarge,
        }
    }
}

/// For [`check`]: the question, its answer, and where its rows about sheets come from.
struct Proof {
    shopping: Shopping,
    basket: Basket,
    evidence: Vec<Evidence>,
}

/// A "no" of `nest`, and the row that was made of it.
struct Evidence {
    papers: Vec<usize>,
    stages: Stages,
    job: Job,
    certificate: Certificate,
    stocks: Vec<Stock>,
    row: Row,
}

/// A place in [`Shopping::demands`] or [`Shopping::too_few`].
#[derive(Clone, Copy, Debug)]
enum Row {
    Demand(usize),
    TooFew(usize),
}

/// What the shop knows of a stock of a question.
#[derive(Clone, Copy, Debug)]
struct Stock {
    at_home: u64,
    /// Its thing, if more of it can be bought.
    thing: Option<usize>,
}

/// Papers that share pieces, priced: any of them will do.
struct Group {
    papers: Vec<usize>,
    counted: Counted,
    stocks: Vec<Stock>,
    known: Vec<Cutting>,
    /// Whether some "no" is only a guess.
    open: bool,
}

/// What `nest` says of numbers of sheets.
enum Reply {
    Plan(Vec<Cutting>),
    No(Certificate),
    Open,
}

/// What to buy for what the albums need.
///
/// # Errors
/// The packs are not enough, a limit was met first, something cannot be cut, or the answer does not pass `check`.
pub fn buy(
    supplies: &Supplies,
    needs: Needs,
    how: How<'_>,
    limits: &Limits,
) -> Result<Purchase, BuyError> {
    let mut shop = Shop::open(supplies, needs, how, limits)?;
    let found = shop.settle()?;
    shop.purchase(found)
}

struct Shop<'a> {
    supplies: &'a Supplies,
    how: How<'a>,
    limits: &'a Limits,
    order: Order,
    /// For each paper of the order its place in the supplies.
    papers: Vec<Option<usize>>,
    things: Vec<Thing>,
    packs: Vec<Pack>,
    shopping: Shopping,
    groups: Vec<Group>,
    evidence: Vec<Evidence>,
    /// Papers that are counted by the fewest sheets, because not every piece may come from each.
    guessed: bool,
}

impl Shop<'_> {
    /// The cheapest packs with a plan for every paper.
    fn settle(&mut self) -> Result<(Basket, bool), BuyError> {
        for at in 0..self.groups.len() {
            self.first_row(at)?;
        }
        for _ in 0..ROUNDS {
            let basket = match self.shopping.cheapest(self.limits) {
                Err(NoBasket::Undecided) => break,
                Err(NoBasket::NotEnough) => return Err(BuyError::NotEnough(self.short())),
                found => found?,
            };
            let mut enough = true;
            for at in 0..self.groups.len() {
                let counts = self.sheets(at, &basket);
                match self.ask(at, &counts)? {
                    Reply::Plan(plan) => self.groups[at].known = plan,
                    Reply::No(certificate) => {
                        self.note(at, &counts, certificate);
                        enough = false;
                    }
                    Reply::Open => {
                        self.groups[at].open = true;
                        self.rule_out(at, &counts);
                        enough = false;
                    }
                }
            }
            if enough {
                return Ok((basket, true));
            }
            let cancel = self.how.patience.cancel;
            if self.limits.is_over() || cancel.is_some_and(|flag| flag.load(Ordering::Relaxed)) {
                break;
            }
        }
        self.any()
    }

    /// What is too few even with all packs that are for sale; of papers, what the best plan known takes.
    fn short(&self) -> Vec<Short> {
        let sold = |thing: usize| -> Option<Vec<Sale>> {
            let offers = self.shopping.offers.iter().filter(|it| it.of(thing) > 0);
            let sales = offers.map(|it| {
                Some(Sale {
                    packs: it.most?,
                    each: it.of(thing),
                    cost: it.price.times(i64::try_from(it.most?).ok()?)?,
                })
            });
            sales.collect()
        };
        // Of several sizes no one of them is what is missing.
        let groups = self.groups.iter().filter(|it| it.stocks.len() == 1);
        let sheets = groups.flat_map(|group| {
            let stocks = (0..).zip(&group.stocks);
            stocks.filter_map(|(at, stock)| {
                let cuts = group.known.iter().filter(|it| it.stock == at);
                Some((stock.thing?, cuts.map(|it| it.times).sum()))
            })
        });
        let things = self.things.iter().map(|it| it.used).enumerate();
        let few = things.chain(sheets).filter_map(|(thing, need)| {
            let it = self.things[thing];
            let sales = sold(thing)?;
            let sold = sales.iter().map(|it| it.each.saturating_mul(it.packs));
            let have = sold.fold(it.at_home, u64::saturating_add);
            let (name, _) = at_hand(self.supplies, it.kind, it.at)?;
            (it.priced && need > have).then(|| Short {
                kind: it.kind,
                name: name.to_owned(),
                each: None,
                have,
                need,
                sales,
            })
        });
        few.collect()
    }

    /// With the time up: the sheets of any plan, at the least money.
    fn any(&mut self) -> Result<(Basket, bool), BuyError> {
        let mut shopping = self.shopping.clone();
        for group in &self.groups {
            if group.known.is_empty() {
                return Err(BuyError::Undecided);
            }
            for (stock, known) in group.stocks.iter().enumerate() {
                let used = group
                    .known
                    .iter()
                    .filter(|c| c.stock == stock)
                    .map(|c| c.times);
                let least = used.sum::<u64>().saturating_sub(known.at_home);
                if let Some(thing) = known.thing.filter(|_| least > 0) {
                    let weights = vec![(thing, 1)];
                    shopping.demands.push(Demand { weights, least });
                }
            }
        }
        shopping.too_few.clear();
        Ok((shopping.cheapest(&self.late())?, false))
    }

    /// For what comes once the time is up: one question about packs, with its own share of it.
    fn late(&self) -> Limits {
        Limits {
            until: None,
            ..*self.limits
        }
    }

    /// The sheets of a group that are there with a basket; of each stock of its question.
    fn sheets(&self, group: usize, basket: &Basket) -> Vec<u64> {
        let bought = |stock: &Stock| {
            stock
                .thing
                .and_then(|t| self.shopping.bought(&basket.counts, t))
        };
        let stocks = self.groups[group].stocks.iter();
        stocks
            .map(|it| it.at_home.saturating_add(bought(it).unwrap_or(0)))
            .collect()
    }

    /// A first plan and a first row, with all the sheets of all sizes that are for sale, each at the least
    /// that one of its kind costs in any pack.
    fn first_row(&mut self, at: usize) -> Result<(), BuyError> {
        let group = &self.groups[at];
        let mut job = group.counted.job.clone();
        for (stock, known) in job.stocks.iter_mut().zip(&group.stocks) {
            let Some(thing) = known.thing else { continue };
            let offers = self.shopping.offers.iter().filter_map(|offer| {
                let all: u64 = offer.holds.iter().map(|(_, n)| n).sum();
                let price = u64::try_from(offer.price.0).ok()?;
                (offer.of(thing) > 0).then(|| price.saturating_mul(100) / all.max(1))
            });
            stock.cost = offers.min().unwrap_or(1).max(1);
            stock.count = None;
        }
        let answer = self.solve(&job, &group.papers, &group.counted, &[])?;
        self.groups[at].known = answer.cuttings;
        self.add(at, job, answer.certificate);
        Ok(())
    }

    /// Whether these sheets are enough.
    fn ask(&self, at: usize, counts: &[u64]) -> Result<Reply, BuyError> {
        let group = &self.groups[at];
        let job = with_counts(&group.counted.job, counts);
        let answer = self.solve(&job, &group.papers, &group.counted, &group.known)?;
        Ok(match answer.verdict {
            Verdict::Proved | Verdict::Found => Reply::Plan(answer.cuttings),
            Verdict::NotEnough => Reply::No(answer.certificate),
            Verdict::Undecided => Reply::Open,
        })
    }

    /// An answer that the checkers accept.
    fn solve(
        &self,
        job: &Job,
        papers: &[usize],
        counted: &Counted,
        known: &[Cutting],
    ) -> Result<nest::Answer, BuyError> {
        let limits = nest::Limits {
            nodes: NODES,
            clock: self.limits.left(),
            cancel: self.how.patience.cancel,
            progress: None,
        };
        let mut answer = nest::solve_from(job, known, &limits).map_err(|errors| {
            let faults = pool::faults(&self.order, papers, counted, errors, self.how.ruler);
            BuyError::Cut(WorkError::Faults(faults))
        })?;
        let defect = |why: String| BuyError::Cut(WorkError::Defect(why));
        match nest::check_bound_within(job, &answer.certificate, STEPS) {
            Ok(_) => {}
            Err(nest::CheckError::TooMany | nest::CheckError::Overflow) => {
                answer = nest::bound_by_area(job, answer);
            }
            Err(why) => return Err(defect(why.to_string())),
        }
        nest::verify(job, &answer).map_err(|why| defect(why.to_string()))?;
        Ok(answer)
    }

    /// What a "no" rules out.
    fn note(&mut self, at: usize, counts: &[u64], certificate: Certificate) {
        let job = with_counts(&self.groups[at].counted.job, counts);
        if !self.add(at, job.clone(), certificate.clone()) {
            let row = Row::TooFew(self.rule_out(at, counts));
            self.keep(at, job, certificate, row);
        }
    }

    /// These sheets, and fewer, are not enough.
    fn rule_out(&mut self, at: usize, counts: &[u64]) -> usize {
        let stocks = self.groups[at].stocks.iter().zip(counts);
        let few = stocks
            .filter_map(|(stock, count)| Some((stock.thing?, count.saturating_sub(stock.at_home))));
        self.shopping.too_few.push(TooFew(few.collect()));
        self.shopping.too_few.len() - 1
    }

    /// The row that follows from values; `false` if the certificate has none, or they are too large.
    fn add(&mut self, at: usize, job: Job, certificate: Certificate) -> bool {
        let Reason::Values { values, best } = &certificate.reason else {
            return false;
        };
        let group = &self.groups[at];
        let each = job.pieces.iter().zip(values);
        let wanted: u128 = each
            .map(|(p, v)| u128::from(p.count) * u128::from(*v))
            .sum();
        let home = group.stocks.iter().zip(best);
        let home: u128 = home
            .map(|(s, b)| u128::from(s.at_home) * u128::from(*b))
            .sum();
        let stocks = group.stocks.iter().zip(best);
        let weights = stocks.filter_map(|(stock, best)| Some((stock.thing?, *best)));
        let weights: Vec<(usize, u64)> = weights.collect();
        let Ok(least) = u64::try_from(wanted.saturating_sub(home)) else {
            return false;
        };
        self.shopping.demands.push(Demand { weights, least });
        let row = Row::Demand(self.shopping.demands.len() - 1);
        self.keep(at, job, certificate, row);
        true
    }

    fn keep(&mut self, at: usize, job: Job, certificate: Certificate, row: Row) {
        let group = &self.groups[at];
        self.evidence.push(Evidence {
            papers: group.papers.clone(),
            stages: group.counted.job.stages,
            job,
            certificate,
            stocks: group.stocks.clone(),
            row,
        });
    }
}

fn rank(kind: Kind) -> Option<usize> {
    SOLD.iter().position(|it| *it == kind)
}

fn with_counts(job: &Job, counts: &[u64]) -> Job {
    let mut job = job.clone();
    for (stock, count) in job.stocks.iter_mut().zip(counts) {
        stock.count = Some(*count);
    }
    job
}

/// How many of a supply are in a pack.
fn holds(pack: &Pack, kind: Kind, at: usize) -> u64 {
    let held = pack.holds.iter().filter(|(k, a, _)| (*k, *a) == (kind, at));
    held.map(|(_, _, count)| u64::try_from(*count).unwrap_or(0))
        .sum()
}
