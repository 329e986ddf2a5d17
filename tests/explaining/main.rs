//! Conflicts and repairs against exhaustive enumeration.

#[path = "../solving/draws.rs"]
mod draws;
#[path = "../solving/parts.rs"]
mod parts;
#[path = "../solving/points.rs"]
mod points;

mod conflicts;
mod repairs;
mod spoilt;
