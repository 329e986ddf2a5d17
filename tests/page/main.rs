//! The parts of the page as HTML, of the albums that are shipped and of some that clash.
//!
//! `SHOW_PAGE=folder cargo test --test page` writes whole pages there, to be looked at in a browser.

#[path = "../common/mod.rs"]
mod common;
mod parts;
mod seen;
