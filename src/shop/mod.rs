//! What albums need, and what to buy for them.
//!
//! `needs` counts what a number of copies uses up, kind by kind, with one joint order of pieces; `cover`
//! finds the cheapest packs that hold given numbers of things, `buy` asks it and the cutting in turn, `short`
//! is what is missing at home, `left` what is there afterwards. May import `length`, `money`, `text`, `supplies`, `album`, `plan`,
//! `cut`, `nest` and `solve`.

pub mod buy;
pub mod cover;
pub mod left;
pub mod needs;
pub mod short;
