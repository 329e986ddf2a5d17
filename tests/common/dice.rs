//! Numbers from a number: the same on every machine.

/// A small generator of numbers (splitmix64, by Vigna; from memory).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        least + (self.next() % (most - least + 1).max(1) as u64) as i64
    }

    /// True in so many of a hundred cases.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.between(0, from.len() as i64 - 1) as usize]
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            list.swap(at, self.between(0, at as i64) as usize);
        }
    }
}
