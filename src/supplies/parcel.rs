//! Parcels as a maker writes them, `[[parcel]]`. May import what `text` may.

use super::weighed::weighs;
use super::weight::parse_grams;
use super::{Parcel, SuppliesError};
use crate::length::{Interval, Length, parse_sides};
use crate::text::{Finds, Limits, Said, Table, TextError, within};

const PARCELS: Limits = Limits::up_to_mm(3_000);
/// Length and around together.
const AROUND: Limits = Limits::up_to_mm(10_000);

/// One parcel. Of measures that are only known between two ends the least counts, of padding the most.
pub(super) fn parcel(table: &Table<'_>, name: Option<String>) -> Option<Parcel> {
    let soft = table.flag("soft").unwrap_or(false);
    let text = table.text("inside");
    let sides = text
        .as_ref()
        .and_then(|text| inside(text, soft, table.faults));
    let padding = table.length("padding", PARCELS.or_nothing());
    let free = padding.as_ref().map_or(Length::ZERO, |it| it.value.most());
    if let (Some(said), Some(text), Some((a, b, c))) = (&padding, &text, &sides) {
        let least = [Some(*a), Some(*b), *c].into_iter().flatten().min();
        if least.is_some_and(|least| free.nm().saturating_mul(2) >= least.nm()) {
            let (place, inside) = (said.place, text.place);
            table.tell(place, SuppliesError::AllPadding { inside });
        }
    }
    let weight = weighs(table, "weight", parse_grams);
    let most = weighs(table, "most", parse_grams);
    let around = table.length("around", AROUND);
    let price = table.money("price");
    Some(Parcel {
        name: name?,
        place: table.place,
        inside: sides?,
        soft,
        padding: free,
        weight,
        most,
        around: around.map(|it| it.value.least()),
        price,
    })
}

/// Two or three sides.
fn inside(
    text: &Said<String>,
    soft: bool,
    faults: &Finds,
) -> Option<(Length, Length, Option<Length>)> {
    let sides = match parse_sides(&text.value) {
        Ok(sides) => sides,
        Err(error) => {
            let place = text.part(error.range());
            faults.tell(place, TextError::Length { error });
            return None;
        }
    };
    let (a, b, c) = match sides.gusset {
        None => (sides.width, sides.height, None),
        Some(middle) => (sides.width, middle, Some(sides.height)),
    };
    if c.is_none() && !soft {
        faults.tell(text.place, SuppliesError::FlatParcel);
        return None;
    }
    let mut sane = true;
    for side in [Some(a), Some(b), c].into_iter().flatten() {
        sane &= within("inside", text, side, PARCELS, faults);
    }
    sane.then(|| (a.least(), b.least(), c.map(Interval::least)))
}
