//! What is missing, and what is for sale, before anything is chosen.

use super::{BuyError, Group, How, Shop, Stock, Thing, holds};
use crate::cut::batch::WorkError;
use crate::cut::{Stages, pool, work};
use crate::shop::cover::{Demand, Offer, Shopping};
use crate::shop::needs::{Need, Needs, at_hand};
use crate::solve::Limits;
use crate::supplies::packs::SOLD;
use crate::supplies::{Kind, Pack, Supplies};

impl<'a> Shop<'a> {
    pub(super) fn open(
        supplies: &'a Supplies,
        needs: Needs,
        how: How<'a>,
        limits: &'a Limits,
    ) -> Result<Shop<'a>, BuyError> {
        let own = SOLD.into_iter().flat_map(|kind| {
            let many = [
                supplies.bags.len(),
                supplies.papers.len(),
                supplies.prints.len(),
                supplies.cards.len(),
                supplies.rings.len(),
            ];
            (0..many.into_iter().max().unwrap_or(0))
                .filter_map(move |at| supplies.own_pack(kind, at))
        });
        let packs: Vec<Pack> = own.chain(supplies.packs.iter().cloned()).collect();
        let order = needs.order;
        let place = |name: &str| supplies.papers.iter().position(|it| it.name == name);
        let papers: Vec<Option<usize>> = order.papers.iter().map(|p| place(&p.name)).collect();
        let mut shop = Shop {
            supplies,
            how,
            limits,
            order,
            papers,
            things: Vec::new(),
            packs,
            shopping: Shopping::default(),
            groups: Vec::new(),
            evidence: Vec::new(),
            guessed: false,
        };
        for need in &needs.things {
            shop.thing(*need);
        }
        shop.open_papers()?;
        shop.offer();
        Ok(shop)
    }

    /// The place of a thing; a new one is put at the end.
    pub(super) fn thing(&mut self, Need { kind, at, count }: Need) -> usize {
        if let Some(known) = self
            .things
            .iter()
            .position(|it| (it.kind, it.at) == (kind, at))
        {
            return known;
        }
        self.things.push(Thing {
            kind,
            at,
            used: count,
            at_home: at_hand(self.supplies, kind, at).map_or(0, |(_, count)| count),
            bought: 0,
            priced: self.packs.iter().any(|pack| holds(pack, kind, at) > 0),
        });
        self.things.len() - 1
    }

    /// Sorts the papers that share pieces: any will do, or the fewest sheets are counted.
    fn open_papers(&mut self) -> Result<(), BuyError> {
        let mut counted = Vec::new();
        for papers in pool::batches(&self.order) {
            let mut things = Vec::new();
            for &paper in &papers {
                let thing = self.papers[paper].map(|at| {
                    let (kind, count) = (Kind::Paper, 0);
                    self.thing(Need { kind, at, count })
                });
                things.push(thing.filter(|at| self.things[*at].priced));
            }
            let priced = things.iter().any(Option::is_some);
            if !priced || !pool::is_one(&self.order, &papers) {
                self.guessed |= priced;
                counted.extend(papers);
                continue;
            }
            for &paper in &papers {
                for one in &mut self.order.papers[paper].sheets {
                    one.count = Some(one.count.unwrap_or(0));
                }
            }
            let stages = self.how.stages.unwrap_or(Stages::Free);
            let question = pool::question(&self.order, &papers, stages, 1, self.how.ruler);
            let question = question.map_err(|faults| BuyError::Cut(WorkError::Faults(faults)))?;
            let stocks = papers.iter().zip(things).flat_map(|(paper, thing)| {
                self.order.papers[*paper]
                    .sheets
                    .iter()
                    .map(move |one| Stock {
                        at_home: one.count.unwrap_or(0),
                        thing: thing.filter(|_| !one.offcut),
                    })
            });
            self.groups.push(Group {
                stocks: stocks.collect(),
                papers,
                counted: question,
                known: Vec::new(),
                open: false,
            });
        }
        self.count_fewest(&counted)
    }

    /// The fewest sheets of papers without a price, or of which not every piece may come from each.
    fn count_fewest(&mut self, papers: &[usize]) -> Result<(), BuyError> {
        if papers.is_empty() {
            return Ok(());
        }
        for &paper in papers {
            let whole = self.order.papers[paper]
                .sheets
                .iter_mut()
                .filter(|one| !one.offcut);
            whole.for_each(|one| one.count = None);
        }
        let mut part = self.order.clone();
        part.wants
            .retain(|want| want.papers.iter().any(|p| papers.contains(p)));
        let batches = work::work(&part, self.how.stages, self.how.ruler, self.how.patience);
        for plan in batches
            .map_err(BuyError::Cut)?
            .iter()
            .flat_map(|b| &b.plan().papers)
        {
            if let Some(at) = self.papers[plan.paper] {
                let (kind, count) = (Kind::Paper, 0);
                let thing = self.thing(Need { kind, at, count });
                self.things[thing].used = plan.sheets;
            }
        }
        Ok(())
    }

    /// What is for sale, and what of the things is missing.
    fn offer(&mut self) {
        let things = &self.things;
        let of = |pack: &Pack| Offer {
            holds: things
                .iter()
                .enumerate()
                .filter_map(|(thing, it)| {
                    let held = holds(pack, it.kind, it.at);
                    (held > 0).then_some((thing, held))
                })
                .collect(),
            price: pack.price,
            most: pack.most.and_then(|most| u64::try_from(most).ok()),
        };
        let mut offers: Vec<Offer> = self.packs.iter().map(of).collect();
        let mut useful = offers.iter().map(|offer| !offer.holds.is_empty());
        self.packs.retain(|_| useful.next().unwrap_or(false));
        offers.retain(|offer| !offer.holds.is_empty());
        self.shopping.offers = offers;
        for (thing, it) in things.iter().enumerate() {
            let least = it.used.saturating_sub(it.at_home);
            if it.priced && least > 0 {
                let weights = vec![(thing, 1)];
                self.shopping.demands.push(Demand { weights, least });
            }
        }
    }
}
