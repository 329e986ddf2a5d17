#![no_main]
//! A program of whole numbers.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| tuckwright_fuzz::programs::solved(bytes));
