//! Drawings: one display list in exact lengths, and its writers.
//!
//! `list` holds pages of lines, outlines, circles and texts, `font` measures texts so that labels
//! can be placed, `check` finds labels that lie on each other, on lines or off the page; `svg`,
//! `pdf` and `png` write pages. `shelf` draws bags side by side, `field` all sizes of bag, `sheets`
//! cutting plans. May import `length`, `supplies`, `album`, `vocabulary`, `plan`, `compare`, `cut` and
//! `report` (for words); never the solver.
//!
//! Inside this room arithmetic is in whole nanometres: what is drawn is some metres large, far from
//! the ends of `i64`. Only `pdf` and `png` turn lengths into floats, at the very end.

pub mod check;
pub mod field;
pub mod font;
pub mod list;
pub mod pdf;
pub mod png;
pub mod sheets;
pub mod shelf;
pub mod svg;
