//! One bag, worked out by the full rules and verified from their text.
//!
//! This is the whole way, for one bag at a time; whatever finds the same faster is held against it.

use super::asked::Asked;
use super::read::{conflict, cost, fit, photo};
use super::{Answer, Candidate, Mend, Nominal, Offer};
use crate::explain::{Fix, fixes};
use crate::length::Interval;
use crate::plan::work::{Outcome, Worked, work_laid};
use crate::plan::{Certainty, Listed};
use crate::program::ExpandError;
use crate::solve::{Limits, Verdict, solve};
use crate::supplies::{Bag, Pocket};

/// What this bag comes to. With ±, what an exactly known bag of its nominal measures would give is
/// worked out too.
pub fn offer(asked: &Asked<'_>, candidate: &Candidate, limits: &Limits) -> Offer {
    offered(asked, candidate, answer(asked, &candidate.bag, limits))
}

/// The same bag worked out the whole way, its plan verified from the text of the rules; undecided if a
/// limit was met. `None` if both are proved best and differ: a defect of this program.
pub fn verified(asked: &Asked<'_>, found: &Offer, limits: &Limits) -> Option<Offer> {
    let (bag, at) = (found.bag.clone(), found.at);
    let whole = Offer {
        bag: found.bag.clone(),
        ..offer(asked, &Candidate { bag, at }, limits)
    };
    if let Answer::Undecided(_) = whole.answer {
        return Some(whole);
    }
    let best = |offer: &Offer| {
        let fit = offer.fit();
        fit.is_some_and(|fit| fit.certainty == Certainty::Best)
    };
    let same = whole.fit() == found.fit() || !(best(&whole) && best(found));
    (same && whole.fit().is_some()).then_some(whole)
}

/// A bag with what became of it, and what it costs. Of those at hand other leaves keep theirs.
pub(super) fn offered(asked: &Asked<'_>, candidate: &Candidate, answer: Answer) -> Offer {
    let mut bag = candidate.bag.clone();
    let left = |count: i64| (count - asked.elsewhere(&bag.name)).max(0);
    bag.count = bag.count.map(left);
    Offer {
        cost: cost(asked.bags(), &bag),
        bag,
        at: candidate.at,
        answer,
    }
}

/// What the album comes to, the whole way.
pub(super) fn answer(asked: &Asked<'_>, bag: &Bag, limits: &Limits) -> Answer {
    match worked(asked, bag, limits) {
        Err(errors) => Answer::NotWorkable(errors),
        Ok((album, worked)) => match worked.outcome {
            Outcome::Fits(plan) => {
                let mut fit = fit(asked, &album, &plan);
                fit.nominal = nominal(bag).map(|bag| photo_of(asked, &bag, limits));
                Answer::Fits(Box::new(fit))
            }
            Outcome::Clash(clash) => Answer::Clash(conflict(&clash)),
            Outcome::Undecided(why) => Answer::Undecided(why),
            Outcome::Defect(defect) => Answer::Defect(defect),
        },
    }
}

/// What makes a bag fit that does not: the cheapest fix of each part of the trouble, each proved by
/// solving again. `None` if it fits, or was not settled.
pub fn mend(asked: &Asked<'_>, bag: &Bag, limits: &Limits) -> Option<Mend> {
    let (album, expanded) = asked.expanded(bag).ok()?;
    let Verdict::Conflict(_) = solve(&expanded.program, limits).verdict else {
        return None;
    };
    let (each, hopeless) = fixes::cheapest(asked.style, &album, &expanded, limits);
    let each: Option<Vec<Fix>> = each.into_iter().collect();
    Some(Mend {
        fixes: each.unwrap_or_default(),
        hopeless,
    })
}

fn worked(
    asked: &Asked<'_>,
    bag: &Bag,
    limits: &Limits,
) -> Result<(crate::album::Album, Worked), Vec<ExpandError>> {
    let (album, expanded) = asked.expanded(bag)?;
    let worked = work_laid((asked.style, &album), expanded, Listed::NotKept, limits)?;
    Ok((album, worked))
}

fn photo_of(asked: &Asked<'_>, bag: &Bag, limits: &Limits) -> Nominal {
    let Ok((_, worked)) = worked(asked, bag, limits) else {
        return Nominal::Nothing;
    };
    let Outcome::Fits(plan) = worked.outcome else {
        return Nominal::Nothing;
    };
    match photo(asked, &plan) {
        Some(photo) => Nominal::Photo(photo.width.least(), photo.height.least()),
        None => Nominal::Nothing,
    }
}

/// The bag with every measure at the middle of what it may be; `None` if all are known exactly.
pub(super) fn nominal(bag: &Bag) -> Option<Bag> {
    let mut exact = bag.clone();
    let mut any = false;
    let mut settle = |value: &mut Interval| {
        any |= !value.is_exact();
        *value = Interval::exact(value.middle());
    };
    settle(&mut exact.width);
    settle(&mut exact.height);
    if let Some(Pocket { edge, depth, .. }) = &mut exact.pocket {
        settle(edge);
        depth.iter_mut().for_each(&mut settle);
    }
    for measure in [
        &mut exact.gusset,
        &mut exact.folded,
        &mut exact.front_depth,
        &mut exact.back_depth,
        &mut exact.caliper,
        &mut exact.squeezed,
    ] {
        measure.iter_mut().for_each(&mut settle);
    }
    any.then_some(exact)
}
