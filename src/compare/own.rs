//! The bags of an album's own supplies side by side, in one call.

use super::rank::{Ranking, Respect};
use super::{Answer, Asked, At, Candidate, CompareError, Comparison, Mend, Offer};
use super::{each, mend, verified};
use crate::album::Album;
use crate::solve::Limits;
use crate::style::Style;

/// Bags that do not fit of which what they would need is worked out, and told.
const TRIED: usize = 24;
const MENDED: usize = 6;
/// Bags that are shown.
const MOST: usize = 20;

/// Those that do not fit, with what each would need; what would need least comes first.
pub fn with_needs(
    asked: &Asked<'_>,
    failed: Vec<Offer>,
    limits: &Limits,
) -> Vec<(Offer, Option<Mend>)> {
    let needs = failed.into_iter().take(TRIED).map(|offer| {
        let mend = match offer.answer {
            Answer::Clash(_) => mend(asked, &offer.bag, limits),
            _ => None,
        };
        (offer, mend)
    });
    let mut all: Vec<(Offer, Option<Mend>)> = needs.collect();
    let trouble = |mend: &Option<Mend>| match mend {
        Some(mend) if !mend.fixes.is_empty() => {
            let prices = mend.fixes.iter().map(|fix| fix.price);
            (0, prices.fold(0i64, i64::saturating_add))
        }
        _ => (1, 0),
    };
    all.sort_by_key(|(_, mend)| trouble(mend));
    all.truncate(MENDED);
    all
}

/// The album in each bag of its supplies, the largest photo first, then by price.
///
/// # Errors
/// If the album is wrong as it stands.
pub fn own(style: &Style, album: &Album, limits: &Limits) -> Result<Comparison, CompareError> {
    let asked = Asked::new(style, album, None)?;
    let by = vec![Respect::Photo, Respect::Price];
    let mut ranking = Ranking::new(&by, &[], MOST);
    let bags = album.supplies.bags.iter().cloned();
    let bags = bags.map(|bag| Candidate {
        bag,
        at: At::default(),
    });
    let mut defects = 0;
    let handed: Result<(), CompareError> = each(&asked, limits, bags, |offer| {
        match &offer.answer {
            // A plan that breaks a rule is not shown.
            Answer::Defect(_) => defects += 1,
            _ => ranking.take(offer),
        }
        Ok(())
    });
    handed?;
    let mut counts = ranking.counts;
    let (mut ranked, failed) = ranking.finish();
    let found = ranked.len();
    ranked.retain_mut(|one| match verified(&asked, &one.offer, limits) {
        Some(whole) if whole.fit().is_some() => {
            one.offer = whole;
            true
        }
        _ => false,
    });
    let open = (found - ranked.len()) as u64;
    counts.fit -= open;
    counts.open += open + defects;
    Ok(Comparison {
        scope: asked.scope(),
        by,
        at_least: Vec::new(),
        counts,
        ranked,
        less: Vec::new(),
        failed: with_needs(&asked, failed, limits),
        wrong_rows: 0,
        unread: limits.is_over(),
    })
}
