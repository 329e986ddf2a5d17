//! What programs made at random draw, beside numbers.

use crate::parts::Dice;

impl Dice {
    pub fn chance(&mut self, percent: u64) -> bool {
        self.next() % 100 < percent
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            list.swap(at, self.within(0, at as i64) as usize);
        }
    }
}
