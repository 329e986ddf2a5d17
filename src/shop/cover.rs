//! The packs that cost least and hold all that is missing, with the proof that nothing cheaper does: a
//! whole-number program for `solve`, whose proofs [`crate::solve::check`] replays. [`check`] holds the
//! answer against the offers again, without the code that made the program.

use crate::money::Money;
use crate::solve::program::{
    Force, Group, GroupId, Guard, Instance, Program, Row, Stage, Unknown, UnknownId,
};
use crate::solve::{self, Claim, Limits, Origin, Solution, StageOutcome, Verdict};
use num_integer::gcd;
use thiserror::Error;

/// A pack that can be bought any number of times, or at most `most` times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// Things, each once, and how many of each are in it.
    pub holds: Vec<(usize, u64)>,
    pub price: Money,
    pub most: Option<u64>,
}

impl Offer {
    /// How many of a thing are in it.
    pub fn of(&self, thing: usize) -> u64 {
        let held = self.holds.iter().filter(|(at, _)| *at == thing);
        held.map(|(_, count)| *count).sum()
    }
}

/// What all that is bought must come to: each thing counts with its weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demand {
    pub weights: Vec<(usize, u64)>,
    pub least: u64,
}

/// Numbers of things that are known not to do together: one of them must be more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooFew(pub Vec<(usize, u64)>);

/// What is to be covered, and by what.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shopping {
    pub offers: Vec<Offer>,
    pub demands: Vec<Demand>,
    pub too_few: Vec<TooFew>,
}

/// What to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct Basket {
    /// How many of each offer.
    pub counts: Vec<u64>,
    pub price: Money,
    /// No other choice of packs costs less.
    pub proved: bool,
    /// For [`check`].
    proof: Solution,
}

/// Why there is no basket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoBasket {
    /// All packs that can be bought are not enough (proved).
    NotEnough,
    /// A limit was met first.
    Undecided,
    /// The numbers are too large to be added exactly.
    TooLarge,
}

impl Shopping {
    /// What is bought of a thing.
    pub fn bought(&self, counts: &[u64], thing: usize) -> Option<u64> {
        let each = self.offers.iter().zip(counts);
        each.map(|(offer, count)| offer.of(thing).checked_mul(*count))
            .try_fold(0_u64, |sum, n| sum.checked_add(n?))
    }

    /// Beyond this many of an offer there is nothing that it would still help.
    fn most(&self, offer: &Offer) -> Option<i64> {
        let demands = self.demands.iter().filter_map(|demand| {
            let each = worth(offer, demand)?;
            (each > 0).then(|| demand.least.div_ceil(each))
        });
        let more = self.too_few.iter().flat_map(|few| &few.0);
        let more = more.filter_map(|(thing, most)| {
            let each = offer.of(*thing);
            (each > 0).then(|| (most / each).saturating_add(1))
        });
        let useful = demands.chain(more).max().unwrap_or(0);
        i64::try_from(useful.min(offer.most.unwrap_or(u64::MAX))).ok()
    }

    /// The program: an unknown for each offer, a row for each demand, a group for each of `too_few`.
    fn program(&self) -> Option<Program> {
        let mut program = Program::default();
        for (at, offer) in self.offers.iter().enumerate() {
            program.unknowns.push(Unknown {
                name: at.to_string(),
                least: 0,
                most: self.most(offer)?,
                open: false,
            });
        }
        let row = |least: u64, worth: &dyn Fn(&Offer) -> Option<u64>| {
            let mut terms = Vec::new();
            for (at, offer) in self.offers.iter().enumerate() {
                match i64::try_from(worth(offer)?).ok()? {
                    0 => {}
                    each => terms.push((UnknownId(u32::try_from(at).ok()?), -each)),
                }
            }
            let common = terms
                .iter()
                .fold(0, |all, (_, each)| gcd(all, *each))
                .max(1);
            terms.iter_mut().for_each(|(_, each)| *each /= common);
            let least = least.div_ceil(u64::try_from(common).ok()?);
            let (most, guards) = (-i64::try_from(least).ok()?, Vec::new());
            Some(Row {
                terms,
                most,
                guards,
            })
        };
        for demand in &self.demands {
            let row = row(demand.least, &|offer| worth(offer, demand))?;
            program.rows.push(row);
        }
        for few in &self.too_few {
            let group = GroupId(u32::try_from(program.groups.len()).ok()?);
            let names = few.0.iter().map(|(thing, _)| thing.to_string());
            program.groups.push(Group {
                name: "more".to_owned(),
                alternatives: names.collect(),
            });
            for (alternative, (thing, most)) in (0..).zip(&few.0) {
                let mut row = row(most.checked_add(1)?, &|offer| Some(offer.of(*thing)))?;
                row.guards.push(Guard { group, alternative });
                program.rows.push(row);
            }
        }
        program.instances = (0..program.rows.len())
            .map(|at| Instance {
                rule: at,
                force: Force::Must,
                rows: at..at + 1,
                group: None,
            })
            .collect();
        let all = (0..).map(UnknownId);
        let prices = all.clone().zip(&self.offers);
        let prices = prices.filter(|(_, offer)| offer.price > Money::ZERO);
        let best = |name: &str, objective: Vec<_>| Stage::Best {
            name: name.to_owned(),
            objective,
        };
        program.stages = vec![
            best(
                "price",
                prices.map(|(at, offer)| (at, -offer.price.0)).collect(),
            ),
            // Of what costs the same, the fewest packs.
            best(
                "packs",
                all.zip(&self.offers).map(|(at, _)| (at, -1)).collect(),
            ),
        ];
        Some(program)
    }

    /// The cheapest packs that cover all.
    ///
    /// # Errors
    /// There are none, or none was found within the limits.
    pub fn cheapest(&self, limits: &Limits) -> Result<Basket, NoBasket> {
        let program = self.program().ok_or(NoBasket::TooLarge)?;
        let proof = solve::solve(&program, limits);
        match proof.verdict {
            Verdict::FitsBest | Verdict::FitsFound { .. } => {}
            Verdict::Conflict(_) => return Err(NoBasket::NotEnough),
            Verdict::Undecided {
                why: solve::Why::TooLarge,
            } => return Err(NoBasket::TooLarge),
            Verdict::Undecided { .. } => return Err(NoBasket::Undecided),
        }
        let counts: Option<Vec<u64>> = proof
            .values
            .iter()
            .map(|n| u64::try_from(*n).ok())
            .collect();
        let counts = counts.ok_or(NoBasket::Undecided)?;
        Ok(Basket {
            price: self.price(&counts).ok_or(NoBasket::TooLarge)?,
            proved: matches!(
                proof.stages.first(),
                Some(StageOutcome::Best { proved: true, .. })
            ),
            counts,
            proof,
        })
    }

    /// What a choice of packs costs.
    pub fn price(&self, counts: &[u64]) -> Option<Money> {
        let each = self.offers.iter().zip(counts);
        Money::sum(
            each.map(|(offer, count)| offer.price.times(i64::try_from(*count).ok()?))
                .collect::<Option<Vec<_>>>()?,
        )
    }
}

/// What one pack counts towards a demand.
fn worth(offer: &Offer, demand: &Demand) -> Option<u64> {
    let each = demand.weights.iter();
    each.map(|(thing, weight)| weight.checked_mul(offer.of(*thing)))
        .try_fold(0_u64, |sum, n| sum.checked_add(n?))
}

/// Why a basket is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum CheckError {
    #[error("more packs than can be bought, or not one number for each offer")]
    Counts,
    #[error("the packs cost something else")]
    Price,
    #[error("something is not covered")]
    Short,
    #[error("the proof is not about these offers and demands, or proves another price")]
    Proof,
}

/// Holds a basket against the offers, and its proof against the question: every row that the proof uses
/// must follow from a demand, or from a number that is too few.
///
/// # Errors
/// What is wrong with it.
pub fn check(shopping: &Shopping, basket: &Basket) -> Result<(), CheckError> {
    let counts = &basket.counts;
    let mut each = shopping.offers.iter().zip(counts);
    if counts.len() != shopping.offers.len()
        || !each.all(|(offer, count)| offer.most.is_none_or(|most| *count <= most))
    {
        return Err(CheckError::Counts);
    }
    if shopping.price(counts) != Some(basket.price) {
        return Err(CheckError::Price);
    }
    let bought = |thing: usize| shopping.bought(counts, thing).map(u128::from);
    for demand in &shopping.demands {
        let mut reached = demand
            .weights
            .iter()
            .map(|(thing, weight)| bought(*thing)?.checked_mul(u128::from(*weight)));
        let reached = reached.try_fold(0_u128, |sum, n| sum.checked_add(n?));
        if reached.is_none_or(|reached| reached < u128::from(demand.least)) {
            return Err(CheckError::Short);
        }
    }
    for few in &shopping.too_few {
        let more = |(thing, most): &(usize, u64)| bought(*thing) > Some(u128::from(*most));
        if !few.0.iter().any(more) {
            return Err(CheckError::Short);
        }
    }
    match basket.proved {
        true => proves(shopping, basket).ok_or(CheckError::Proof),
        false => Ok(()),
    }
}

/// Whether the certificates of the price say that nothing is cheaper: each speaks of offers of its own, and
/// together they come to the whole price.
fn proves(shopping: &Shopping, basket: &Basket) -> Option<()> {
    let stage = basket.proof.stages.first()?;
    let StageOutcome::Best { certificates, .. } = stage else {
        return None;
    };
    let mut left = i128::from(basket.price.0);
    let mut spoken_of = vec![false; shopping.offers.len()];
    for at in certificates {
        let certificate = basket.proof.certificates.get(*at)?;
        let Claim::Best { value, .. } = certificate.claim else {
            return None;
        };
        solve::check::replay(&certificate.problem, &certificate.proof).ok()?;
        left += value;
        let offer = |unknown: u32| {
            let id = certificate.unknowns.get(unknown as usize)?;
            Some(id.0 as usize)
        };
        for (unknown, bounds) in (0..).zip(certificate.problem.unknowns()) {
            let most = shopping.most(shopping.offers.get(offer(unknown)?)?)?;
            (bounds.least == 0 && bounds.most == most).then_some(())?;
        }
        for (row, origin) in certificate.problem.rows().iter().zip(&certificate.origins) {
            let mut each = vec![0_i128; shopping.offers.len()];
            for (unknown, times) in &row.terms {
                *each.get_mut(offer(*unknown)?)? = i128::from(*times);
            }
            let most = i128::from(row.most);
            let follows = match (origin, &row.guards[..]) {
                // "The offers of this part cost less": refuted.
                (Origin::Assumed, []) => {
                    let mut new = each
                        .iter()
                        .zip(&mut spoken_of)
                        .filter(|(times, _)| **times != 0);
                    new.all(|(_, spoken)| !std::mem::replace(spoken, true))
                        && is_less(shopping, &each, most, -value)
                }
                (Origin::Row(_), []) => shopping.demands.iter().any(|demand| {
                    is_needed(shopping, (&each, most), demand.least, |o| worth(o, demand))
                }),
                (Origin::Row(_), [(group, alternative)]) => {
                    let group = certificate.groups.get(*group as usize)?;
                    let few = shopping.too_few.get(group.0 as usize)?;
                    let (thing, most_of) = few.0.get(*alternative as usize)?;
                    let least = most_of.checked_add(1)?;
                    is_needed(shopping, (&each, most), least, |o| Some(o.of(*thing)))
                }
                _ => false,
            };
            follows.then_some(())?;
        }
        let groups = certificate.problem.groups().iter().zip(&certificate.groups);
        for (count, group) in groups {
            let few = shopping.too_few.get(group.0 as usize)?;
            (few.0.len() == *count as usize).then_some(())?;
        }
    }
    (left == 0).then_some(())
}

/// `sum of each * count <= most` says that these offers cost less than `price`.
fn is_less(shopping: &Shopping, each: &[i128], most: i128, price: i128) -> bool {
    let of = |at: usize| {
        shopping
            .offers
            .get(at)
            .map_or(0, |offer| i128::from(offer.price.0))
    };
    let used = || each.iter().enumerate().filter(|(_, times)| **times != 0);
    let Some((first, times)) = used().next() else {
        return price == 0 && most == -1;
    };
    // The common divisor of the prices was taken out.
    let common = of(first) / times;
    common > 0
        && price % common == 0
        && used().all(|(at, times)| times * common == of(at))
        && most == price / common - 1
}

/// `sum of each * count <= most` says that what counts comes to at least this.
fn is_needed(
    shopping: &Shopping,
    (each, most): (&[i128], i128),
    least: u64,
    worth: impl Fn(&Offer) -> Option<u64>,
) -> bool {
    let worth = shopping
        .offers
        .iter()
        .map(worth)
        .collect::<Option<Vec<u64>>>();
    let Some(worth) = worth else { return false };
    let first = each.iter().zip(&worth).find(|(times, _)| **times != 0);
    let common = first.map_or(1, |(times, worth)| i128::from(*worth) / -times);
    common > 0
        && each
            .iter()
            .zip(&worth)
            .all(|(times, worth)| -times * common == i128::from(*worth))
        && -most == (i128::from(least) + common - 1) / common
}
