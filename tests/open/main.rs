//! The page's server, asked as a browser asks it, and as no browser would.

mod asked;
mod attacks;
mod boxes;
mod client;
mod fields;
mod maker;
mod mishaps;
mod protocol;
mod saving;
mod strange;
