//! What lies in the slots of a frame: on a slot's bottom, or spread over a back. May import what `plan` may.

use super::amount::{Amount, Ends};
use super::value::{Laying, Tucked};
use super::{Area, Laid, What};
use crate::style::parts::{Edge, Frame, Slot};

impl Laying<'_> {
    /// Notes which inserts each slot of the frame has.
    pub(super) fn fill_slots(&mut self, frame: &Frame) {
        for on in &frame.on {
            if let Some(slot) = on.slot()
                && self.holds(&on.when)
            {
                let here = self.inserts.iter().filter(|insert| {
                    let section = slot.section.as_ref();
                    insert.place == slot.place && section.is_none_or(|s| *s == insert.section)
                });
                let here = here.map(|insert| insert.index).collect();
                self.slots.entry(on.name.clone()).or_insert(here);
            }
        }
    }

    /// The inserts of a slot, which is `of` in its frame's parts.
    pub(super) fn tucked(
        &self,
        name: &str,
        slot: &Slot,
        ends: Ends,
        back: bool,
        of: usize,
    ) -> Vec<Laid> {
        let gap = slot.gap.as_ref().and_then(|gap| self.value(gap));
        let inside = self.tuck(ends, slot.opens, gap, name).into_iter();
        let laid = inside.map(|(index, copy, area)| {
            let Tucked {
                name,
                width,
                height,
                ..
            } = &self.inserts[index];
            let (what, sizes) = (What::Insert(index, copy), [Some(*width), Some(*height)]);
            Laid {
                slot: Some(of),
                ..Laid::plain(name, name, what, area, sizes, back)
            }
        });
        laid.collect()
    }

    /// Where the inserts of a slot lie: on its bottom, in the middle across; or, where it does not
    /// open, spread over it.
    fn tuck(
        &self,
        slot: Ends,
        opens: Option<Edge>,
        gap: Option<Amount>,
        name: &str,
    ) -> Vec<(usize, usize, Area)> {
        let inside = self.slots.get(name).map_or(&[][..], Vec::as_slice);
        let area = slot.area();
        let sides = |n: usize| {
            (
                self.inserts[n].width.drawn(),
                self.inserts[n].height.drawn(),
            )
        };
        let middle = |(from, to): (i64, i64), size: i64| from + ((to - from) - size) / 2;
        let (across, up) = ((area.left, area.right), (area.low, area.high));
        let Some(opens) = opens else {
            return self.spread(inside, area, gap.map_or(0, Amount::drawn));
        };
        let place = |n: &usize| {
            let (wide, high) = sides(*n);
            let (left, low) = match opens {
                Edge::High => (middle(across, wide), area.low),
                Edge::Low => (middle(across, wide), area.high - high),
                Edge::Right => (area.left, middle(up, high)),
                Edge::Left => (area.right - wide, middle(up, high)),
            };
            let area = Area {
                left,
                right: left + wide,
                low,
                high: low + high,
            };
            (*n, 0, area)
        };
        inside.iter().map(place).collect()
    }

    /// Pieces one above the other, the first highest; or side by side where only that has room.
    fn spread(&self, inside: &[usize], room: Area, gap: i64) -> Vec<(usize, usize, Area)> {
        let pieces = inside.iter().flat_map(|n| {
            let count = usize::try_from(self.inserts[*n].count).unwrap_or(1);
            (0..count.min(MOST_GLUED)).map(move |copy| (*n, copy))
        });
        let pieces: Vec<(usize, usize)> = pieces.take(MOST_GLUED).collect();
        let side = |pick: fn(&Tucked) -> Amount| {
            let sides = pieces.iter().map(|(n, _)| pick(&self.inserts[*n]).drawn());
            sides.collect::<Vec<i64>>()
        };
        let (wide, tall) = (side(|i| i.width), side(|i| i.height));
        let takes = |sides: &[i64]| sides.iter().sum::<i64>() + gap * (sides.len() as i64 - 1);
        let in_a_row =
            takes(&tall) > room.high - room.low && takes(&wide) <= room.right - room.left;
        let along = match in_a_row {
            true => apart((room.left, room.right), gap, &wide),
            // From the head down.
            false => apart((-room.high, -room.low), gap, &tall),
        };
        let middle = |from: i64, to: i64, size: i64| from + ((to - from) - size) / 2;
        let place = |(at, n): (i64, usize)| {
            let (left, low) = match in_a_row {
                true => (at, middle(room.low, room.high, tall[n])),
                false => (middle(room.left, room.right, wide[n]), -at - tall[n]),
            };
            let area = Area {
                left,
                right: left + wide[n],
                low,
                high: low + tall[n],
            };
            (pieces[n].0, pieces[n].1, area)
        };
        along.into_iter().zip(0..).map(place).collect()
    }
}

/// More pieces on one back are not drawn.
const MOST_GLUED: usize = 24;

/// Where each of some lengths begins: evenly apart in the room that they have, and from each other by
/// a gap at least; where they have too little, over each other from one end of it to the other.
fn apart((from, to): (i64, i64), gap: i64, lengths: &[i64]) -> Vec<i64> {
    let more = lengths.len() as i64 - 1;
    let spare = to - from - lengths.iter().sum::<i64>();
    if spare < gap * more {
        let places = lengths.iter().zip(0..);
        let place = |(length, n): (&i64, i64)| from + (to - from - length) * n / more.max(1);
        return places.map(place).collect();
    }
    let apart = gap.max(spare / (more + 2));
    let mut at = from + (spare - apart * more) / 2;
    let begin = |length: &i64| {
        let here = at;
        at += length + apart;
        here
    };
    lengths.iter().map(begin).collect()
}
