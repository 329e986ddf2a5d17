//! tuckwright: exact sizes for ring-bound albums made of paper bags.
//!
//! ```text
//! album.toml, supplies, styles -> album, supplies, style -> program -> solve -> plan -> report
//! ```
//!
//! A later stage may import an earlier one, never the reverse.
#![forbid(unsafe_code)]

pub mod album;
pub mod length;
pub mod program;
pub mod solve;
pub mod supplies;
pub mod text;
