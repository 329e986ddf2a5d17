//! Witnesses at the very number where they stop to hold.

use crate::steps::problem;
use tuckwright::solve::check::{WitnessError, witness};
use tuckwright::solve::problem::Witness;

#[test]
fn a_witness_keeps_every_bound_and_every_row_in_force_and_no_other() {
    // x <= 3 under one alternative, x >= 7 under the other; x + y <= 12.
    let it = problem(
        &[(2, 9), (0, 5)],
        &[2],
        &[
            (&[(0, 1)], 3, &[(0, 0)]),
            (&[(0, -1)], -7, &[(0, 1)]),
            (&[(0, 1), (1, 1)], 12, &[]),
        ],
    );
    let test = |x: i64, y: i64, taken: u32| {
        let values = vec![x, y];
        let taken = vec![taken];
        witness(&it, &Witness { values, taken })
    };
    let outside = |unknown| Err(WitnessError::OutOfBounds { unknown });
    let broken = |row| Err(WitnessError::Violated { row });
    for x in 0..12 {
        for y in -2..8 {
            let first = if !(2..=9).contains(&x) {
                outside(0)
            } else if !(0..=5).contains(&y) {
                outside(1)
            } else if x > 3 {
                broken(0)
            } else if x + y > 12 {
                broken(2)
            } else {
                Ok(())
            };
            assert_eq!(test(x, y, 0), first, "{x} {y}");
            let second = match first {
                Err(WitnessError::OutOfBounds { .. }) => first,
                _ if x < 7 => broken(1),
                _ if x + y > 12 => broken(2),
                _ => Ok(()),
            };
            assert_eq!(test(x, y, 1), second, "{x} {y}");
        }
    }
    for values in [vec![2], vec![2, 0, 0]] {
        let taken = vec![0];
        let shape = witness(&it, &Witness { values, taken });
        assert_eq!(shape, Err(WitnessError::Shape));
    }
}
