//! The same album with another bag: what is laid over it again is what is laid over it anew.

mod apart;
#[path = "../common/mod.rs"]
mod common;
mod judge;
mod lay;
