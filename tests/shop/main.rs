//! What albums need, and what to buy for them.

#[path = "../common/mod.rs"]
mod common;
mod cover;
mod needs;
mod sheets;
