#![no_main]
//! A table of bags, row by row.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| tuckwright_fuzz::readers::bags(text));
