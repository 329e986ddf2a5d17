//! One page in the browser: the whole job at once.
//!
//! `sight` is what the page shows, as facts; `view` makes HTML of it, and nothing else. `serve` listens on the
//! loopback address; `guard` says whom it hears, `keys` are its keys, `shared` is what all requests share;
//! `asks` reads who asks and sends back what a tab has not got yet, which `answer` puts together; `posts` does
//! what is asked. `room` is the album that is worked on, with its `history` and its `state`; `keep` saves it; `read` reads it;
//! `change` is a change of its text as a browser asks for it, `kind` that of its kind, `pins` keeps what is wanted of photos to it; `bench` works it out beside the typing, the newest
//! first, `ask` what is asked, and `print` what is printed; `desk` is what it asks of the disk: it opens no file
//! itself. `words` puts the names of boxes in the place of an album's keys. May import every room but `cli`.

pub mod answer;
mod ask;
mod asks;
mod bench;
mod change;
pub mod desk;
mod guard;
mod history;
mod keep;
mod keys;
mod kind;
mod pins;
mod posts;
mod print;
mod read;
mod room;
mod serve;
mod shared;
pub mod sight;
mod state;
pub mod view;
mod words;

pub use desk::{Desk, SaveError};
pub use serve::serve;
pub use shared::{Event, Setup, Stopper};
