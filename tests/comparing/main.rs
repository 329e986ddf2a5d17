//! The same album made of other bags.

mod asked;
#[path = "../common/mod.rs"]
mod common;
