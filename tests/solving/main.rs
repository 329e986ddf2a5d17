//! The solver against independent answers: exhaustive enumeration, and an LP code's own integers.

mod draws;
mod enumerate;
mod generate;
mod leaves;
mod parts;
mod points;

mod album;
mod hard;
mod random;
mod reference;
mod steps;
mod tamper;
mod witness;
