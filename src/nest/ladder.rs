//! Cut positions along one side of a sheet.
//!
//! A cut needs to lie only where sums of sides end, seen from one edge and then from the other:
//! the positions that are left are few, and closed under cutting. All lengths here include one gap.

use super::answer::Stop;
use super::limits::Meter;

/// A position and how to cut there. Lengths of parts that matter, the whole last.
#[derive(Clone, Debug)]
pub(super) struct Ladder {
    /// Lengths (ticks with one gap), increasing; the last one stands for the whole sheet.
    pub points: Vec<u32>,
    /// For each length, the pairs of lengths (places in `points`) that it can be cut into and that
    /// no other pair exceeds in both.
    cuts: Pairs,
    /// Those pairs alone of which one part is just as long as a side.
    few: Pairs,
}

/// Pairs of places for each place.
#[derive(Clone, Debug)]
struct Pairs {
    pairs: Vec<(u32, u32)>,
    ends: Vec<u32>,
}

impl Pairs {
    /// From pairs of lengths, for lengths that increase.
    fn new<'a>(points: &[u32], each: impl Iterator<Item = &'a Vec<(u32, u32)>>) -> Self {
        let place = |length: u32| points.partition_point(|&p| p < length) as u32;
        let mut pairs = Vec::new();
        let mut ends = Vec::with_capacity(points.len() + 1);
        ends.push(0);
        for own in each {
            pairs.extend(own.iter().map(|&(a, b)| (place(a), place(b))));
            ends.push(pairs.len() as u32);
        }
        Self { pairs, ends }
    }

    fn of(&self, place: usize) -> &[(u32, u32)] {
        &self.pairs[self.ends[place] as usize..self.ends[place + 1] as usize]
    }
}

/// Pairs of lengths that one length is cut into: all, and the few.
type Cut = (u32, Vec<(u32, u32)>, Vec<(u32, u32)>);

/// Such pairs of many lengths, as long as they are not too many.
struct Cuts {
    pairs: Vec<Cut>,
    left: usize,
}

impl Cuts {
    fn up_to(most: usize) -> Self {
        let (pairs, left) = (Vec::new(), most);
        Self { pairs, left }
    }

    /// False if there are too many.
    fn push(&mut self, whole: u32, all: Vec<(u32, u32)>, few: Vec<(u32, u32)>) -> bool {
        let left = self.left.checked_sub(all.len());
        self.left = left.unwrap_or(0);
        self.pairs.push((whole, all, few));
        left.is_some()
    }
}

impl Ladder {
    /// Positions along `length` for sides, each kind with all its sides and how often it is wanted.
    /// `None` if there are more than `most` pairs.
    ///
    /// # Errors
    /// A limit was met.
    pub fn new(
        length: u32,
        kinds: &[(Vec<u32>, u64)],
        most: usize,
        meter: &mut Meter,
    ) -> Result<Option<Self>, Stop> {
        let sums = Sums::new(length, kinds, meter)?;
        let whole = sums.floor(length);
        // Downwards from the whole: a part beside which `b` fits, and what fits beside that part.
        let mut wanted = vec![false; length as usize + 1];
        wanted[whole as usize] = true;
        let sides = sides(kinds);
        let mut cut = Cuts::up_to(most);
        for whole in (1..=whole).rev() {
            if !wanted[whole as usize] {
                continue;
            }
            meter.look()?;
            let mut cuts = Vec::new();
            for &small in sums.reached.iter().take_while(|&&b| b <= whole / 2) {
                let large = sums.floor(whole - small);
                let small = sums.floor(whole - large);
                if small > large {
                    // Both are at most half: the same pair comes up the other way round.
                    continue;
                }
                if cuts.last() != Some(&(large, small)) {
                    cuts.push((large, small));
                    wanted[large as usize] = true;
                    wanted[small as usize] = true;
                }
            }
            let few = sums.few(whole, &sides);
            if !cut.push(whole, cuts, few) {
                return Ok(None);
            }
        }
        cut.pairs.reverse();
        Ok(Some(Self::of(&cut.pairs)))
    }

    /// As [`Self::new`], with every sum of sides for a length: what is asked of parts that are not
    /// put together from the whole downwards.
    ///
    /// # Errors
    /// A limit was met.
    pub fn of_all_sums(
        length: u32,
        kinds: &[(Vec<u32>, u64)],
        most: usize,
        meter: &mut Meter,
    ) -> Result<Option<Self>, Stop> {
        let sums = Sums::new(length, kinds, meter)?;
        let sides = sides(kinds);
        let mut cut = Cuts::up_to(most);
        for &whole in &sums.reached {
            meter.look()?;
            let small = sums.reached.iter().take_while(|&&b| b <= whole / 2);
            let cuts = small.map(|&b| (sums.floor(whole - b), b));
            let cuts: Vec<(u32, u32)> = cuts.collect();
            let few = sums.few(whole, &sides);
            if !cut.push(whole, cuts, few) {
                return Ok(None);
            }
        }
        Ok(Some(Self::of(&cut.pairs)))
    }

    /// From lengths and the lengths that each is cut into, increasing.
    fn of(pairs: &[Cut]) -> Self {
        let points: Vec<u32> = pairs.iter().map(|p| p.0).collect();
        let cuts = Pairs::new(&points, pairs.iter().map(|p| &p.1));
        let few = Pairs::new(&points, pairs.iter().map(|p| &p.2));
        Self { points, cuts, few }
    }

    /// As [`Self::new`], where no part may be thrown away that is shorter than `narrowest`: every
    /// length is what is really there. Lengths include one gap, `narrowest` does too.
    ///
    /// `waste`: strips of waste that are just as wide as the trimmer holds count as sides. Then no
    /// other positions are needed: what is wider can give way to one part that takes the rest.
    ///
    /// # Errors
    /// A limit was met.
    pub fn strict(
        length: u32,
        kinds: &[(Vec<u32>, u64)],
        narrowest: u32,
        waste: bool,
        most: usize,
        meter: &mut Meter,
    ) -> Result<Option<Self>, Stop> {
        let mut kinds = kinds.to_vec();
        if waste {
            kinds.push((vec![narrowest], u64::MAX));
        }
        let sums = Sums::new(length, &kinds, meter)?;
        let mut wanted = vec![false; length as usize + 1];
        wanted[length as usize] = true;
        let mut cut = Cuts::up_to(most);
        for whole in (1..=length).rev().filter(|&l| l >= narrowest) {
            if !wanted[whole as usize] {
                continue;
            }
            meter.look()?;
            let mut cuts = Vec::new();
            for &part in sums.reached.iter().take_while(|&&part| part < whole) {
                let rest = whole - part;
                if part >= narrowest && rest >= narrowest {
                    cuts.push((part.max(rest), part.min(rest)));
                    wanted[part as usize] = true;
                    wanted[rest as usize] = true;
                }
            }
            // The longest part first, as in `new`: rows are filled side by side up to it.
            cuts.sort_unstable_by(|a, b| b.cmp(a));
            cuts.dedup();
            let few = cuts.clone();
            if !cut.push(whole, cuts, few) {
                return Ok(None);
            }
        }
        cut.pairs.reverse();
        Ok(Some(Self::of(&cut.pairs)))
    }

    /// How many pairs there are, all lengths together.
    pub fn pairs(&self) -> usize {
        self.cuts.pairs.len()
    }

    /// How many of them have a part as long as a side.
    pub fn few_pairs(&self) -> usize {
        self.few.pairs.len()
    }

    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// The place of the shortest length that holds `side`; `None` if none does.
    pub fn above(&self, side: u32) -> Option<usize> {
        let place = self.points.partition_point(|&p| p < side);
        (place < self.points.len()).then_some(place)
    }

    /// The pairs that the length at `place` can be cut into, the longer part of each first, and the
    /// pair with the longest part before the others.
    pub fn cuts(&self, place: usize) -> &[(u32, u32)] {
        self.cuts.of(place)
    }

    /// As [`Self::cuts`]; if `few`, only the pairs of which one part is just as long as a side.
    pub fn some(&self, few: bool, place: usize) -> &[(u32, u32)] {
        if few { &self.few } else { &self.cuts }.of(place)
    }
}

/// All sides, the shortest first.
fn sides(kinds: &[(Vec<u32>, u64)]) -> Vec<u32> {
    let mut sides: Vec<u32> = kinds.iter().flat_map(|k| k.0.iter().copied()).collect();
    sides.sort_unstable();
    sides.dedup();
    sides
}

/// Sums of sides within the counts that are wanted.
struct Sums {
    /// Increasing, without 0.
    reached: Vec<u32>,
    floor: Vec<u32>,
}

impl Sums {
    fn new(length: u32, kinds: &[(Vec<u32>, u64)], meter: &mut Meter) -> Result<Self, Stop> {
        let mut is_reached = vec![false; length as usize + 1];
        is_reached[0] = true;
        // The fewest pieces of the kind at hand that a sum takes.
        let mut takes = vec![0u64; length as usize + 1];
        for (sides, count) in kinds.iter().filter(|k| !k.0.is_empty()) {
            meter.look()?;
            for at in 0..is_reached.len() {
                if is_reached[at] {
                    takes[at] = 0;
                    continue;
                }
                let each = sides.iter().map(|&side| side as usize);
                let before = each.filter(|&side| side <= at).map(|side| takes[at - side]);
                let least = before.min().unwrap_or(u64::MAX).saturating_add(1);
                takes[at] = if least <= *count { least } else { u64::MAX };
            }
            for (reached, takes) in is_reached.iter_mut().zip(&takes) {
                *reached |= *takes < u64::MAX;
            }
        }
        let mut floor = Vec::with_capacity(length as usize + 1);
        let mut reached = Vec::new();
        let mut last = 0;
        for (at, is_reached) in (0..).zip(is_reached) {
            if at > 0 && is_reached {
                last = at;
                reached.push(at);
            }
            floor.push(last);
        }
        Ok(Self { reached, floor })
    }

    /// What is left of `whole` beside each side, as [`Ladder::new`] pairs it: the longest part first.
    fn few(&self, whole: u32, sides: &[u32]) -> Vec<(u32, u32)> {
        let each = sides.iter().take_while(|&&side| side < whole);
        let pairs = each.filter_map(|&side| {
            let small = side.min(self.floor(whole - side));
            let large = self.floor(whole - small);
            (small > 0).then(|| (large, self.floor(whole - large)))
        });
        let mut pairs: Vec<(u32, u32)> = pairs.collect();
        pairs.sort_unstable_by(|a, b| b.cmp(a));
        pairs.dedup();
        pairs
    }

    /// The largest sum up to `length`.
    fn floor(&self, length: u32) -> u32 {
        self.floor[length as usize]
    }
}
