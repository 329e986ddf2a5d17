//! Why something does not fit, what is cheapest to change, and what holds a size back.
//!
//! `soften` turns every change that may be made into an unknown amount; `fixes` finds the cheapest
//! ones and proves each by solving the changed album again. May import every room up to `plan`.

pub mod soften;
