//! What was chosen as a purchase, with the cutting plan for what is then there.

use super::{BuyError, How, Line, Proof, Purchase, Shop, check, holds, rank};
use crate::cut::batch::WorkError;
use crate::cut::pool::Pool;
use crate::cut::work;
use crate::money::Money;
use crate::shop::cover::{Basket, Shopping};
use crate::shop::needs::Need;
use crate::supplies::Kind;
use std::cmp::Reverse;

impl Shop<'_> {
    /// The purchase, and the cutting plan for what is then there.
    pub(super) fn purchase(
        mut self,
        (basket, enough): (Basket, bool),
    ) -> Result<Purchase, BuyError> {
        let counts = &basket.counts;
        let mut lines = Vec::new();
        for (pack, times) in self.packs.clone().into_iter().zip(counts) {
            for &(kind, at, _) in pack.holds.iter().filter(|_| *times > 0) {
                self.thing(Need { kind, at, count: 0 });
            }
            if *times > 0 {
                let times = *times;
                let count = i64::try_from(times).map_err(|_| BuyError::TooLarge)?;
                let cost = pack.price.times(count).ok_or(BuyError::TooLarge)?;
                lines.push(Line { pack, times, cost });
            }
        }
        // Kind by kind, a supply's large packs first.
        lines.sort_by_key(|line| {
            let first = line.pack.holds.first();
            first.map(|(kind, at, count)| (rank(*kind), *at, Reverse(*count)))
        });
        for thing in &mut self.things {
            let each = lines
                .iter()
                .map(|line| holds(&line.pack, thing.kind, thing.at) * line.times);
            thing.bought = each.sum();
        }
        let open = self.guessed || self.groups.iter().any(|group| group.open);
        let proved = enough && basket.proved && !open;
        let pools: Vec<Pool> = self
            .groups
            .iter()
            .map(|group| Pool {
                papers: group.papers.clone(),
                known: group.known.clone(),
            })
            .collect();
        for (at, group) in self.groups.iter().enumerate() {
            let mut counts = self.sheets(at, &basket).into_iter();
            for &paper in &group.papers {
                for one in &mut self.order.papers[paper].sheets {
                    one.count = counts.next();
                }
            }
        }
        let How {
            stages,
            ruler,
            patience,
        } = self.how;
        let batches = work::work_pooled(&self.order, &pools, stages, ruler, patience);
        let batches = batches.map_err(BuyError::Cut)?;
        for thing in self.things.iter_mut().filter(|it| it.kind == Kind::Paper) {
            let plans = batches.iter().flat_map(|b| &b.plan().papers);
            let of = plans.filter(|plan| self.papers[plan.paper] == Some(thing.at));
            thing.used = of.map(|plan| plan.sheets).sum();
        }
        self.things.retain(|it| it.used > 0 || it.bought > 0);
        self.things.sort_by_key(|it| (rank(it.kind), it.at));
        // Rows that are guesses bound nothing; without a proof the price of the rows that are none does.
        let least = match proved {
            true => basket.price,
            false => self.bound(),
        };
        let proof = Proof {
            shopping: self.shopping,
            basket,
            evidence: self.evidence,
        };
        if proved {
            let defect = |why| BuyError::Cut(WorkError::Defect(why));
            check::check(&proof, &self.order, ruler).map_err(defect)?;
        }
        Ok(Purchase {
            lines,
            price: proof.basket.price,
            proved,
            least,
            fewest: self.guessed,
            things: self.things,
            order: self.order,
            batches,
        })
    }

    /// What any choice costs at least, by the rows that are proved; 0 if papers were counted by
    /// the fewest sheets, or if that is not known.
    fn bound(&self) -> Money {
        let open = self.groups.iter().any(|group| group.open);
        let shopping = Shopping {
            too_few: if open {
                Vec::new()
            } else {
                self.shopping.too_few.clone()
            },
            ..self.shopping.clone()
        };
        let basket = shopping
            .cheapest(self.limits)
            .ok()
            .filter(|b| b.proved && !self.guessed);
        basket.map_or(Money::ZERO, |basket| basket.price)
    }
}
