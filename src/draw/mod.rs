//! Drawings: one display list in exact lengths, and its writers.
//!
//! `list` holds pages of lines, outlines, circles and texts, `font` measures texts so that labels
//! can be placed, `check` finds labels that lie on each other, on lines or off the page; `svg`,
//! `pdf` and `png` write pages (`area` and `ink` are parts of `list`). `shelf` draws bags side by
//! side, `field` all sizes of bag (`picture` is what both share), `sheets` cutting plans.
//!
//! `handout` is the printout: sections of texts and drawings, set on pages by `flow` as `strips`: the album and steps
//! (`closed`, `pictures`), sheets (`cutting`), frames to scale (`view`, with `figure`, `pieces`, `grips` and `ruler`;
//! `profile` cuts them open, `mount` shows photos on their mats), the `map` with papers in their `look`; and what is at
//! true scale (`template`, `outlines`; `tile` spreads what is larger than a page), on `paper`; `html` is the
//! same for a screen; `kit` has the pages of a class.
//!
//! May import `length`, `supplies`, `album`, `vocabulary`, `plan`, `compare`, `cut` and `report` (for
//! words); never the solver.
//!
//! Inside this room arithmetic is in whole nanometres: what is drawn is some metres large, far from
//! the ends of `i64`. Only `pdf` and `png` turn lengths into floats, at the very end.

pub mod area;
pub mod check;
mod closed;
pub mod cutting;
pub mod field;
pub(crate) mod figure;
pub mod flow;
pub mod font;
pub(crate) mod grips;
pub mod handout;
pub mod html;
pub mod ink;
pub mod kit;
pub mod list;
pub mod look;
pub mod map;
mod mount;
pub mod outlines;
pub mod paper;
pub mod pdf;
mod picture;
mod pictures;
pub mod pieces;
pub mod png;
pub mod profile;
mod ruler;
pub mod sheets;
pub mod shelf;
mod strips;
pub mod svg;
pub mod template;
pub mod tile;
pub mod view;
