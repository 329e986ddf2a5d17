//! The same album made of other bags.

mod asked;
mod charts;
#[path = "../common/mod.rs"]
mod common;
mod monotone;
mod rank;
mod shelf;
