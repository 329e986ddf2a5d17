//! Numbers from the fuzzer's bytes.

use std::cell::RefCell;

thread_local! {
    static BYTES: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Draws each number from the next bytes; once they are used up, always the least.
///
/// It has the methods of the dice of several tests, so that what they draw can be drawn here.
pub struct Dice {
    bytes: Vec<u8>,
    at: usize,
}

impl Dice {
    pub fn of(bytes: &[u8]) -> Self {
        Self {
            bytes: bytes.to_vec(),
            at: 0,
        }
    }

    /// The bytes from which the next [`Dice::new`] draws, whatever its seed.
    pub fn load(bytes: &[u8]) {
        BYTES.with(|held| *held.borrow_mut() = bytes.to_vec());
    }

    pub fn new(_seed: u64) -> Self {
        Self::of(&BYTES.with(RefCell::take))
    }

    /// Nothing is left to draw from.
    pub fn is_empty(&self) -> bool {
        self.at >= self.bytes.len()
    }

    /// What was not drawn from.
    pub fn rest(&self) -> &[u8] {
        &self.bytes[self.at.min(self.bytes.len())..]
    }

    fn byte(&mut self) -> u8 {
        self.at += 1;
        self.bytes.get(self.at - 1).copied().unwrap_or(0)
    }

    /// A number below `ways`, from as few bytes as it needs.
    fn below(&mut self, ways: u64) -> u64 {
        let mut drawn = 0;
        let mut left = ways.saturating_sub(1);
        while left > 0 {
            drawn = drawn << 8 | u64::from(self.byte());
            left >>= 8;
        }
        if ways == 0 { drawn } else { drawn % ways }
    }

    /// From `least` to `most`, both included.
    pub fn between(&mut self, least: i64, most: i64) -> i64 {
        let ways = most.wrapping_sub(least) as u64;
        let drawn = match ways.checked_add(1) {
            Some(ways) => self.below(ways.max(1)),
            None => (0..8).fold(0, |all, _| all << 8 | u64::from(self.byte())),
        };
        least.wrapping_add(drawn as i64)
    }

    pub fn throw(&mut self, least: u64, most: u64) -> u64 {
        least + self.below(most - least + 1)
    }

    /// True in so many of a hundred cases; never once the bytes are used up.
    pub fn chance(&mut self, percent: i64) -> bool {
        !self.is_empty() && self.between(1, 100) <= percent
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
