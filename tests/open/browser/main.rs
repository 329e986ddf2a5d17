//! The page in a browser, as a maker uses it: typing, clicking, and what is then seen.
//!
//! Without a browser these tests say that they were skipped; `REQUIRE_BROWSER=1` makes that a failure.
//! `SHOW_PAGE=folder` writes pictures there.

mod access;
mod album;
mod clash;
mod driver;
mod first_bag;
mod look;
mod maker;
mod page;
mod printing;
mod state;
mod strange;
mod whole;
