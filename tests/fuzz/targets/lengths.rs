#![no_main]
//! Lengths, sizes, ratios, weights.

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| tuckwright_fuzz::readers::lengths(text));
