//! The album as whole numbers: unknowns counted in ruler steps, and rows over them.
//!
//! `expand`, with `said`, `rows` and `prefer`, makes a [`Program`], which is the
//! solver's, from a style and an album; `again` makes the same of the album with another bag. May
//! import `length`, `text`, `supplies`, `album`, `vocabulary`, `style`, `scene`, and of `solve` its
//! program.

pub mod again;
pub mod expand;
mod fault;
mod maker;
mod nowhere;
mod placed;
pub mod prefer;
pub mod rows;
mod said;

pub use crate::scene::model;
pub use crate::solve::program::{
    Force, Group, GroupId, Guard, Instance, InstanceId, Program, Row, RowId, Stage, Unknown,
    UnknownId,
};
pub use fault::{Absence, ExpandError};
pub use maker::of;
pub use placed::{PlaceError, WrongPlace};
pub use said::{read, read_album, unread};
