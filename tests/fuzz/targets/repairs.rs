#![no_main]
//! The cheapest changes of a program.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::programs::repaired(bytes));
