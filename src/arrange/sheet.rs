//! What a sheet can give: the largest counts of pieces that straight cuts from edge to edge make of it.
//!
//! The dynamic program over rectangles of guillotine cutting (Gilmore and Gomory 1966; Beasley 1985), with
//! sets of counts in place of a value: a cut stands at a sum of sides, and two parts give each sum of what
//! they give.

use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

/// How many of each kind.
pub type Counts = Vec<u32>;

/// Rectangles that are looked at, and sums that are made, before it is too much.
const MOST_RECTANGLES: usize = 20_000;
const MOST_SUMS: usize = 4_000_000;

/// Every count of these kinds that a sheet gives and that is not less in every kind than another; no
/// more than `most` of each counts. `None` if there are too many ways.
pub fn gives(
    sheet: (i64, i64),
    kinds: &[(i64, i64)],
    turn: bool,
    most: &[u32],
) -> Option<Vec<Counts>> {
    let sides = |across: bool| {
        let each = kinds
            .iter()
            .map(|(wide, high)| if across { *wide } else { *high });
        let turned = kinds
            .iter()
            .map(|(wide, high)| if across { *high } else { *wide });
        let all: BTreeSet<i64> = each.chain(turned.filter(|_| turn)).collect();
        all
    };
    let mut search = Search {
        kinds,
        turn,
        most,
        across: sums(&sides(true), sheet.0)?,
        up: sums(&sides(false), sheet.1)?,
        known: HashMap::new(),
        made: 0,
    };
    search.of(sheet.0, sheet.1).map(|counts| counts.to_vec())
}

/// The same of several sheets alike.
pub fn of_several(one: &[Counts], sheets: i64, most: &[u32]) -> Option<Vec<Counts>> {
    let mut all = vec![vec![0; most.len()]];
    for _ in 0..sheets {
        let next = both(&all, one, most)?;
        if next == all {
            break;
        }
        all = next;
    }
    Some(all)
}

/// What two lots of sheets give together; `None` if there are too many ways.
pub fn both(a: &[Counts], b: &[Counts], most: &[u32]) -> Option<Vec<Counts>> {
    (a.len() * b.len() <= MOST_SUMS / 100).then(|| largest(each_sum(a, b, most)))
}

fn each_sum(a: &[Counts], b: &[Counts], most: &[u32]) -> BTreeSet<Counts> {
    let add = |a: &Counts, b: &Counts| -> Counts {
        let both = a.iter().zip(b).zip(most);
        both.map(|((a, b), most)| (a + b).min(*most)).collect()
    };
    a.iter()
        .flat_map(|a| b.iter().map(move |b| add(a, b)))
        .collect()
}

/// Without those that are nowhere more than another.
fn largest(all: BTreeSet<Counts>) -> Vec<Counts> {
    let below = |a: &Counts, b: &Counts| a.iter().zip(b).all(|(a, b)| a <= b);
    // What is nowhere less than another comes behind it in their order.
    let mut kept: Vec<Counts> = Vec::new();
    for counts in all.into_iter().rev() {
        if !kept.iter().any(|other| below(&counts, other)) {
            kept.push(counts);
        }
    }
    kept.reverse();
    kept
}

/// Sums of sides up to a length.
fn sums(sides: &BTreeSet<i64>, most: i64) -> Option<Vec<i64>> {
    let mut all = BTreeSet::from([0]);
    let mut open = vec![0];
    while let Some(from) = open.pop() {
        for side in sides
            .iter()
            .filter(|side| **side > 0 && from + **side <= most)
        {
            if all.insert(from + side) {
                open.push(from + side);
            }
        }
        if all.len() > 1_000 {
            return None;
        }
    }
    Some(all.into_iter().collect())
}

struct Search<'k> {
    kinds: &'k [(i64, i64)],
    turn: bool,
    most: &'k [u32],
    across: Vec<i64>,
    up: Vec<i64>,
    known: HashMap<(i64, i64), Rc<[Counts]>>,
    made: usize,
}

impl Search<'_> {
    fn of(&mut self, wide: i64, high: i64) -> Option<Rc<[Counts]>> {
        let down = |sums: &[i64], side: i64| {
            let at = sums.partition_point(|sum| *sum <= side);
            sums.get(at.checked_sub(1)?).copied()
        };
        let (wide, high) = (down(&self.across, wide)?, down(&self.up, high)?);
        if let Some(known) = self.known.get(&(wide, high)) {
            return Some(Rc::clone(known));
        }
        if self.known.len() > MOST_RECTANGLES {
            return None;
        }
        let mut all = BTreeSet::from([vec![0; self.kinds.len()]]);
        for (n, (width, height)) in self.kinds.iter().enumerate() {
            let lies = |w: i64, h: i64| w <= wide && h <= high;
            if self.most[n] > 0 && (lies(*width, *height) || (self.turn && lies(*height, *width))) {
                let mut one = vec![0; self.kinds.len()];
                one[n] = 1;
                all.insert(one);
            }
        }
        let cuts: Vec<i64> = self
            .across
            .iter()
            .copied()
            .filter(|x| *x > 0 && 2 * x <= wide)
            .collect();
        for x in cuts {
            let (a, b) = (self.of(x, high)?, self.of(wide - x, high)?);
            self.join(&mut all, &a, &b)?;
        }
        let cuts: Vec<i64> = self
            .up
            .iter()
            .copied()
            .filter(|y| *y > 0 && 2 * y <= high)
            .collect();
        for y in cuts {
            let (a, b) = (self.of(wide, y)?, self.of(wide, high - y)?);
            self.join(&mut all, &a, &b)?;
        }
        let all: Rc<[Counts]> = largest(all).into();
        self.known.insert((wide, high), Rc::clone(&all));
        Some(all)
    }

    fn join(&mut self, all: &mut BTreeSet<Counts>, a: &[Counts], b: &[Counts]) -> Option<()> {
        self.made += a.len() * b.len();
        all.append(&mut each_sum(a, b, self.most));
        (self.made < MOST_SUMS).then_some(())
    }
}
