//! One page in the browser: the whole job at once.
//!
//! `sight` is what the page shows, as facts; `view` makes HTML of it, and nothing else: it opens no file
//! and reads no clock. May import every room but `cli`.

pub mod sight;
pub mod view;
