//! Tests a purchase again, and shares no code with what found it.

use super::{Proof, Row};
use crate::cut::Order;
use crate::cut::pool;
use crate::length::Ruler;
use crate::nest::{self, Claim, Reason};
use crate::shop::cover;

/// Tests a purchase again: the packs against the rows, and each row about sheets against a certificate that
/// is replayed over a question made anew.
///
/// # Errors
/// What does not follow.
pub(super) fn check(proof: &Proof, order: &Order, ruler: Ruler) -> Result<(), String> {
    let Proof {
        shopping,
        basket,
        evidence,
    } = proof;
    cover::check(shopping, basket).map_err(|why| why.to_string())?;
    for found in evidence {
        let question = pool::question(order, &found.papers, found.stages, 1, ruler);
        let question = question.map_err(|_| "there is no such question")?.job;
        let same = question.stocks.iter().zip(&found.job.stocks).all(|(a, b)| {
            (a.width, a.height, a.turn, a.trim) == (b.width, b.height, b.turn, b.trim)
        });
        if !same
            || question.stocks.len() != found.job.stocks.len()
            || (question.stages, question.gap) != (found.job.stages, found.job.gap)
            || question.pieces != found.job.pieces
        {
            return Err("the question is another one".to_owned());
        }
        let claim = nest::check_bound(&found.job, &found.certificate);
        let claim = claim.map_err(|why| why.to_string())?;
        let follows = match (found.row, &found.certificate.reason) {
            (Row::Demand(at), Reason::Values { values, best }) => {
                let Some(demand) = shopping.demands.get(at) else {
                    return Err("a row is missing".to_owned());
                };
                let worth = |thing: usize| {
                    demand
                        .weights
                        .iter()
                        .filter(|(t, _)| *t == thing)
                        .map(|(_, w)| *w)
                        .sum::<u64>()
                };
                let mut rest: u128 = question
                    .pieces
                    .iter()
                    .zip(values)
                    .map(|(p, v)| u128::from(p.count) * u128::from(*v))
                    .sum();
                let mut bound = true;
                for (stock, best) in found.stocks.iter().zip(best) {
                    rest = rest.saturating_sub(u128::from(stock.at_home) * u128::from(*best));
                    bound &= stock.thing.is_none_or(|thing| worth(thing) >= *best);
                }
                bound && u128::from(demand.least) <= rest
            }
            (Row::TooFew(at), _) => {
                let few = shopping.too_few.get(at);
                let most = |thing: usize| few?.0.iter().find(|(t, _)| *t == thing).map(|(_, n)| *n);
                claim == Claim::NotEnough
                    && found
                        .stocks
                        .iter()
                        .zip(&found.job.stocks)
                        .all(|(known, stock)| {
                            let bought = known.thing.map_or(Some(0), most);
                            let there = bought.and_then(|n| n.checked_add(known.at_home));
                            there.is_some() && stock.count.is_some_and(|count| Some(count) >= there)
                        })
            }
            (Row::Demand(_), Reason::Search { .. }) => false,
        };
        if !follows {
            return Err("a row about sheets does not follow".to_owned());
        }
    }
    Ok(())
}
