//! The work of the whole program against facts from outside the project: published standards,
//! printed tables and worked examples, and what makers do.
//!
//! Beside every check stands its source and how it came here. "Read" means read in a stored copy,
//! mostly a secondary text and not the paid standard; "from memory" means that nobody has looked it
//! up yet; "derived here" means worked out, and then the working stands there too. The arithmetic
//! can be followed with a ruler.

mod bags;
mod cards;
mod concertina;
mod envelopes;
mod fixes;
mod frames;
mod holes;
mod kinds;
mod layers;
mod lengths;
mod makers;
mod patterns;
mod prints;
mod rings;
mod shop;
mod weights;
