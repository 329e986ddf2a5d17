//! Makes a priced sum of changes as small as it can be, and proves it.

use super::desk::{Desk, Told};
use super::limits::Why;
use super::problem::{Row, Witness};
use super::solution::{Certificate, Claim};

/// The cheapest values found.
#[derive(Clone, Debug)]
pub(super) struct Cheapest {
    pub witness: Witness,
    pub price: i128,
    /// Refutes any smaller price. Absent where a limit was met.
    pub certificate: Option<Certificate>,
}

/// Notes a limit once.
pub(super) fn note(met: &mut Vec<Why>, why: Why) {
    if !met.contains(&why) {
        met.push(why);
    }
}

/// What the terms come to. Prices times amounts: sums of products of two `i64`.
pub(super) fn price_of(terms: &[(u32, i64)], witness: &Witness) -> i128 {
    let one = |&(unknown, times): &(u32, i64)| {
        i128::from(times) * i128::from(witness.values[unknown as usize])
    };
    terms.iter().map(one).sum()
}

/// `terms <= most` after their common divisor is taken out.
pub(super) fn at_most(terms: &[(u32, i64)], most: i128) -> Result<Row, Why> {
    let divisor = terms
        .iter()
        .fold(0, |sum, term| num_integer::gcd(sum, term.1))
        .max(1);
    let most = i64::try_from(most.div_euclid(divisor.into())).map_err(|_| Why::TooLarge)?;
    let terms = terms
        .iter()
        .map(|&(unknown, times)| (unknown, times / divisor));
    Row::new(terms, most).ok_or(Why::TooLarge)
}

/// Lowers the sum of `terms` (times at least 1) from a witness that satisfies these members.
pub(super) fn lower(
    desk: &mut Desk,
    members: &[u32],
    terms: &[(u32, i64)],
    start: Witness,
    met: &mut Vec<Why>,
) -> Cheapest {
    desk.lay(members);
    let mut best = Cheapest {
        price: price_of(terms, &start),
        witness: start,
        certificate: None,
    };
    // No smaller sum than this is possible.
    let mut least = desk.least(terms).min(best.price);
    let mut attempt = 0;
    loop {
        // What propagation leaves is the answer more often than not; then one less; then halves.
        let target = match attempt {
            _ if least >= best.price => best.price - 1,
            0 => least,
            1 => best.price - 1,
            _ => least + (best.price - 1 - least) / 2,
        };
        attempt += 1;
        let claim = Claim::Dearer { price: target + 1 };
        let told = match at_most(terms, target) {
            Ok(row) => desk.ask_with(members, Some(row), claim),
            Err(why) => Told::Unsettled(why),
        };
        match told {
            Told::Holds(witness) => {
                best.price = price_of(terms, &witness);
                best.witness = witness;
            }
            Told::Fails(refuted) if target + 1 == best.price => {
                best.certificate = Some(refuted.certificate);
                return best;
            }
            Told::Fails(_) => least = target + 1,
            Told::Unsettled(why) => {
                note(met, why);
                return best;
            }
        }
    }
}

/// Of equally cheap values, those in which the first of `order` is smallest, then the second, and
/// so on. `terms` stay at or below `price`.
pub(super) fn settle_ties(
    desk: &mut Desk,
    members: &[u32],
    terms: &[(u32, i64)],
    order: &[u32],
    best: &mut Cheapest,
    met: &mut Vec<Why>,
) {
    if best.certificate.is_none() {
        return;
    }
    let mut first = None;
    let mut row = at_most(terms, best.price);
    for &unknown in order {
        let before = match row.and_then(|row| desk.assume(row)) {
            Ok(before) => before,
            Err(why) => {
                note(met, why);
                break;
            }
        };
        first.get_or_insert(before);
        let found = lower(desk, members, &[(unknown, 1)], best.witness.clone(), met);
        best.witness = found.witness;
        row = at_most(&[(unknown, 1)], found.price);
    }
    if let Some(first) = first {
        desk.take_back(first);
    }
}
