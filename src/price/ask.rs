//! What to ask for an album: the least price in whole cents that leaves what is wished when fees are paid.
//!
//! Every share of a fee is rounded to the nearest cent by itself, a half upwards. So a dearer price can miss
//! a margin that a cheaper one keeps, and the least price is found by trying, from below what the closed
//! form allows. Imports `album` and `money`.

use crate::album::price::{Pricing, Wish};
use crate::money::Money;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Zero};

/// A number of cents, or a share.
pub type Exact = Ratio<i128>;

/// A price, and what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    pub price: Money,
    pub fees: Money,
    /// When costs and fees are paid; below zero if they are not covered.
    pub left: Money,
    /// What is left, as a share of the price; `None` for a price of nothing.
    pub margin: Option<Exact>,
    /// The same as a share of the costs; `None` if there are none.
    pub markup: Option<Exact>,
}

/// What a price pays: `None` beyond what can be counted.
pub fn at(price: Money, costs: Money, pricing: &Pricing) -> Option<Asked> {
    let whole = Exact::from(i128::from(price.0));
    let mut fees = Money::sum(pricing.fixed.iter().copied())?;
    for share in &pricing.shares {
        let share = Exact::new(i128::from(*share.numer()), i128::from(*share.denom()));
        let fee = whole.checked_mul(&share)?.checked_add(&Exact::new(1, 2))?;
        fees = fees.plus(Money(i64::try_from(fee.floor().to_integer()).ok()?))?;
    }
    let left = price.plus(Money(-costs.0))?.plus(Money(-fees.0))?;
    let of =
        |whole: Money| (whole.0 > 0).then(|| Exact::new(i128::from(left.0), i128::from(whole.0)));
    Some(Asked {
        price,
        fees,
        left,
        margin: of(price),
        markup: of(costs),
    })
}

/// The least price that keeps a wish; for a price to test, that price. `None` if there is none that can
/// be counted; fees and margin leave something ([`Pricing::leaves_nothing`]).
pub fn ask(costs: Money, pricing: &Pricing) -> Option<Asked> {
    let wide =
        |share: Ratio<i64>| Exact::new(i128::from(*share.numer()), i128::from(*share.denom()));
    let (margin, markup) = match pricing.wish? {
        Wish::Price(price) => return at(price, costs, pricing),
        Wish::Margin(margin) => (wide(margin), Exact::zero()),
        Wish::Markup(markup) => (Exact::zero(), wide(markup)),
    };
    // (C (1 + k) + F) / (1 - f - m); rounding moves each fee by half a cent at most.
    let mut kept = Exact::from(1).checked_sub(&margin)?;
    for share in &pricing.shares {
        kept = kept.checked_sub(&wide(*share))?;
    }
    let costs_exact = Exact::from(i128::from(costs.0));
    let fixed = Money::sum(pricing.fixed.iter().copied())?;
    let wished = costs_exact.checked_mul(&markup)?;
    let paid = costs_exact.checked_add(&wished)?;
    let paid = paid.checked_add(&Exact::from(i128::from(fixed.0)))?;
    let off = Exact::new(i128::try_from(pricing.shares.len()).ok()?, 2);
    let least = paid
        .checked_sub(&off)?
        .checked_div(&kept)?
        .ceil()
        .to_integer();
    let surely = paid
        .checked_add(&off)?
        .checked_div(&kept)?
        .ceil()
        .to_integer();
    // From there on every price keeps the wish, and one of each end comes within one turn of it.
    let turn = pricing.ends.iter().map(|end| end.of).max().unwrap_or(1);
    let (least, last) = (
        i64::try_from(least.max(0)).ok()?,
        i64::try_from(surely).ok()?,
    );
    let last = last.max(0).checked_add(turn)?;
    let ended = |cents: &i64| {
        let mut ends = pricing.ends.iter();
        pricing.ends.is_empty() || ends.any(|end| cents % end.of == end.cents)
    };
    (least..=last).filter(ended).find_map(|cents| {
        let asked = at(Money(cents), costs, pricing)?;
        let left = Exact::from(i128::from(asked.left.0));
        let least = Exact::from(i128::from(cents)).checked_mul(&margin)?;
        (left >= least.checked_add(&wished)?).then_some(asked)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::album::price::End;

    fn pricing(shares: &[(i64, i64)], fixed: &[i64], wish: Wish, ends: &[(i64, i64)]) -> Pricing {
        Pricing {
            shares: shares.iter().map(|(a, b)| Ratio::new(*a, *b)).collect(),
            fixed: fixed.iter().map(|cents| Money(*cents)).collect(),
            wish: Some(wish),
            ends: ends
                .iter()
                .map(|(cents, of)| End {
                    cents: *cents,
                    of: *of,
                })
                .collect(),
            ..Pricing::default()
        }
    }

    fn asked(costs: i64, pricing: &Pricing) -> i64 {
        ask(Money(costs), pricing).expect("a price").price.0
    }

    #[test]
    fn margin_and_markup_as_they_are_printed() {
        let margin = |a, b| Wish::Margin(Ratio::new(a, b));
        let markup = |a, b| Wish::Markup(Ratio::new(a, b));
        // Derived: 12.00 at a margin of 40 % is 20.00; with a markup of 40 % it is 16.80, a margin of 2/7.
        assert_eq!(asked(1200, &pricing(&[], &[], margin(2, 5), &[])), 2000);
        let marked = pricing(&[], &[], markup(2, 5), &[]);
        let marked = ask(Money(1200), &marked).expect("a price");
        assert_eq!(
            (marked.price.0, marked.margin),
            (1680, Some(Exact::new(2, 7)))
        );
        // Pages on markup, read in stored copies: 50 with 40 % is 70, a margin of 28.57 %; 1.15 at a
        // margin of 35 % is 1.77; 500 sold at 1200 is a markup of 1.4.
        assert_eq!(asked(5000, &pricing(&[], &[], markup(2, 5), &[])), 7000);
        assert_eq!(asked(115, &pricing(&[], &[], margin(35, 100), &[])), 177);
        let tested = at(Money(120_000), Money(50_000), &Pricing::default()).expect("a price");
        assert_eq!(tested.markup, Some(Exact::new(7, 5)));
    }

    #[test]
    fn a_rounded_fee_counts() {
        // Derived: (12.34 + 0.30) / (1 - 0.065 - 0.4) = 23.6262; at 23.63 the fee is 1.84 and 9.45 are left,
        // a hair below 40 %.
        let fees = pricing(&[(65, 1000)], &[30], Wish::Margin(Ratio::new(2, 5)), &[]);
        assert_eq!(asked(1234, &fees), 2364);
        let ended = Pricing {
            ends: vec![End { cents: 50, of: 100 }, End { cents: 95, of: 100 }],
            ..fees
        };
        assert_eq!(asked(1234, &ended), 2395);
    }

    #[test]
    fn a_price_that_is_tested_may_lose_money() {
        let tested = pricing(&[(1, 10)], &[30], Wish::Price(Money(1000)), &[]);
        let asked = ask(Money(1234), &tested).expect("a price");
        assert_eq!((asked.fees.0, asked.left.0), (130, -364));
        assert_eq!(
            at(Money(0), Money(0), &Pricing::default()).map(|it| (it.margin, it.markup)),
            Some((None, None))
        );
    }

    /// The least of all prices, tried one by one.
    #[test]
    fn no_cheaper_price_keeps_the_wish() {
        let mut seed = 7_u64;
        let mut draw = |below: u64| {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            i64::try_from((seed >> 33) % below).expect("small")
        };
        let mut missed = 0;
        for _ in 0..400 {
            let shares: Vec<(i64, i64)> = (0..draw(3)).map(|_| (draw(150), 1000)).collect();
            let fixed: Vec<i64> = (0..draw(3)).map(|_| draw(60)).collect();
            let share = Ratio::new(draw(600), 1000);
            let wish = if draw(2) == 0 {
                Wish::Margin(share)
            } else {
                Wish::Markup(share)
            };
            let ends: &[(i64, i64)] = [
                &[][..],
                &[(50, 100)],
                &[(95, 100), (0, 100)],
                &[(995, 1000)],
            ][draw(4) as usize];
            let pricing = pricing(&shares, &fixed, wish, ends);
            let costs = Money(draw(900));
            let keeps = |cents: i64| {
                let asked = at(Money(cents), costs, &pricing).expect("small");
                let whole = |money: Money| Exact::from(i128::from(money.0));
                let share = Exact::new(i128::from(*share.numer()), i128::from(*share.denom()));
                let of = if matches!(wish, Wish::Margin(_)) {
                    Money(cents)
                } else {
                    costs
                };
                whole(asked.left) >= whole(of) * share
            };
            let ended =
                |cents: &i64| ends.is_empty() || ends.iter().any(|(end, of)| cents % of == *end);
            let least = (0..20_000)
                .filter(ended)
                .find(|cents| keeps(*cents))
                .expect("one");
            assert_eq!(asked(costs.0, &pricing), least, "{pricing:?} {costs:?}");
            missed += u32::from((least..least + 5).any(|cents| !keeps(cents)));
        }
        // A dearer price that misses the wish again is no rarity.
        assert!(missed > 0);
    }
}
