#![no_main]
//! An order of pieces and papers.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::cutting::order(bytes));
