//! Conflicts and repairs against exhaustive enumeration.

// The generators are shared with the tests of the solver, which use more of them.
#[allow(dead_code)]
#[path = "../solving/enumerate.rs"]
mod enumerate;
#[allow(dead_code)]
#[path = "../solving/generate.rs"]
mod generate;

mod conflicts;
mod repairs;
mod spoilt;
