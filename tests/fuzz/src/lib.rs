//! What the fuzz targets share: each target is one line that calls a function from here, so that a
//! finding can be tried again anywhere.
//!
//! Readers are given texts; everything that is solved is drawn from the fuzzer's bytes by [`Dice`],
//! so that it gets past the readers. The plain references are those of the tests.

pub mod cutting;
mod dice;
pub mod explaining;
pub mod programs;
pub mod readers;
pub mod whole;
pub mod words;

#[path = "../../solving/enumerate.rs"]
mod enumerate;
#[path = "../../nesting/leaving.rs"]
mod leaving;
#[path = "../../solving/points.rs"]
mod points;
#[path = "../../nesting/reference.rs"]
mod reference;
#[path = "../../common/vary/mod.rs"]
mod vary;

pub use dice::Dice;
