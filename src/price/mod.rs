//! What an album weighs, which parcel takes it, what it costs and what to ask for it.
//!
//! `weight` adds up what is really cut and what goes with it, `parcel` finds the cheapest parcel, `time`
//! how long the work takes, `cost` what the things cost, `ask` the least price that leaves what is wished;
//! `work` is all of it in one function.
//! May import `length`, `money`, `text`, `supplies`, `album`, `style`, `plan` and `cut`.

pub mod ask;
pub mod cost;
pub mod parcel;
pub mod time;
pub mod weight;
pub mod work;
