//! The solver against independent answers: exhaustive enumeration, and an LP code's own integers.

mod enumerate;
mod generate;
mod leaves;

mod album;
mod hard;
mod random;
mod reference;
mod tamper;
