//! What an album says of its price: an hour, minutes, fees, what is to be left. Imports what `leaf` may.

use super::AlbumError;
use super::leaf::in_text;
use crate::length::parse_ratio;
use crate::money::Money;
use crate::text::{Finds, Item, Kind as Wanted, Node, Place, Said, Table, money, wrong};
use num_rational::Ratio;

/// A share of a price, from 0 to less than 1.
pub type Share = Ratio<i64>;

/// The most minutes of one album.
const MINUTES: i64 = 100_000;
/// Digits of a price's end: `9999.95`.
const LONGEST_END: usize = 6;

/// What should be left of a price, or the price itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// This share of the price.
    Margin(Share),
    /// This share of what the album costs; it may be more than 1.
    Markup(Share),
    /// A price to test.
    Price(Money),
}

impl Wish {
    /// Reads what stands behind `margin`, `markup` or another word for a price; what is wrong is reported.
    pub fn read(key: &str, said: &Said<String>, faults: &Finds) -> Option<Wish> {
        match key.trim_start_matches('-') {
            "margin" => share(said, faults).map(Wish::Margin),
            "markup" => in_text(said, parse_ratio(&said.value), faults).map(Wish::Markup),
            _ => money(said, faults).map(Wish::Price),
        }
    }
}

/// The last digits of a price: the cents that are left when a power of ten is taken off as often as it goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct End {
    pub cents: i64,
    /// At least 100.
    pub of: i64,
}

/// What stands under `[price]`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pricing {
    pub place: Place,
    /// What an hour of work costs.
    pub hour: Option<Money>,
    /// Of one album; absent: those of the steps.
    pub minutes: Option<i64>,
    /// Shares of the price that a shop or a card company keeps.
    pub shares: Vec<Share>,
    /// What they keep of every sale.
    pub fixed: Vec<Money>,
    pub wish: Option<Wish>,
    /// What the album wishes, if a price is tested instead.
    pub meant: Option<Wish>,
    /// One of these ends the price; any, if there are none.
    pub ends: Vec<End>,
    /// Packs are counted whole, not by what is used of them.
    pub whole_packs: bool,
}

/// Reads `[price]`.
pub(super) fn price(table: &Table<'_>) -> Pricing {
    table.never_both("markup", "margin", "each decides the price");
    table.never_both("price", "margin", "each decides the price");
    table.never_both("price", "markup", "each decides the price");
    let mut pricing = Pricing {
        place: table.place,
        hour: table.money("hour"),
        minutes: table.count("minutes", 0, MINUTES),
        ..Pricing::default()
    };
    for fee in table.names("fees") {
        match (fee.value.contains('%'), fee.value.parse()) {
            (true, _) => pricing.shares.extend(share(&fee, table.faults)),
            (false, Ok(money)) => pricing.fixed.push(money),
            (false, Err(_)) => {
                let (place, written) = (fee.place, fee.value);
                table.tell(place, AlbumError::Fee { written });
            }
        }
    }
    let margin = table.text("margin");
    let tested = table.money("price").map(Wish::Price);
    let markup = table.text("markup");
    let said = |key, said: &Option<Said<String>>| Wish::read(key, said.as_ref()?, table.faults);
    let margin_wish = said("margin", &margin);
    pricing.wish = margin_wish.or(said("markup", &markup)).or(tested);
    for end in table.names("ends") {
        match self::end(&end.value) {
            Some(end) => pricing.ends.push(end),
            None => {
                let (place, written) = (end.place, end.value);
                table.tell(place, AlbumError::End { written });
            }
        }
    }
    let material = table.choice("material", &[("used", false), ("packs", true)]);
    pricing.whole_packs = material.is_some_and(|said| said.value);
    let place = margin.map_or(table.place, |said| said.place);
    if let Some([sum, below]) = pricing.leaves_nothing() {
        table.tell(place, AlbumError::NothingLeft { sum, below });
    }
    pricing
}

impl Pricing {
    /// What shares of fees and margin come to, where they take the whole price, or as good as all of it: no
    /// price leaves that; and what the margin has to stay below.
    pub fn leaves_nothing(&self) -> Option<[String; 2]> {
        let margin = match self.wish {
            Some(Wish::Margin(margin)) => margin,
            _ => Share::from(0),
        };
        let wide = |it: &Share| Ratio::new(i128::from(*it.numer()), i128::from(*it.denom()));
        // Beyond 999 of 1000 a price has no sense; nor has one whose shares cannot be added.
        let add = |sum: Ratio<i128>, share| num_traits::CheckedAdd::checked_add(&sum, &share);
        let fees = self.shares.iter().map(wide).try_fold(Ratio::from(0), add);
        let sum = fees.and_then(|fees| add(fees, wide(&margin)));
        if sum.is_some_and(|sum| sum <= Ratio::new(999, 1000)) {
            return None;
        }
        let percent = |share: Option<Ratio<i128>>| {
            let tenths = share.map(|it| (it * Ratio::from(1000)).to_integer());
            tenths.map_or("more than all".to_owned(), |it| match it % 10 {
                0 => format!("{} %", it / 10),
                tenth => format!("{}.{tenth} %", it / 10),
            })
        };
        let left = fees.map(|fees| (Ratio::from(1) - fees).max(Ratio::from(0)));
        Some([percent(sum), percent(left)])
    }
}

/// `40 %`: less than all of it.
fn share(said: &Said<String>, faults: &Finds) -> Option<Share> {
    let share = in_text(said, parse_ratio(&said.value), faults)?;
    if share < Share::from(1) {
        return Some(share);
    }
    let (place, written) = (said.place, said.value.clone());
    faults.tell(place, AlbumError::WholeShare { written });
    None
}

/// `.50`, `9.95`: digits behind the point, and those before it that count.
fn end(text: &str) -> Option<End> {
    let (whole, part) = text.trim().split_once('.')?;
    let digits = format!("{whole}{part}");
    let sane = part.len() == 2 && digits.len() <= LONGEST_END;
    if !sane || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    Some(End {
        cents: digits.parse().ok()?,
        of: 10_i64.checked_pow(u32::try_from(digits.len()).ok()?)?,
    })
}

/// Minutes of the steps of one album, by their titles.
pub(super) fn minutes(root: &Table<'_>) -> Vec<(Said<String>, i64)> {
    let steps = root.pairs("minutes").into_iter();
    let steps = steps.filter_map(|(title, item)| {
        let minutes = whole(&title.value, item, root.faults)?;
        Some((title, minutes))
    });
    steps.collect()
}

fn whole(title: &str, item: &Item, faults: &Finds) -> Option<i64> {
    let Node::Whole { value, .. } = item.node else {
        let example = format!("\"{title}\" = 20");
        wrong(title, item, Wanted::Whole, example, faults);
        return None;
    };
    let minutes = value.filter(|n| (0..=MINUTES).contains(n));
    if minutes.is_none() {
        let place = item.place;
        faults.tell(place, AlbumError::Minutes { most: MINUTES });
    }
    minutes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_end_of_a_price_is_its_last_digits() {
        let read = |text| end(text).map(|end| (end.cents, end.of));
        assert_eq!(read(".50"), Some((50, 100)));
        assert_eq!(read(" 9.95"), Some((995, 1000)));
        for text in ["", "50", ".5", ".505", "-.50", "x.50", "12345.00"] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
