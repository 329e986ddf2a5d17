//! Parcels as a maker writes them, `[[parcel]]`. May import what `text` may.

use super::weighed::weighs;
use super::weight::parse_grams;
use super::{Parcel, SuppliesError};
use crate::length::{Interval, Length, Sides, parse_sides};
use crate::text::{Faults, Limits, Said, Table, TextError, found, within};

const PARCELS: Limits = Limits::up_to_mm(3_000);
/// Length and around together.
const AROUND: Limits = Limits::up_to_mm(10_000);

/// One parcel. Of measures that are only known between two ends the least counts, of padding the most.
pub(super) fn parcel(
    table: &Table<'_>,
    name: Option<String>,
    faults: &mut Faults,
) -> Option<Parcel> {
    let soft = table.flag("soft", faults).unwrap_or(false);
    let text = table.text("inside", faults);
    let sides = text.as_ref().and_then(|text| inside(text, soft, faults));
    let padding = table.length("padding", PARCELS.or_nothing(), faults);
    let free = padding.as_ref().map_or(Length::ZERO, |it| it.value.most());
    if let (Some(said), Some(text), Some((a, b, c))) = (&padding, &text, &sides) {
        let least = [Some(*a), Some(*b), *c].into_iter().flatten().min();
        if least.is_some_and(|least| free.nm().saturating_mul(2) >= least.nm()) {
            let (place, inside) = (said.place, text.place);
            found(faults, SuppliesError::AllPadding { place, inside });
        }
    }
    let weight = weighs(table, "weight", parse_grams, faults);
    let most = weighs(table, "most", parse_grams, faults);
    let around = table.length("around", AROUND, faults);
    let price = table.money("price", faults);
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
    faults: &mut Faults,
) -> Option<(Length, Length, Option<Length>)> {
    let sides = match parse_sides(&text.value) {
        Ok(sides) => sides,
        Err(error) => {
            let place = text.part(error.range());
            found(faults, TextError::Length { place, error });
            return None;
        }
    };
    let (a, b, c) = match sides {
        Sides::Two { width, height } => (width, height, None),
        Sides::Three {
            width,
            gusset,
            height,
        } => (width, gusset, Some(height)),
    };
    if c.is_none() && !soft {
        found(faults, SuppliesError::FlatParcel { place: text.place });
        return None;
    }
    let mut sane = true;
    for side in [Some(a), Some(b), c].into_iter().flatten() {
        sane &= within("inside", text, side, PARCELS, faults);
    }
    sane.then(|| (a.least(), b.least(), c.map(Interval::least)))
}
