//! What holds a size back, what one more step of a measure buys, and the smallest leaf for things.

#[path = "../common/mod.rs"]
mod common;

mod grow;
