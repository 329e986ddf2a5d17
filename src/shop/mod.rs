//! What albums need, and what to buy for them.
//!
//! `needs` counts what a number of copies uses up, kind by kind, with one joint order of pieces. May
//! import `length`, `money`, `text`, `supplies`, `album`, `plan`, `cut`, `nest` and `solve`.

pub mod needs;
